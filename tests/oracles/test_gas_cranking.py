"""The cranking model against exact limits and against SciPy's stiff solver."""

from dataclasses import replace
from itertools import pairwise
from math import exp, inf, pi, radians, sqrt

import numpy as np
import pytest
from scipy.integrate import quad

from ringland.gas.air import R_AIR
from ringland.gas.cranking import Cranking, Floats, piston_drop, pump_up
from ringland.gas.flow import flow_function
from ringland.gas.working_gas import DIATOMIC
from tests.oracles.gas_reference import Engine

ROUNDING = 1e-9
SAME_STATEMENT = 2e-4  # at a fine step; the reference's check valve resists a little
DEFAULT_STEP = 2e-3  # what the docstring states
ADIABATIC = Cranking(
    bore=0.0532,
    stroke=0.056,
    rod=0.105,
    clearance=10.5e-6,
    closing=radians(92.0),
    warming=0.0,
    heat=0.0,
    gauge=3e-6,
    gauge_cooling=inf,
)
REAL = Cranking(0.0532, 0.056, 0.105, 10.5e-6, radians(92.0), dead=0.3e-6)


def _volume(angle: float, setting: Cranking = ADIABATIC) -> float:
    drop = piston_drop(np.array(angle), np.array(setting.stroke), np.array(setting.rod))
    return float(setting.clearance) + pi / 4 * float(setting.bore) ** 2 * float(drop)


def _final(setting: Cranking, **options: float) -> float:
    """Absolute pressure after one stroke on a gauge of almost no volume [Pa]."""
    found = pump_up(replace(setting, gauge=1e-11), strokes=1, gas=DIATOMIC, **options)
    return float(found.reading[0, 0] + found.ambient[0])


def test_no_leak_no_heat_reaches_p1_times_ratio_to_gamma() -> None:
    ratio = _volume(radians(92.0)) / 10.5e-6  # adiabatic limit, exact
    assert _final(ADIABATIC) == pytest.approx(101_325.0 * ratio**1.4, rel=3e-6)


def test_gauge_pumps_up_by_the_closed_form_series() -> None:
    # y = P^(1/γ): y(n) = y∞ − (y∞ − y0) ρⁿ, ρ = Vg/(Vc+Vg), y∞ = p1^(1/γ) CR; energy balance
    ratio, rho = _volume(radians(92.0)) / 10.5e-6, 3e-6 / 13.5e-6
    y0 = 101_325.0 ** (1 / 1.4)
    closed = (y0 * ratio - (y0 * ratio - y0) * rho ** np.arange(1, 9)) ** 1.4
    found = pump_up(ADIABATIC, strokes=8, gas=DIATOMIC)
    assert found.reading[0] + 101_325.0 == pytest.approx(closed, rel=ROUNDING)


def test_slow_cranking_on_cold_walls_tends_to_the_ratio_of_volumes() -> None:
    # no leak, isothermal limit p2/p1 -> CR
    slow = replace(ADIABATIC, heat=20.0, speed=0.25, wall=293.15)
    ratio = _volume(radians(92.0)) / 10.5e-6
    assert _final(slow) / 101_325.0 == pytest.approx(ratio, rel=2e-2)


def test_isothermal_choked_leak_is_the_exponential_of_its_integral() -> None:
    # p2 = p1 CR exp(−A ψ*√(RT) ∫dt/V), exact while choked: high trapped pressure keeps it so
    area, speed = 1e-6, 2.0
    setting = replace(
        ADIABATIC,
        heat=20.0,
        speed=speed,
        wall=293.15,
        leak=area,
        trapped=1.5,
        ambient=50_000.0,
        closing=radians(60.0),
    )
    turning = 2 * pi * speed
    # the gauge keeps the highest pressure, which a large leak puts before top dead centre
    peak = max(
        _isothermal_share(angle, area, turning) for angle in np.radians(np.arange(0, 30, 0.25))
    )
    # against the model's own case without leak, so that the remaining warmth cancels; the first
    # degrees do not choke yet
    isothermal = _final(replace(setting, leak=0.0))
    assert isothermal == pytest.approx(75_000.0 * _volume(radians(60.0)) / 10.5e-6, rel=0.06)
    assert _final(setting) / isothermal == pytest.approx(peak, rel=0.02)


def _isothermal_share(angle: float, area: float, turning: float) -> float:
    """Pressure at an angle before top dead centre over the isothermal one there without leak."""
    integral = quad(lambda a: 1 / _volume(a), angle, radians(60.0))[0] / turning
    kept = exp(-area * flow_function(0.1) * sqrt(R_AIR * 293.15) * integral)
    return kept * _volume(0.0) / _volume(angle)


@pytest.mark.parametrize(
    ("leak", "speed", "heat", "cooling"),
    [
        (0.0, 8.0, 1.0, 0.02),
        (1e-6, 8.0, 1.0, 0.02),
        (3e-6, 4.0, 0.5, 0.05),
        (0.3e-6, 12.0, 2.0, 0.01),
    ],
)
def test_curve_is_that_of_a_stiff_solver(
    leak: float, speed: float, heat: float, cooling: float
) -> None:
    setting = replace(REAL, leak=leak, speed=speed, heat=heat, gauge_cooling=cooling)
    reference = _reference(setting)
    fine = pump_up(setting, strokes=5, step=radians(0.05)).reading[0]
    assert fine == pytest.approx(reference, rel=SAME_STATEMENT)
    assert pump_up(setting, strokes=5).reading[0] == pytest.approx(reference, rel=DEFAULT_STEP)


def _reference(setting: Cranking, *, beyond: float = 0.0) -> Floats:
    return Engine(setting).curve(5, beyond=beyond, method="LSODA", rtol=1e-8, atol=1e-12)


def test_nothing_more_enters_the_gauge_after_top_dead_centre() -> None:
    setting = replace(REAL, leak=0.2e-6, gauge_cooling=10.0)
    ends_there = _reference(setting)
    goes_on = _reference(setting, beyond=0.3)
    assert goes_on == pytest.approx(ends_there, rel=1e-3)


def test_step_error_is_what_the_docstring_says() -> None:
    setting = replace(REAL, leak=np.array([0.0, 0.3e-6, 1e-6, 3e-6]))
    fine = pump_up(setting, step=radians(0.02)).reading
    error = np.abs(pump_up(setting).reading / fine - 1)
    assert error.max() < 2e-3
    assert error[:, -1].max() < 5e-4


def test_error_falls_with_the_step() -> None:
    setting = replace(REAL, leak=1e-6)
    fine = pump_up(setting, step=radians(0.02)).reading
    errors = [
        float(np.abs(pump_up(setting, step=radians(s)).reading / fine - 1).max())
        for s in (4.0, 2.0, 1.0, 0.5)
    ]
    assert all(b < 0.75 * a for a, b in pairwise(errors))
