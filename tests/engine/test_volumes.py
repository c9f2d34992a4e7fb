"""Volumes and ratios: additions that must come out, doubts that must follow, signs that matter."""

from math import isclose, pi

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from ringland.engine.refusal import OutOfRange
from ringland.engine.volumes import (
    clearance_for_ratio,
    clearance_from_parts,
    clearance_in_place,
    deck_from_depths,
    disc,
    full_ratio,
    swept_volume,
    trapped_ratio,
)
from ringland.quantity import Estimate


@given(st.floats(50e-6, 500e-6), st.floats(1.5, 25.0))
@settings(max_examples=50, deadline=None)
def test_ratio_to_clearance_and_back_is_the_same_ratio(swept: float, ratio: float) -> None:
    clearance = Estimate(clearance_for_ratio(swept, ratio), 0.0)
    assert isclose(full_ratio(swept, clearance).value, ratio, rel_tol=1e-12)


def test_the_trapped_ratio_at_the_whole_stroke_is_the_full_ratio() -> None:
    clearance = Estimate(10.4e-6, 0.1e-6)
    full = full_ratio(swept_volume(0.0532, 0.056), clearance)
    assert isclose(trapped_ratio(0.0532, 0.056, clearance).value, full.value, rel_tol=1e-12)


def test_a_lower_exhaust_edge_traps_more() -> None:
    clearance = Estimate(10.4e-6, 0.1e-6)
    lower_roof = trapped_ratio(0.0532, 0.033, clearance)
    assert lower_roof.value > trapped_ratio(0.0532, 0.0275, clearance).value


def test_the_doubt_of_the_ratio_is_what_a_small_step_of_volume_does() -> None:
    swept, step = 124.5e-6, 1e-10
    here = full_ratio(swept, Estimate(10.4e-6, 0.15e-6))
    there = full_ratio(swept, Estimate(10.4e-6 + step, 0.15e-6))
    assert isclose(here.u, abs(there.value - here.value) / step * 0.15e-6, rel_tol=1e-4)


def test_parts_add_up_and_a_dish_counts_the_other_way_from_a_dome() -> None:
    base = clearance_from_parts(11e-6, gasket=1e-6, deck=0.5e-6)
    dome = clearance_from_parts(11e-6, gasket=1e-6, deck=0.5e-6, dome=2e-6)
    dish = clearance_from_parts(11e-6, gasket=1e-6, deck=0.5e-6, dome=-2e-6)
    assert isclose(base - dome, 2e-6)
    assert isclose(dish - base, 2e-6)
    assert isclose(disc(0.0545, 0.0005), pi * 0.02725**2 * 0.0005)


def test_what_stood_in_the_plug_hole_is_taken_off_with_its_doubt() -> None:
    found = clearance_in_place(Estimate(13.0e-6, 0.3e-6), Estimate(2.6e-6, 0.4e-6))
    assert isclose(found.value, 10.4e-6)
    assert isclose(found.u, 0.5e-6)


def test_depths_on_both_sides_are_averaged_because_the_piston_rocks() -> None:
    assert isclose(deck_from_depths(0.00030, 0.00010), 0.00020)
    assert isclose(deck_from_depths(-0.00010, -0.00030), -0.00020)


def test_impossible_volumes_are_refused_with_the_next_step() -> None:
    with pytest.raises(OutOfRange, match="less than was poured"):
        clearance_in_place(Estimate(2e-6, 0.0), Estimate(2.6e-6, 0.0))
    with pytest.raises(OutOfRange, match="sign of deck and dome"):
        clearance_from_parts(2e-6, gasket=0.0, deck=0.0, dome=3e-6)
    with pytest.raises(OutOfRange, match="above 1"):
        clearance_for_ratio(124e-6, 1.0)
    with pytest.raises(OutOfRange, match="bore is -1 mm"):
        swept_volume(-0.001, 0.056)
    with pytest.raises(OutOfRange, match="more than 0 mL"):
        full_ratio(124e-6, Estimate(0.0, 0.0))
    with pytest.raises(OutOfRange, match="within ±100 mm"):
        deck_from_depths(0.2, 0.0)
