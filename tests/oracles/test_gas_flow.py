"""Flow and closed volumes against published examples, closed forms and SciPy."""

from math import log, pi, sqrt

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.integrate import solve_ivp

from ringland.gas.air import R_AIR
from ringland.gas.closed_volume import fall_of, leak_area
from ringland.gas.decay import fit_decay, half_time_ratio
from ringland.gas.flow import critical_ratio, flow_function, mass_flow
from ringland.gas.leakdown import FlowTester, leak_down, share_on
from ringland.gas.pressure_test import LeakTest, temperature_drift
from ringland.quantity.units import PSI

EXACT = 1e-9
SIMPSON = 1e-6  # of the integral over the decay


def test_choked_flow_has_the_constants_of_gas_dynamics() -> None:
    # r* 0.5282818, ψ* 0.6847315, ṁ = 0.040415 p A/√T: any text on gas dynamics
    assert critical_ratio() == pytest.approx(0.5282818, abs=5e-8)
    assert flow_function(0.1) == pytest.approx(0.6847315, abs=5e-8)
    flow = mass_flow(1e6, 1e5, temperature=288.15, area=1e-4, gas_constant=287.05)
    assert flow == pytest.approx(0.040415 * 1e6 * 1e-4 / sqrt(288.15), rel=2e-5)


def test_subsonic_venturi_is_the_worked_example_of_40_cfr_1066_630() -> None:
    # 40 CFR 1066.630: Cd .890, Cf .472, At .01824 m², 98.496 kPa, M 28.7789, 296.85 K -> 2.155 m³/s
    gas_constant = 8.314472 / 28.7789e-3
    mass = 0.890 * 0.472 * 0.01824 * 98_496.0 / sqrt(gas_constant * 296.85)
    standard_density = 101_325.0 / (gas_constant * 293.15)
    assert mass / standard_density == pytest.approx(2.155, abs=1e-3)
    # the same flow through our orifice at the ratio whose flow function is that Cf
    ratio = _ratio_with(0.472)
    ours = mass_flow(
        98_496.0,
        ratio * 98_496.0,
        temperature=296.85,
        area=0.890 * 0.01824,
        gas_constant=gas_constant,
    )
    assert ours == pytest.approx(mass, rel=1e-9)


def _ratio_with(psi: float) -> float:
    low, high = critical_ratio(), 1.0
    for _ in range(80):
        middle = 0.5 * (low + high)
        low, high = (middle, high) if flow_function(middle) > psi else (low, middle)
    return low


def test_adiabatic_blowdown_by_our_flow_is_the_closed_form() -> None:
    # [1+(γ−1)/2 ψ*√(RT0) A t/V]^(−2γ/(γ−1)): p/p0 0.5820750707, T/T0 0.8567441411, exact
    volume, area, gas_constant = 1e-4, 1e-6, 287.05

    def rates(_: float, y: np.ndarray) -> list[float]:
        m, T = y
        p = m * gas_constant * T / volume
        out = mass_flow(p, 1.0, temperature=T, area=area, gas_constant=gas_constant)
        return [-out, -out * 0.4 * T / m]

    m0 = 1e6 * volume / (gas_constant * 300.0)
    end = solve_ivp(rates, (0, 0.2), [m0, 300.0], rtol=1e-11, atol=1e-16).y[:, -1]
    assert end[1] / 300.0 == pytest.approx(0.8567441411, rel=1e-5)  # R of the source has 5 digits
    assert end[0] * end[1] / (m0 * 300.0) == pytest.approx(0.5820750707, rel=5e-5)


@pytest.mark.parametrize(("start", "end"), [(40e3, 22e3), (40e3, 39e3), (-35e3, -20e3), (6e5, 1e5)])
def test_area_of_a_leak_turns_back_the_solution_of_its_equation(start: float, end: float) -> None:
    ambient, volume, area = 101_325.0, 4e-4, 1e-9

    def rate(_: float, p: np.ndarray) -> list[float]:
        flow = mass_flow(float(p[0]), ambient, temperature=293.15, area=area)
        return [-flow * R_AIR * 293.15 / volume]

    def reached(_: float, p: np.ndarray) -> float:
        return float(p[0]) - (ambient + end)

    reached.terminal = True  # type: ignore[attr-defined]
    found = solve_ivp(rate, (0, 1e5), [ambient + start], events=reached, rtol=1e-10, atol=1e-6)
    assert found.t_events is not None
    duration = float(found.t_events[0][0])
    state = {"duration": duration, "volume": volume, "ambient": ambient, "temperature": 293.15}
    assert leak_area(ambient + start, ambient + end, **state) == pytest.approx(area, rel=1e-5)
    fall = fall_of(area, ambient + start, **state)
    assert fall == pytest.approx(abs(start - end), rel=1e-4)


def test_choked_isothermal_decay_is_exponential() -> None:
    # p = p0 exp(−A ψ*√(RT) t/V), exact while choked
    area = leak_area(9e5, 6e5, duration=60.0, volume=1e-3, ambient=1e5, temperature=300.0)
    exact = 1e-3 * log(9 / 6) / (flow_function(0.1) * sqrt(R_AIR * 300.0) * 60.0)
    assert area == pytest.approx(exact, rel=SIMPSON)


