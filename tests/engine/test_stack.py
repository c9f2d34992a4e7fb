"""Gasket choice: thicker never means less squish, best first, ratio and timing beside each."""

from math import isclose, sqrt

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from ringland.engine.ports import Port, window
from ringland.engine.refusal import OutOfRange
from ringland.engine.slider_crank import Crank
from ringland.engine.stack import (
    WANTED,
    Layout,
    Stack,
    change_wanted,
    height_change,
    rank_stacks,
    squish_with,
    stacks_of,
)
from ringland.engine.volumes import bore_area, full_ratio, swept_volume
from ringland.quantity import Estimate
from ringland.quantity.probability import probability_within

LIMITS = (1.00e-3, 1.40e-3)
FITTED = Stack(0.4e-3)
CRANK = Crank(0.056, 0.105)
PORTS = (
    Port("exhaust", 0.0275, "exhaust"),
    Port("exhaust, valve closed", 0.0330, "exhaust"),
    Port("transfer", 0.0415, "transfer"),
)
LAYOUT = Layout(CRANK, 0.0532, Estimate(10.4e-6, 0.1e-6), PORTS)
thickness = st.floats(0.0, 0.002)


@given(thickness, thickness, thickness, thickness)
@settings(max_examples=100, deadline=None)
def test_a_thicker_gasket_never_lowers_squish(
    base: float, more: float, head: float, skim: float
) -> None:
    measured = Estimate(1.2e-3, 1e-5)
    for thin, thick in (
        (Stack(base, head, skim), Stack(base + more, head, skim)),
        (Stack(base, head, skim), Stack(base, head + more, skim)),
        (Stack(base, head, skim + more), Stack(base, head, skim)),
    ):
        low, high = (squish_with(measured, FITTED, each, u_swap=0.0) for each in (thin, thick))
        assert high.value >= low.value


def test_a_gasket_left_in_adds_no_doubt_and_each_renewed_one_adds_its_own() -> None:
    measured = Estimate(1.2e-3, 15e-6)
    same = squish_with(measured, FITTED, FITTED, u_swap=10e-6)
    one = squish_with(measured, FITTED, Stack(0.5e-3), u_swap=10e-6)
    both = squish_with(measured, FITTED, Stack(0.5e-3, 0.3e-3), u_swap=10e-6)
    assert same.u == 15e-6
    assert isclose(one.u, sqrt(15**2 + 10**2) * 1e-6)
    assert isclose(both.u, sqrt(15**2 + 2 * 10**2) * 1e-6)


def test_the_overheated_engine_gets_one_step_more_and_is_told_what_it_moves() -> None:
    # Story: head lapped 0.06, squish 1.14 ± 0.03 against 1.15 at least -> one step of 0.10 more
    limits = (1.15e-3, 1.60e-3)
    measured = Estimate(1.14e-3, 0.015e-3)
    as_it_is = probability_within(measured, *limits)
    assert 0.05 < as_it_is < 0.95
    options = stacks_of([0.4e-3, 0.5e-3])
    best = rank_stacks(measured, FITTED, options, limits=limits, u_swap=5e-6, layout=LAYOUT)[0]
    assert best.stack == Stack(0.5e-3)
    assert isclose(best.squish.value, 1.24e-3)
    assert best.probability > WANTED
    before = window(CRANK, PORTS[0])
    assert best.windows[0].duration > before.duration


def test_machining_comes_after_a_gasket_that_does_it_too() -> None:
    measured = Estimate(1.40e-3, 10e-6)
    options = stacks_of([0.4e-3, 0.3e-3], skims=[0.0, 0.2e-3])
    ranked = rank_stacks(measured, FITTED, options, limits=LIMITS, u_swap=5e-6)
    assert ranked[0].stack == Stack(0.3e-3)  # 1.30 without machining, though a skim gives 1.20
    assert [each.stack.skim > 0 for each in ranked[1:3]] == [True, True]
    assert ranked[-1].stack == FITTED


def test_choices_that_miss_stand_by_their_probability() -> None:
    options = stacks_of([0.1e-3, 0.2e-3, 0.3e-3])
    ranked = rank_stacks(Estimate(1.0e-3, 50e-6), FITTED, options, limits=LIMITS, u_swap=0.0)
    assert [each.stack.base for each in ranked] == [0.3e-3, 0.2e-3, 0.1e-3]
    chances = [each.probability for each in ranked]
    assert chances == sorted(chances, reverse=True)


