"""A joint from above: each fastener where it stands, with its number: its turn in the order.

Exhaust left, intake right, as in all drawings here. The ignition side is up where the sheet says it
is left with the exhaust toward the viewer, down where right; unsaid, neither side is named. A joint
that is looked at from elsewhere has its top up and no bore. Start with `joint_picture`.
"""

from collections.abc import Iterator, Sequence
from itertools import pairwise
from math import cos, hypot, radians, sin

from ringland.job.layout import Layout
from ringland.report.drawings.signs import LINE

RADII = ((68.0,), (56.0, 96.0))  # of one ring, of two
NUT, WASHER = 14.5, 18.0
RIM = WASHER + 8  # of flange beyond the outermost fastener's centre
LEAST = 62.0  # from the middle to the flange's edge: the bore and its jacket lie within
EDGE = 26.0  # from there to the edge of the picture, with the names of the sides
CROWDED = 2 * WASHER + 6  # between two fasteners, below which they are drawn smaller

Point = tuple[float, float]


def places_of(layout: Layout) -> list[Point]:
    """Return where number 1, 2, … stand: x to the right, y down the page, 0, 0 in the middle.

    >>> even = Layout(((45, 135, 225, 315),), (1, 3, 2, 4), False, False, "crosswise")
    >>> [(round(x), round(y)) for x, y in places_of(even)]
    [(-48, -48), (48, 48), (48, -48), (-48, 48)]
    """
    if len(layout.order) == 1 and not layout.is_placed:
        return [(0.0, 0.0)]
    radii = RADII[len(layout.rings) - 1]
    start = -90 if layout.seen_from else 180  # the top, or the exhaust at the left
    found = []
    for number in range(1, len(layout.order) + 1):
        ring, angle = layout.stands(number)
        turn = radians(start + angle)  # y runs down the page: a growing angle runs clockwise
        found.append((radii[ring] * cos(turn), radii[ring] * sin(turn)))
    return found


def joint_picture(layout: Layout, pulled: Sequence[int], following: int | None, title: str) -> str:
    """Return the joint as SVG.

    pulled : numbers that are tight; following : the number to pull next
    Tightened nuts are filled, the next has a wide ring, the rest are dashed.
    """
    from html import escape

    places = places_of(layout)
    half = max(LEAST, *(max(abs(x), abs(y)) + RIM for x, y in places))
    edge = half + EDGE
    out = [
        f'<svg class="joint" viewBox="{-edge:.0f} {-edge:.0f} {2 * edge:.0f} {2 * edge:.0f}" role="img" '
        f'aria-label="{escape(title)}" xmlns="http://www.w3.org/2000/svg">'
    ]
    out += _flange(half, bore=not layout.seen_from)
    size = _size(places)
    if not layout.is_free:
        out += [_arrow(one, other, size) for one, other in pairwise(places)]
    for number, (x, y) in enumerate(places, 1):
        kind = "done" if number in pulled else "next" if number == following else "todo"
        out.append(_nut(x, y, number, kind, size))
    out += _sides(layout, half)
    return "".join([*out, "</svg>"])


def _size(places: Sequence[Point]) -> float:
    apart = [hypot(a[0] - b[0], a[1] - b[1]) for i, a in enumerate(places) for b in places[:i]]
    return min(1.0, min(apart, default=CROWDED) / CROWDED)


def _sides(layout: Layout, half: float) -> Iterator[str]:
    side, up, down = half + 18, -half - 15, half + 23
    names = [(-side, 4.0, "EX"), (side, 4.0, "IN")]
    if layout.ignition:
        first, second = ("IGN", "CL") if layout.ignition == "left" else ("CL", "IGN")
        names += [(0.0, up, first), (0.0, down, second)]
    if layout.seen_from:
        names = [(0.0, up, "TOP")]
    for x, y, word in names:
        yield (
            f'<text class="t side halo" x="{x:g}" y="{y:g}" font-size="11" text-anchor="middle" '
            f'fill="currentColor">{word}</text>'
        )


def _flange(half: float, *, bore: bool) -> list[str]:
    fixed = ' vector-effect="non-scaling-stroke"'
    chain = ' stroke-dasharray="14 3 2 3"'
    h, k = round(half, 1), round(half - 16, 1)
    out = [
        f'<path class="flange" d="M{-k},{-h} H{k} Q{h},{-h} {h},{-k} V{k} Q{h},{h} {k},{h} H{-k} '
        f'Q{-h},{h} {-h},{k} V{-k} Q{-h},{-h} {-k},{-h} Z" fill="#fff" stroke="currentColor" '
        f'stroke-width="2.4"{fixed}/>'
    ]
    axes = (
        f'<path d="M{-h - 10},0 H{h + 10} M0,{-h - 10} V{h + 10}" {LINE} stroke-width="0.9"'
        f"{chain}{fixed}/>"
    )
    if not bore:
        return [*out, axes]
    out += [
        f'<circle class="paper" cx="0" cy="0" r="26.6" fill="#fff" stroke="currentColor" '
        f'stroke-width="2.4"{fixed}/>',
        f'<circle cx="0" cy="0" r="33" {LINE} stroke-width="1.4"{fixed}/>',
    ]
    for turn in range(0, 360, 15):  # the jacket between two rings, kept to short strokes
        a = radians(turn + 7)
        d = f"M{36.5 * cos(a):.1f},{36.5 * sin(a):.1f} L{44.5 * cos(a):.1f},{44.5 * sin(a):.1f}"
        out.append(f'<path d="{d}" {LINE} stroke-width="0.9"{fixed}/>')
    return [*out, axes]


def _arrow(one: Point, other: Point, size: float) -> str:
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
        'stroke-width="1.2" vector-effect="non-scaling-stroke"/>'
        f'<path d="M{ex:.1f},{ey:.1f} L{ex - 6 * tx + 1.9 * ty:.1f},{ey - 6 * ty - 1.9 * tx:.1f} '
        f'L{ex - 6 * tx - 1.9 * ty:.1f},{ey - 6 * ty + 1.9 * tx:.1f} Z" fill="currentColor"/>'
    )


def _nut(x: float, y: float, number: int, kind: str, size: float) -> str:
    corners = [radians(60 * k + 30) for k in range(6)]
    across = NUT * size
    hexagon = " ".join(f"{x + across * cos(a):.1f},{y + across * sin(a):.1f}" for a in corners)
    dash = ' stroke-dasharray="5 4"' if kind == "todo" else ""
    fixed = 'vector-effect="non-scaling-stroke"'
    done = kind == "done"
    return (
        f'<g class="nut {kind}"><circle cx="{x:.1f}" cy="{y:.1f}" r="{WASHER * size:.1f}" fill="#fff" '
        f'class="paper" stroke="currentColor" stroke-width="{3.2 if kind == "next" else 1.2}" '
        f'{fixed}/><polygon points="{hexagon}" fill="{"currentColor" if done else "#fff"}" '
        f'class="{"ink" if done else "paper"}" stroke="currentColor" '
        f'stroke-width="{3 if kind == "next" else 2}" {fixed}{dash}/>'
        f'<text class="t num{" knocktext" if done else ""}" x="{x:.1f}" y="{y + 5.6 * size:.1f}" '
        f'font-size="{16 * size:.1f}" font-weight="650" text-anchor="middle" '
        f'fill="{"#fff" if done else "currentColor"}">{number}</text></g>'
    )
