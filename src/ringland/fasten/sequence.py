"""The order in which a ring of fasteners is tightened, from where they stand.

Here: places by angle, numbering by position, the crosswise order, two rings, the check of a
maker's own order.
Not here: whose order counts (the maker's always does; the caller sees to it), stages (`stages`).
Start with `crosswise`.

Positions are seen from above: x towards the intake, y towards the side that lies a quarter turn
clockwise from the exhaust (left, with the exhaust towards the viewer), the bore axis at 0, 0. The
exhaust side is then -x, and an angle is counted clockwise from it. On which of the two sides the
ignition is makes no difference. Numbers start at the fastener nearest the exhaust side (of two as
near, the one that comes clockwise) and go round clockwise.

The rule, for one ring of n:
- odd n: always (n - 1)/2 places on: the nearest to opposite that is still free;
- even n: opposite pairs; each next pair is the one furthest round from all pairs pulled before,
  at a tie the first clockwise.
So no two neighbours follow each other from 5 up.
Of two rings the inner goes first; the outer begins opposite the last of the inner.
"""

from collections.abc import Hashable, Sequence
from itertools import pairwise
from math import atan2, cos, hypot, isfinite, pi, sin

Point = tuple[float, float]

EXHAUST = pi  # angle of the exhaust side [rad], x towards the intake
_SAME_ANGLE = 1e-3  # rad: two fasteners as near to the exhaust side as each other
_SAME_PLACE = 1e-4  # m: no two fasteners stand within a tenth of a millimetre
_RING_GAP = (
    1.25  # the outer ring's nearest is at least this much further out than the inner's furthest
)
OUTER_RADIUS = 1.7  # of the inner ring's: how far out a second ring is taken to stand


class SequenceError(ValueError):
    """Positions or an order that make no sequence."""


def even_ring(count: int) -> tuple[float, ...]:
    """Angles of fasteners that stand evenly round the bore, clockwise from the exhaust side [rad].

    An even count straddles the exhaust, as corner studs do; an odd one begins on it.

    Source: common practice; only where they really stand is known for sure.

    >>> from math import degrees
    >>> [round(degrees(each)) for each in even_ring(4)], [round(degrees(each)) for each in even_ring(5)]
    ([45, 135, 225, 315], [0, 72, 144, 216, 288])
    """
    first = 0.0 if count % 2 else pi / count
    return tuple(first + 2 * pi * place / count for place in range(count))


def on_rings(*rings: Sequence[float]) -> list[Point]:
    """Positions of fasteners given by their angles, the inner ring first; the inner's radius is 1.

    rings : for each ring the angles clockwise from the exhaust side, seen from above [rad]

    >>> [(round(x, 1), round(y, 1)) for x, y in on_rings([0, pi / 2], [pi])]
    [(-1.0, 0.0), (-0.0, 1.0), (1.7, 0.0)]
    """
    return [
        (-(OUTER_RADIUS**ring) * cos(angle), OUTER_RADIUS**ring * sin(angle))
        for ring, angles in enumerate(rings)
        for angle in angles
    ]


def angle_of(position: Point) -> float:
    """Angle of a place, clockwise from the exhaust side, from 0 to below one turn [rad].

    >>> round(angle_of((0.0, 0.05)) / pi, 3)
    0.5
    """
    x, y = position
    return (EXHAUST - atan2(y, x)) % (2 * pi)


def clockwise(positions: Sequence[Point], *, exhaust: float = EXHAUST) -> tuple[int, ...]:
    """Indices of the fasteners in the order of their numbers: clockwise from the exhaust side.

    positions : x, y of each seen from above, the bore axis at 0, 0 [m]; at least one
    exhaust : direction of the exhaust side, counted from x towards y [rad]
    returns : index of number 1, of number 2, …
    Raises SequenceError for none, for two in one place, for one on the bore axis.

    >>> clockwise([(-0.05, 0.05), (0.05, 0.05), (0.05, -0.05), (-0.05, -0.05)])
    (0, 1, 2, 3)
    """
    _check(positions)
    turn = [(exhaust - atan2(y, x)) % (2 * pi) for x, y in positions]
    off = [min(each, 2 * pi - each) for each in turn]
    nearest = [i for i, each in enumerate(off) if each <= min(off) + _SAME_ANGLE]
    first = min(nearest, key=lambda i: turn[i])
    from_first = [(each - turn[first]) % (2 * pi) for each in turn]
    from_first[first] = 0.0
    return tuple(sorted(range(len(positions)), key=lambda i: from_first[i]))


