"""A number as a person typed it, its unit, what it is worth, and how it is printed.

Here: the closed table of units (`units`), reading text into quantities and spans (`parse`), the
estimate that numeric rooms return (`estimate`), rounding for print (`rounding`), what a number of an
impossible size may have meant (`meant`).
Not here: limits and figures of a sheet (`ringland.sheet`), verdicts (`ringland.job`).
Start with `parse.parse_quantity`.
"""

from ringland.quantity.estimate import Estimate
from ringland.quantity.parse import (
    AmbiguousNumber,
    MissingUnit,
    QuantityError,
    Span,
    parse_number,
    parse_quantity,
    parse_span,
)
from ringland.quantity.rounding import (
    decimals_beside,
    decimals_for,
    show,
    show_chance,
    show_number,
    show_pair,
)
from ringland.quantity.units import Quantity, Unit, UnitError, find_unit, units_of

__all__ = [
    "AmbiguousNumber",
    "Estimate",
    "MissingUnit",
    "Quantity",
    "QuantityError",
    "Span",
    "Unit",
    "UnitError",
    "decimals_beside",
    "decimals_for",
    "find_unit",
    "parse_number",
    "parse_quantity",
    "parse_span",
    "show",
    "show_chance",
    "show_number",
    "show_pair",
    "units_of",
]
