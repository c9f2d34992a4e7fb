"""Threads, preload and stripping: directions, limits and refusals."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from ringland.fasten.preload import (
    CONDITIONS,
    at_yield_share,
    preload_at,
    preload_by_nut_factor,
    preload_range,
    torque_per_force,
)
from ringland.fasten.stripping import engagement_for, weakest
from ringland.fasten.threads import (
    CLASSES,
    COARSE,
    ThreadError,
    find_class,
    parse_thread,
    stress_area,
)

THREADS = [f"M{size}" for size in COARSE]
frictions = st.floats(0.05, 0.30)


@pytest.mark.parametrize("size", THREADS)
def test_a_coarse_thread_reads_back_as_it_is_written(size: str) -> None:
    assert parse_thread(size).name == size
    assert parse_thread(f" {size.lower()} ") == parse_thread(size)


@pytest.mark.parametrize("text", ["M8x1", "M8×1", "M 8 x 1,0", "m8-1"])
def test_a_fine_thread_is_read_however_it_is_written(text: str) -> None:
    assert parse_thread(text).name == "M8x1"


@pytest.mark.parametrize(
    ("text", "told"),
    [
        ("8x1", "not a metric thread"),
        ("M9", "not a size"),
        ("M8x2", "coarse pitch is 1.25 mm"),
        ("M8x0.1", "does not go"),
        ("M8.5", "not a size"),
    ],
)
def test_a_thread_that_is_none_is_refused_with_what_would_do(text: str, told: str) -> None:
    with pytest.raises(ThreadError, match=told):
        parse_thread(text)


def test_a_finer_pitch_leaves_a_larger_stress_area() -> None:
    assert stress_area(parse_thread("M8x1")) > stress_area(parse_thread("M8"))


def test_a_class_says_what_it_means() -> None:
    """ISO 898-1: first figure a hundredth of the tensile strength, second the yield ratio."""
    for name, screw in CLASSES.items():
        hundreds, tenths = name.split(".")
        nominal = int(hundreds) * 100e6
        assert nominal <= screw.tensile <= 1.06 * nominal
        assert screw.proof < screw.yield_stress < screw.tensile
        assert screw.yield_stress == pytest.approx(nominal * int(tenths) / 10, rel=0.07)


def test_an_unknown_class_is_refused() -> None:
    with pytest.raises(ThreadError, match="read it on the head"):
        find_class("11.9")


@settings(deadline=None, max_examples=100)
@given(st.sampled_from(THREADS), st.floats(1, 60), frictions, frictions)
def test_more_friction_never_clamps_more(
    size: str, torque: float, one: float, other: float
) -> None:
    low, high = preload_range(
        parse_thread(size), find_class("8.8"), torque, (min(one, other), max(one, other))
    )
    assert low.force <= high.force
    assert low.friction >= high.friction


@settings(deadline=None, max_examples=100)
@given(st.sampled_from(THREADS), st.sampled_from(sorted(CLASSES)), frictions, st.floats(0.1, 1))
def test_the_torque_at_a_share_of_yield_uses_that_share(
    size: str, name: str, friction: float, share: float
) -> None:
    thread, screw = parse_thread(size), find_class(name)
    force, torque = at_yield_share(thread, screw, friction, share=share)
    back = preload_at(thread, screw, torque, friction)
    assert back.force == pytest.approx(force)
    assert back.yield_share == pytest.approx(share)


def test_a_wider_bearing_face_clamps_less() -> None:
    thread = parse_thread("M8")
    flanged = torque_per_force(thread, 0.14, bearing=(0.0158, 0.009))
    assert flanged > torque_per_force(thread, 0.14)


def test_a_bearing_face_inside_the_screw_is_refused() -> None:
    with pytest.raises(ValueError, match="does not go round"):
        torque_per_force(parse_thread("M8"), 0.14, bearing=(0.006, 0.004))


@pytest.mark.parametrize("friction", [0.0, 0.01, 1.5, float("nan")])
def test_a_friction_that_is_none_is_refused(friction: float) -> None:
    with pytest.raises(ThreadError, match="friction"):
        preload_at(parse_thread("M8"), find_class("8.8"), 24, friction)


def test_friction_runs_upward_and_shares_lie_within_one() -> None:
    thread, screw = parse_thread("M8"), find_class("8.8")
    with pytest.raises(ValueError, match="smaller first"):
        preload_range(thread, screw, 24, (0.2, 0.1))
    with pytest.raises(ValueError, match="share"):
        at_yield_share(thread, screw, 0.12, share=1.2)
    with pytest.raises(ValueError, match="above 0"):
        preload_at(thread, screw, -1, 0.12)
    with pytest.raises(ValueError, match="above 0"):
        preload_by_nut_factor(24, 0.008, 0)


def test_oil_clamps_more_than_dry_by_about_what_the_trade_says() -> None:
    """Common practice: oil on a dry figure raises the clamp force by about 20 to 30 % or more."""
    thread, screw = parse_thread("M8"), find_class("8.8")
    dry, oiled = CONDITIONS["dry"], CONDITIONS["oiled"]
    middle = [
        preload_at(thread, screw, 24, (each.low + each.high) / 2).force for each in (dry, oiled)
    ]
    assert 1.2 < middle[1] / middle[0] < 1.7


def test_steel_in_aluminium_strips_the_aluminium_first_until_it_is_deep_enough() -> None:
    thread, screw = parse_thread("M8"), find_class("8.8")
    shallow = weakest(thread, screw, 0.008, part_shear=140e6)
    deep = weakest(thread, screw, 0.024, part_shear=140e6)
    assert shallow.weakest == "part"
    assert deep.weakest == "screw"
    assert deep.force == deep.breaks


def test_a_soft_screw_in_hard_steel_strips_its_own_thread() -> None:
    found = weakest(parse_thread("M8"), find_class("4.6"), 0.004, part_shear=700e6)
    assert found.weakest == "screw thread"


@settings(deadline=None, max_examples=50)
@given(st.sampled_from(THREADS), st.floats(1e3, 1e5), st.floats(80e6, 300e6))
def test_the_engagement_for_a_force_just_bears_it(size: str, force: float, shear: float) -> None:
    thread = parse_thread(size)
    engaged = engagement_for(thread, force, part_shear=shear)
    found = weakest(thread, find_class("12.9"), engaged, part_shear=shear)
    assert found.part_strips == pytest.approx(force)


def test_an_engaged_length_or_strength_of_nothing_is_refused() -> None:
    thread, screw = parse_thread("M8"), find_class("8.8")
    with pytest.raises(ValueError, match="engaged length"):
        weakest(thread, screw, 0.0, part_shear=140e6)
    with pytest.raises(ValueError, match="shear strength"):
        weakest(thread, screw, 0.01, part_shear=0.0)
    with pytest.raises(ValueError, match="above 0"):
        engagement_for(thread, 0.0, part_shear=140e6)