def ring_order(count: int) -> tuple[int, ...]:
    """The crosswise order of one ring of fasteners numbered 1 to count, clockwise.

    count : 1 or more
    Raises SequenceError.

    Source: common practice (patterns for 4 to 8); the rule above carries them to any count.

    >>> for n in (4, 5, 6, 7, 8):
    ...     print(*ring_order(n), sep="-")
    1-3-2-4
    1-3-5-2-4
    1-4-2-5-3-6
    1-4-7-3-6-2-5
    1-5-3-7-2-6-4-8
    """
    if count < 1:
        raise SequenceError(f"a joint has at least one fastener, not {count}")
    if count % 2:
        return tuple(1 + place * ((count - 1) // 2) % count for place in range(count))
    half = count // 2
    order, pulled, free = [1, 1 + half], [0], list(range(1, half))
    while free:
        apart = {axis: min(_steps(axis, each, half) for each in pulled) for axis in free}
        widest = max(apart.values())
        start = next(axis for axis in free if apart[axis] == widest)
        pulled.append(start)
        free.remove(start)
        order += [start + 1, start + half + 1]
    return tuple(order)


def _steps(one: int, other: int, count: int) -> int:
    return min((one - other) % count, (other - one) % count)


def crosswise(
    positions: Sequence[Point],
    *,
    exhaust: float = EXHAUST,
    known_rings: Sequence[Sequence[int]] = (),
) -> tuple[int, ...]:
    """The order in which to tighten, as indices into `positions`.

    positions : x, y of each fastener seen from above, the bore axis at 0, 0 [m]; any layout
    exhaust : direction of the exhaust side, counted from x towards y [rad]
    known_rings : indices of each ring, the inner first, where they are known; else `rings` tells
    Raises SequenceError.

    Source: common practice, by the rule at the head of this module.

    >>> crosswise([(-0.05, 0.05), (0.05, 0.05), (0.05, -0.05), (-0.05, -0.05)])
    (0, 2, 1, 3)
    """
    order: list[int] = []
    for ring in known_rings or rings(positions):
        places = [positions[i] for i in ring]
        towards = exhaust
        if order:
            x, y = positions[order[-1]]
            towards = atan2(-y, -x)
        numbered = clockwise(places, exhaust=towards)
        order += [ring[numbered[number - 1]] for number in ring_order(len(ring))]
    return tuple(order)


def rings(positions: Sequence[Point]) -> tuple[tuple[int, ...], ...]:
    """Indices of the fasteners of each ring, the inner first; one ring unless two are plain.

    positions : x, y of each [m]
    Two rings are plain where the outer starts at least a quarter further out than the inner ends
    and each goes round the bore: no gap of half a turn in it.
    Raises SequenceError.

    >>> corners = [(-3, 3), (3, 3), (3, -3), (-3, -3)]
    >>> rings(corners + [(-9, 0), (0, 9), (9, 0), (0, -9)])
    ((0, 1, 2, 3), (4, 5, 6, 7))
    >>> rings(corners + [(0, 1), (0, -1)])  # two in the middle are no ring
    ((0, 1, 2, 3, 4, 5),)
    """
    _check(positions)
    out = sorted(range(len(positions)), key=lambda i: (hypot(*positions[i]), i))
    for split in range(3, len(out) - 2):
        inner, outer = out[:split], out[split:]
        apart = hypot(*positions[outer[0]]) >= _RING_GAP * hypot(*positions[inner[-1]])
        if apart and all(_goes_round([positions[i] for i in ring]) for ring in (inner, outer)):
            return tuple(sorted(inner)), tuple(sorted(outer))
    return (tuple(range(len(positions))),)


def _goes_round(places: Sequence[Point]) -> bool:
    angles = sorted(atan2(y, x) for x, y in places)
    gaps = [b - a for a, b in pairwise([*angles, angles[0] + 2 * pi])]
    return max(gaps) < pi - _SAME_ANGLE


def loosening(order: Sequence[int]) -> tuple[int, ...]:
    """The order in which to loosen: the tightening order backwards, a little at a time, cold.

    Source: common practice.

    >>> loosening((1, 3, 2, 4))
    (4, 2, 3, 1)
    """
    return tuple(reversed(order))


def check_order(order: Sequence[Hashable], fasteners: Sequence[Hashable]) -> None:
    """Raise SequenceError unless a maker's own order names each fastener once.

    order : as the maker's manual gives it
    fasteners : the names of all that are there

    >>> check_order([1, 3, 2, 4], [1, 2, 3, 4])
    """
    missing = [each for each in fasteners if each not in order]
    unknown = [each for each in order if each not in fasteners]
    twice = sorted({str(each) for each in order if list(order).count(each) > 1})
    wrong = [
        f"{word} {', '.join(map(str, names))}"
        for word, names in (("leaves out", missing), ("has twice", twice), ("has too", unknown))
        if names
    ]
    if wrong:
        raise SequenceError(
            f"the order {'-'.join(map(str, order))} {' and '.join(wrong)}: it names each of "
            f"{len(fasteners)} fasteners once"
        )


def _check(positions: Sequence[Point]) -> None:
    if not positions:
        raise SequenceError("no fastener is placed: a joint has at least one")
    for i, (x, y) in enumerate(positions):
        if not (isfinite(x) and isfinite(y)):
            raise SequenceError(f"fastener {i + 1} stands at {x}, {y}: both are plain numbers")
        if hypot(x, y) < _SAME_PLACE and len(positions) > 1:
            raise SequenceError(
                f"fastener {i + 1} stands on the bore axis: give places from the middle of the bore"
            )
        for j, (a, b) in enumerate(positions[:i]):
            if hypot(x - a, y - b) < _SAME_PLACE:
                raise SequenceError(f"fasteners {j + 1} and {i + 1} stand in one place")
