"""Propagation by drawing."""

from math import sqrt

import numpy as np
import pytest

from ringland.measure.estimates import MeasureError
from ringland.measure.sampling import (
    Arcsine,
    Distribution,
    InexactRectangular,
    Normal,
    Rectangular,
    Sample,
    ScaledT,
    Triangular,
    of_estimate,
    propagate_by_sampling,
)
from ringland.quantity.estimate import Estimate

DRAWS = 200_000
LOOSE = 0.02  # relative; several standard deviations of 200 000 draws


@pytest.mark.parametrize(
    ("distribution", "mean", "u"),
    [
        (Normal(3.0, 0.5), 3.0, 0.5),
        (ScaledT(3.0, 0.5, 10), 3.0, 0.5 * sqrt(10 / 8)),
        (Rectangular(2.0, 4.0), 3.0, 1 / sqrt(3)),
        (Triangular(2.0, 4.0), 3.0, 1 / sqrt(6)),
        (Arcsine(2.0, 4.0), 3.0, 1 / sqrt(2)),
        (InexactRectangular(2.0, 4.0, 0.5), 3.0, sqrt(1 / 3 + 0.25 / 9)),
    ],
)
def test_draws_have_the_moments_of_their_distribution(
    distribution: Distribution, mean: float, u: float
) -> None:
    """JCGM 101:2008 6.4, each clause's expectation and variance."""
    found = propagate_by_sampling(lambda x: x, {"x": distribution}, seed=7, draws=DRAWS)
    assert found.mean == pytest.approx(mean, rel=LOOSE / 4)
    assert found.u == pytest.approx(u, rel=LOOSE)


def test_the_same_seed_gives_the_same_answer_and_another_seed_another() -> None:
    def run(seed: int) -> float:
        return propagate_by_sampling(
            lambda x: x, {"x": Normal(0.0, 1.0)}, seed=seed, draws=1000
        ).mean

    assert run(1) == run(1)
    assert run(1) != run(2)


def test_the_shortest_interval_is_never_longer_than_the_symmetric_one() -> None:
    found = propagate_by_sampling(lambda x: x**2, {"x": Normal(0.0, 1.0)}, seed=1, draws=DRAWS)
    short, even = found.shortest_interval(0.9), found.symmetric_interval(0.9)
    assert short[1] - short[0] < even[1] - even[0]
    for low, high in (short, even):
        inside = np.mean((found.draws >= low) & (found.draws <= high))
        assert inside == pytest.approx(0.9, abs=2e-5 + 2 / DRAWS)


def test_a_share_of_draws_is_the_probability_of_conformance() -> None:
    found = Sample(np.array([1.0, 2.0, 3.0, 4.0]))
    assert found.probability_within(lower=2.0, upper=3.0) == 0.5
    assert found.probability_within(lower=None, upper=3.0) == 0.75
    assert found.probability_within(lower=2.5, upper=None) == 0.5
    assert found.probability_within(lower=2.1, upper=2.2) == 0
    assert found.quantile(0.5) == 2.5


def test_an_estimate_is_drawn_as_normal_or_as_t() -> None:
    assert of_estimate(Estimate(1.0, 0.1)) == Normal(1.0, 0.1)
    assert of_estimate(Estimate(1.0, 0.1, 5)) == ScaledT(1.0, 0.1, 5)


@pytest.mark.parametrize("draws", [999, 20_000_001])
def test_too_few_and_too_many_draws_are_refused(draws: int) -> None:
    with pytest.raises(MeasureError, match="draws"):
        propagate_by_sampling(lambda x: x, {"x": Normal(0.0, 1.0)}, seed=1, draws=draws)


def test_a_model_that_gives_no_draws_is_refused() -> None:
    inputs = {"x": Rectangular(-1.0, 1.0)}
    with pytest.raises(MeasureError, match="not one result"):
        propagate_by_sampling(lambda x: x[:5], inputs, seed=1, draws=1000)
    with pytest.raises(MeasureError, match="without a finite result"):
        propagate_by_sampling(lambda x: x * np.inf, inputs, seed=1, draws=1000)
    found = propagate_by_sampling(lambda x: x, inputs, seed=1, draws=1000)
    with pytest.raises(MeasureError, match="between 0 and 1"):
        found.shortest_interval(1.0)
