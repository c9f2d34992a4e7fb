"""What may have been meant by a number of an impossible size: its digits, read in another way.

Here: the readings of the digits, in their order of likelihood. Not here: what is possible, which the
caller says; a slip of one digit (`ringland.job.slips.digits`).
"""

from collections.abc import Callable, Iterable
from decimal import Decimal

from ringland.quantity.units import Quantity, Unit

POWERS = (-1, 1, -2, 2, -3)  # by which a decimal mark slips, the likeliest first


def meant(
    typed: Quantity, units: Iterable[Unit], fits: Callable[[Quantity], bool]
) -> list[Quantity]:
    """Return what fits: the same digits in another unit, then with the decimal mark moved.

    units : that the number may have been read in

    >>> from ringland.quantity import find_unit, parse_quantity
    >>> typed, units = parse_quantity("2.126 mm"), (find_unit("in"), find_unit("thou"))
    >>> [str(each) for each in meant(typed, units, lambda q: 0.02 <= q.si <= 0.15)]
    ['2.126 in', '21.26 mm']
    """
    others = [Quantity(typed.number, unit) for unit in units if unit != typed.unit]
    moved = [Quantity(_plain(typed.number.scaleb(power)), typed.unit) for power in POWERS]
    return [each for each in (*others, *moved) if fits(each)]


def _plain(number: Decimal) -> Decimal:
    return Decimal(f"{number.normalize():f}")
