"""Drawing: a joint from above, each fastener where it stands with its number: its turn in the order.

Exhaust left, intake right, as in all drawings here. The ignition side is up where it is on the left
with the exhaust toward the viewer, down where on the right; where it is not known, neither side is
named. A joint that is looked at from elsewhere has its top up and no bore. Colours by `currentColor`
and class, so that one drawing serves a calculator's file, the page in light and dark, and paper.

Here: the picture only. Not here: the order (`ringland.fasten.sequence`), where the fasteners of a job
stand (`ringland.report.drawings.joint`). Start with `draw_joint`.
"""

from collections.abc import Iterator, Sequence
from html import escape
from itertools import pairwise
from math import cos, hypot, radians, sin
from typing import NamedTuple

from ringland.calc.drawing import AXIS, FACE, HIDDEN
from ringland.fasten.sequence import Point

REACH = (68.0, 96.0)  # from the middle to the furthest fastener: of one ring, of two at most
NUT, WASHER = 14.5, 18.0
CROWDED = 2 * WASHER + 6  # between two fasteners, below which they are drawn smaller
RIM = WASHER + 8  # of flange beyond the outermost fastener's centre
BORE = 26.6  # radius, where only its place is known
JACKET = (9.9, 17.9)  # the water round the bore, from the bore on
WALL = JACKET[1] + 17.5  # from the bore to the flange's edge at the least
EDGE = 26.0  # from there to the edge of the picture, with the names of the sides
LINE = 'fill="none" stroke="currentColor" stroke-linejoin="round" stroke-linecap="round"'
FIXED = 'vector-effect="non-scaling-stroke"'


class Joint(NamedTuple):
    """A joint to be drawn.

    places : where number 1, 2, … stand: x to the right, y down the page, 0, 0 in the middle
    in_order : arrows lead from each to the next
    bore : its radius; 0 where it is not drawn
    ignition : "left" or "right", with the exhaust toward the viewer; empty where it is not known
    top_is_up : seen from elsewhere than above
    """

    places: Sequence[Point]
    in_order: bool = True
    bore: float = BORE
    ignition: str = ""
    top_is_up: bool = False


def draw_joint(
    joint: Joint, title: str, *, pulled: Sequence[int] = (), following: int | None = None
) -> str:
    """Return the joint as SVG.

    title : for those who do not see it
    pulled : numbers that are tight; following : the number to pull next
    Tightened nuts are filled, the next has a wide ring, the rest are dashed.

    >>> draw_joint(Joint([(-48, -48), (48, 48)]), "two screws").count('class="nut todo"')
    2
    """
    half = max(max(joint.bore, BORE) + WALL, *(max(abs(x), abs(y)) + RIM for x, y in joint.places))
    edge = half + EDGE
    size = _size(joint.places)
    out = [
        f'<svg class="joint" viewBox="{-edge:.0f} {-edge:.0f} {2 * edge:.0f} {2 * edge:.0f}" role="img" '
        f'aria-label="{escape(title)}" font-family="{FACE}" xmlns="http://www.w3.org/2000/svg">',
        *_flange(half, joint.bore),
    ]
    if joint.in_order:
        out += [_arrow(one, other, size) for one, other in pairwise(joint.places)]
    for number, place in enumerate(joint.places, 1):
        kind = "done" if number in pulled else "next" if number == following else "todo"
        out.append(_nut(place, number, kind, size))
    return "".join([*out, *_sides(joint, half), "</svg>"])


def scaled(positions: Sequence[Point]) -> tuple[list[Point], float]:
    """Return places for a joint that is known in measure, and how long a metre is drawn.

    positions : x, y of each from the bore axis [m], x to the intake, y a quarter turn clockwise from
        the exhaust, seen from above
    """
    furthest = max(hypot(*each) for each in positions)
    if not furthest:
        return [(0.0, 0.0)], 1.0
    least, most = REACH
    nearest = min(_apart(positions), default=furthest)
    scale = min(max(least, CROWDED * furthest / nearest), most) / furthest
    return [(x * scale, -y * scale) for x, y in positions], scale


def _size(places: Sequence[Point]) -> float:
    return min(1.0, min(_apart(places), default=CROWDED) / CROWDED)


def _apart(places: Sequence[Point]) -> list[float]:
    return [hypot(a[0] - b[0], a[1] - b[1]) for i, a in enumerate(places) for b in places[:i]]


