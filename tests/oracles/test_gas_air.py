"""Air against published tables and other libraries."""

import psychrolib
import pytest
from CoolProp.CoolProp import HAPropsSI

from ringland.gas.air import (
    ideal_moist_air,
    moist_air,
    saturation_pressure,
    standard_atmosphere,
    station_pressure,
)
from ringland.gas.mixture import mixture_change
from ringland.gas.working_gas import AIR

TABLE_PRESSURE = 0.6  # Pa, the table prints whole pascals
CIPM_DIGITS = 6e-6  # kg/m^3, five decimals are given
CHART_READING = 1.2e-4  # the example reads W off a chart
COOLPROP = 6e-4  # CoolProp's moist air is a virial mixture of its own; CIPM claims 2.2e-5


@pytest.mark.parametrize(
    ("altitude", "pressure", "temperature", "density"),
    [
        (0.0, 101_325.0, 288.15, 1.2250),
        (1000.0, 89_876.0, 281.65, 1.1117),
        (2000.0, 79_501.0, 275.15, 1.0066),
        (3000.0, 70_121.0, 268.66, 0.9093),
    ],
)
def test_standard_atmosphere_is_the_table_of_1976(
    altitude: float, pressure: float, temperature: float, density: float
) -> None:
    # US Standard Atmosphere 1976, table I, geometric altitude
    air = standard_atmosphere(altitude)
    assert air.pressure == pytest.approx(pressure, abs=TABLE_PRESSURE)
    assert air.temperature == pytest.approx(temperature, abs=0.006)
    assert air.density == pytest.approx(density, abs=6e-5)


def test_moist_air_is_cipm_2007() -> None:
    # CIPM-2007, Metrologia 45 (2008) 149: 20 °C, 101325 Pa, 50 %
    air = moist_air(101_325.0, 293.15, 0.5)
    assert air.density == pytest.approx(1.19931, abs=CIPM_DIGITS)
    assert saturation_pressure(293.15) == pytest.approx(2339.16, abs=0.005)


@pytest.mark.parametrize("pressure", [75e3, 90e3, 101_325.0])
@pytest.mark.parametrize("temperature", [283.15, 293.15, 303.15])
@pytest.mark.parametrize("humidity", [0.0, 0.4, 0.9])
def test_moist_air_agrees_with_coolprop(
    pressure: float, temperature: float, humidity: float
) -> None:
    volume = HAPropsSI("Vha", "P", pressure, "T", temperature, "R", humidity)
    air = moist_air(pressure, temperature, humidity)
    assert air.density == pytest.approx(1 / volume, rel=COOLPROP)


def test_dry_part_agrees_with_psychrolib() -> None:
    # ASHRAE Fundamentals 2017, ch. 1: 40 °C dry bulb, 20 °C wet bulb -> W 0.0065, RH 14 %
    psychrolib.SetUnitSystem(psychrolib.SI)
    ratio = psychrolib.GetHumRatioFromTWetBulb(40.0, 20.0, 101_325.0)
    humidity = psychrolib.GetRelHumFromTWetBulb(40.0, 20.0, 101_325.0)
    assert ratio == pytest.approx(0.0065, abs=CHART_READING)
    assert humidity == pytest.approx(0.14, abs=0.005)
    air = ideal_moist_air(101_325.0, 313.15, humidity)
    water = air.density - air.dry_density
    assert water / air.dry_density == pytest.approx(ratio, rel=6e-3)
    specific_volume = psychrolib.GetMoistAirVolume(40.0, ratio, 101_325.0)
    assert 1 / air.dry_density == pytest.approx(specific_volume, rel=1e-3)


@pytest.mark.parametrize("pressure", [70e3, 85e3, 105e3])
@pytest.mark.parametrize("temperature", [278.15, 298.15, 313.15])
@pytest.mark.parametrize("humidity", [0.0, 0.5, 1.0])
def test_ideal_form_is_low_by_its_stated_error(
    pressure: float, temperature: float, humidity: float
) -> None:
    exact = moist_air(pressure, temperature, humidity).density
    ideal = ideal_moist_air(pressure, temperature, humidity).density
    assert -0.0006 < ideal / exact - 1 < -0.0001


@pytest.mark.parametrize(
    ("temperature", "gamma"),
    [(300.0, 1.400), (400.0, 1.395), (500.0, 1.387), (600.0, 1.376), (700.0, 1.364)],
)
def test_gamma_of_air_is_that_of_nbs_circular_564(temperature: float, gamma: float) -> None:
    # NBS Circular 564 (1955), real air at one atmosphere, three decimals; ours is the ideal gas
    import numpy as np

    k = float(AIR.exponent(np.array([temperature]))[0])
    assert 1 + k == pytest.approx(gamma, abs=1.3e-3)


def test_altitude_acts_on_a_gauge_by_pressure_and_not_by_density() -> None:
    # 5000 ft: pressure ratio 0.832, density ratio 0.862 (US Standard Atmosphere 1976)
    air = standard_atmosphere(5000 * 0.3048)
    assert air.pressure / 101_325 == pytest.approx(0.832, abs=6e-4)
    assert air.density / 1.225 == pytest.approx(0.862, abs=6e-4)
    assert station_pressure(101_325.0, 5000 * 0.3048) == air.pressure


def test_jet_of_dry_air_goes_with_the_root_of_density_and_its_bore_with_the_fourth_root() -> None:
    # venturi theory, exact: constant mixture asks area ~ √ρ, diameter ~ ρ^¼
    low, high = standard_atmosphere(0.0), standard_atmosphere(2500.0)
    change = mixture_change(low, high)
    ratio = high.density / low.density
    assert change.area == pytest.approx(ratio**0.5, rel=1e-12)
    assert change.diameter == pytest.approx(ratio**0.25, rel=1e-12)
