"""Drawing: a joint seen from above, its fasteners numbered in the order of tightening.

Here: the picture only. Not here: the order (`ringland.fasten.sequence`). Start with `draw_joint`.
Exhaust left, intake right, as all drawings here; ignition and clutch side where it is known.
"""

from collections.abc import Sequence
from itertools import pairwise
from math import atan2, cos, degrees, hypot, pi, radians, sin

from ringland.calc.drawing import AXIS, HIDDEN, INK, MARK, NARROW, PAPER, TINT, Sheet
from ringland.fasten.sequence import Point

SIZE = 520.0
MIDDLE_OF_SHEET = (SIZE / 2, SIZE / 2)
STUB = 38.0  # px that the exhaust stub stands out
REACH = 148.0  # px from the middle to the furthest fastener
NUT = 24.0  # px, corner of the hexagon
WASHER = 31.0  # px
RIM = 42.0  # px of flange round the outermost fasteners
BEND = 0.12  # of the length of an arrow, to one side
CROWDED = 66.0  # px between two fasteners, below which they are drawn smaller


def draw_joint(
    positions: Sequence[Point],
    order: Sequence[int],
    *,
    done: int = 0,
    bore: float | None = None,
    names: Sequence[str] | None = None,
    ignition: str = "",
) -> str:
    """A joint from above as SVG: each fastener carries its place in the order.

    positions : x, y of each from the bore axis [m], x to the intake, y a quarter turn clockwise from
        the exhaust, seen from above
    order : indices in the order of tightening
    done : how many are tightened; they are filled, the next has a wide ring, the rest is dashed
    bore : diameter [m]; not drawn where it is not known
    names : what each is called, for those who do not see it
    ignition : "left" or "right", with the exhaust toward the viewer; empty where it is not known

    >>> svg = draw_joint([(-1, 1), (1, 1), (1, -1), (-1, -1)], (0, 2, 1, 3), done=1)
    >>> svg.count('class="nut"')
    4
    """
    sheet = Sheet(SIZE, SIZE)
    furthest = max(hypot(*place) for place in positions)
    scale = REACH / furthest if furthest else 1.0
    places = [(SIZE / 2 + x * scale, SIZE / 2 - y * scale) for x, y in positions]
    nearest = min(
        (hypot(a[0] - b[0], a[1] - b[1]) for a in places for b in places if a is not b),
        default=CROWDED,
    )
    small = min(1.0, nearest / CROWDED)
    _flange(sheet, places)
    if bore is not None:
        sheet.circle(*MIDDLE_OF_SHEET, bore / 2 * scale, fill=PAPER)
    sides = {"left": ("IGN", "CL"), "right": ("CL", "IGN")}.get(ignition, ("", ""))
    _axes(sheet, min(x for x, _ in places) - RIM, sides)
    for one, other in pairwise(order):
        _arrow(sheet, places[one], places[other], small)
    for place, index in enumerate(order):
        _nut(sheet, places[index], place, done, small)
    called = names or [str(index + 1) for index in range(len(positions))]
    told = ", ".join(f"{place} at {called[index]}" for place, index in enumerate(order, 1))
    state = f"{done} of {len(order)} tightened. " if done else ""
    return sheet.svg(
        f"Joint from above, {len(order)} fasteners in their order",
        f"{state}Exhaust left, intake right. Order: {told}.",
    )


def _flange(sheet: Sheet, places: Sequence[Point]) -> None:
    # the exhaust stub says which way the joint lies
    left, y = min(x for x, _ in places) - RIM, SIZE / 2
    sheet.path(
        f"M{left + 30:.1f},{y - 46} L{left - STUB:.1f},{y - 38} V{y + 38} L{left + 30:.1f},{y + 46} Z",
        fill=TINT,
    )
    sheet.text(left - STUB / 2, y + 8, "EX", 22, font_weight=650, halo="")
    outline = " L".join(f"{x:.1f},{y:.1f}" for x, y in _hull(places))
    for width, colour in ((2 * RIM + 2.4, INK), (2 * RIM - 2.4, TINT)):
        sheet.path(f"M{outline} Z", width=width, fill=colour, stroke=colour)


def _hull(places: Sequence[Point]) -> list[Point]:
    # Andrew's monotone chain: lower and upper side of the convex hull
    ordered = sorted(set(places))
    if len(ordered) < 3:
        return ordered
    sides: list[list[Point]] = []
    for run in (ordered, ordered[::-1]):
        side: list[Point] = []
        for point in run:
            while len(side) > 1 and _turn(side[-2], side[-1], point) <= 0:
                side.pop()
            side.append(point)
        sides.append(side[:-1])
    return sides[0] + sides[1]


def _turn(a: Point, b: Point, c: Point) -> float:
    return (b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0])


def _axes(sheet: Sheet, left: float, sides: tuple[str, str]) -> None:
    x, y = MIDDLE_OF_SHEET
    sheet.path(f"M{left},{y} H{SIZE - 40}", width=NARROW, stroke_dasharray=AXIS)
    sheet.path(f"M{x},40 V{SIZE - 40}", width=NARROW, stroke_dasharray=AXIS)
    for at_x, at_y, words in (
        (SIZE - 28, y + 8, "IN"),
        (x, 30, sides[0]),
        (x, SIZE - 14, sides[1]),
    ):
        sheet.text(at_x, at_y, words, 22, font_weight=650)


def _arrow(sheet: Sheet, start: Point, end: Point, small: float) -> None:
    (x1, y1), (x2, y2) = start, end
    length = hypot(x2 - x1, y2 - y1)
    nx, ny = (y1 - y2) / length, (x2 - x1) / length
    # all bend to one side: there and back over the middle keep apart, as lanes do
    control = ((x1 + x2) / 2 + BEND * length * nx, (y1 + y2) / 2 + BEND * length * ny)
    clear = (WASHER + 4) * small
    a, b = _towards(start, control, clear), _towards(end, control, clear)
    sheet.path(
        f"M{a[0]:.1f},{a[1]:.1f} Q{control[0]:.1f},{control[1]:.1f} {b[0]:.1f},{b[1]:.1f}",
        width=1.2,
    )
    sheet.arrow_head(*b, degrees(atan2(end[1] - control[1], end[0] - control[0])))


def _towards(start: Point, goal: Point, distance: float) -> Point:
    length = hypot(goal[0] - start[0], goal[1] - start[1]) or 1.0
    share = distance / length
    return start[0] + share * (goal[0] - start[0]), start[1] + share * (goal[1] - start[1])


def _nut(sheet: Sheet, at: Point, place: int, done: int, small: float) -> None:
    x, y = at
    tightened, next_one = place < done, place == done
    colour = MARK if next_one else INK
    sheet.circle(
        x,
        y,
        WASHER * small,
        fill=PAPER,
        stroke=colour,
        stroke_width=3.2 if next_one else 1.2,
        class_="nut",
    )
    corners = " L".join(
        f"{x + NUT * small * cos(turn):.1f},{y + NUT * small * sin(turn):.1f}"
        for turn in (pi / 6 + radians(60 * corner) for corner in range(6))
    )
    dashes: dict[str, object] = {} if tightened or next_one else {"stroke_dasharray": HIDDEN}
    sheet.path(
        f"M{corners} Z",
        width=2.4 if next_one else 2.0,
        fill=INK if tightened else PAPER,
        stroke=colour,
        **dashes,
    )
    sheet.text(
        x,
        y + 8 * small,
        str(place + 1),
        22 * small,
        font_weight=650,
        fill=PAPER if tightened else colour,
        halo="",
    )
