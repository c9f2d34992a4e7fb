"""Round for print: two figures of the uncertainty, and the value to the same place."""

from decimal import ROUND_HALF_EVEN, Decimal
from math import floor, isfinite, log10

from ringland.quantity.units import Quantity, Unit, find_unit

MINUS = "−"

# The other unit a person may have on the gauge, printed beside his own.
OTHER_UNIT = {
    "N·m": "lbf·ft",
    "lbf·ft": "N·m",
    "lbf·in": "N·m",
    "kgf·m": "N·m",
    "mm": "in",
    "in": "mm",
    "thou": "mm",
    "bar": "psi",
    "psi": "bar",
    "kPa": "psi",
    "kgf/cm²": "bar",
}


def decimals_for(u: float, figures: int = 1) -> int:
    """Return the decimals that keep `figures` significant figures of u (0 keeps none).

    >>> decimals_for(0.0052), decimals_for(0.3), decimals_for(12.0)
    (3, 1, 0)
    """
    if not isfinite(u) or u <= 0:
        return 3
    return max(0, figures - 1 - floor(log10(u)))


def decimals_beside(margin: float, decimals: int) -> int:
    """Return the decimals for a value and its ±: more than asked where that would show no ±.

    A doubt that is there is never shown as none.

    >>> decimals_beside(0.03, 2), decimals_beside(0.0004, 2), decimals_beside(0.0, 2)
    (2, 4, 2)
    """
    is_lost = margin and not float(show_number(margin, decimals))
    return decimals_for(margin) if is_lost else decimals


def show_number(value: float, decimals: int) -> str:
    """Return the number with so many decimals, half to even, with a true minus.

    >>> show_number(-0.0005, 3), show_number(53.2365, 3)
    ('0.000', '53.236')
    """
    rounded = Decimal(repr(value)).quantize(Decimal(1).scaleb(-decimals), ROUND_HALF_EVEN)
    if rounded == 0:
        rounded = abs(rounded)
    return str(rounded).replace("-", MINUS)


def show(value: float, unit: Unit, decimals: int) -> str:
    """Return an SI value in the unit named, rounded, with the unit.

    >>> from ringland.quantity.units import find_unit
    >>> show(0.00035, find_unit("mm"), 2)
    '0.35 mm'
    """
    return f"{show_number(unit.from_si(value), decimals)} {unit.name}".rstrip()


def show_chance(probability: float) -> str:
    """Return a probability as a whole per cent, never as a certainty.

    >>> show_chance(0.876), show_chance(0.9991), show_chance(0.0)
    ('88 %', 'over 99 %', 'under 1 %')
    """
    share = 100 * probability
    said = "over 99" if share > 99 else "under 1" if share < 1 else show_number(share, 0)
    return f"{said} %"


def show_pair(quantity: Quantity) -> str:
    """Return a quantity as typed with the other system's value in brackets.

    >>> from ringland.quantity.parse import parse_quantity
    >>> show_pair(parse_quantity("21 ft-lb"))
    '21 lbf·ft (28.5 N·m)'
    """
    other = OTHER_UNIT.get(quantity.unit.name)
    if other is None:
        return str(quantity)
    unit = find_unit(other, quantity.unit.kind)
    decimals = {"N·m": 1, "lbf·ft": 1, "in": 4, "mm": 3, "psi": 0, "bar": 2}[other]
    return f"{quantity} ({show(quantity.si, unit, decimals)})"
