"""Verdicts of form values, which noise makes look worse than they are."""

from itertools import pairwise
from math import nan, sqrt

import numpy as np
import pytest
from scipy.special import ndtr

from ringland.measure import flatness
from ringland.measure.estimates import MeasureError
from ringland.measure.flatness import minimum_zone
from ringland.measure.form import (
    face_within,
    likely_ranges_of_face,
    perfect_face_reading,
    ranges_within,
)

SIMULATED = 0.025  # of a probability: three standard deviations at 4000 draws
GRID = np.array([(x, y) for x in (0, 0.03, 0.06) for y in (0, 0.03, 0.06)])


@pytest.mark.parametrize(
    ("reading", "upper"), [(15.0, 20.0), (19.0, 20.0), (21.0, 20.0), (25.0, 20.0), (4.0, 6.0)]
)
def test_two_diameters_follow_the_closed_form(reading: float, upper: float) -> None:
    """Exact: the difference of two is normal, folded at 0; P(true > L) = F(d | L) / F(d | 0)."""
    noise = 3.0
    sd = sqrt(2) * noise

    def below(size: float) -> float:
        return float(ndtr((reading - size) / sd) - ndtr((-reading - size) / sd))

    found = ranges_within([[0.0, reading]], noise=noise, upper=upper)
    assert found.simulated
    assert found.probability == pytest.approx(1 - below(upper) / below(0), abs=SIMULATED)


def test_the_bound_that_spares_a_simulation_agrees_with_it() -> None:
    """Where the bound speaks, the simulated probability lies beyond it."""
    for reading, upper in ((5.0, 60.0), (80.0, 30.0)):
        quick = ranges_within([[0.0, reading]], noise=2.5, upper=upper)
        assert not quick.simulated
        sd = sqrt(2) * 2.5
        exact = ndtr((upper - reading) / sd)
        assert abs(quick.probability - exact) < 1e-3


def test_a_loose_bound_spares_no_simulation() -> None:
    found = ranges_within([[0.0, 15.0]], noise=2.5, upper=30.0)
    assert found.simulated
    assert found.probability > 0.999


def test_a_flat_face_measured_roughly_is_not_called_beyond_for_its_noise() -> None:
    """Nine points at u 5 µm read 11 µm on a flat face; a limit of 10 µm is not proven broken."""
    source = np.random.default_rng(8)
    for _ in range(20):
        face = np.column_stack([GRID, source.normal(0, 5e-6, 9)])
        assert face_within(face, noise=5e-6, upper=10e-6).verdict() != "beyond"


@pytest.mark.parametrize("noise", [2e-6, 5e-6, 10e-6])
def test_a_face_exactly_at_its_limit_is_rarely_proven_either_way(noise: float) -> None:
    """Each proof may be wrong in about 5 % of cases (the norm); 60 faces scatter by 3 %."""
    limit, source = 30e-6, np.random.default_rng(3)
    proven = {"within": 0, "beyond": 0, "undecided": 0}
    for _ in range(60):
        shape = source.normal(size=9)
        shape *= limit / minimum_zone(np.column_stack([GRID, shape])).width
        read = np.column_stack([GRID, shape + source.normal(0, noise, 9)])
        proven[face_within(read, noise=noise, upper=limit, draws=1000).verdict()] += 1
    assert proven["within"] <= 9
    assert proven["beyond"] <= 11


def test_a_verdict_never_improves_when_noise_grows() -> None:
    groups = [[65.016e-3, 65.021e-3], [65.010e-3, 65.022e-3]]
    found = [ranges_within(groups, noise=u * 1e-6, upper=20e-6) for u in (1, 2, 4, 8, 16, 32)]
    probabilities = [each.probability for each in found]
    assert all(b <= a + SIMULATED for a, b in pairwise(probabilities))
    assert [each.verdict() for each in found][-3:] == ["undecided"] * 3


def test_readings_all_alike_are_within_a_wide_limit_and_undecided_at_a_narrow_one() -> None:
    alike = [[0.054, 0.054]]
    assert ranges_within(alike, noise=2.5e-6, upper=30e-6).verdict() == "within"
    assert ranges_within(alike, noise=2.5e-6, upper=1e-6).verdict() == "undecided"
    flat = np.column_stack([GRID, np.zeros(9)])
    assert face_within(flat, noise=5e-6, upper=2e-6).verdict() == "undecided"


def test_without_noise_the_reading_decides() -> None:
    assert ranges_within([[0.0, 1.0]], noise=0.0, upper=1.0).probability == 1
    assert ranges_within([[0.0, 1.0]], noise=0.0, upper=0.9).probability == 0


def test_the_same_seed_gives_the_same_verdict() -> None:
    runs = [ranges_within([[0.0, 19.0]], noise=3.0, upper=20.0, seed=s) for s in (5, 5, 6)]
    assert runs[0] == runs[1]
    assert runs[0] != runs[2]


def test_the_likely_range_takes_the_bias_out() -> None:
    source = np.random.default_rng(2)
    true = 12e-6 * np.array([0, 1, 0, 1, 0, 1, 0, 1, 0]) / 1.0
    width = minimum_zone(np.column_stack([GRID, true])).width
    held = 0
    for _ in range(25):
        read = np.column_stack([GRID, true + source.normal(0, 4e-6, 9)])
        ((low, high),) = likely_ranges_of_face(read, 4e-6, draws=1000)
        held += low <= width <= high
    assert held >= 20  # 95 % of 25 less three standard deviations


def test_the_likely_range_is_the_same_by_every_four_points_and_by_linear_programs(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    read = np.column_stack([GRID, 12e-6 * np.array([0, 1, 0, 1, 2, 1, 0, 1, 0])])
    by_four = likely_ranges_of_face(read, 4e-6, (0.95, 0.68), draws=100)
    monkeypatch.setattr(flatness, "MOST_EXACT", 4)
    by_program = likely_ranges_of_face(read, 4e-6, (0.95, 0.68), draws=100)
    np.testing.assert_allclose(by_program, by_four, atol=1e-9)


def test_a_line_is_judged_as_a_face_is() -> None:
    line = [(0.0, 0.0), (0.02, 30e-6), (0.04, 0.0)]
    assert face_within(line, noise=2e-6, upper=60e-6).verdict() == "within"
    assert face_within(line, noise=2e-6, upper=15e-6).verdict() == "beyond"
    assert perfect_face_reading(line, 2e-6) > 0


def test_a_dense_face_is_simulated_by_the_linear_program() -> None:
    source = np.random.default_rng(4)
    dense = np.column_stack([source.uniform(size=(26, 2)), source.normal(0, 1, 26)])
    found = face_within(dense, noise=1.0, upper=minimum_zone(dense).width, draws=1000)
    assert found.simulated
    assert 0 < found.probability < 1


@pytest.mark.parametrize(
    ("groups", "noise", "upper", "said"),
    [
        ([[1.0]], 1.0, 1.0, "no two diameters"),
        ([[1.0, nan]], 1.0, 1.0, "not finite"),
        ([[1.0, 2.0]], -1.0, 1.0, "0 or more"),
        ([[1.0, 2.0]], 1.0, 0.0, "above 0"),
        ([[0.0, 1.0] * 101], 1.0, 1.5, "at most 200"),
    ],
)
def test_form_that_cannot_be_judged_is_refused(
    groups: list[list[float]], noise: float, upper: float, said: str
) -> None:
    with pytest.raises(MeasureError, match=said):
        ranges_within(groups, noise=noise, upper=upper)
