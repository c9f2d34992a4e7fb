"""Small pictures of where on a part a finding sits: the part in ink, the finding in red pencil.

What is marked stands in `finding_marks.py`; here are the parts and the pencil.
Start with `finding_picture`.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from html import escape
from math import cos, hypot, radians, sin

from ringland.report.drawings.finding_marks import PLACES, Mark, Point
from ringland.report.drawings.signs import LINE

WIDTH, HEIGHT = 96, 116
CHAIN = ' stroke-dasharray="9 3 2 3"'
HIDDEN = ' stroke-dasharray="4 3"'


@dataclass(frozen=True, slots=True)
class Part:
    """A part as drawn, on a field of 96 by 96.

    outline : corners of its edge, inside which each mark lies; lines : path, width, dashes
    words : short words under it, by their place across
    """

    outline: tuple[Point, ...]
    lines: tuple[tuple[str, float, str], ...]
    words: tuple[tuple[int, str], ...] = ()


def _ring(x: float, y: float, r: float) -> str:
    return f"M{x - r},{y} a{r},{r} 0 1 1 {2 * r},0 a{r},{r} 0 1 1 {-2 * r},0 Z"


def _sector(x: float, y: float, r: float, start: int, end: int) -> tuple[Point, ...]:
    turns = [radians(a) for a in range(start, end + 1, 5)]
    return tuple((x + r * cos(a), y + r * sin(a)) for a in turns)


def _round(x: float, y: float, r: float) -> tuple[Point, ...]:
    return _sector(x, y, r, 0, 355)


def _needles() -> str:
    turns = [radians(a) for a in range(0, 360, 30) if a != 330]
    return " ".join(_ring(round(48 + 28 * cos(a), 1), round(48 + 28 * sin(a), 1), 5) for a in turns)


_SKIRT: tuple[Point, ...] = (
    (18, 18), (30, 13), (48, 11), (66, 13), (78, 18), (78, 72), (68, 74), (64, 84), (32, 84),
    (28, 74), (18, 72),
)  # fmt: skip
_SKIRT_LINES = (
    ("M18,23 H78 M18,28 H78", 1.6, ""),
    ("M10,48 H86", 1.0, CHAIN),
)
_EX_IN = ((12, "EX"), (84, "IN"))
_CROWN = _round(48, 48, 40)
_FLANGE: tuple[Point, ...] = (
    (8, 12),
    (12, 8),
    (84, 8),
    (88, 12),
    (88, 84),
    (84, 88),
    (12, 88),
    (8, 84),
)
_WALL: tuple[Point, ...] = ((12, 8), (84, 8), (84, 90), (12, 90))
_REED: tuple[Point, ...] = ((14, 12), (82, 12), (82, 88), (14, 88))

PICTURES: dict[str, Part] = {
    "piston from the exhaust side": Part(_SKIRT, _SKIRT_LINES, ((48, "EX side"),)),
    "piston from the intake side": Part(_SKIRT, _SKIRT_LINES, ((48, "IN side"),)),
    "piston along the pin": Part(
        _SKIRT,
        (*_SKIRT_LINES[:1], (_ring(48, 52, 16), 1.6, ""), (_ring(48, 52, 9), 1.0, "")),
        _EX_IN,
    ),
    "crown from above": Part(_CROWN, (("M48,4 V92", 1.0, CHAIN),), _EX_IN),
    "ring from above": Part(_CROWN, ((_ring(48, 48, 32), 1.6, ""), ("M48,8 V16", 1.6, ""))),
    "plug from its firing end": Part(
        _CROWN,
        (
            (_ring(48, 48, 30) + " " + _ring(48, 48, 17), 1.6, ""),
            ("M42,8 V53 H54 V8", 1.6, ""),  # the side electrode reaches over the middle one
            (_ring(48, 48, 3.5), 1.6, ""),
        ),
    ),
    "bore wall with the exhaust port": Part(
        _WALL,
        (("M32,44 H46 V64 H32 Z M50,44 H64 V64 H50 Z", 1.6, ""), ("M48,3 V93", 1.0, CHAIN)),
        ((48, "EX side"),),
    ),
    "base joint from above": Part(
        _FLANGE,
        (
            (_ring(48, 48, 26), 2.4, ""),
            (_ring(74, 22, 7) + " " + _ring(74, 22, 4), 1.6, ""),
            (_ring(22, 22, 4) + " " + _ring(74, 74, 4), 1.6, ""),
        ),
        _EX_IN,
    ),
    "rod from the side": Part(
        _sector(48, 20, 15, 115, 425) + _sector(48, 70, 22, -73, 253),
        ((_ring(48, 20, 7), 1.6, ""), (_ring(48, 70, 12), 1.6, "")),
    ),
    "needle bearing from the end": Part(
        _round(48, 48, 38), ((_ring(48, 48, 18), 1.6, ""), (_needles(), 1.6, ""))
    ),
    "reed petals": Part(_REED, (("M36,12 V76 M59,12 V76", 1.6, ""), ("M14,76 H82", 1.6, ""))),
}


def finding_picture(name: str, key: str) -> str | None:
    """Return where a finding sits on its part as SVG, or None where a picture would say nothing.

    name : the finding's name in the sheet; key : makes the ids unique on the page

    >>> finding_picture("hole in the crown", "a")[:19]
    '<svg class="finding'
    >>> finding_picture("weak fuel", "a") is None
    True
    """
    place = PLACES.get(name)
    if place is None:
        return None
    part, key = PICTURES[place.picture], escape(key)
    title = escape(f"{name}: {place.picture}, {place.where}")
    out = [
        f'<svg class="finding" width="{WIDTH}" height="{HEIGHT}" viewBox="0 0 {WIDTH} {HEIGHT}" '
        f'role="img" aria-labelledby="ft-{key}" xmlns="http://www.w3.org/2000/svg">'
        f'<title id="ft-{key}">{title}</title>',
        f'<path class="outline" d="{_path(part.outline)} Z" {LINE} stroke-width="2.4"/>',
    ]
    out += [f'<path d="{d}" {LINE} stroke-width="{wide}"{dash}/>' for d, wide, dash in part.lines]
    out += [
        f'<text x="{x}" y="112" font-size="16" text-anchor="middle" fill="currentColor">{word}</text>'
        for x, word in part.words
    ]
    pencil = "".join(text for mark in place.marks for text in _mark(mark, key))
    return "".join([*out, f'<g class="pencil">{_hatch(key)}{pencil}</g></svg>'])


def _hatch(key: str) -> str:
    """The pencil's hatch; it takes its colour where it stands, so it stands in the pencil's group."""
    return (
        f'<defs><pattern id="fh-{key}" width="5" height="5" patternUnits="userSpaceOnUse" '
        'patternTransform="rotate(45)"><path d="M2.5,0 V5" stroke="currentColor" '
        'stroke-width="1.2"/></pattern></defs>'
    )


def _path(points: tuple[Point, ...]) -> str:
    return "M" + " L".join(f"{x:.1f},{y:.1f}" for x, y in points)


def _mark(mark: Mark, key: str) -> Iterator[str]:
    if mark.kind == "dot":
        for x, y in mark.points:
            yield f'<circle cx="{x}" cy="{y}" r="2.2" fill="currentColor"/>'
        return
    d = _path(mark.points)
    if mark.kind == "area":
        yield (
            f'<path d="{d} Z" fill="url(#fh-{key})" stroke="currentColor" stroke-width="2" '
            'stroke-linejoin="round"/>'
        )
        return
    wide, dash = {"fine": (1.2, ""), "dash": (2.4, HIDDEN)}.get(mark.kind, (3.0, ""))
    yield f'<path d="{d}" {LINE} stroke-width="{wide}"{dash}/>'
    if mark.kind == "arrow":
        (x0, y0), (x, y) = mark.points[-2:]
        far = hypot(x - x0, y - y0)
        ux, uy = (x - x0) / far, (y - y0) / far
        head = ((x, y), (x - 11 * ux + 6 * uy, y - 11 * uy - 6 * ux),
                (x - 11 * ux - 6 * uy, y - 11 * uy + 6 * ux))  # fmt: skip
        yield f'<path d="{_path(head)} Z" fill="currentColor"/>'