def test_half_times_of_a_decay_tell_hole_from_capillary() -> None:
    # t(½→¼)/t(1→½) = 1/√2 for an orifice at low pressure, 1 for a capillary; exact
    t = np.linspace(0.0, 1.0, 2001)
    assert half_time_ratio(t, 100.0 * (1 - 0.9 * t) ** 2) == pytest.approx(sqrt(0.5), abs=1e-4)
    assert half_time_ratio(t, 100.0 * np.exp(-3 * t)) == pytest.approx(1.0, abs=1e-4)


def test_a_logged_hole_of_low_pressure_has_the_half_time_ratio_of_an_orifice() -> None:
    state = {"volume": 4e-4, "ambient": 101_325.0, "temperature": 293.15}
    times = np.linspace(0, 90, 181)
    logged = [200.0 - fall_of(1e-9, 101_525.0, duration=t, **state) for t in times[1:]]
    ratio = half_time_ratio(times, np.array([200.0, *logged]))
    assert ratio is not None
    assert ratio == pytest.approx(sqrt(0.5), abs=2e-3)


@pytest.mark.parametrize("seed", range(5))
@pytest.mark.parametrize("kind", ["orifice", "capillary"])
def test_fit_of_a_log_names_the_kind_it_was_made_with(seed: int, kind: str) -> None:
    random = np.random.default_rng(seed)
    t = np.arange(0.0, 1200.0, 60.0)
    state = {"volume": 4e-4, "ambient": 101_325.0, "temperature": 293.15}
    if kind == "orifice":
        clean = [40e3, *(40e3 - fall_of(7e-10, 141_325.0, duration=s, **state) for s in t[1:])]
    else:  # laminar: ln((p−pa)/(p+pa)) linear in time, Hagen-Poiseuille for a gas
        x = 40e3 / (40e3 + 202_650.0) * np.exp(-t / 700.0)
        clean = list(202_650.0 * x / (1 - x))
    noisy = np.array(clean) + random.normal(0.0, 150.0, t.size)
    assert fit_decay(t.tolist(), noisy.tolist(), u_pressure=150.0).kind == kind


def test_interval_of_a_fitted_area_covers_the_truth_at_its_rate() -> None:
    t = np.arange(0.0, 900.0, 60.0)
    state = {"volume": 4e-4, "ambient": 101_325.0, "temperature": 293.15}
    clean = np.array(
        [40e3, *(40e3 - fall_of(7e-10, 141_325.0, duration=s, **state) for s in t[1:])]
    )
    z = []
    for seed in range(120):
        noisy = clean + np.random.default_rng(seed).normal(0.0, 200.0, t.size)
        found = fit_decay(t.tolist(), noisy.tolist(), u_pressure=200.0, volume=4e-4).area
        assert found is not None
        z.append((found.value - 7e-10) / found.u)
    # 120 draws: mean within 3/√120, standard deviation within 3/√240 of 1
    assert abs(np.mean(z)) < 0.28
    assert np.std(z) == pytest.approx(1.0, abs=0.2)


def test_one_kelvin_at_six_psi_is_0_0706_psi() -> None:
    # ideal gas at constant volume, 20 °C, 1 atm
    psi = float(PSI)
    test = LeakTest(6 * psi, 6 * psi, 60.0, warmed=-1.0, u_warmed=0.0)
    assert temperature_drift(test).value / psi == pytest.approx(0.0706, abs=5e-5)


def test_two_equal_orifices_in_a_row_share_the_drop_as_fluids_says() -> None:
    # independent: choked and subsonic mass flow equal, by root finding in SciPy
    from scipy.optimize import brentq

    tester = FlowTester()
    up, down, area = 80 * float(PSI) + 101_325.0, 101_325.0, 0.3e-6

    def excess(p: float) -> float:
        return tester.area * _nozzle(up, p) - area * _nozzle(p, down)

    between = brentq(excess, down + 1, up - 1)
    assert share_on(area, up - down, tester) == pytest.approx(
        (up - between) / (up - down), rel=1e-6
    )


def _nozzle(up: float, down: float) -> float:
    """Mass flow per area at 293.15 K from the area-Mach relation, not from ψ."""
    mach = sqrt(5.0 * ((up / down) ** (1 / 3.5) - 1.0))
    if mach > 1.0:
        mach = 1.0
    return up * mach * sqrt(1.4 / (R_AIR * 293.15)) * (1 + 0.2 * mach * mach) ** -3


@settings(deadline=None, max_examples=40)
@given(st.floats(2e5, 6.5e5), st.floats(0.02, 0.95))
def test_leak_down_finds_the_area_that_makes_its_reading(supply: float, share: float) -> None:
    found = leak_down(supply, supply * (1 - share))
    assert found.area is not None
    assert share_on(found.area.value, supply, FlowTester()) == pytest.approx(share, rel=1e-6)


def test_common_tester_orifice_is_that_of_the_circular() -> None:
    # FAA AC 43.13-1B, 8-14: 0.040 in below 5 in bore
    assert FlowTester().area == pytest.approx(0.75 * pi / 4 * (0.040 * 0.0254) ** 2, rel=EXACT)
