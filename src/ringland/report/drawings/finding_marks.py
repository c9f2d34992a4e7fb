"""Where a finding sits on its part: one table, finding name -> picture, marks and words.

Common practice of the trade tells where each damage sits. A finding with no place (a sound, a
smell, a word of the rider) has no picture. `findings.py` draws what stands here.
Exhaust left, intake right, as in all drawings here; a skirt is seen from the side that is named.
"""

from dataclasses import dataclass
from math import cos, radians, sin

Point = tuple[float, float]


@dataclass(frozen=True, slots=True)
class Mark:
    """One mark of the red pencil, on a field of 96 by 96.

    kind : line, fine, dash, area (closed and hatched), dot (each point), arrow (last point is the tip)
    """

    kind: str
    points: tuple[Point, ...]


@dataclass(frozen=True, slots=True)
class Place:
    """A finding's picture.

    picture : a name of `findings.PICTURES`; where : what is shown, in words
    """

    picture: str
    where: str
    marks: tuple[Mark, ...]


def _arc(x: float, y: float, r: float, start: float, end: float) -> tuple[Point, ...]:
    """Points along an arc, angles in degrees clockwise from the right."""
    count = max(4, round(abs(end - start) / 12))
    turns = [radians(start + (end - start) * k / count) for k in range(count + 1)]
    return tuple((round(x + r * cos(a), 1), round(y + r * sin(a), 1)) for a in turns)


def _oval(x: float, y: float, rx: float, ry: float) -> tuple[Point, ...]:
    return tuple(
        (round(x + rx * cos(radians(a)), 1), round(y + ry * sin(radians(a)), 1))
        for a in range(0, 360, 20)
    )


def _fan(r: float, inner: float, start: float, end: float) -> Mark:
    """A sector of the crown's edge between two radii."""
    return Mark("area", _arc(48, 48, r, start, end) + _arc(48, 48, inner, end, start))


def _collar(x: float, y: float, r: float, inner: float) -> Mark:
    """All round an eye, its hole left free: the inner edge runs the other way."""
    return Mark("area", _arc(x, y, r, 0, 360) + _arc(x, y, inner, 360, 0))


def _uprights(kind: str, top: float, foot: float, *xs: float) -> tuple[Mark, ...]:
    return tuple(Mark(kind, ((x, top), (x, foot))) for x in xs)


def _dots(*points: Point) -> Mark:
    return Mark("dot", points)


def _box(left: float, top: float, right: float, foot: float) -> Mark:
    return Mark("area", ((left, top), (right, top), (right, foot), (left, foot)))


_SPREAD = ((30, 30), (58, 24), (42, 46), (66, 44), (24, 54), (52, 66), (70, 62), (38, 74), (48, 34))
_RIM = tuple(
    point for k in range(24) for point in _arc(48, 48, 36 - 3 * (k % 2), 15 * k, 15 * k)[:1]
)

