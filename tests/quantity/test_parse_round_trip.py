"""What is printed reads back; what people type is understood or asked about, never guessed."""

from decimal import Decimal

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from ringland.quantity import (
    AmbiguousNumber,
    MissingUnit,
    Quantity,
    QuantityError,
    Unit,
    UnitError,
    find_unit,
    parse_number,
    parse_quantity,
    parse_span,
    show_number,
    show_pair,
    units_of,
)
from ringland.quantity.rounding import OTHER_UNIT

KINDS = (
    "length",
    "torque",
    "pressure",
    "volume",
    "temperature",
    "time",
    "rotation",
    "angle",
    "force",
    "mass",
    "ratio",
    "share",
    "count",
    "area",
    "flow",
)
UNITS = [unit for kind in KINDS for unit in units_of(kind)]
numbers = st.decimals(min_value="-99999", max_value="99999", places=3)
positive = st.decimals(min_value="0.001", max_value="9999", places=3)


@settings(deadline=None, max_examples=300)
@given(st.sampled_from(UNITS), numbers)
def test_what_is_printed_reads_back_to_the_digit(unit: Unit, number: Decimal) -> None:
    quantity = Quantity(number, unit)
    read = parse_quantity(str(quantity), quantity.unit.kind)
    assert read.number == quantity.number
    assert read.unit == quantity.unit
    assert read.si == quantity.si


@settings(deadline=None, max_examples=200)
@given(st.sampled_from(UNITS), positive, positive)
def test_a_span_that_is_printed_reads_back(unit: Unit, one: Decimal, other: Decimal) -> None:
    low, high = sorted((one, other))
    name = unit.name
    kind = unit.kind
    if not name or name == ":1":
        return
    span = parse_span(f"{low}-{high} {name}", kind)
    assert span.low is not None
    assert span.high is not None
    assert (span.low.number, span.high.number) == (low, high)
    again = parse_span(str(span), kind)
    assert again.low is not None
    assert again.high is not None
    assert (again.low.si, again.high.si) == (span.low.si, span.high.si)


@settings(deadline=None, max_examples=200)
@given(st.sampled_from(UNITS), numbers)
def test_to_si_and_back_is_the_number(unit: Unit, number: Decimal) -> None:
    back = unit.from_si(unit.to_si(number))
    assert back == pytest.approx(float(number), rel=1e-9, abs=1e-9)


@settings(deadline=None, max_examples=200)
@given(st.integers(-99999, 99999), st.integers(1, 2), st.integers(0, 99))
def test_a_decimal_comma_is_a_decimal_point(whole: int, places: int, rest: int) -> None:
    digits = f"{rest:02d}"[:places]
    assert parse_number(f"{whole},{digits}") == parse_number(f"{whole}.{digits}")


@settings(deadline=None, max_examples=100)
@given(st.text(alphabet="0123456789.,-/ mniNft±kgbarpsi·%:°", max_size=14))
def test_no_text_makes_anything_but_a_quantity_or_a_told_reason(text: str) -> None:
    for read in (parse_quantity, parse_span):
        try:
            read(text)
        except (QuantityError, UnitError):
            continue


@pytest.mark.parametrize("typed", ["--5", "+-5", "-", "+", "", ".", "5-", "1/0", "1e3", "0x10"])
def test_what_is_no_number_is_refused(typed: str) -> None:
    with pytest.raises(QuantityError):
        parse_number(typed)


@pytest.mark.parametrize("typed", ["1,000 mm", "12,345 psi", "-1,000 mm"])
def test_three_digits_after_a_comma_are_asked_about(typed: str) -> None:
    with pytest.raises(AmbiguousNumber) as asked:
        parse_quantity(typed)
    assert len(asked.value.readings) == 2


@pytest.mark.parametrize(
    ("typed", "number"),
    [
        ("0,350 mm", "0.350"),
        ("53,2 mm", "53.2"),
        ("1234,567 mm", "1234.567"),
        ("53,2365 mm", "53.2365"),
    ],
)
def test_a_comma_that_can_only_be_decimal_is_taken(typed: str, number: str) -> None:
    assert parse_quantity(typed).number == Decimal(number)


