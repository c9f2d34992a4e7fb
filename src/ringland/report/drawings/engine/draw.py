"""The engine cutaway: geometry and crank angle in, one SVG out.

The section runs through the cylinder axis square to the crank axis, exhaust left, intake right.
Line types follow ISO 128-2, hatching ISO 128-3, dimensions ISO 129-1 (from memory): wide outlines
of cut parts, narrow hatching and leaders, dashed for hidden, chain for axes, double-dot chain for
neighbours and other positions. Shafts, studs and the rod are not hatched lengthwise.
"""

from dataclasses import dataclass, replace
from html import escape
from math import sqrt
from typing import Any

from ringland.report.drawings.engine.castings import (
    draw_barrel,
    draw_case,
    draw_reeds,
    draw_valve,
)
from ringland.report.drawings.engine.geometry import Geometry, travel
from ringland.report.drawings.engine.marks import Item, draw_axes, draw_dimensions, draw_mark
from ringland.report.drawings.engine.moving import (
    draw_crank,
    draw_piston,
    draw_rod,
    draw_small_end,
)
from ringland.report.drawings.engine.pen import REFERENCE, Pen, hatches
from ringland.report.drawings.engine.top import draw_head, draw_joints

WINDOWS = ((-0.507, 0.113), (0.263, 0.695))  # of half the bore: transfers, foreshortened
# how a state changes the outline and the hatching of a cut part
OUTLINES: dict[str, dict[str, Any]] = {
    "undecided": {"stroke_dasharray": "7 3.5"},
    "unmeasured": {"stroke_width": 1.3},
    "disagree": {"stroke_dasharray": "1.5 3"},
}
HATCHES = {"beyond": "x", "stop": "x"}


@dataclass(frozen=True, slots=True)
class Cutter:
    """Draws one cut part: paper, hatch, outline, as its state has it."""

    pen: Pen
    states: dict[str, str]
    prefix: str

    def __call__(self, name: str, shape: str, lean: str, line: str = "wide") -> None:
        state = self.states.get(name, "neutral")
        hatch = f"{lean}p" if state == "unmeasured" else HATCHES.get(state, lean)
        self.pen.raw(f'<g class="part s-{state}">')
        self.pen.path(shape, "paper", fill_rule="evenodd")
        fill = f"url(#{self.prefix}{hatch})"
        self.pen.path(shape, "hatch", fill=fill, stroke="none", fill_rule="evenodd")
        self.pen.path(shape, line, **OUTLINES.get(state, {}))
        self.pen.close()


def draw_engine(
    g: Geometry,
    angle: float,
    *,
    items: tuple[Item, ...] = (),
    prefix: str = "e",
    title: str = "Engine cutaway",
    valve: bool = True,
) -> str:
    """Return the cutaway as one SVG.

    angle : crank angle [degrees after top dead centre], 0 to 360
    items : the marks, each a link to its part; prefix : makes the ids unique on the page
    valve : whether the engine has a power valve; it is drawn shut

    >>> svg = draw_engine(Geometry(), 140.0)
    >>> svg.startswith("<svg") and "style=" not in svg
    True
    """
    pen = Pen()
    pen.raw(_opening(g, prefix, title))
    states = {item.name: item.state for item in items}
    _engine(pen, Cutter(pen, states, prefix), g, angle, valve)
    for item in items:
        draw_mark(pen, item, travel(g, angle) if item.rides else 0.0)
    pen.close("svg")
    return "\n".join(pen.out)


def _opening(g: Geometry, p: str, title: str) -> str:
    shift, throw = (g.bore - REFERENCE) / 2, g.stroke / 2 - 28.0
    side, low = max(shift, throw), -70.0 - throw
    x0, width = -113.0 - side, 218.0 + 2 * side
    height = g.stroke / 2 + g.rod + g.compression_height + g.deck_clearance + 82.0 - low
    return (
        f'<svg class="cutaway" viewBox="{x0} {-(low + height)} {width} {height}" role="group" '
        f'aria-label="{escape(title)}" data-stroke="{g.stroke}" data-rod="{g.rod}" '
        f'data-exhaust="{g.exhaust_roof}" data-transfer="{g.transfer_roof}" '
        f'xmlns="http://www.w3.org/2000/svg"><defs>{hatches(p)}</defs>'
    )


def _engine(pen: Pen, cut: Cutter, g: Geometry, angle: float, valve: bool) -> None:
    p, b = cut.prefix, g.bore / 2
    top = g.stroke / 2 + g.rod + g.compression_height  # crown edge at top dead centre
    deck = top + g.deck_clearance
    foot = deck - g.barrel
    exhaust, transfer, floor = top - g.exhaust_roof, top - g.transfer_roof, top - g.stroke
    radius = (b**2 + g.dome**2) / (2 * g.dome)

    def dome(x: float) -> float:
        return sqrt(radius**2 - x**2) - (radius - g.dome)

    draw_case(pen, g, foot)
    draw_crank(pen, g, angle, p)
    pen.open(class_="beyond-cut")  # far wall of the bore with the transfer windows
    pen.path(f"M{-b},{foot - 16} L{-b},{deck} L{b},{deck} L{b},{foot - 16} Z", "paper")
    for low, high in WINDOWS:
        pen.path(_window(low * b, high * b, floor, transfer), "mid")
    pen.close()
    draw_piston(pen, cut, g, angle, dome)
    draw_rod(pen, g, angle, p)
    draw_small_end(pen, g, angle, p)
    pen.shift, ref = (g.bore - REFERENCE) / 2, replace(g, bore=REFERENCE)
    draw_barrel(pen, cut, ref, (deck, foot, exhaust, transfer, floor), p)
    if valve:
        draw_valve(pen, cut, ref, exhaust, p)
    draw_head(pen, cut, ref, deck, lambda x: dome(pen.at(x)), p)
    draw_joints(pen, ref, deck, foot, cut.states)
    pen.shift = 0.0
    draw_reeds(pen, cut, g, p)
    draw_axes(pen, g, deck)
    draw_dimensions(pen, g, angle, deck, dome, p)


def _window(low: float, high: float, floor: float, roof: float) -> str:
    c = 2.4  # mm, radius of the corners
    return (
        f"M{low + c},{floor} L{high - c},{floor} Q{high},{floor} {high},{floor + c} "
        f"L{high},{roof - c} Q{high},{roof} {high - c},{roof} L{low + c},{roof} "
        f"Q{low},{roof} {low},{roof - c} L{low},{floor + c} Q{low},{floor} {low + c},{floor} Z"
    )
