"""The bore grid: holes, form by convention, clearances."""

from itertools import permutations
from math import nan

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from ringland.measure.bore import (
    BoreGrid,
    Hole,
    clearances,
    grid_of,
    not_rocked_error,
    survey,
    two_point_range,
)
from ringland.measure.estimates import MeasureError

CHECKS = settings(max_examples=50, deadline=None)
NANOMETRE = 1e-9

# story S1 of the trade notes, invented engine F-230
LOAN_BIKE: dict[tuple[str, str], float | Hole] = {
    ("H1", "X"): 0.065016, ("H1", "Y"): 0.065021,
    ("H2", "X"): 0.065014, ("H2", "Y"): Hole.PORT,
    ("H3", "X"): 0.065010, ("H3", "Y"): 0.065012,
}  # fmt: skip


def test_the_plain_job_shows_its_out_of_round_and_taper() -> None:
    """Story S1: out-of-round 0.005 and 0.002; taper X 0.006, Y 0.009."""
    shown = survey(grid_of(LOAN_BIKE))
    assert shown.by_height == pytest.approx({"H1": 5e-6, "H3": 2e-6}, abs=NANOMETRE)
    assert shown.by_axis == pytest.approx({"X": 6e-6, "Y": 9e-6}, abs=NANOMETRE)
    assert shown.out_of_round == pytest.approx(5e-6, abs=NANOMETRE)
    assert shown.taper == pytest.approx(9e-6, abs=NANOMETRE)
    assert shown.largest.place == ("H1", "Y")
    assert shown.smallest.place == ("H3", "X")
    assert shown.profile["H2"] == pytest.approx(0.065014)


def test_the_two_conventions_of_taper_differ_on_a_barrel() -> None:
    barrel = grid_of({("H1", "X"): 0.054000, ("H2", "X"): 0.054010, ("H3", "X"): 0.054001})
    assert survey(barrel).taper == pytest.approx(10e-6, abs=NANOMETRE)
    ends = survey(barrel, convention="top minus bottom")
    assert ends.taper == pytest.approx(1e-6, abs=NANOMETRE)
    assert ends.convention == "top minus bottom"
    assert ends.barrel == pytest.approx(9.5e-6, abs=NANOMETRE)


def test_a_hole_at_an_end_leaves_the_axis_without_top_minus_bottom() -> None:
    cells = {**LOAN_BIKE, ("H3", "Y"): Hole.NOT_MEASURED}
    shown = survey(grid_of(cells), convention="top minus bottom")
    assert list(shown.by_axis) == ["X"]


def test_a_port_differs_from_what_was_not_measured_and_neither_is_zero() -> None:
    grid = BoreGrid(LOAN_BIKE, ("H1", "H2", "H3"), ("X", "Y", "45"))
    assert grid.cells["H2", "Y"] is Hole.PORT
    assert ("H1", "45") not in grid.cells
    assert grid.at("H1", "45") is None
    assert survey(grid).smallest.diameter == 0.065010


def test_one_diameter_has_no_form() -> None:
    shown = survey(grid_of({("H1", "X"): 0.054}))
    assert shown.out_of_round is None
    assert shown.taper is None
    assert shown.barrel is None


@CHECKS
@given(st.lists(st.floats(0.0539, 0.0541), min_size=4, max_size=4))
def test_form_does_not_depend_on_the_order_of_readings(diameters: list[float]) -> None:
    places = [("H1", "X"), ("H1", "Y"), ("H2", "X"), ("H2", "Y")]
    pairs = list(zip(places, diameters, strict=True))
    first = survey(BoreGrid(dict(pairs), ("H1", "H2"), ("X", "Y")))
    for order in permutations(pairs):
        again = survey(BoreGrid(dict(order), ("H1", "H2"), ("X", "Y")))
        assert (again.out_of_round, again.taper) == (first.out_of_round, first.taper)


def test_seizure_takes_the_smallest_in_the_skirt_zone_and_wear_the_largest_anywhere() -> None:
    """Story S1: class II 64.953 gives 0.057 to 0.068."""
    found = clearances(grid_of(LOAN_BIKE), 0.064953)
    assert found.seizure.diameter == pytest.approx(57e-6, abs=NANOMETRE)
    assert found.wear.diameter == pytest.approx(68e-6, abs=NANOMETRE)
    low = clearances(grid_of(LOAN_BIKE), 0.064953, skirt_zone=["H1"])
    assert low.seizure.place == ("H1", "X")
    assert low.wear.place == ("H1", "Y")


def test_a_skirt_zone_without_reading_has_no_clearance() -> None:
    grid = grid_of({("H1", "X"): 0.054, ("H2", "X"): Hole.PORT})
    with pytest.raises(MeasureError, match="where the skirt runs"):
        clearances(grid, 0.0539, skirt_zone=["H2"])
    with pytest.raises(MeasureError, match="H9: no such height"):
        clearances(grid, 0.0539, skirt_zone=["H9"])
    with pytest.raises(MeasureError, match="above 0"):
        clearances(grid, 0.0)


def test_all_bad_places_are_told_at_once() -> None:
    with pytest.raises(MeasureError) as refused:
        grid_of({("H1", "X"): 0.0, ("H1", "Y"): nan, ("H2", "X"): 0.054})
    assert "H1-X reads 0" in str(refused.value)
    assert "H1-Y reads nan" in str(refused.value)


def test_a_grid_without_diameter_or_far_too_large_is_refused() -> None:
    with pytest.raises(MeasureError, match="needs one at least"):
        grid_of({("H1", "X"): Hole.PORT})
    with pytest.raises(MeasureError, match="at most 400"):
        grid_of({(f"H{i}", f"A{j}"): 0.054 for i in range(21) for j in range(20)})
    with pytest.raises(MeasureError, match="no place of this grid"):
        BoreGrid({("H1", "X"): 0.054}, ("H2",), ("X",))


def test_lobes_and_tilt_that_cannot_be_are_refused() -> None:
    with pytest.raises(MeasureError, match="lobes"):
        two_point_range(1e-6, 1)
    with pytest.raises(MeasureError, match="square"):
        not_rocked_error(0.054, 0.5)
