"""Read numbers with units as people write them: "0,35 mm", "7/16 in", "27 ± 2 N·m", "max 0.60 mm".

Decimal comma or point. No thousands mark: "1,000" may be one or a thousand, and is asked about.
"""

import re
from decimal import Decimal
from typing import NamedTuple

from ringland.quantity.units import Quantity, Unit, UnitError, find_unit, units_of


class QuantityError(ValueError):
    """Text that is no quantity. `at` is the place in the text, from 0."""

    def __init__(self, message: str, at: int = 0) -> None:
        super().__init__(message)
        self.at = at


class MissingUnit(QuantityError):
    """A bare number where a unit is needed. `number` is what was read."""

    def __init__(self, message: str, number: Decimal, at: int = 0) -> None:
        super().__init__(message, at)
        self.number = number


class AmbiguousNumber(QuantityError):
    """A number with two readings. `readings` holds both, the decimal one first."""

    def __init__(self, message: str, readings: tuple[str, str], at: int = 0) -> None:
        super().__init__(message, at)
        self.readings = readings


class Span(NamedTuple):
    """Where a value may lie: from `low` to `high`, either end open when None."""

    low: Quantity | None
    high: Quantity | None

    def __str__(self) -> str:
        if self.low is not None and self.high is not None:
            if self.low.number == self.high.number:
                return str(self.low)
            low = self.low.number if self.low.unit == self.high.unit else f"{self.low} "
            return f"{low}-{self.high}"
        if self.high is not None:
            return f"max {self.high}"
        return f"min {self.low}"


# Patterns stay text: `re` compiles each when it is first needed, which most commands never reach.
_NUMBER = r"[+−-]?(?:\d+\s+\d+/\d+|\d+/\d+|\d*[.,]\d+|\d+[.,]?)(?![\d])"
_QUANTITY = rf"\s*(?P<number>{_NUMBER})\s*(?P<unit>1/min|[^\d\s,;±][^,;±]*?)?\s*$"
_GROUPED = r"[+−-]?[1-9]\d{0,2},\d{3}$"
_SPACED = r"\s*[+−-]?\d{1,3}(?:[ \u00a0\u202f']\d{3})+(?!\S*/)"
_PARTS = r"\s*(\d+)\s*[:/]\s*(\d+)\s*"
_FRACTION = r"(?:(?P<whole>\d+)\s+)?(?P<top>\d+)/(?P<bottom>\d+)$"


def parse_number(text: str, *, comma: str = "ask") -> Decimal:
    """Read one number without unit.

    comma : "ask" refuses "1,000" as ambiguous; "decimal" takes the comma as a decimal mark
    Raises QuantityError, AmbiguousNumber.

    >>> parse_number("0,35"), parse_number(".014"), parse_number("1 1/2")
    (Decimal('0.35'), Decimal('0.014'), Decimal('1.5'))
    """
    plain = text.strip().replace("−", "-")
    if re.fullmatch(_GROUPED, plain) and comma == "ask":
        decimal, grouped = plain.replace(",", "."), plain.replace(",", "")
        raise AmbiguousNumber(
            f"{plain} can be {decimal} or {grouped}: write one of them", (decimal, grouped)
        )
    sign = -1 if plain.startswith("-") else 1
    body = plain[1:] if plain[:1] in ("+", "-") else plain
    if found := re.fullmatch(_FRACTION, body):
        whole, top, bottom = (Decimal(found[part] or 0) for part in ("whole", "top", "bottom"))
        if bottom == 0:
            raise QuantityError(f"{text!r} divides by zero")
        return sign * (whole + top / bottom)
    if not re.fullmatch(r"\d*[.,]?\d*", body) or not re.search(r"\d", body):
        raise QuantityError(f"{text!r} is not a number")
    return sign * Decimal(body.replace(",", "."))


def parse_quantity(
    text: str, kind: str | None = None, *, default: str | None = None, comma: str = "ask"
) -> Quantity:
    """Read one number with its unit.

    kind : what is asked for ("length", "torque", ...); None takes any
    default : name of the unit meant by a bare number; None refuses bare numbers
    Raises QuantityError with the place in the text; MissingUnit and AmbiguousNumber are such.

    >>> parse_quantity("14 thou", "length").si, parse_quantity("21 ft-lb", "torque").unit.name
    (0.0003556, 'lbf·ft')
    """
    if kind == "ratio" and (ratio := re.fullmatch(r"\s*([\d.,]+)\s*:\s*1\s*", text)):
        return Quantity(parse_number(ratio[1], comma=comma), find_unit(":1"), text.strip())
    if kind == "share" and (parts := re.fullmatch(_PARTS, text)):
        return _half(text, parts[1], parts[2])
    if re.match(_SPACED, text):
        raise QuantityError(f"{text.strip()!r}: leave out the space inside the number")
    found = re.match(_QUANTITY, text)
    if not found:
        asked = (
            f" Write a number and a unit, as in {_example(kind)}."
            if text.strip()
            else " Write a number and a unit."
        )
        raise QuantityError(
            f"{text.strip()!r} is not a quantity.{asked}"
            if text.strip()
            else f"Nothing typed.{asked}"
        )
    number = parse_number(found["number"], comma=comma)
    return Quantity(number, _unit_of(found, number, kind, default), text.strip())


