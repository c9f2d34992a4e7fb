"""First-order propagation, one result and many."""

from math import inf, log, nan, sqrt

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from ringland.measure.estimates import MeasureError
from ringland.measure.propagation import propagate, propagate_many
from ringland.quantity.estimate import Estimate

CHECKS = settings(max_examples=50, deadline=None)
A, B = Estimate(2.0, 0.3), Estimate(5.0, 0.4)


def total(a: float, b: float) -> float:
    return a + b


@pytest.mark.parametrize(("r", "u"), [(0.0, 0.5), (1.0, 0.7), (-1.0, 0.1)])
def test_correlation_adds_or_cancels(r: float, u: float) -> None:
    """JCGM 100:2008 5.2.2: at r = ±1 standard uncertainties add linearly."""
    found = propagate(total, {"a": A, "b": B}, correlations={("a", "b"): r})
    assert found.estimate.u == pytest.approx(u, rel=1e-9)
    assert found.correlation == pytest.approx(u**2 - 0.25, abs=1e-12)


@CHECKS
@given(st.floats(0.5, 20), st.floats(1e-6, 1e-3))
def test_steps_of_u_find_the_slope(x: float, u: float) -> None:
    budget = propagate(lambda x: log(x), {"x": Estimate(x, u)})
    assert budget.estimate.u == pytest.approx(u / x, rel=(u / x) ** 2 + 1e-6)


def test_an_input_without_doubt_contributes_nothing() -> None:
    budget = propagate(total, {"a": A, "b": Estimate(5.0, 0.0)})
    assert [line.u for line in budget.contributions] == pytest.approx([0.3, 0.0])


def test_given_sensitivities_are_used_and_all_of_them_are_needed() -> None:
    found = propagate(total, {"a": A, "b": B}, sensitivities={"a": 2.0, "b": -1.0})
    assert found.estimate.u == pytest.approx(sqrt(0.36 + 0.16))
    with pytest.raises(MeasureError, match="no sensitivity is given for b"):
        propagate(total, {"a": A, "b": B}, sensitivities={"a": 2.0})


@pytest.mark.parametrize(
    ("correlations", "said"),
    [
        ({("a", "c"): 0.5}, "name two inputs"),
        ({("a", "a"): 0.5}, "name two inputs"),
        ({("a", "b"): 1.5}, "−1 to 1"),
    ],
)
def test_correlations_that_cannot_be_are_refused(
    correlations: dict[tuple[str, str], float], said: str
) -> None:
    with pytest.raises(MeasureError, match=said):
        propagate(total, {"a": A, "b": B}, correlations=correlations)


def test_correlations_that_contradict_each_other_are_refused() -> None:
    one = Estimate(0.0, 1.0)
    pairs = {("a", "b"): -1.0, ("b", "c"): -1.0, ("a", "c"): -1.0}
    with pytest.raises(MeasureError, match="cannot all hold"):
        propagate(lambda a, b, c: a + b + c, {"a": one, "b": one, "c": one}, correlations=pairs)


def test_correlation_with_few_degrees_of_freedom_has_no_formula() -> None:
    few = Estimate(2.0, 0.3, 4)
    with pytest.raises(MeasureError, match="no formula holds"):
        propagate(total, {"a": few, "b": B}, correlations={("a", "b"): 0.5})


def test_a_model_without_a_value_is_refused() -> None:
    with pytest.raises(MeasureError, match="the model gives nan"):
        propagate(lambda a, b: nan * (a + b), {"a": A, "b": B})
    with pytest.raises(MeasureError, match="within ± u of a"):
        propagate(lambda a, b: b if a == A.value else inf, {"a": A, "b": B})


@CHECKS
@given(st.lists(st.tuples(st.floats(1, 9), st.floats(0.01, 0.5)), min_size=1, max_size=5))
def test_many_at_once_are_each_as_one_alone(rows: list[tuple[float, float]]) -> None:
    values, u = (np.array(column) for column in zip(*rows, strict=True))
    found = propagate_many(lambda a, b: a * b, {"a": (values, u, 4), "b": (5.0, 0.4, inf)})
    for at, (value, doubt) in enumerate(rows):
        alone = propagate(lambda a, b: a * b, {"a": Estimate(value, doubt, 4), "b": B}).estimate
        assert found.values[at] == pytest.approx(alone.value)
        assert found.u[at] == pytest.approx(alone.u)
        assert found.dof[at] == pytest.approx(alone.dof)


def test_many_refuse_a_negative_doubt_and_a_model_without_value() -> None:
    with pytest.raises(MeasureError, match="a: u is 0 or more"):
        propagate_many(lambda a: a, {"a": ([1.0, 2.0], [-0.1, 0.1], inf)})
    with pytest.raises(MeasureError, match="no finite value"):
        propagate_many(lambda a: a * inf, {"a": ([1.0, 2.0], [0.1, 0.1], inf)})
