"""One number of a setting: kept once, worded for a person and told to a program from the same record.

Here: the record, how it is printed, and the second unit for a gauge of the other system. Not here:
whose number it is (`setting` and the subjects beside it).
"""

from collections.abc import Iterator
from dataclasses import dataclass
from decimal import ROUND_CEILING, ROUND_FLOOR, Decimal
from functools import lru_cache
from math import ceil, log10

from ringland.job.case import Case
from ringland.quantity import (
    Estimate,
    Quantity,
    QuantityError,
    Span,
    Unit,
    UnitError,
    decimals_beside,
    find_unit,
    parse_quantity,
    show_chance,
    show_number,
)

DECIMALS = {"mm": 3, "in": 4, "thou": 1}  # of a figure that a rule worked out
INCH_SYSTEM = ("in", "thou", "psi", "inHg", "°F")
GLUED = {"deg": "°", ":1": "", "": ""}  # printed without a space, or not at all
PLAIN = find_unit("")  # of a count, a probability
ROUND_OFF = 1e-9  # so that exactly a step needs no further decimal


@dataclass(frozen=True, slots=True)
class Number:
    """A number of a setting, or a range, with what it is held against.

    unit, decimals : it is printed in; all numbers but those of `limits` are in SI
    what : which number it is, where a setting has several
    value, u : with its standard uncertainty; None where none is worked out
    low, high : ends of a range: the sizes of a class, what a wrench may be off
    limits : the sheet's window or limit, as it is printed there
    probability : that the true value lies within the limits
    source : where it comes from, where that is not the source of its setting
    also : the unit of a gauge at hand, of the other system; None where there is none
    """

    unit: Unit
    decimals: int
    what: str
    value: float | None = None
    u: float | None = None
    low: float | None = None
    high: float | None = None
    limits: Span | None = None
    probability: float | None = None
    source: str = ""
    also: Unit | None = None

    @property
    def words(self) -> str:
        """The number as printed: "1.03 ± 0.03 mm", "0.053 to 0.068 mm"; a bare window as its limits."""
        if self.value is None and self.low is None and self.high is None:
            return self.allowed
        own = _worded(self, self.unit, self.decimals)
        if self.also is None:
            return own
        return f"{own} ({_worded(self, self.also, _as_fine(self.decimals, self.unit, self.also))})"

    @property
    def digits(self) -> str:
        """The number as printed where the unit is said once for several."""
        return _worded(self, self.unit, self.decimals).removesuffix(_suffix(self.unit))

    @property
    def allowed(self) -> str:
        """The limits as printed: "0.30-0.38 mm", "max 0.10 mm"."""
        return span_words(self.limits, self.also) if self.limits else ""

    @property
    def chance(self) -> str:
        """The probability, in words."""
        return show_chance(self.probability or 0.0)


def estimated(
    what: str, found: Estimate, unit: Unit, decimals: int, also: Unit | None = None
) -> Number:
    """Return a computed number with its doubt."""
    return Number(unit, decimals, what, found.value, found.u, also=also)


def as_typed(what: str, quantity: Quantity, also: Unit | None = None) -> Number:
    """Return a number of the sheet with the digits it has there."""
    return Number(quantity.unit, _printed(quantity), what, quantity.si, also=also)


def held_to(what: str, span: Span, also: Unit | None = None) -> Number:
    """Return what the sheet sets: a window or limit, or the one value it names."""
    end = span.high or span.low
    assert end is not None
    if span.low is not None and span.low == span.high:
        return as_typed(what, end, also)
    return Number(end.unit, _printed(end), what, limits=span, also=also)


def _worded(number: Number, unit: Unit, decimals: int) -> str:
    margin = unit.step_from_si(2 * (number.u or 0.0))  # about 95 %
    decimals = decimals_beside(margin, decimals)
    if number.value is not None:
        core = show_number(unit.from_si(number.value), decimals)
    else:  # of clearances, shares, forces: no offset applies
        ends = (unit.step_from_si(end) for end in (number.low, number.high) if end is not None)
        core = " to ".join(dict.fromkeys(show_number(end, decimals) for end in ends))
    doubt = "" if number.u is None else f" ± {show_number(margin, decimals)}"
    return f"{core}{doubt}{_suffix(unit)}"


def _suffix(unit: Unit) -> str:
    return GLUED.get(unit.name, f" {unit.name}")


# -- figures of the sheet ------------------------------------------------------------------------


def span_words(span: Span, also: Unit | None = None) -> str:
    """Return a span of the sheet as printed; of one worked out from a rule, three decimals.

    also : a second unit, in which the window is rounded inward, so that it allows nothing more
    """
    low, high = (None if end is None else _digits(end) for end in (span.low, span.high))
    end = span.high or span.low
    assert end is not None
    own = _joined(low, high, end.unit)
    if also is None:
        return own
    decimals = _as_fine(_printed(end), end.unit, also)
    single = low == high
    ends = (
        _inward(span.low, also, decimals, None if single else ROUND_CEILING),
        _inward(span.high, also, decimals, None if single else ROUND_FLOOR),
    )
    return f"{own} ({_joined(*ends, also)})"


def end_words(end: Quantity) -> str:
    """Return one end of a span as printed."""
    return f"{_digits(end)}{_suffix(end.unit)}"


def _joined(low: str | None, high: str | None, unit: Unit) -> str:
    if low and high:
        return f"{low}{_suffix(unit)}" if low == high else f"{low}-{high}{_suffix(unit)}"
    return f"max {high}{_suffix(unit)}" if high else f"min {low}{_suffix(unit)}"


def _digits(end: Quantity) -> str:
    return show_number(float(end.number), _printed(end))


def _printed(end: Quantity) -> int:
    typed = max(0, -int(end.number.as_tuple().exponent))  # a figure of a sheet is finite
    return min(typed, DECIMALS.get(end.unit.name, 3))


def _inward(end: Quantity | None, unit: Unit, decimals: int, way: str | None) -> str | None:
    if end is None:
        return None
    offset = end.unit.offset - unit.offset
    number = (end.number * end.unit.factor + offset) / unit.factor
    return f"{number.quantize(Decimal(1).scaleb(-decimals), way)}"


def _as_fine(decimals: int, unit: Unit, other: Unit) -> int:
    """Decimals in another unit whose last step is no coarser than the first unit's."""
    step = float(unit.factor / other.factor) * 10.0**-decimals
    return max(0, ceil(-log10(step) - ROUND_OFF))


# -- the unit of a gauge -------------------------------------------------------------------------


def other_unit(case: Case, unit: Unit) -> Unit | None:
    """Return the unit, of the other system, that a gauge at hand reads or a reading was taken in."""
    for each in _at_hand(case):
        if each.kind == unit.kind and (each.name in INCH_SYSTEM) != (unit.name in INCH_SYSTEM):
            return each
    return None


def _at_hand(case: Case) -> Iterator[Unit]:
    for verdict in case.verdicts.values():
        if verdict.value is not None and verdict.value.unit is not None:
            yield verdict.value.unit
    for gauge in case.state.gauges.values():
        texts = (gauge.resolution, gauge.low, gauge.high, *gauge.leaves[:1])
        yield from (found for text in texts if (found := _unit_of(text)) is not None)


@lru_cache(maxsize=512)
def _unit_of(text: str) -> Unit | None:
    try:
        return parse_quantity(text).unit
    except (QuantityError, UnitError):
        return None