PLACES: dict[str, Place] = {
    # skirt, from the side named
    "four-corner seizure": Place(
        "piston from the exhaust side",
        "two upright streaks at 45° to the pin, and the same two on the intake side",
        _uprights("line", 34, 70, 27, 30, 66, 69),
    ),
    "light streaks all round": Place(
        "piston from the exhaust side",
        "fine upright streaks all round the skirt",
        _uprights("fine", 34, 70, 23, 31, 39, 48, 57, 65, 73),
    ),
    "exhaust-side seizure": Place(
        "piston from the exhaust side",
        "a wide smear on the exhaust side, over the ring",
        (_box(36, 20, 60, 78),),
    ),
    "single exhaust streak": Place(
        "piston from the exhaust side",
        "one streak in the middle of the exhaust side",
        _uprights("line", 34, 78, 48),
    ),
    "intake-side streaks": Place(
        "piston from the intake side",
        "streaks and scuffing on the intake side",
        _uprights("line", 40, 78, 38, 44, 52, 58),
    ),
    "dry all round": Place(
        "piston from the exhaust side",
        "the whole skirt seized, this side as the other",
        (_box(21, 34, 75, 70),),
    ),
    "grey intake skirt": Place(
        "piston from the intake side",
        "intake skirt grey with fine upright lines",
        (_box(32, 44, 64, 80), *_uprights("fine", 38, 80, 38, 48, 58)),
    ),
    "skirt cracked": Place(
        "piston from the intake side",
        "a crack up from the skirt's foot",
        (Mark("line", ((46, 80), (50, 72), (45, 66), (51, 58), (48, 50))),),
    ),
    "diagonal shine": Place(
        "piston from the exhaust side",
        "shine in opposite corners, top and foot",
        (
            Mark("area", ((22, 34), (40, 34), (22, 52))),
            Mark("area", ((74, 70), (74, 56), (58, 70))),
        ),
    ),
    "blow-by stain": Place(
        "piston from the exhaust side",
        "a stain down the skirt from the ring",
        (Mark("area", ((32, 29), (64, 29), (58, 52), (50, 48), (44, 56), (38, 48))),),
    ),
    "ring land hammered": Place(
        "piston from the exhaust side",
        "the ring's groove beaten wide, the land broken",
        (Mark("area", ((38, 18), (58, 17), (62, 31), (50, 33), (36, 31))),),
    ),
    "ring pin moved": Place(
        "piston from the intake side",
        "the pin in the ring's groove",
        (Mark("area", _oval(48, 25.5, 5, 5)),),
    ),
    # crown, from above
    "pitted edge": Place("crown from above", "pits round the crown's edge", (_dots(*_RIM),)),
    "hole in the crown": Place(
        "crown from above",
        "a hole in the middle",
        (Mark("area", ((40, 42), (50, 37), (59, 45), (56, 56), (46, 59), (38, 52))),),
    ),
    "melted exhaust edge": Place(
        "crown from above",
        "the edge gone on the exhaust side",
        (Mark("area", (*_arc(48, 48, 38, 145, 215), (20, 36), (25, 44), (21, 50), (24, 58))),),
    ),
    "coolant clean patch": Place(
        "crown from above",
        "a clean patch at the edge; it may lie anywhere on the edge",
        (_fan(37, 20, -75, -25),),
    ),
    "chipped land by a clean patch": Place(
        "crown from above",
        "the edge chipped beside a clean patch",
        (
            _fan(37, 20, -75, -35),
            Mark("line", ((75, 26), (71, 31), (77, 33), (74, 39), (83, 40))),
        ),
    ),
    "peppered dome": Place("crown from above", "dents all over the crown", (_dots(*_SPREAD),)),
    "dent at the exhaust edge": Place(
        "crown from above",
        "a mark at the exhaust edge only",
        (Mark("line", _arc(48, 48, 34, 160, 200)),),
    ),
    "uneven wash": Place(
        "crown from above",
        "a large clean fan on one side, a small one on the other",
        (_fan(37, 14, -120, -50), _fan(37, 29, 70, 110)),
    ),
    "piston arrow wrong way": Place(
        "crown from above",
        "the arrow points to the intake",
        (Mark("arrow", ((26, 48), (72, 48))),),
    ),
    # ring and clip
    "ring stuck": Place(
        "ring from above",
        "carbon holds part of the ring in its groove",
        (Mark("area", _arc(48, 48, 39, 20, 120) + _arc(48, 48, 30, 120, 20)),),
    ),
    "ring broken": Place(
        "ring from above",
        "snapped, a piece missing",
        (
            Mark("line", ((10, 60), (17, 57), (14, 63), (20, 61))),
            Mark("line", ((39, 85), (40, 80), (43, 85), (45, 79))),
            Mark("dash", _arc(48, 48, 36, 105, 158)),
        ),
    ),
    "ring ends butted": Place(
        "ring from above",
        "the two ends have met",
        (Mark("line", ((43, 16), (47, 12), (43, 9))), Mark("line", ((53, 16), (49, 12), (53, 9)))),
    ),
    "clip gone": Place(
        "piston along the pin",
        "the clip's groove is empty",
        (Mark("dash", _arc(48, 52, 13, 0, 360)),),
    ),
    "clip not seated": Place(
        "piston along the pin",
        "the clip stands out of its groove on one side",
        (Mark("line", _arc(51, 49, 14, -60, 230)),),
    ),
    "clip gap sideways": Place(
        "piston along the pin",
        "the clip's gap points to the intake; to the exhaust is as wrong",
        (Mark("line", _arc(48, 52, 12.5, 42, 318)),),
    ),
    # plug
    "metal specks": Place(
        "plug from its firing end",
        "silver specks on porcelain, electrode and rim",
        (_dots((36, 38), (58, 40), (40, 60), (62, 56), (26, 26), (70, 72), (20, 60)),),
    ),
    "plug peppered": Place(
        "plug from its firing end",
        "black dots on the porcelain",
        (_dots((38, 40), (58, 40), (36, 52), (60, 54), (42, 60), (54, 61)),),
    ),
    # bore, unrolled from the exhaust side
    "aluminium smear": Place(
        "bore wall with the exhaust port",
        "piston metal smeared on the wall beside and below the port",
        (_box(18, 26, 28, 84), _box(68, 26, 78, 84)),
    ),
    "deep score": Place(
        "bore wall with the exhaust port",
        "one deep line down the wall",
        _uprights("line", 14, 86, 24),
    ),
    "scratch seen, not felt": Place(
        "bore wall with the exhaust port",
        "fine lines down the wall",
        _uprights("fine", 18, 84, 20, 25, 72),
    ),
    "plating flaked": Place(
        "bore wall with the exhaust port",
        "a flake at the port's edge",
        (Mark("area", ((54, 40), (64, 36), (74, 44), (72, 52), (66, 50), (60, 42))),),
    ),
    "plating blistered": Place(
        "bore wall with the exhaust port",
        "a blister near the top",
        (Mark("area", _oval(60, 18, 9, 5)),),
    ),
    "barrel cracked": Place(
        "bore wall with the exhaust port",
        "a crack at the port's bridge; transfers and studs are looked at as well",
        (Mark("line", ((44, 50), (51, 53), (46, 57), (51, 61))),),
    ),
    "glazed": Place(
        "bore wall with the exhaust port",
        "a mirror over the ring's path",
        (_box(16, 20, 80, 38),),
    ),
    "rust in the bore": Place(
        "bore wall with the exhaust port",
        "pits anywhere on the wall",
        (_dots((22, 20), (36, 28), (60, 22), (74, 34), (22, 54), (34, 80), (58, 78), (72, 70)),),
    ),
    "liner loose": Place(
        "bore wall with the exhaust port",
        "a dark ring at the liner's top",
        (Mark("line", ((14, 11), (82, 11))),),
    ),
    # joints, rod, bearing, reeds
    "dowel missing": Place(
        "base joint from above",
        "a dowel hole without its dowel",
        (Mark("dash", _oval(22, 74, 8, 8)),),
    ),
    "rod blue": Place(
        "rod from the side",
        "blue at the small or the big end",
        (_collar(48, 20, 12, 8), _collar(48, 70, 19, 13)),
    ),
    "needle missing": Place(
        "needle bearing from the end",
        "a place of the cage without its needle",
        (Mark("dash", _oval(72.2, 34, 6, 6)),),
    ),
    "reed chipped": Place(
        "reed petals",
        "a petal's tip chipped",
        (Mark("line", ((54, 14), (58, 24), (64, 19), (68, 28), (74, 24))),),
    ),
}
