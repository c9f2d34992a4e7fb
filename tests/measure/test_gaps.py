"""Leaves, stacks and end gaps."""

from math import pi, sqrt

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from ringland.measure.conformance import Interval
from ringland.measure.estimates import MeasureError
from ringland.measure.gaps import (
    estimate_of_interval,
    gap_change,
    largest_of,
    leaf_interval,
    next_thicker,
    stack_of,
)

CHECKS = settings(max_examples=50, deadline=None)
SET = [0.00005, 0.00010, 0.00015, 0.00020, 0.00030, 0.00040, 0.00050]  # m


def test_the_thickest_that_goes_and_the_thinnest_that_stops_make_the_bracket() -> None:
    assert leaf_interval([0.0002, 0.0003], [0.0005, 0.0004]) == Interval(0.0003, 0.0004)
    assert leaf_interval([0.0003], []) == Interval(0.0003, None)
    assert leaf_interval([], [0.0003]) == Interval(None, 0.0003)


def test_a_leaf_that_goes_and_stops_is_tried_again() -> None:
    with pytest.raises(ValueError, match="try both leaves again"):
        leaf_interval([0.0003], [0.0003])
    with pytest.raises(MeasureError, match="thicker than 0"):
        leaf_interval([0.0], [0.0003])


def test_an_open_end_has_no_estimate_and_says_which_leaf_is_next() -> None:
    with pytest.raises(MeasureError, match="next thicker leaf"):
        estimate_of_interval(Interval(0.0003, None))
    with pytest.raises(MeasureError, match="next thinner leaf"):
        estimate_of_interval(Interval(None, 0.0003))


def test_the_feel_of_the_hand_is_added_to_the_step() -> None:
    found = estimate_of_interval(Interval(0.00035, 0.00040), feel=10e-6)
    assert found.u == pytest.approx(sqrt(50e-6**2 / 12 + 10e-6**2))


def test_a_reading_is_a_leaf_or_a_stack_of_leaves_or_nothing_the_set_can_show() -> None:
    assert stack_of(0.00030, SET) == (0.00030,)
    assert stack_of(0.00055, SET) == (0.00005, 0.00050)
    assert stack_of(0.00033, SET) is None
    assert stack_of(0.00090, SET, most=1) is None


@CHECKS
@given(st.lists(st.sampled_from(SET), min_size=1, max_size=3, unique=True))
def test_whatever_is_stacked_is_found_again(stack: list[float]) -> None:
    found = stack_of(sum(stack), SET)
    assert found is not None
    assert sum(found) == pytest.approx(sum(stack))
    assert len(found) <= len(stack)


@CHECKS
@given(st.sampled_from(SET))
def test_the_next_leaf_to_try_is_thicker_and_can_be_shown(leaf: float) -> None:
    thicker = next_thicker(leaf, SET)
    assert thicker is not None
    assert thicker > leaf
    assert stack_of(thicker, SET) is not None
    between = [each for each in SET if leaf < each < thicker - 1e-9]
    assert not between


def test_a_set_has_an_end() -> None:
    assert next_thicker(sum(SET), SET) is None


def test_a_face_is_as_bad_as_its_worst_line() -> None:
    lines = [Interval(None, 0.03), Interval(0.05, 0.08), Interval(0.03, 0.05)]
    assert largest_of(lines) == Interval(0.05, 0.08)
    assert largest_of([*lines, Interval(0.04, None)]) == Interval(0.05, None)
    assert largest_of([Interval(None, 0.03), Interval(None, 0.05)]) == Interval(None, 0.05)
    with pytest.raises(MeasureError, match="at least one"):
        largest_of([])


def test_the_gap_opens_by_pi_times_the_bore() -> None:
    """Story S1: 0.31 low and 0.34 high agree with a taper of about 0.010."""
    assert gap_change(0.03 / pi) == pytest.approx(0.03)
