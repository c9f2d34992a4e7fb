"""What all calculators share: how fields are read, and how the help shows an example."""

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


@pytest.mark.parametrize("name", CALCULATORS)
def test_an_example_names_its_calculator_once(name: str) -> None:
    assert find(name).example.split()[:1] in ([], [name])
