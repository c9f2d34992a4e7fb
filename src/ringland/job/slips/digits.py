"""Slips of the fingers: what a number may have been meant to be, one slip away from what was typed.

Start with `one_slip_away`.
"""

from collections.abc import Callable, Iterator

from ringland.quantity import Quantity, QuantityError, parse_quantity

OFFERED = 2  # at most; more is no help


def one_slip_away(quantity: Quantity, fits: Callable[[float], bool]) -> tuple[str, ...]:
    """Return what was likely meant, as text to type: two digits swapped, one doubled, one wrong.

    fits : says whether an SI value would be plausible

    >>> one_slip_away(parse_quantity("35.138 mm"), lambda size: 0.052 < size < 0.054)
    ('53.138 mm',)
    """
    found: dict[str, None] = {}
    for kind in (_swapped, _doubled, _wrong):
        for text in kind(str(quantity.number)):
            typed = f"{text} {quantity.unit.name}"
            try:
                meant = parse_quantity(typed, comma="decimal")
            except QuantityError:
                continue
            if fits(meant.si):
                found[typed] = None
        if found:  # a swap explains it before a wrong digit does
            break
    return tuple(found)[:OFFERED]


def _swapped(text: str) -> Iterator[str]:
    for at in range(len(text) - 1):
        pair = text[at : at + 2]
        if pair.isdigit() and pair[0] != pair[1]:
            yield text[:at] + pair[::-1] + text[at + 2 :]


def _doubled(text: str) -> Iterator[str]:
    for at in range(len(text) - 1):
        if text[at].isdigit() and text[at] == text[at + 1]:
            yield text[:at] + text[at + 1 :]


def _wrong(text: str) -> Iterator[str]:
    for at, digit in enumerate(text):
        if digit.isdigit():
            for other in "0123456789":
                if other != digit:
                    yield text[:at] + other + text[at + 1 :]