def _sides(joint: Joint, half: float) -> Iterator[str]:
    side, up, down = half + 18, -half - 15, half + 23
    names = [(-side, 4.0, "EX"), (side, 4.0, "IN")]
    if joint.ignition:
        first, second = ("IGN", "CL") if joint.ignition == "left" else ("CL", "IGN")
        names += [(0.0, up, first), (0.0, down, second)]
    if joint.top_is_up:
        names = [(0.0, up, "TOP")]
    for x, y, word in names:
        yield (
            f'<text class="t side halo" x="{x:g}" y="{y:g}" font-size="11" text-anchor="middle" '
            f'fill="currentColor">{word}</text>'
        )


def _flange(half: float, bore: float) -> Iterator[str]:
    h, k = round(half, 1), round(half - 16, 1)
    yield (
        f'<path class="flange" d="M{-k},{-h} H{k} Q{h},{-h} {h},{-k} V{k} Q{h},{h} {k},{h} H{-k} '
        f'Q{-h},{h} {-h},{k} V{-k} Q{-h},{-h} {-k},{-h} Z" fill="#fff" stroke="currentColor" '
        f'stroke-width="2.4" {FIXED}/>'
    )
    if bore:
        yield (
            f'<circle class="paper" cx="0" cy="0" r="{bore:.1f}" fill="#fff" stroke="currentColor" '
            f'stroke-width="2.4" {FIXED}/>'
            f'<circle cx="0" cy="0" r="{bore + 6.4:.1f}" {LINE} stroke-width="1.4" {FIXED}/>'
        )
        near, far = (bore + each for each in JACKET)
        for turn in range(0, 360, 15):  # the jacket between two rings, kept to short strokes
            x, y = cos(radians(turn + 7)), sin(radians(turn + 7))
            d = f"M{near * x:.1f},{near * y:.1f} L{far * x:.1f},{far * y:.1f}"
            yield f'<path d="{d}" {LINE} stroke-width="0.9" {FIXED}/>'
    yield (
        f'<path d="M{-h - 10},0 H{h + 10} M0,{-h - 10} V{h + 10}" {LINE} stroke-width="0.9" '
        f'stroke-dasharray="{AXIS}" {FIXED}/>'
    )


def _arrow(one: Point, other: Point, size: float) -> str:
    # all bend to one side: there and back over the middle keep apart, as lanes do
    (x1, y1), (x2, y2) = one, other
    far = hypot(x2 - x1, y2 - y1)
    ux, uy = (x2 - x1) / far, (y2 - y1) / far
    mx, my = (x1 + x2) / 2 - uy * 16, (y1 + y2) / 2 + ux * 16
    clear = 20 * size
    ex, ey, sx, sy = x2 - ux * clear, y2 - uy * clear, x1 + ux * clear, y1 + uy * clear
    tx, ty = ex - mx, ey - my
    m = hypot(tx, ty) or 1.0
    tx, ty = tx / m, ty / m
    return (
        f'<path d="M{sx:.1f},{sy:.1f} Q{mx:.1f},{my:.1f} {ex:.1f},{ey:.1f}" {LINE} '
        f'stroke-width="1.2" {FIXED}/>'
        f'<path d="M{ex:.1f},{ey:.1f} L{ex - 6 * tx + 1.9 * ty:.1f},{ey - 6 * ty - 1.9 * tx:.1f} '
        f'L{ex - 6 * tx - 1.9 * ty:.1f},{ey - 6 * ty + 1.9 * tx:.1f} Z" fill="currentColor"/>'
    )


def _nut(place: Point, number: int, kind: str, size: float) -> str:
    (x, y), across = place, NUT * size
    corners = [radians(60 * k + 30) for k in range(6)]
    hexagon = " ".join(f"{x + across * cos(a):.1f},{y + across * sin(a):.1f}" for a in corners)
    dash = f' stroke-dasharray="{HIDDEN}"' if kind == "todo" else ""
    done = kind == "done"
    return (
        f'<g class="nut {kind}"><circle cx="{x:.1f}" cy="{y:.1f}" r="{WASHER * size:.1f}" fill="#fff" '
        f'class="paper" stroke="currentColor" stroke-width="{3.2 if kind == "next" else 1.2}" '
        f'{FIXED}/><polygon points="{hexagon}" fill="{"currentColor" if done else "#fff"}" '
        f'class="{"ink" if done else "paper"}" stroke="currentColor" '
        f'stroke-width="{3 if kind == "next" else 2}" {FIXED}{dash}/>'
        f'<text class="t num{" knocktext" if done else ""}" x="{x:.1f}" y="{y + 5.6 * size:.1f}" '
        f'font-size="{16 * size:.1f}" font-weight="650" text-anchor="middle" '
        f'fill="{"#fff" if done else "currentColor"}">{number}</text></g>'
    )
