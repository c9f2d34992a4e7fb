"""The port timing diagram: one ring for each port, top dead centre on top, turned clockwise."""

from math import cos, pi, sin
from xml.sax.saxutils import escape

from ringland.calc.shown import deg
from ringland.engine.ports import Window

PAPER, INK, SECOND, LINE = "#f4f7f5", "#0d2130", "#3c5261", "#70858f"
CENTRE, OUTER, STEP = 210.0, 150.0, 22.0
FACE = "Atkinson Hyperlegible Next, Atkinson Hyperlegible, sans-serif"


def _at(angle: float, radius: float) -> str:
    return f"{CENTRE + radius * sin(angle):.2f} {CENTRE - radius * cos(angle):.2f}"


def _arc(each: Window, radius: float) -> str:
    large = int(each.duration > pi)
    dash = ' stroke-dasharray="10 5"' if "closed" in each.port.name else ""
    ends = "".join(
        f'<path d="M {_at(angle, radius - 6)} L {_at(angle, radius + 6)}" stroke="{INK}" '
        'stroke-width="1.6"/>'
        for angle in (each.opens, each.closes)
    )
    return (
        f'<path d="M {_at(each.opens, radius)} A {radius:.2f} {radius:.2f} 0 {large} 1 '
        f'{_at(each.closes, radius)}" fill="none" stroke="{INK}" stroke-width="2.4"{dash}/>{ends}'
    )


def _label(number: int, each: Window, y: float) -> str:
    name = escape(f"{number} {each.port.name}")
    lead = f"{deg(-each.opens)} before" if each.opens < 0 else f"{deg(each.opens)} after"
    detail = f"opens {lead} TDC, closes {deg(each.closes)} after"
    return (
        f'<text x="410" y="{y:.0f}" font-size="19" fill="{INK}">{name}: {deg(each.duration)}</text>'
        f'<text x="410" y="{y + 20:.0f}" font-size="16" fill="{SECOND}">{escape(detail)}</text>'
    )


def timing_diagram(windows: list[Window]) -> str:
    """Return the diagram as SVG text; each arc carries a number that the list repeats."""
    parts, labels = [], []
    for number, each in enumerate(windows, start=1):
        radius = OUTER - STEP * (number - 1)
        middle = (each.opens + each.closes) / 2
        parts.append(_arc(each, radius))
        x, y = _at(middle, radius).split()
        parts.append(
            f'<circle cx="{x}" cy="{y}" r="9" fill="{PAPER}" stroke="{INK}" stroke-width="1"/>'
            f'<text x="{x}" y="{float(y) + 5:.2f}" font-size="14" text-anchor="middle" '
            f'fill="{INK}">{number}</text>'
        )
        labels.append(_label(number, each, 70 + 58 * (number - 1)))
    said = "; ".join(f"{each.port.name} {deg(each.duration)}" for each in windows)
    return f"""<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 780 420" role="img"\
 font-family="{FACE}">
<title>Port timing</title>
<desc>{escape(said)}. Angles of crank, top dead centre on top, turned clockwise.</desc>
<rect width="780" height="420" fill="{PAPER}"/>
<circle cx="{CENTRE}" cy="{CENTRE}" r="172" fill="none" stroke="{LINE}" stroke-width="1"/>
<path d="M {CENTRE} 20 V 400 M 20 {CENTRE} H 400" stroke="{LINE}" stroke-width="1"\
 stroke-dasharray="14 4 3 4"/>
<text x="{CENTRE + 6}" y="32" font-size="16" fill="{SECOND}">TDC</text>
<text x="{CENTRE + 6}" y="400" font-size="16" fill="{SECOND}">BDC</text>
{"".join(parts)}
{"".join(labels)}
</svg>
"""
