"""What a gauge is worth, and readings taken with it."""

from math import nan, sqrt

import pytest

from ringland.measure.estimates import MeasureError
from ringland.measure.gauges import (
    HABITS,
    ErrorStep,
    Gauge,
    allowed_error,
    contributions_of,
    estimate_of_readings,
    noise_of,
    permissible_error_at,
)

EXACT = 1e-12
MICROMETER = Gauge("fine micrometer", name="M1", permissible_error=4e-6, resolution=1e-6)


def u_of(gauge: Gauge, readings: list[float], setting: Gauge | None = None) -> float:
    budget = estimate_of_readings(readings, gauge, setting=setting).budget
    assert budget is not None
    return budget.estimate.u


def test_a_habit_figure_is_a_95_percent_value() -> None:
    assert u_of(Gauge("bore gauge"), [0.054]) == pytest.approx(2.5e-6, rel=EXACT)


def test_a_stated_error_is_a_rectangle_and_the_resolution_is_added() -> None:
    expected = sqrt(4e-6**2 / 3 + 1e-6**2 / 12)
    assert u_of(MICROMETER, [0.054]) == pytest.approx(expected, rel=EXACT)


def test_a_coarse_dial_outweighs_its_habit_figure() -> None:
    coarse = Gauge("bore gauge", resolution=20e-6)
    assert u_of(coarse, [0.054]) == pytest.approx(20e-6 / sqrt(12), rel=EXACT)


def test_a_share_of_the_reading_grows_with_it() -> None:
    wrench = Gauge("torque wrench")
    assert allowed_error(wrench, 30.0) == pytest.approx(1.2)
    assert u_of(wrench, [30.0]) == pytest.approx(0.6)


def test_a_table_of_errors_is_read_by_range_and_ends_where_it_ends() -> None:
    gauge = Gauge(
        "outside micrometer", permissible_error=(ErrorStep(0.050, 3e-6), ErrorStep(0.025, 2e-6))
    )
    assert permissible_error_at(gauge, 0.025) == 2e-6
    assert permissible_error_at(gauge, 0.026) == 3e-6
    with pytest.raises(MeasureError, match="ends below"):
        permissible_error_at(gauge, 0.051)


def test_repeats_add_their_own_scatter() -> None:
    readings = [0.054010, 0.054012, 0.054011]
    budget = estimate_of_readings(readings, Gauge("bore gauge")).budget
    assert budget is not None
    scatter = 1e-6 / sqrt(3)
    assert budget.estimate.u == pytest.approx(sqrt(scatter**2 + 2.5e-6**2), rel=1e-9)
    assert budget.estimate.dof == pytest.approx(budget.estimate.u**4 / (scatter**4 / 2), rel=1e-9)


def test_repeats_wider_than_the_gauge_question_the_technique_and_are_not_averaged() -> None:
    good = estimate_of_readings([0.054000, 0.054005], Gauge("bore gauge"))
    bad = estimate_of_readings([0.054000, 0.054006], Gauge("bore gauge"))
    assert not good.is_technique_question
    assert bad.is_technique_question
    assert bad.budget is None
    assert bad.spread == pytest.approx(6e-6)
    assert bad.allowed == 5e-6


def test_one_step_of_a_coarse_dial_is_no_question_of_technique() -> None:
    coarse = Gauge("bore gauge", resolution=10e-6)
    assert not estimate_of_readings([0.05400, 0.05401], coarse).is_technique_question


def test_only_a_stated_error_of_a_named_gauge_is_shared() -> None:
    assert [line.shared for line in contributions_of(MICROMETER, 0.054)] == ["M1", ""]
    unnamed = Gauge("fine micrometer", permissible_error=4e-6)
    assert [line.shared for line in contributions_of(unnamed, 0.054)] == [""]
    habit = Gauge("fine micrometer", name="M2")
    assert [line.shared for line in contributions_of(habit, 0.054)] == [""]


def test_a_setting_is_part_of_the_habit_figure_and_comes_out_of_it() -> None:
    setting = Gauge("fine micrometer", name="M1", permissible_error=3e-6)
    lines = contributions_of(Gauge("bore gauge", name="B1"), 0.054, setting=setting)
    assert [(line.name, line.shared) for line in lines] == [("set with M1", "M1"), ("B1", "")]
    assert sum(line.u**2 for line in lines) == pytest.approx(2.5e-6**2, rel=1e-9)


def test_a_setting_worse_than_the_habit_figure_counts_in_full() -> None:
    setting = Gauge("outside micrometer", name="M1", permissible_error=10e-6)
    gauge = Gauge("bore gauge", name="B1", resolution=1e-6)
    assert u_of(gauge, [0.054], setting) > 10e-6 / sqrt(3)


def test_noise_between_readings_leaves_the_setting_out() -> None:
    assert noise_of(Gauge("bore gauge", name="B1", set_with="M1"), 0.054) == 2.5e-6


@pytest.mark.parametrize(
    ("readings", "said"),
    [
        ([], "a blank is not zero"),
        ([0.054, nan], "reading 2 is nan"),
        ([0.054] * 100_000, "at most 1000"),
        ([0.049], "outside"),
        ([0.0761], "outside"),
    ],
)
def test_readings_that_are_none_are_refused(readings: list[float], said: str) -> None:
    with pytest.raises(MeasureError, match=said):
        estimate_of_readings(readings, Gauge("bore gauge", low=0.050, high=0.076))


def test_a_gauge_that_cannot_be_is_refused_with_all_its_problems() -> None:
    with pytest.raises(MeasureError) as refused:
        Gauge("laser tape", low=2.0, high=1.0, resolution=0.0, permissible_error=-1.0)
    for said in ("no kind of gauge", "range runs", "resolution is above 0", "error is 0 or more"):
        assert said in str(refused.value)


def test_an_overdue_calibration_is_said_and_widens_nothing() -> None:
    overdue = Gauge("bore gauge", calibration_due="2026-03-01")
    assert overdue.is_overdue("2026-11-20")
    assert not overdue.is_overdue("2026-02-28")
    assert not Gauge("bore gauge").is_overdue("2026-11-20")
    assert u_of(overdue, [0.054]) == u_of(Gauge("bore gauge"), [0.054])


@pytest.mark.parametrize("kind", list(HABITS))
def test_every_kind_of_gauge_is_worth_something(kind: str) -> None:
    assert HABITS[kind].expanded(1.0) > 0
