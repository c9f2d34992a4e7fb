"""The pump-up of a gauge against Cantera: a reactor network with a moving wall and a check valve.

Source: Cantera 3.x, GRI-Mech 3.0 thermodynamics. Argon's heat capacity is constant, so the closed
form holds exactly; air's follows temperature.
"""

from math import inf, pi, radians

import cantera as ct
import numpy as np
import pytest

from ringland.gas.cranking import Cranking, Floats, piston_drop, pump_up
from ringland.gas.working_gas import AIR, ARGON, DIATOMIC, WorkingGas

# Cantera 3.2 warns of a default that 3.3 changes; both behave alike here.
pytestmark = pytest.mark.filterwarnings("ignore::DeprecationWarning")

VALVE_RESISTS = 1e-3  # the network's valve has some resistance, ours none

ENGINE = Cranking(
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
AIR_COMPOSITION = "N2:0.78084, O2:0.20942, AR:0.00934, CO2:0.0004"


def _solution(composition: str, temperature: float, pressure: float) -> ct.Solution:
    gas = ct.Solution("gri30.yaml", transport_model=None)
    gas.set_multiplier(0.0)
    gas.TPX = temperature, pressure, composition
    return gas


def _network_curve(composition: str, strokes: int) -> Floats:
    """Absolute pressure in the gauge after each stroke [Pa], by a reactor network."""
    bore, stroke, rod, closing = 0.0532, 0.056, 0.105, radians(92.0)
    area, turning = pi / 4 * bore**2, 2 * pi * 8.0
    r = stroke / 2

    def speed(t: float) -> float:
        angle = -closing + turning * t
        s, c = np.sin(angle), np.cos(angle)
        return float(-turning * (r * s + r * r * s * c / np.sqrt(rod**2 - r * r * s * s)))

    drop = r * (1 - np.cos(closing)) + rod - np.sqrt(rod**2 - (r * np.sin(closing)) ** 2)
    T, p, shown = 293.15, 101_325.0, []
    for _ in range(strokes):
        cylinder = ct.IdealGasReactor(_solution(composition, 293.15, 101_325.0))
        gauge = ct.IdealGasReactor(_solution(composition, T, p))
        outside = ct.Reservoir(_solution(composition, 293.15, 101_325.0))
        cylinder.volume, gauge.volume = 10.5e-6 + area * drop, 3e-6
        wall = ct.Wall(outside, cylinder, A=area, velocity=speed)
        valve = ct.Valve(cylinder, gauge, K=3e-6)
        valve.pressure_function = lambda difference: max(difference, 0.0)
        net = ct.ReactorNet([cylinder, gauge])
        net.rtol, net.atol, net.max_time_step = 1e-9, 1e-15, 2e-4
        net.advance(closing / turning)
        assert wall.area == area
        T, p = gauge.T, gauge.density * ct.gas_constant / _mean_weight(composition) * gauge.T
        shown.append(p)
    return np.array(shown)


def _mean_weight(composition: str) -> float:
    return float(_solution(composition, 300.0, 1e5).mean_molecular_weight)


def _model_curve(gas: WorkingGas, strokes: int) -> Floats:
    found = pump_up(ENGINE, strokes=strokes, gas=gas)
    return np.asarray(found.reading[0] + found.ambient[0])


def test_argon_pumps_up_as_the_network_says() -> None:
    strokes = 4
    assert _model_curve(ARGON, strokes) == pytest.approx(
        _network_curve("AR:1", strokes), rel=VALVE_RESISTS
    )


def test_argon_in_the_network_follows_the_closed_form() -> None:
    # y = P^(1/γ): y(n) = y∞ − (y∞ − y0) ρⁿ, ρ = Vg/(Vc+Vg), y∞ = p1^(1/γ) CR; energy balance, exact
    gamma, gauge, clearance = 5 / 3, 3e-6, 10.5e-6
    drop = float(piston_drop(np.array(radians(92.0)), np.array(0.056), np.array(0.105)))
    ratio = 1 + pi / 4 * 0.0532**2 * drop / clearance
    y0 = 101_325.0 ** (1 / gamma)
    rho = gauge / (clearance + gauge)
    closed = (y0 * ratio - (y0 * ratio - y0) * rho ** np.arange(1, 5)) ** gamma
    assert _network_curve("AR:1", 4) == pytest.approx(closed, rel=VALVE_RESISTS)


def test_air_pumps_up_as_the_network_says() -> None:
    strokes = 4
    assert _model_curve(AIR, strokes) == pytest.approx(
        _network_curve(AIR_COMPOSITION, strokes), rel=VALVE_RESISTS
    )


def test_air_compressed_7_34_to_1_reaches_16_14_bar_and_constant_gamma_reads_high() -> None:
    # 7.33658:1 from 300 K and 1 atm: 16.14 bar, 651 K by Cantera; 1.4 reads 2.2 % high
    gas = _solution(AIR_COMPOSITION, 300.0, 101_325.0)
    entropy, volume = gas.entropy_mass, 1 / gas.density
    gas.SV = entropy, volume / 7.33658
    temperature = gas.T
    assert temperature == pytest.approx(651.0, abs=0.6)
    clearance = 10.5e-6
    drop = float(piston_drop(np.array(radians(92.0)), np.array(0.056), np.array(0.105)))
    bore = float(np.sqrt(4 / pi * 6.33658 * clearance / drop))
    engine = Cranking(
        bore=bore,
        stroke=0.056,
        rod=0.105,
        clearance=clearance,
        closing=radians(92.0),
        air=300.0,
        warming=0.0,
        heat=0.0,
        gauge=1e-11,
        gauge_cooling=inf,
    )
    by_air = pump_up(engine, strokes=1).reading[0, 0] + 101_325.0
    assert by_air == pytest.approx(gas.P, rel=1e-3)
    assert by_air == pytest.approx(16.14e5, rel=1e-3)
    by_constant = pump_up(engine, strokes=1, gas=DIATOMIC).reading[0, 0] + 101_325.0
    assert by_constant / by_air == pytest.approx(1.022, abs=0.001)


@pytest.mark.parametrize("temperature", [260.0, 300.0, 400.0, 500.0, 700.0, 950.0])
def test_heat_capacity_of_air_is_canteras(temperature: float) -> None:
    gas = _solution(AIR_COMPOSITION, temperature, 1e5)
    k = ct.gas_constant / gas.mean_molecular_weight / gas.cv_mass
    assert float(AIR.exponent(np.array([temperature]))[0]) == pytest.approx(k, rel=1e-6)
