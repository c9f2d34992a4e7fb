"""A group of fasteners as a manual prints it: "4 × M8, 21 lbf·ft, crosswise, oiled @ p 4-40".

Where they stand may follow: "at 10 80 150 215 290" is the angle of each in degrees, clockwise from
the exhaust as seen from above; those of a second ring come behind the word "outer".
"""

import re
from collections.abc import Mapping

from ringland.quantity import QuantityError, parse_span
from ringland.sheet.figure import clauses_of, split_page
from ringland.sheet.text import did_you_mean

CONDITIONS = ("dry", "oiled", "greased", "thread locker", "as its sheet says")
ORDERS = ("crosswise", "in turn", "any order")
_COUNT = re.compile(
    r"(\d+)\s*[×x*]\s*(M\d+(?:[.,]\d+)?(?:\s*[x×]\s*\d+(?:[.,]\d+)?)?)$", re.IGNORECASE
)
_ORDER_LIST = re.compile(r"order\s+(\d+(?:[\s-]+\d+)+)$", re.IGNORECASE)
_PLACES = re.compile(r"at\s+(?=\S)", re.IGNORECASE)
_ANGLE = re.compile(r"\d+(?:[.,]\d+)?°?$")
OUTER = "outer"
PLACES_PATTERN = (  # for the published schema; what it cannot say, `parse_places` does
    r"^ *\d+([.,]\d+)?°?( +\d+([.,]\d+)?°?)*( +outer( +\d+([.,]\d+)?°?)+)? *$"
)
NEAREST = 1.0  # deg: closer than this two fasteners of one ring cannot stand; it is a slip


def parse_fastener(text: str) -> dict[str, str]:
    """Take apart a fastener's line into the fields of its long form. Raises QuantityError.

    >>> parse_fastener("4 × M8, 21 lbf·ft, crosswise @ p 4-40")
    {'count': '4', 'thread': 'M8', 'torque': '21 lbf·ft @ p 4-40', 'order': 'crosswise'}
    """
    return {name: said for name, (said, _) in parse_with_columns(text).items()}


def parse_with_columns(text: str) -> dict[str, tuple[str, int]]:
    """Take apart a fastener's line, each field with the character it begins at. Raises QuantityError."""
    said, page = split_page(text)
    fields: dict[str, tuple[str, int]] = {}
    for at, clause in clauses_of(said):
        if "at" in fields and _ANGLE.match(clause):
            raise QuantityError(
                f"{clause!r}: angles stand with spaces between, as in at 45 135 225 315", at
            )
        found = _field(clause, at)
        if twice := next((name for name in found if name in fields), None):
            raise QuantityError(f"{clause!r} is a second {twice}: keep one", at)
        fields |= {name: (value, at + max(clause.find(value), 0)) for name, value in found.items()}
    if not fields:
        raise QuantityError(
            "no figure here: write count, thread and torque, as in 4 × M8, 21 lbf·ft"
        )
    if page and "torque" in fields:
        torque, at = fields["torque"]
        fields["torque"] = f"{torque} @ {page}", at
    return fields


def fastener_line(fields: Mapping[str, str], torque: str) -> str:
    """Return a group's line in the sheet from the fields of its long form, without its page.

    >>> fastener_line({"count": "4", "thread": "M8", "order": "1 3 2 4"}, "21 lbf·ft")
    '4 × M8, 21 lbf·ft, order 1 3 2 4'
    """
    said = fields.get
    count = f"{said('count')} × {said('thread')}" if said("count") and said("thread") else ""
    order = said("order", "")
    order = f"order {order}" if order[:1].isdigit() else order
    places = f"at {said('at')}" if said("at") else ""
    return ", ".join(filter(None, [count, torque, order, said("condition", ""), places]))


def _field(clause: str, at: int) -> dict[str, str]:
    if found := _COUNT.match(clause):
        return {"count": found[1], "thread": found[2]}
    if clause.lower() in CONDITIONS:
        return {"condition": clause.lower()}
    if clause.lower() in ORDERS:
        return {"order": clause.lower()}
    if found := _ORDER_LIST.match(clause):
        return {"order": found[1]}
    if found := _PLACES.match(clause):
        return {"at": clause[found.end() :]}
    try:
        parse_span(clause, "torque")
    except QuantityError as error:
        if re.match(r"(?i)[.,\d<>≤≥]|max|min", clause):
            raise QuantityError(str(error), at + error.at) from None
        words = (*ORDERS, *CONDITIONS)
        raise QuantityError(
            f"{clause!r} is neither a count and thread (4 × M8), nor a torque (21 lbf·ft), nor places "
            f"(at 45 135 225 315), nor one of {', '.join(words)}.{did_you_mean(clause, words)}",
            at,
        ) from None
    return {"torque": clause}


def trouble_with_order(order: str, count: int) -> str:
    """Return what is wrong with a tightening order, or nothing.

    >>> trouble_with_order("1 3 2 4", 4), trouble_with_order("1 3 3 4", 4)
    ('', "'1 3 3 4' does not name each of 1 to 4 once")
    """
    if not order[:1].isdigit():
        known = did_you_mean(order, ORDERS)
        return "" if order in ORDERS else f"{order!r} is not one of {', '.join(ORDERS)}.{known}"
    numbers = [int(number) for number in order.replace("-", " ").split() if number.isdigit()]
    if sorted(numbers) != list(range(1, count + 1)):
        return f"{order!r} does not name each of 1 to {count} once"
    return ""


def parse_places(text: str) -> tuple[tuple[float, ...], ...]:
    """Return the angles of each ring [deg], clockwise from the exhaust, as listed. Raises QuantityError.

    >>> parse_places("45 135 225 315"), parse_places("0 120 240 outer 60 180 300")
    (((45.0, 135.0, 225.0, 315.0),), ((0.0, 120.0, 240.0), (60.0, 180.0, 300.0)))
    """
    rings: list[list[float]] = [[]]
    for found in re.finditer(r"\S+", text):
        word, at = found[0], found.start()
        if word.casefold() == OUTER:
            if len(rings) == 2 or not rings[0]:
                raise QuantityError("'outer' stands once, between two rings of angles", at)
            rings.append([])
            continue
        rings[-1].append(_angle(word, at, rings[-1]))
    if not rings[-1]:
        raise QuantityError("an angle is missing: one for each fastener, as in at 45 135 225 315")
    return tuple(tuple(ring) for ring in rings)


def _angle(word: str, at: int, ring: list[float]) -> float:
    if not _ANGLE.match(word):
        raise QuantityError(
            f"{word!r} is no angle: degrees clockwise from the exhaust, seen from above, with "
            "spaces between, as in at 45 135 225 315; 'outer' before those of a second ring",
            at,
        )
    angle = float(word.rstrip("°").replace(",", "."))
    if angle > 360:
        raise QuantityError(f"{word} is more than one turn: an angle is 0 to 360 degrees", at)
    for other in ring:
        apart = abs(angle - other)
        if min(apart, 360 - apart) < NEAREST:
            raise QuantityError(f"{word}: another one stands there already, at {other:g}", at)
    return angle


def trouble_with_places(text: str, count: int) -> tuple[str, int]:
    """Return what is wrong with the places of a group, and at which character; nothing when sound.

    >>> trouble_with_places("45 135 225", 4)
    ('3 places for 4 fasteners: give the angle of each, or none', 0)
    """
    try:
        given = sum(map(len, parse_places(text)))
    except QuantityError as error:
        return str(error), error.at
    if given != count:
        places = "1 place" if given == 1 else f"{given} places"
        return f"{places} for {count} fasteners: give the angle of each, or none", 0
    return "", 0
