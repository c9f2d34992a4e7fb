"""What all calculators share: how fields are read, and how the help shows an example."""

import shlex
from decimal import Decimal

import pytest

from ringland.calc import CALCULATORS, find
from ringland.calc.calculator import Answer, BadInputs, Calculator, Field, Inputs


def echo(kind: str, unit: str | None = None) -> Calculator:
    """Return a calculator that only reads one field."""
    return Calculator("echo", "Echo.", (Field("it", kind, "it", unit=unit),), _answer)


def _answer(inputs: Inputs) -> Answer:
    return Answer("read", (), fields={"it": inputs["it"]})


@pytest.mark.parametrize(
    ("typed", "number"), [("53,006 mm", "53.006"), ("0,350 mm", "0.350"), ("1,200 mm", "1.200")]
)
def test_a_comma_in_a_length_is_decimal_where_no_part_is_so_long(typed: str, number: str) -> None:
    found = echo("length").answer({"it": typed}).fields["it"]
    assert found.number == Decimal(number)


@pytest.mark.parametrize(
    ("kind", "typed"), [("length", "1,200 m"), ("length", "53,006 µm"), ("pressure", "1,013 hPa")]
)
def test_a_comma_with_two_readings_that_could_be_meant_is_still_asked(
    kind: str, typed: str
) -> None:
    with pytest.raises(BadInputs, match="write one of them"):
        echo(kind).answer({"it": typed})


@pytest.mark.parametrize(("kind", "typed"), [("rotation", "150"), ("ratio", "13")])
def test_a_bare_number_is_taken_where_its_kind_has_one_unit_only(kind: str, typed: str) -> None:
    assert echo(kind).answer({"it": typed}).fields["it"].number == Decimal(typed)


@pytest.mark.parametrize("name", CALCULATORS)
def test_an_example_names_its_calculator_once(name: str) -> None:
    assert find(name).example.split()[:1] in ([], [name])


# what people type by mistake, for fields of every kind
SLIPS = (
    *("0", "-1", "nan", "inf", "", "abc", "1 2", "1e30", "99999999999999999999"),
    *("0 mm", "-5 mm", "5-3 mm", "-1-2 mm", "3 mm 4 mm", "A 5-3 mm", "0 mm²", "-3 mm²"),
    *("0 deg", "-30 deg", "400 deg", "-300 °C", "1000000 °C", "0 N·m", "-5 N·m"),
    *("0 mL", "-4 mL", "1000000 L", "0 Pa", "-3 bar", "1000000 bar", "0 rpm", "-1 rpm"),
    *("0 %", "-5 %", "250 %", "0 s", "-3 min", "1:0", "0:1", "1-1-1"),
)


def example_of(name: str) -> dict[str, str | list[str]]:
    """Return the fields of a calculator's own example."""
    many = {field.name for field in find(name).fields if field.many}
    typed: dict[str, str | list[str]] = {}
    rest = shlex.split(find(name).example)[1:]
    for option, value in zip(rest[::2], rest[1::2], strict=True):
        field = option.removeprefix("--")
        if field in many:
            typed[field] = [*typed.get(field, []), value]
        elif field != "svg":
            typed[field] = value
    return typed


def blamed(calculator: Calculator, typed: dict[str, str | list[str]]) -> set[str]:
    """Return the fields that a refusal names, none for an answer; all else is a crash."""
    try:
        calculator.answer(typed)
    except BadInputs as refused:
        return {name for name, _ in refused.problems}
    return set()


@pytest.mark.parametrize("name", CALCULATORS)
def test_a_slip_in_any_field_is_answered_or_refused_by_a_field_s_name(name: str) -> None:
    calculator = find(name)
    known = {field.name for field in calculator.fields}
    for field in calculator.fields:
        for slip in SLIPS:
            typed = {**example_of(name), field.name: [slip] if field.many else slip}
            assert blamed(calculator, typed) <= known, (field.name, slip)


@pytest.mark.parametrize("typed", ["50:50", "50/50", "1:1"])
def test_a_mix_of_equal_parts_is_a_half_and_never_one_per_cent(typed: str) -> None:
    assert find("coolant").answer({"glycol": "propylene", "share": typed}).fields["share"] == 0.5


def test_a_mix_of_unlike_parts_is_asked_about() -> None:
    with pytest.raises(BadInputs, match="which part is asked for"):
        find("coolant").answer({"glycol": "propylene", "share": "60/40"})
