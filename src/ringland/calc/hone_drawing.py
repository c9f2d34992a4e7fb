"""The bore wall unrolled, with the paths of a stone up and down at their true angle."""

from math import cos, pi
from xml.sax.saxutils import escape

from ringland.calc.ports_drawing import FACE, INK, LINE, PAPER, SECOND
from ringland.calc.shown import Told, deg
from ringland.engine.hone import Honing, crosshatch

LEFT, TOP, WIDTH, HEIGHT = 40.0, 40.0, 500.0, 330.0
CLOSEST = 8.0  # pixels between lines along the bore: flat scratches would run into one black
STEPS = 48  # points along one stroke: straight enough for the eye


def developed_bore(honing: Honing, rate: float, say: Told) -> str:
    """Return the drawing as SVG text; one scale both ways, so that angles are true."""
    scale = HEIGHT / honing.stroke
    turn = pi * honing.bore * scale  # width of one whole turn
    upward = _path(honing, rate, scale)
    reach = max(upward[-1][0], 1.0)
    gap = max(turn / 12, 18.0, CLOSEST * reach / HEIGHT)
    count = int((WIDTH + reach) / gap) + 2
    lines = []
    for number in range(count):
        shift = LEFT - reach + gap * number
        for points in (upward, [(x, HEIGHT - y) for x, y in upward]):
            drawn = " ".join(f"{shift + x:.1f},{TOP + y:.1f}" for x, y in points)
            lines.append(f'<polyline points="{drawn}"/>')
    middle = deg(crosshatch(honing, rate))
    said = f"Cross-hatch {middle} included, mid-stroke"
    return f"""<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 780 420" role="img"\
 font-family="{FACE}">
<title>Cross-hatch</title>
<desc>Bore wall unrolled over a stroke of {escape(say(honing.stroke, 0))}. {escape(said)}.</desc>
<rect width="780" height="420" fill="{PAPER}"/>
<clipPath id="wall"><rect x="{LEFT}" y="{TOP}" width="{WIDTH}" height="{HEIGHT}"/></clipPath>
<g clip-path="url(#wall)" fill="none" stroke="{INK}" stroke-width="1">{"".join(lines)}</g>
<rect x="{LEFT}" y="{TOP}" width="{WIDTH}" height="{HEIGHT}" fill="none" stroke="{INK}"\
 stroke-width="2.4"/>
<path d="M {LEFT - 15} {TOP + HEIGHT / 2} H {LEFT + WIDTH + 15}" stroke="{LINE}" stroke-width="1"\
 stroke-dasharray="14 4 3 4"/>
<text x="570" y="{TOP + HEIGHT / 2 - 6}" font-size="16" fill="{SECOND}">mid-stroke</text>
<text x="570" y="{TOP + HEIGHT / 2 + 24}" font-size="30" fill="{INK}">{middle}</text>
<text x="570" y="{TOP + 16}" font-size="16" fill="{SECOND}">reversal</text>
</svg>
"""


def _path(honing: Honing, rate: float, scale: float) -> list[tuple[float, float]]:
    """One stroke of a stone on the unrolled wall: around (x) against along (y), in pixels."""
    around = pi * honing.bore * honing.spindle
    points = []
    for step in range(STEPS + 1):
        share = step / STEPS  # of the time of one stroke, half a double stroke
        along = share if honing.motion == "even" else (1 - cos(pi * share)) / 2
        points.append((around * share / (2 * rate) * scale, along * HEIGHT))
    return points
