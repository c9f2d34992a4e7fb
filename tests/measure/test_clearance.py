"""Differences with shared errors."""

from math import sqrt

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from ringland.measure.clearance import difference
from ringland.measure.estimates import Contribution, MeasureError, add_up
from ringland.measure.gauges import Gauge, estimate_of_readings

CHECKS = settings(max_examples=50, deadline=None)
doubts = st.floats(1e-7, 1e-5)


@CHECKS
@given(doubts, doubts, doubts)
def test_what_is_shared_cancels_and_what_is_not_adds(scale: float, a: float, b: float) -> None:
    shared = Contribution("micrometer", scale, shared="M1")
    bore = add_up(0.054, [shared, Contribution("bore gauge", a)])
    skirt = add_up(0.053, [shared, Contribution("feel", b)])
    found = difference(bore, skirt)
    assert found.estimate.value == pytest.approx(0.001)
    assert found.estimate.u == pytest.approx(sqrt(a**2 + b**2))
    assert [line.sensitivity for line in found.contributions] == [0.0, 1.0, -1.0]


def test_a_difference_of_a_reading_with_itself_is_sure_of_its_scale_only() -> None:
    one = add_up(0.054, [Contribution("scale", 2e-6, shared="M1")])
    assert difference(one, one).estimate.u == 0


def test_a_shared_error_of_opposite_sign_counts_double() -> None:
    up = add_up(0.0, [Contribution("scale", 2.0, shared="M1", sensitivity=1.0)])
    down = add_up(0.0, [Contribution("scale", 2.0, shared="M1", sensitivity=-1.0)])
    assert difference(up, down).estimate.u == 4.0


def test_errors_of_different_size_are_not_one_error() -> None:
    large = add_up(0.0, [Contribution("scale", 4.0, shared="M1")])
    small = add_up(0.0, [Contribution("scale", 1.0, shared="M1")])
    with pytest.raises(MeasureError, match="name them apart"):
        difference(large, small)


def test_a_bore_gauge_set_on_the_piston_micrometer_is_worth_more_than_on_another() -> None:
    first = Gauge("outside micrometer", name="M1", permissible_error=4e-6)
    other = Gauge("outside micrometer", name="M2", permissible_error=4e-6)
    gauge = Gauge("bore gauge", name="B1", permissible_error=1.7e-6)
    skirt = estimate_of_readings([0.05395], first).budget
    assert skirt is not None
    found = []
    for setting in (first, other):
        bore = estimate_of_readings([0.05400], gauge, setting=setting).budget
        assert bore is not None
        found.append(difference(bore, skirt).estimate.u * 1e6)
    assert found == pytest.approx([1.0, 3.4], abs=0.05)


def test_habit_figures_do_not_cancel() -> None:
    """Trade notes: bore gauge ± 5 µm and micrometer ± 3 µm make a clearance ± 6 µm."""
    micrometer = Gauge("fine micrometer", name="M1")
    bore = estimate_of_readings([0.054], Gauge("bore gauge", name="B1"), setting=micrometer)
    skirt = estimate_of_readings([0.05395], micrometer)
    assert bore.budget is not None
    assert skirt.budget is not None
    assert 2 * difference(bore.budget, skirt.budget).estimate.u == pytest.approx(5.83e-6, rel=0.001)
