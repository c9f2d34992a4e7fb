"""A group of fasteners as a manual prints it: "4 × M8, 21 lbf·ft, crosswise, oiled @ p 4-40"."""

import re

from ringland.quantity import QuantityError, parse_span
from ringland.sheet.figure import clauses_of, split_page
from ringland.sheet.text import did_you_mean

CONDITIONS = ("dry", "oiled", "greased", "thread locker", "as its sheet says")
ORDERS = ("crosswise", "in turn", "any order")
_COUNT = re.compile(
    r"(\d+)\s*[×x*]\s*(M\d+(?:[.,]\d+)?(?:\s*[x×]\s*\d+(?:[.,]\d+)?)?)$", re.IGNORECASE
)
_ORDER_LIST = re.compile(r"order\s+(\d+(?:[\s-]+\d+)+)$", re.IGNORECASE)


def parse_fastener(text: str) -> dict[str, str]:
    """Take apart a fastener's line into the fields of its long form. Raises QuantityError.

    >>> parse_fastener("4 × M8, 21 lbf·ft, crosswise @ p 4-40")
    {'count': '4', 'thread': 'M8', 'torque': '21 lbf·ft @ p 4-40', 'order': 'crosswise'}
    """
    said, page = split_page(text)
    fields: dict[str, str] = {}
    for at, clause in clauses_of(said):
        found = _field(clause, at)
        if twice := next((name for name in found if name in fields), None):
            raise QuantityError(f"{clause!r} is a second {twice}: keep one", at)
        fields |= found
    if not fields:
        raise QuantityError(
            "no figure here: write count, thread and torque, as in 4 × M8, 21 lbf·ft"
        )
    if page and "torque" in fields:
        fields["torque"] += f" @ {page}"
    return fields


def _field(clause: str, at: int) -> dict[str, str]:
    if found := _COUNT.match(clause):
        return {"count": found[1], "thread": found[2]}
    if clause.lower() in CONDITIONS:
        return {"condition": clause.lower()}
    if clause.lower() in ORDERS:
        return {"order": clause.lower()}
    if found := _ORDER_LIST.match(clause):
        return {"order": found[1]}
    try:
        parse_span(clause, "torque")
    except QuantityError as error:
        if re.match(r"(?i)[.,\d<>≤≥]|max|min", clause):
            raise QuantityError(str(error), at + error.at) from None
        words = (*ORDERS, *CONDITIONS)
        raise QuantityError(
            f"{clause!r} is neither a count and thread (4 × M8), nor a torque (21 lbf·ft), nor one of "
            f"{', '.join(words)}.{did_you_mean(clause, words)}",
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
