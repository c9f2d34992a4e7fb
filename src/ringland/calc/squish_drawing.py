"""Squish at four points, seen from above: what was read, and what the opposite points mean."""

from collections.abc import Mapping
from xml.sax.saxutils import escape

from ringland.calc.ports_drawing import FACE, INK, LINE, PAPER, SECOND
from ringland.calc.shown import Told
from ringland.engine.squish import Squish

# exhaust left, intake right, ignition side up, clutch side down, as all drawings here
PLACES = {"EX": (120, 210), "IN": (300, 210), "IGN": (210, 120), "CL": (210, 300)}
NAMES = {"EX": "exhaust", "IN": "intake", "CL": "clutch side", "IGN": "ignition side"}
LABELS = {"EX": (100, 216, "end"), "IN": (320, 216, "start"), "IGN": (210, 82, "middle"),
          "CL": (210, 348, "middle")}  # fmt: skip


def four_points(read: Mapping[str, float], found: Squish, say: Told) -> str:
    """Return the drawing as SVG text.

    read : thickness left [m] by place; found : what follows from it; say : in which unit
    """
    marks = "".join(_mark(place, read.get(place), say) for place in PLACES)
    said = ", ".join(f"{NAMES[place]} {say(value)}" for place, value in read.items())
    lines = [("Squish", say.doubt(found.height)), ("Thinnest", say(found.thinnest))]
    lines += [("Exhaust less intake, the rock", say.doubt(found.rock))] if found.rock else []
    lines += [("Ignition less clutch, a tilt", say.doubt(found.spread))] if found.spread else []
    side = "".join(
        f'<text x="470" y="{100 + 64 * row}" font-size="16" fill="{SECOND}">{escape(label)}</text>'
        f'<text x="470" y="{126 + 64 * row}" font-size="23" fill="{INK}">{escape(value)}</text>'
        for row, (label, value) in enumerate(lines)
    )
    return f"""<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 780 420" role="img"\
 font-family="{FACE}">
<title>Squish at four points</title>
<desc>From above: {escape(said)}. Squish {escape(say.doubt(found.height))}.</desc>
<rect width="780" height="420" fill="{PAPER}"/>
<circle cx="210" cy="210" r="104" fill="none" stroke="{INK}" stroke-width="2.4"/>
<circle cx="210" cy="210" r="74" fill="none" stroke="{INK}" stroke-width="1.6"\
 stroke-dasharray="8 4"/>
<path d="M 210 92 V 328" stroke="{LINE}" stroke-width="1" stroke-dasharray="14 4 3 4"/>
<text x="218" y="214" font-size="16" fill="{SECOND}">pin axis</text>
{marks}
{side}
</svg>
"""


def _mark(place: str, value: float | None, say: Told) -> str:
    (x, y), (tx, ty, anchor) = PLACES[place], LABELS[place]
    dash = "" if value is not None else ' stroke-dasharray="3 3"'
    fill = INK if value is not None else PAPER
    shown = say(value) if value is not None else "no reading"
    return (
        f'<circle cx="{x}" cy="{y}" r="6" fill="{fill}" stroke="{INK}" stroke-width="1.6"{dash}/>'
        f'<text x="{tx}" y="{ty - 12}" font-size="16" text-anchor="{anchor}" fill="{SECOND}">'
        f"{NAMES[place]}</text>"
        f'<text x="{tx}" y="{ty + 10}" font-size="19" text-anchor="{anchor}" fill="{INK}">'
        f"{escape(shown)}</text>"
    )