@pytest.mark.parametrize(
    ("typed", "unit"),
    [
        ("27 Nm", "N·m"),
        ("27 N-m", "N·m"),
        ("27 N⋅m", "N·m"),
        ("27 n.m.", "N·m"),
        ("27 ft-lb", "lbf·ft"),
        ("27 ft·lbf", "lbf·ft"),
        ("27 lb-ft", "lbf·ft"),
        ("27 foot-pounds", "lbf·ft"),
        ("27 in-lbs", "lbf·in"),
        ("2.7 mkg", "kgf·m"),
        ("14 thou", "thou"),
        ("12 microns", "µm"),
        ("12 um", "µm"),
        ("12 μm", "µm"),
        ("850 cc", "mL"),
        ("1 l", "L"),
        ("24 C", "°C"),
        ("24°C", "°C"),
        ("90°", "deg"),
        ('2"', "in"),
        ("9000 1/min", "rpm"),
        ("6 kg/cm2", "kgf/cm²"),
    ],
)
def test_a_unit_is_known_however_it_is_written(typed: str, unit: str) -> None:
    assert parse_quantity(typed).unit.name == unit


@pytest.mark.parametrize("typed", ["8 oz", "1 gal", "2 gallons", "3 fl oz"])
def test_a_measure_that_two_countries_fill_differently_is_asked_about(typed: str) -> None:
    with pytest.raises(QuantityError, match="two countries"):
        parse_quantity(typed, "volume")


def test_a_length_is_no_torque_and_the_kinds_are_named() -> None:
    with pytest.raises(QuantityError, match="mm is a length; here a torque"):
        parse_quantity("30 mm", "torque")


def test_twenty_one_foot_is_a_torque_where_a_torque_is_asked_for() -> None:
    assert parse_quantity("21 foot", "torque").unit.name == "lbf·ft"
    assert parse_quantity("21 ft", "length").unit.name == "ft"


def test_a_bare_number_names_the_units_that_would_do_and_its_place() -> None:
    with pytest.raises(MissingUnit, match="lbf·ft") as missing:
        parse_quantity("10", "torque")
    assert missing.value.number == 10
    assert missing.value.at == 2


@pytest.mark.parametrize("typed", ["1 000 mm", "1 000,5 mm", "12 345 psi"])
def test_a_space_inside_a_number_is_refused(typed: str) -> None:
    with pytest.raises(QuantityError, match="space"):
        parse_quantity(typed)


@pytest.mark.parametrize(
    ("typed", "millimetres"), [("7/16 in", 11.1125), ("1 1/2 in", 38.1), ("3/64 in", 1.190625)]
)
def test_fractions_are_exact(typed: str, millimetres: float) -> None:
    assert parse_quantity(typed).si * 1e3 == pytest.approx(millimetres, rel=1e-15)


@settings(deadline=None, max_examples=100)
@given(st.sampled_from(sorted(OTHER_UNIT)), positive)
def test_a_pair_shows_the_same_value_twice(name: str, number: Decimal) -> None:
    unit = find_unit(name)
    text = show_pair(Quantity(number, unit))
    assert text.startswith(f"{number} {name} (")
    bracket = text[text.index("(") + 1 : -1]
    other = parse_quantity(bracket, unit.kind, comma="decimal")
    rounding = 0.6 * 10.0 ** (other.number.as_tuple().exponent or 0)  # type: ignore[operator]
    assert abs(other.unit.from_si(unit.to_si(number)) - float(other.number)) <= rounding


@settings(deadline=None, max_examples=200)
@given(st.floats(-1e6, 1e6), st.integers(0, 6))
def test_a_shown_number_is_rounded_to_its_last_place(value: float, decimals: int) -> None:
    shown = show_number(value, decimals)
    assert not shown.startswith("-")
    assert abs(float(shown.replace("−", "-")) - value) <= 0.5000001 * 10.0**-decimals
