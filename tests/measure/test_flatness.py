"""Flatness: what it does not depend on, what it refuses, what a lap takes off."""

from math import nan

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from ringland.measure.estimates import MeasureError
from ringland.measure.flatness import (
    MOST_EXACT,
    lap,
    least_squares,
    minimum_zone,
    straightness,
    widths,
    zone_weights,
)

CHECKS = settings(max_examples=30, deadline=None)
ROUNDING = 1e-12  # of heights about 1
seeds = st.integers(0, 10_000)
counts = st.integers(4, 12)


def face(seed: int, count: int) -> np.ndarray[tuple[int, int], np.dtype[np.float64]]:
    return np.random.default_rng(seed).uniform(-1, 1, size=(count, 3))


@CHECKS
@given(seeds, counts, st.floats(-1, 1), st.floats(-1, 1), st.floats(-5, 5))
def test_flatness_is_unchanged_by_tilt_and_height(
    seed: int, count: int, a: float, b: float, c: float
) -> None:
    points = face(seed, count)
    tilted = points.copy()
    tilted[:, 2] += a * points[:, 0] + b * points[:, 1] + c
    assert minimum_zone(tilted).width == pytest.approx(minimum_zone(points).width, abs=ROUNDING)
    assert least_squares(tilted) == pytest.approx(least_squares(points), abs=10 * ROUNDING)


@CHECKS
@given(seeds, counts)
def test_flatness_is_unchanged_by_order_and_turning_over(seed: int, count: int) -> None:
    points = face(seed, count)
    width = minimum_zone(points).width
    shuffled = np.random.default_rng(seed).permutation(points)
    assert minimum_zone(shuffled).width == pytest.approx(width, abs=ROUNDING)
    assert minimum_zone(points * [1, 1, -1]).width == pytest.approx(width, abs=ROUNDING)


@CHECKS
@given(seeds, counts)
def test_least_squares_is_never_narrower_than_the_minimum_zone(seed: int, count: int) -> None:
    points = face(seed, count)
    assert least_squares(points) >= minimum_zone(points).width - ROUNDING
    line = points[:, [0, 2]]
    assert least_squares(line) >= straightness(line).width - ROUNDING


@CHECKS
@given(seeds, counts)
def test_the_zone_holds_every_point_and_its_contacts_touch(seed: int, count: int) -> None:
    points = face(seed, count)
    zone = minimum_zone(points)
    above = points[:, 2] - zone.low_plane[0] - points[:, :2] @ np.array(zone.low_plane[1:])
    assert above.min() >= -ROUNDING * 10
    assert above.max() <= zone.width + ROUNDING * 10
    assert above[list(zone.low)] == pytest.approx(0, abs=ROUNDING * 10)
    assert above[list(zone.high)] == pytest.approx(zone.width, abs=ROUNDING * 10)


@CHECKS
@given(seeds, counts)
def test_one_more_point_never_makes_a_face_flatter(seed: int, count: int) -> None:
    points = face(seed, count + 1)
    assert minimum_zone(points).width >= minimum_zone(points[:-1]).width - ROUNDING


def test_a_level_and_a_tilted_plane_are_flat() -> None:
    grid = [(x, y, 0.0) for x in range(3) for y in range(3)]
    assert minimum_zone(grid).width == 0
    assert minimum_zone(grid).contacts == "flat"
    tilted = [(x, y, 0.3 * x - 0.2 * y + 5) for x in range(3) for y in range(3)]
    assert minimum_zone(tilted).width == pytest.approx(0, abs=1e-14)


def test_a_place_measured_twice_counts_twice() -> None:
    points = [(0, 0, 0.0), (1, 0, 0.0), (0, 1, 0.0), (0, 0, 0.02)]
    assert minimum_zone(points).width == pytest.approx(0.02)


def test_three_in_a_row_can_hold_the_zone() -> None:
    points = [(0, 0, 0.0), (1, 0, 0.03), (2, 0, 0.0), (1, 5, 0.01)]
    assert minimum_zone(points).width == pytest.approx(0.03)


def test_micrometres_on_a_face_of_metres_keep_their_digits() -> None:
    points = np.array([(0, 0, 0.02), (60, 60, 0.02), (60, 0, -0.02), (0, 60, -0.02)]) * 1e-3
    points[:, 2] += 12.0
    assert minimum_zone(points).width == pytest.approx(40e-6, abs=1e-14)


@pytest.mark.parametrize(
    ("points", "said"),
    [
        ([(0, 0, 0), (1, 0, 0), (0, 1, 0)], "3 points: 4 to"),
        ([(0, 0), (1, 0), (0, 1), (1, 1)], r"shape \(n, 3\)"),
        ([(0, 0, 0), (1, 1, 0), (2, 2, 0), (3, 3, 1)], "along one line"),
        ([(0, 0, 0), (1, 0, nan), (0, 1, 0), (1, 1, 0)], "point 2 is not finite"),
        ([(0, 0, 0), (1, 0)], "rows of numbers"),
        ([], "shape"),
    ],
)
def test_points_that_are_no_face_are_refused(points: list[tuple[float, ...]], said: str) -> None:
    with pytest.raises(MeasureError, match=said):
        minimum_zone(points)


def test_a_hundred_thousand_points_are_refused() -> None:
    with pytest.raises(MeasureError, match="100000 points"):
        minimum_zone(np.zeros((100_000, 3)))


def test_a_line_at_one_place_is_refused() -> None:
    with pytest.raises(MeasureError, match="one place"):
        straightness([(1, 0), (1, 1), (1, 2)])


def test_a_lap_takes_the_zone_off_and_leaves_no_high_spot() -> None:
    cut = lap([(0, 0, 0), (60, 0, 0), (30, 60, 0), (30, 20, 0.05), (20, 10, 0.02)])
    assert cut.deepest == pytest.approx(0.05)
    assert cut.mean == pytest.approx((0.05 + 0.02) / 5)


@pytest.mark.parametrize("count", [9, MOST_EXACT + 2])
def test_many_faces_at_once_are_each_as_one_alone(count: int) -> None:
    source = np.random.default_rng(1)
    places, heights = source.uniform(size=(count, 2)), source.normal(size=(4, count))
    alone = [minimum_zone(np.column_stack([places, z])).width for z in heights]
    assert widths(places, heights) == pytest.approx(alone, abs=ROUNDING)


def test_the_weights_of_a_zone_are_blind_to_a_plane() -> None:
    places = np.random.default_rng(1).uniform(size=(7, 2))
    weights = zone_weights(places)
    plane = 3 + places @ [0.4, -0.7]
    assert np.abs(weights @ plane).max() < 1e-12
    assert np.abs(weights).sum(axis=1) == pytest.approx(2)
