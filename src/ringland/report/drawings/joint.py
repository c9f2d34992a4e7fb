"""A joint from above: its fasteners on a ring, numbered by place, order joined by arrows.

Exhaust left, intake right, ignition side up, clutch side down, as in all drawings here. Number 1
stands at the exhaust, the numbers go round clockwise as seen from above.
"""

from collections.abc import Sequence
from itertools import pairwise
from math import cos, hypot, pi, radians, sin

from ringland.report.drawings.signs import LINE

RING, NUT, WASHER = 68.0, 14.5, 18.0
VIEW = 104.0


def places_of(count: int) -> list[tuple[float, float]]:
    """Return where the fasteners stand about the bore, x to the intake, y down the page.

    >>> [(round(x), round(y)) for x, y in places_of(4)]
    [(-48, 48), (-48, -48), (48, -48), (48, 48)]
    """
    if count == 1:
        return [(0.0, 0.0)]
    start = pi - pi / count if count % 2 == 0 else pi  # an even ring has its pairs on the axis
    turn = [start + 2 * pi * place / count for place in range(count)]
    return [(RING * cos(a), RING * sin(a)) for a in turn]


def joint_picture(
    count: int, order: Sequence[int], pulled: Sequence[int], following: int | None, title: str
) -> str:
    """Return the joint as SVG.

    order, pulled : numbers from 1; following : the number to pull next
    Tightened nuts are filled, the next has a wide ring, the rest are dashed.
    """
    from html import escape

    places = places_of(count)
    out = [
        f'<svg class="joint" viewBox="{-VIEW} {-VIEW} {2 * VIEW} {2 * VIEW}" role="img" '
        f'aria-label="{escape(title)}" xmlns="http://www.w3.org/2000/svg">'
    ]
    out += _flange()
    if count > 1:
        for one, other in pairwise(order):
            out.append(_arrow(places[one - 1], places[other - 1]))
    for number, (x, y) in enumerate(places, 1):
        kind = "done" if number in pulled else "next" if number == following else "todo"
        out.append(_nut(x, y, number, kind))
    for x, y, word in ((-96, 4, "EX"), (96, 4, "IN"), (0, -93, "IGN"), (0, 101, "CL")):
        out.append(
            f'<text class="t side halo" x="{x}" y="{y}" font-size="11" text-anchor="middle" '
            f'fill="currentColor">{word}</text>'
        )
    return "".join([*out, "</svg>"])


def _flange() -> list[str]:
    fixed = ' vector-effect="non-scaling-stroke"'
    chain = ' stroke-dasharray="14 3 2 3"'
    out = [
        '<path class="flange" d="M-62,-78 H62 Q78,-78 78,-62 V62 Q78,78 62,78 H-62 Q-78,78 -78,62 '
        f'V-62 Q-78,-78 -62,-78 Z" fill="#fff" stroke="currentColor" stroke-width="2.4"{fixed}/>',
        f'<circle class="paper" cx="0" cy="0" r="26.6" fill="#fff" stroke="currentColor" '
        f'stroke-width="2.4"{fixed}/>',
        f'<circle cx="0" cy="0" r="33" {LINE} stroke-width="1.4"{fixed}/>',
    ]
    for turn in range(0, 360, 15):  # the jacket between two rings, kept to short strokes
        a = radians(turn + 7)
        d = f"M{36.5 * cos(a):.1f},{36.5 * sin(a):.1f} L{44.5 * cos(a):.1f},{44.5 * sin(a):.1f}"
        out.append(f'<path d="{d}" {LINE} stroke-width="0.9"{fixed}/>')
    out.append(f'<path d="M-88,0 H88 M0,-88 V88" {LINE} stroke-width="0.9"{chain}{fixed}/>')
    return out


def _arrow(one: tuple[float, float], other: tuple[float, float]) -> str:
    (x1, y1), (x2, y2) = one, other
    far = hypot(x2 - x1, y2 - y1)
    ux, uy = (x2 - x1) / far, (y2 - y1) / far
    mx, my = (x1 + x2) / 2 - uy * 16, (y1 + y2) / 2 + ux * 16
    ex, ey, sx, sy = x2 - ux * 20, y2 - uy * 20, x1 + ux * 20, y1 + uy * 20
    tx, ty = ex - mx, ey - my
    m = hypot(tx, ty) or 1.0
    tx, ty = tx / m, ty / m
    return (
        f'<path d="M{sx:.1f},{sy:.1f} Q{mx:.1f},{my:.1f} {ex:.1f},{ey:.1f}" {LINE} '
        'stroke-width="1.2" vector-effect="non-scaling-stroke"/>'
        f'<path d="M{ex:.1f},{ey:.1f} L{ex - 6 * tx + 1.9 * ty:.1f},{ey - 6 * ty - 1.9 * tx:.1f} '
        f'L{ex - 6 * tx - 1.9 * ty:.1f},{ey - 6 * ty + 1.9 * tx:.1f} Z" fill="currentColor"/>'
    )


def _nut(x: float, y: float, number: int, kind: str) -> str:
    hexagon = " ".join(
        f"{x + NUT * cos(radians(60 * k + 30)):.1f},{y + NUT * sin(radians(60 * k + 30)):.1f}"
        for k in range(6)
    )
    dash = ' stroke-dasharray="5 4"' if kind == "todo" else ""
    fixed = 'vector-effect="non-scaling-stroke"'
    done = kind == "done"
    return (
        f'<g class="nut {kind}"><circle cx="{x:.1f}" cy="{y:.1f}" r="{WASHER}" fill="#fff" '
        f'class="paper" stroke="currentColor" stroke-width="{3.2 if kind == "next" else 1.2}" '
        f'{fixed}/><polygon points="{hexagon}" fill="{"currentColor" if done else "#fff"}" '
        f'class="{"ink" if done else "paper"}" stroke="currentColor" '
        f'stroke-width="{3 if kind == "next" else 2}" {fixed}{dash}/>'
        f'<text class="t num{" knocktext" if done else ""}" x="{x:.1f}" y="{y + 5.6:.1f}" '
        f'font-size="16" font-weight="650" text-anchor="middle" '
        f'fill="{"#fff" if done else "currentColor"}">{number}</text></g>'
    )
