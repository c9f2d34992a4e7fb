"""Readings away from 20 °C."""

from math import sqrt

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from ringland.measure.estimates import MeasureError
from ringland.measure.temperature import (
    REFERENCE,
    Conditions,
    at_reference,
    comparable,
    length_at_reference,
    reading_away,
)
from ringland.quantity.estimate import Estimate

CHECKS = settings(max_examples=60, deadline=None)
STEEL, ALUMINIUM = Estimate(11.5e-6, 0.6e-6), Estimate(20e-6, 0.6e-6)

temperatures = st.floats(253.15, 323.15)
excesses = st.floats(-20, 60)
expansions = st.floats(0, 25e-6)


def conditions(gauge: float, excess: float, part: Estimate = ALUMINIUM) -> Conditions:
    return Conditions(Estimate(gauge, 0.5), Estimate(excess, 0.3), part, STEEL)


@CHECKS
@given(st.floats(0.001, 1), temperatures, excesses, expansions, expansions)
def test_correcting_to_20_degrees_and_back_is_the_identity(
    length: float, gauge: float, excess: float, part: float, of_gauge: float
) -> None:
    there = length_at_reference(length, gauge, excess, part, of_gauge)
    assert reading_away(there, gauge, excess, part, of_gauge) == pytest.approx(length, rel=1e-15)


@CHECKS
@given(temperatures, expansions)
def test_part_and_gauge_of_one_metal_at_one_temperature_need_no_correction(
    kelvin: float, expansion: float
) -> None:
    assert length_at_reference(0.054, kelvin, 0.0, expansion, expansion) == pytest.approx(0.054)


def test_a_warm_part_is_smaller_at_20_degrees_and_a_warm_gauge_reads_too_little() -> None:
    assert length_at_reference(0.054, REFERENCE, 30.0, 20e-6, 11.5e-6) < 0.054
    assert length_at_reference(0.054, REFERENCE + 10, -10.0, 20e-6, 11.5e-6) > 0.054


def test_the_doubt_is_that_of_the_four_sources() -> None:
    """JCGM 100:2008 5.1.2 with the slopes worked out by hand, first order in the rises."""
    found = at_reference(Estimate(0.05395, 1e-6), conditions(304.15, 0.0)).estimate
    length = 0.05395
    parts = (
        1e-6,
        length * (11.5e-6 - 20e-6) * 0.5,
        length * 20e-6 * 0.3,
        length * 11 * 0.6e-6,
        length * 11 * 0.6e-6,
    )
    assert found.u == pytest.approx(sqrt(sum(part**2 for part in parts)), rel=1e-3)


def test_one_thermometers_error_does_not_count_twice() -> None:
    """Part and gauge of one metal: an error of the shop's temperature moves nothing."""
    sure = Conditions(Estimate(304.15, 5.0), Estimate(0.0, 0.0), Estimate(20e-6, 0.0),
                      Estimate(20e-6, 0.0))  # fmt: skip
    assert at_reference(Estimate(0.054, 0.0), sure).estimate.u == pytest.approx(0, abs=1e-15)


@pytest.mark.parametrize(
    ("gauge", "excess", "u", "said"),
    [
        (293.15, 0.0, 1e-6, ""),
        (293.15, 4.0, 1e-3, "4 K warmer"),
        (293.15, -4.0, 1e-3, "4 K colder"),
        (304.15, 0.0, 1e-6, "20 °C would shift it by -5.0 µm"),
        (304.15, 0.0, 6e-6, ""),
    ],
)
def test_a_reading_is_comparable_when_equal_and_hardly_shifted(
    gauge: float, excess: float, u: float, said: str
) -> None:
    found = comparable(Estimate(0.05395, u), conditions(gauge, excess))
    assert bool(found) is (said == "")
    assert said in found.reason


def test_all_conditions_that_cannot_be_are_told_at_once() -> None:
    with pytest.raises(MeasureError) as refused:
        Conditions(Estimate(20.0, 0.5), Estimate(0.0, 0.3), Estimate(20.0, 0.0), STEEL)
    assert "the gauge is at 20.0 K" in str(refused.value)
    assert "the part expands by 20 per kelvin" in str(refused.value)
    with pytest.raises(MeasureError, match="never equal"):
        comparable(Estimate(0.05395, 1e-6), conditions(293.15, 0.0), equal_within=0)