def _half(text: str, one: str, other: str) -> Quantity:
    """The share of "50:50" or "1/1"; of unlike parts nobody knows which one is meant."""
    if one == other:
        return Quantity(Decimal(50), find_unit("%"), text.strip())
    raise QuantityError(
        f"{text.strip()!r} does not say which part is asked for: write its share in per cent"
    )


def _unit_of(found: re.Match[str], number: Decimal, kind: str | None, default: str | None) -> Unit:
    spelling = (found["unit"] or "").strip()
    if not spelling:
        if kind == "count":
            return find_unit("pcs")
        if default is None:
            names = ", ".join(u.name for u in units_of(kind)) if kind else "mm, in, N·m, bar …"
            raise MissingUnit(
                f"{found['number']} has no unit: add one of {names}", number, found.end("number")
            )
        spelling = default
    try:
        return find_unit(spelling, kind)
    except UnitError as error:
        raise QuantityError(str(error), max(found.start("unit"), 0)) from None


def _example(kind: str | None) -> str:
    return {
        "torque": "21 lbf·ft",
        "pressure": "0.4 bar",
        "volume": "850 mL",
        "temperature": "24 °C",
        "time": "5 min",
        "angle": "90 deg",
        "rotation": "9000 rpm",
        "ratio": "40:1",
        "count": "2",
    }.get(kind or "length", "0.35 mm")


_RANGE = (
    rf"\s*(?P<low>{_NUMBER})\s*(?P<low_unit>[^\d\s,;±–-][^\d,;±–-]*?)?\s*"
    rf"(?:–|-|\.\.\.?|…|\bto\b)\s*(?P<high>(?:{_NUMBER}).*)$"
)
_MARGIN = (
    rf"\s*(?P<mid>{_NUMBER})\s*(?P<mid_unit>[^\d\s,;±][^,;±]*?)?\s*(?:±|\+/-)\s*(?P<margin>.+)$"
)
_ONE_SIDED = r"(?i)\s*(?P<side>max|min|at most|at least|up to|under|over)\b\.?\s*(?P<rest>.+)$"
_UPPER = ("max", "at most", "up to", "under")


def parse_span(
    text: str, kind: str | None = None, *, default: str | None = None, comma: str = "ask"
) -> Span:
    """Read a range, a value with its allowance, a one-sided limit or one value.

    A unit written once at the end holds for both ends. One value alone is a span of no width.
    Raises QuantityError.

    >>> [str(parse_span(text)) for text in ("0.30-0.38 mm", "27 ± 2 N·m", "max 0,6 mm")]
    ['0.30-0.38 mm', '25-29 N·m', 'max 0.6 mm']
    """
    if found := re.match(_ONE_SIDED, text):
        value = parse_quantity(found["rest"], kind, default=default, comma=comma)
        return Span(None, value) if found["side"].lower() in _UPPER else Span(value, None)
    if found := re.match(_MARGIN, text):
        margin = parse_quantity(
            found["margin"], kind, default=found["mid_unit"] or default, comma=comma
        )
        mid = parse_quantity(
            f"{found['mid']} {found['mid_unit'] or margin.unit.name}", kind, comma=comma
        )
        if margin.number < 0 or margin.unit != mid.unit:
            raise QuantityError(
                f"{text.strip()!r}: write value and allowance in one unit, as in 27 ± 2 N·m"
            )
        return Span(
            *(Quantity(mid.number + s * margin.number, mid.unit, text.strip()) for s in (-1, 1))
        )
    if found := re.match(_RANGE, text):
        high = parse_quantity(
            found["high"], kind, default=found["low_unit"] or default, comma=comma
        )
        low = parse_quantity(
            f"{found['low']} {found['low_unit'] or high.unit.name}", kind, comma=comma
        )
        if low.si > high.si:
            raise QuantityError(f"{text.strip()!r} runs downward: write the smaller number first")
        return Span(low, high)
    value = parse_quantity(text, kind, default=default, comma=comma)
    return Span(value, value)
