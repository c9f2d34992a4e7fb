"""The adapter's setting against published worked examples and exact cases."""

from math import cos, pi, radians

import pytest
from uncertainties import ufloat
from uncertainties.umath import cos as ucos

from ringland.fasten.adapter import (
    delivered,
    delivered_estimate,
    setting,
    setting_estimate,
    setting_sensitivities,
)
from ringland.quantity import Estimate

# what each source prints: whole units, or two decimals
PRINTED = [
    # torque, wrench, adapter, angle [deg], set, printed digits, source (lengths in the source's unit)
    (40, 12, 4, 0, 30, 0, "US Army TM 9-2350-261-20-1, p. 2-29"),
    (300, 10, 4, 0, 214, 0, "US Army TM 1-1500-204-23-9, fig. 8-16"),
    (135, 10, 1.5, 0, 117.39, 2, "an aircraft maintenance manual, ch. 20 (2010)"),
    (135, 10, 1.5, 180, 158.82, 2, "the same; FAA AC 43.13-1B ch. 7 from memory"),
    (20, 14, 3, 0, 16.5, 1, "an off-road vehicle's service manual, p. 1-15"),
    (180, 13.5, 1.25, 0, 165, 0, "an aerial lift's torque criteria, example E"),
    (50, 16, 2, 0, 44.44, 2, "a torque wrench's leaflet, straight adapter"),
]
EXACT = 1e-4  # the values are given to four decimals


@pytest.mark.parametrize(
    ("torque", "wrench", "arm", "angle", "expected", "digits", "source"), PRINTED
)
def test_the_setting_is_the_one_printed_in_torque_manuals(
    torque: float,
    wrench: float,
    arm: float,
    angle: float,
    expected: float,
    digits: int,
    source: str,
) -> None:
    assert round(setting(torque, wrench, arm, radians(angle)), digits) == expected, source


def test_the_inverse_is_the_one_printed_in_a_calibration_manual() -> None:
    """US Army TM 9-254, chapter 4, figure 4-5: set 60, lever 12, extension 2."""
    assert delivered(60, 12, 2, 0) == pytest.approx(70, rel=1e-12)


@pytest.mark.parametrize(
    ("angle", "expected"), [(0, 17.142857), (45, 17.8915), (90, 20.0), (135, 22.6719), (180, 24.0)]
)
def test_the_setting_follows_the_cosine(angle: float, expected: float) -> None:
    """S = T L / (L + A cos theta): exact; TM 9-254 fig. 4-6 has the same cosine."""
    assert setting(20, 0.300, 0.050, radians(angle)) == pytest.approx(expected, abs=EXACT)


@pytest.mark.parametrize("reach", [0.01, 0.05, 0.29, 0.9])
def test_square_to_the_wrench_nothing_is_corrected(reach: float) -> None:
    """Several manuals say so; exact since cos 90 is 0."""
    assert setting(30, 0.3, reach, pi / 2) == pytest.approx(30, rel=1e-12)


def test_a_lever_read_at_45_degrees_is_the_one_printed() -> None:
    """An aerial lift's torque criteria, example B: a 3 in adapter at 45 degrees counts 2.125 in
    (rounded up by the source to the next eighth: 2.121)."""
    counted = delivered(1, 13.5, 3, radians(45)) * 13.5 - 13.5
    assert counted == pytest.approx(2.125, abs=0.005)


def test_the_uncertainty_at_45_degrees_is_the_worked_one() -> None:
    """JCGM 100 by hand: u(L) 2 mm, u(A) 0.5 mm, u(theta) 3 degrees give 0.10133 N·m."""
    found = setting_estimate(
        Estimate(20, 0),
        Estimate(0.300, 0.002),
        Estimate(0.050, 0.0005),
        Estimate(radians(45), radians(3)),
    )
    assert found.u == pytest.approx(0.10133, abs=5e-6)


@pytest.mark.parametrize("angle", [5, 45, 90, 135, 170])
def test_the_uncertainty_is_that_of_an_independent_library(angle: float) -> None:
    """The package `uncertainties` differentiates the formula on its own."""
    torque, wrench, arm = ufloat(20, 0.3), ufloat(0.300, 0.002), ufloat(0.050, 0.0005)
    theta = ufloat(radians(angle), radians(3))
    other = torque * wrench / (wrench + arm * ucos(theta))
    found = setting_estimate(
        Estimate(20, 0.3),
        Estimate(0.300, 0.002),
        Estimate(0.050, 0.0005),
        Estimate(radians(angle), radians(3)),
    )
    assert found.value == pytest.approx(other.nominal_value, rel=1e-12)
    assert found.u == pytest.approx(other.std_dev, rel=1e-9)


@pytest.mark.parametrize("angle", [0, 45, 90, 135, 170])
def test_the_uncertainty_at_the_nut_is_that_of_an_independent_library(angle: float) -> None:
    shown, wrench, arm = ufloat(20, 0.46), ufloat(0.300, 0.02), ufloat(0.050, 0.005)
    theta = ufloat(radians(angle), radians(3))
    other = shown * (wrench + arm * ucos(theta)) / wrench
    found = delivered_estimate(
        Estimate(20, 0.46),
        Estimate(0.300, 0.02),
        Estimate(0.050, 0.005),
        Estimate(radians(angle), radians(3)),
    )
    assert found.value == pytest.approx(other.nominal_value, rel=1e-12)
    assert found.u == pytest.approx(other.std_dev, rel=1e-9)


def test_the_sensitivities_are_the_slopes_of_the_setting() -> None:
    at = (20.0, 0.300, 0.050, radians(50))
    found = setting_sensitivities(*at)
    step = 1e-6
    for place, slope in enumerate(
        (found.torque, found.wrench_length, found.adapter_length, found.angle)
    ):
        up, down = list(at), list(at)
        up[place] += step
        down[place] -= step
        assert slope == pytest.approx((setting(*up) - setting(*down)) / (2 * step), rel=1e-6)


def test_the_worked_mistake_of_the_trade_comes_out() -> None:
    """Common practice: left at 30 N·m in line, 300 and 50 mm, the nut gets 35.0 (17 % more);
    at 80 degrees 2.9 % more."""
    assert delivered(30, 300, 50, 0) == pytest.approx(35.0, rel=1e-12)
    assert delivered(30, 300, 50, radians(80)) / 30 - 1 == pytest.approx(0.029, abs=5e-4)
    assert cos(radians(80)) > 0  # past square it would be less