def test_a_base_gasket_moves_ports_and_volume_and_a_skim_only_the_volume() -> None:
    options = [FITTED, Stack(0.5e-3), Stack(0.4e-3, 0.0, 0.1e-3)]
    found = {
        each.stack: each
        for each in rank_stacks(
            Estimate(1.2e-3, 1e-5), FITTED, options, limits=LIMITS, u_swap=0.0, layout=LAYOUT
        )
    }
    as_is, thicker, skimmed = (found[each] for each in options)
    assert thicker.windows[2].duration > as_is.windows[2].duration
    assert skimmed.windows == as_is.windows
    assert as_is.full is not None
    assert thicker.full is not None
    assert skimmed.full is not None
    assert thicker.full.value < as_is.full.value < skimmed.full.value
    clearance = Estimate(10.4e-6 + bore_area(0.0532) * 0.1e-3, 0.1e-6)
    assert isclose(thicker.full.value, full_ratio(swept_volume(0.0532, 0.056), clearance).value)
    assert [name for name, _ in thicker.trapped] == ["exhaust", "exhaust, valve closed"]


def test_without_a_clearance_volume_there_is_timing_and_no_ratio() -> None:
    layout = Layout(CRANK, 0.0532, None, PORTS)
    found = rank_stacks(
        Estimate(1.2e-3, 1e-5), FITTED, [FITTED], limits=LIMITS, u_swap=0.0, layout=layout
    )[0]
    assert found.full is None
    assert found.trapped == ()
    assert len(found.windows) == 3


@given(st.floats(0.2e-3, 3e-3), st.floats(1e-6, 60e-6), st.sampled_from([2.0, 5.0, float("inf")]))
@settings(max_examples=60, deadline=None)
def test_the_change_wanted_just_reaches_the_wanted_probability(
    squish: float, u: float, dof: float
) -> None:
    measured = Estimate(squish, u, dof)
    change = change_wanted(measured, LIMITS, u_swap=0.0)
    if change is None:
        middle = Estimate(1.2e-3, u, dof)
        assert probability_within(middle, *LIMITS) < WANTED
        return
    for end, past in ((change[0], -1e-6), (change[1], 1e-6)):
        here = probability_within(Estimate(squish + end, u, dof), *LIMITS)
        there = probability_within(Estimate(squish + end + past, u, dof), *LIMITS)
        assert here >= WANTED > there


def test_a_window_narrower_than_the_doubt_has_no_sure_change() -> None:
    assert change_wanted(Estimate(1.2e-3, 50e-6), (1.15e-3, 1.25e-3), u_swap=0.0) is None


def test_what_cannot_be_stacked_is_refused() -> None:
    measured = Estimate(1.2e-3, 1e-5)
    with pytest.raises(OutOfRange, match=r"base is -0\.1 mm"):
        Stack(-0.1e-3)
    with pytest.raises(OutOfRange, match="no gasket to choose"):
        rank_stacks(measured, FITTED, [], limits=LIMITS, u_swap=0.0)
    with pytest.raises(OutOfRange, match="smaller limit first"):
        rank_stacks(measured, FITTED, [FITTED], limits=(1.4e-3, 1.0e-3), u_swap=0.0)
    with pytest.raises(OutOfRange, match="no clearance volume"):
        rank_stacks(
            measured, FITTED, [Stack(0.0, 0.0, 8e-3)], limits=LIMITS, u_swap=0.0, layout=LAYOUT
        )
    with pytest.raises(OutOfRange, match=r"0\.5 or more"):
        change_wanted(measured, LIMITS, u_swap=0.0, probability=0.3)
    assert isclose(height_change(FITTED, Stack(0.5e-3, 0.1e-3, 0.05e-3)), 0.15e-3)


def test_of_stacks_that_are_sure_the_one_nearest_the_middle_comes_first() -> None:
    options = stacks_of([0.3e-3, 0.4e-3, 0.5e-3])
    for measured, order in ((1.16e-3, [0.4e-3, 0.5e-3, 0.3e-3]), (1.28e-3, [0.3e-3, 0.4e-3])):
        ranked = rank_stacks(Estimate(measured, 5e-6), FITTED, options, limits=LIMITS, u_swap=0.0)
        assert [each.stack.base for each in ranked][: len(order)] == order
