"""The adapter's setting: identities, directions and refusals."""

from math import pi, radians

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from ringland.fasten.adapter import (
    AdapterError,
    delivered,
    delivered_estimate,
    lever_ratio,
    setting,
    setting_estimate,
)
from ringland.quantity import Estimate

ROUNDING = 1e-9

torques = st.floats(0.5, 200)
wrenches = st.floats(0.1, 1.0)
shares = st.floats(0.0, 0.95)  # of the wrench, so that a lever is always left
angles = st.floats(0, pi)


@settings(deadline=None, max_examples=200)
@given(torques, wrenches, shares, angles)
def test_what_is_set_comes_back_as_what_the_nut_gets(
    torque: float, wrench: float, share: float, angle: float
) -> None:
    geometry = (wrench, share * wrench, angle)
    assert delivered(setting(torque, *geometry), *geometry) == pytest.approx(torque, rel=ROUNDING)


@settings(deadline=None, max_examples=100)
@given(torques, wrenches, shares, angles, angles)
def test_the_further_folded_back_the_more_is_set(
    torque: float, wrench: float, share: float, one: float, other: float
) -> None:
    low, high = sorted((one, other))
    arm = share * wrench
    assert setting(torque, wrench, arm, low) <= setting(torque, wrench, arm, high) * (1 + ROUNDING)


@settings(deadline=None, max_examples=100)
@given(torques, wrenches, shares, angles, st.floats(0.01, 100))
def test_the_unit_of_length_does_not_matter(
    torque: float, wrench: float, share: float, angle: float, scale: float
) -> None:
    one = setting(torque, wrench, share * wrench, angle)
    other = setting(torque, wrench * scale, share * wrench * scale, angle)
    assert other == pytest.approx(one, rel=ROUNDING)


def test_no_adapter_needs_no_correction() -> None:
    assert setting(30, 0.3, 0.0, 0.7) == pytest.approx(30)


@pytest.mark.parametrize("degrees", [180, 150, 121])
def test_an_adapter_that_leaves_no_lever_is_refused_with_the_next_step(degrees: float) -> None:
    with pytest.raises(AdapterError, match=r"no lever is left.*90 deg"):
        setting(30, 0.05, 0.1, radians(degrees))


def test_an_adapter_just_as_long_as_the_wrench_folded_back_divides_by_nothing() -> None:
    with pytest.raises(AdapterError, match="no lever is left"):
        setting(30, 0.3, 0.3, pi)
    with pytest.raises(AdapterError, match="no lever is left"):
        lever_ratio(0.05, 0.1, radians(120))  # its cosine is rounded: not exactly a half


@pytest.mark.parametrize(
    ("geometry", "named"),
    [
        ((0.0, 0.05, 0.0), "length of the wrench"),
        ((float("nan"), 0.05, 0.0), "length of the wrench"),
        ((0.3, -0.05, 0.0), "length of the adapter"),
        ((0.3, 0.05, radians(200)), "200 deg"),
        ((0.3, 0.05, -0.1), "angle"),
    ],
)
def test_bad_geometry_is_named_with_its_value(
    geometry: tuple[float, float, float], named: str
) -> None:
    with pytest.raises(AdapterError, match=named):
        setting(30, *geometry)


@pytest.mark.parametrize("torque", [0.0, -3.0, float("inf"), float("nan")])
def test_a_torque_is_above_nothing(torque: float) -> None:
    with pytest.raises(AdapterError, match="above 0"):
        setting(torque, 0.3, 0.05, 0.0)
    with pytest.raises(AdapterError, match="above 0"):
        delivered(torque, 0.3, 0.05, 0.0)


def test_square_the_lengths_count_for_nothing_and_the_angle_for_most() -> None:
    exact = Estimate(20, 0)
    square = Estimate(pi / 2, 0)
    lengths = setting_estimate(exact, Estimate(0.3, 0.01), Estimate(0.05, 0.01), square)
    angle = setting_estimate(
        exact, Estimate(0.3, 0), Estimate(0.05, 0), Estimate(pi / 2, radians(3))
    )
    assert lengths.u == pytest.approx(0, abs=1e-12)
    assert angle.u == pytest.approx(20 * 0.05 / 0.3 * radians(3))


def test_the_wrench_s_own_deviation_reaches_the_nut_in_proportion() -> None:
    exact = Estimate(0.3, 0), Estimate(0.05, 0), Estimate(0.0, 0)
    found = delivered_estimate(Estimate(20, 0.2), *exact)
    assert found.u / found.value == pytest.approx(0.2 / 20)


def test_few_readings_of_a_length_leave_few_degrees_of_freedom() -> None:
    one = Estimate(0.05, 0.001, dof=3)
    found = setting_estimate(Estimate(20, 0), Estimate(0.3, 0), one, Estimate(0.0, 0))
    assert found.dof == pytest.approx(3)
