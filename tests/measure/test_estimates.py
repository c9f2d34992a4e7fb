"""Type A, type B and the budget."""

from math import inf, nan, sqrt

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from ringland.measure.estimates import (
    Contribution,
    MeasureError,
    add_up,
    between,
    coverage_factor,
    mean_of_repeats,
    rectangular,
)

CHECKS = settings(max_examples=50, deadline=None)
parts = st.lists(st.tuples(st.floats(0.001, 10), st.floats(1, 100)), min_size=1, max_size=6)


@CHECKS
@given(parts)
def test_effective_dof_lie_between_the_least_and_the_sum(parts: list[tuple[float, float]]) -> None:
    """JCGM 100:2008 G.4.1: the Welch-Satterthwaite dof never exceed the sum of the parts'."""
    lines = [Contribution(str(at), u, dof) for at, (u, dof) in enumerate(parts)]
    dof = add_up(0.0, lines).estimate.dof
    assert min(d for _, d in parts) * (1 - 1e-9) <= dof <= sum(d for _, d in parts) * (1 + 1e-9)


@CHECKS
@given(parts, st.floats(0.001, 10))
def test_another_source_never_makes_a_result_surer(
    parts: list[tuple[float, float]], u: float
) -> None:
    lines = [Contribution(str(at), each, dof) for at, (each, dof) in enumerate(parts)]
    assert add_up(0.0, [*lines, Contribution("more", u)]).estimate.u > add_up(0.0, lines).estimate.u


def test_the_lines_of_a_budget_share_out_all_of_it() -> None:
    budget = add_up(1.0, [Contribution("a", 3.0), Contribution("b", 4.0)])
    assert [budget.share(line) for line in budget.contributions] == pytest.approx([0.36, 0.64])
    assert add_up(1.0, [Contribution("a", 0.0)]).share(Contribution("a", 0.0)) == 0


def test_known_sources_leave_infinite_dof() -> None:
    assert add_up(1.0, [Contribution("a", 3.0)]).estimate.dof == inf


def test_a_coverage_interval_widens_with_few_repeats() -> None:
    few, known = Contribution("a", 1.0, 2), Contribution("a", 1.0)
    assert add_up(0.0, [few]).interval(0.95)[1] == pytest.approx(4.3027, abs=5e-5)
    assert add_up(0.0, [known]).interval(0.95)[1] == pytest.approx(1.9600, abs=5e-5)


def test_one_reading_has_no_spread() -> None:
    with pytest.raises(MeasureError, match="repeat it"):
        mean_of_repeats([1.0])
    assert mean_of_repeats([1.0, 1.0]).u == 0
    assert mean_of_repeats([1.0, 2.0]).u == pytest.approx(sqrt(0.5) / sqrt(2))


@pytest.mark.parametrize("width", [-1.0, nan, inf])
def test_a_width_that_is_none_is_refused(width: float) -> None:
    with pytest.raises(MeasureError, match="0 or more"):
        rectangular(width)
    with pytest.raises(MeasureError, match="0 or more"):
        Contribution("a", width)


def test_an_empty_interval_and_an_improper_probability_are_refused() -> None:
    with pytest.raises(MeasureError, match="not below"):
        between(1.0, 1.0)
    with pytest.raises(MeasureError, match="between 0 and 1"):
        coverage_factor(1.0)


def test_many_bad_readings_are_told_by_place_and_counted() -> None:
    with pytest.raises(MeasureError, match=r"reading 2 is nan.* and 2 more"):
        mean_of_repeats([1.0, *[nan] * 7])
