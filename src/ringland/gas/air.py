"""Air: its pressure over altitude, its density with moisture, the part of it that burns.

Here: the standard atmosphere, station pressure from a weather report, moist air by CIPM-2007 and in
its ideal form. Not here: what a change of air asks of jets and power (`mixture`).
Start with `standard_atmosphere` and `moist_air`. Plain floats and `math` only, so that a command
that needs no arrays starts quickly.
"""

from math import exp, isfinite
from typing import NamedTuple

R = 8.314472  # J/(mol K), CODATA 2006, the value that CIPM-2007 uses
M_DRY = 28.96546e-3  # kg/mol, dry air with 400 ppm CO2, CIPM-2007 (Metrologia 45 (2008) 149)
M_WATER = 18.01528e-3  # kg/mol, CIPM-2007
R_AIR = R / M_DRY  # J/(kg K), dry air
ZERO_CELSIUS = 273.15  # K, definition

P0 = 101325.0  # Pa, sea level, US Standard Atmosphere 1976
T0 = 288.15  # K, sea level, US Standard Atmosphere 1976
LAPSE = 0.0065  # K/m, US Standard Atmosphere 1976, table 4
G0_M_R = 9.80665 * 28.9644e-3 / 8.31432  # K/m, g0 M0 / R* of US Standard Atmosphere 1976
EARTH = 6356766.0  # m, radius of US Standard Atmosphere 1976
ALTITUDES = (-500.0, 11000.0)  # m, the layer used here

AMBIENT = (45_000.0, 110_000.0)  # Pa absolute: above 6000 m to the highest weather on record
CIPM_PRESSURES = (60_000.0, 110_000.0)  # Pa, recommended range of CIPM-2007
CIPM_TEMPERATURES = (288.15, 300.15)  # K, recommended range of CIPM-2007


class Air(NamedTuple):
    """A state of air.

    pressure : absolute [Pa]
    temperature : [K]
    density : of the moist air [kg/m^3]
    dry_density : mass of its dry air per volume, the part that feeds a flame [kg/m^3]
    vapour_pressure : partial pressure of water [Pa]
    in_range : whether the equation used is recommended for this pressure and temperature
    """

    pressure: float
    temperature: float
    density: float
    dry_density: float
    vapour_pressure: float
    in_range: bool = True


def standard_atmosphere(altitude: float) -> Air:
    """Return the standard atmosphere's dry air at a geometric altitude.

    altitude : above sea level [m], −500 to 11000
    Raises ValueError outside that range.

    Source: US Standard Atmosphere 1976, equations 18, 23, 33a.

    >>> round(standard_atmosphere(1000.0).pressure), round(standard_atmosphere(1000.0).density, 4)
    (89876, 1.1117)
    """
    if not ALTITUDES[0] <= altitude <= ALTITUDES[1]:
        raise ValueError(
            f"altitude {altitude:g} m is outside {ALTITUDES[0]:g} to {ALTITUDES[1]:g} m:"
            " give metres above sea level"
        )
    height = EARTH * altitude / (EARTH + altitude)
    temperature = T0 - LAPSE * height
    pressure = P0 * (temperature / T0) ** (G0_M_R / LAPSE)
    density = pressure * 28.9644e-3 / (8.31432 * temperature)
    return Air(pressure, temperature, density, density, 0.0)


def station_pressure(sea_level_pressure: float, altitude: float) -> float:
    """Return the pressure where you stand from a weather report's value "at sea level".

    sea_level_pressure : as weather reports give it, reduced to sea level [Pa absolute]
    altitude : of the place [m]
    returns : absolute pressure at the place [Pa]

    The report's reduction is undone with the standard atmosphere; real columns of air differ by
    a few hectopascal. Source: US Standard Atmosphere 1976, equation 33a.

    >>> round(station_pressure(101325.0, 1000.0))
    89876
    """
    check_ambient(sea_level_pressure)
    return sea_level_pressure * standard_atmosphere(altitude).pressure / P0


def check_ambient(pressure: float) -> None:
    """Raise ValueError if a pressure [Pa] cannot be the absolute pressure of outside air."""
    if not (isfinite(pressure) and AMBIENT[0] <= pressure <= AMBIENT[1]):
        raise ValueError(
            f"an air pressure of {pressure / 1e5:.3f} bar is outside {AMBIENT[0] / 1e5:.2f} to"
            f" {AMBIENT[1] / 1e5:.2f} bar absolute: give the absolute pressure where you stand,"
            " not a gauge reading"
        )


def saturation_pressure(temperature: float) -> float:
    """Return the saturation pressure of water vapour over liquid water.

    temperature : [K], 233 to 333
    returns : [Pa]

    Source: CIPM-2007, equation A1.1, Metrologia 45 (2008) 149.

    >>> round(saturation_pressure(293.15), 2)
    2339.16
    """
    if not 233.0 <= temperature <= 333.15:
        raise ValueError(
            f"air at {temperature - ZERO_CELSIUS:.1f} °C is outside −40 to 60 °C:"
            " check the unit of the temperature"
        )
    T = temperature
    return exp(1.2378847e-5 * T * T - 1.9121316e-2 * T + 33.93711047 - 6.3431645e3 / T)


def moist_air(pressure: float, temperature: float, humidity: float) -> Air:
    """Return moist air by the equation that metrology uses for weighing.

    pressure : absolute [Pa], recommended 60 to 110 kPa
    temperature : [K], recommended 288.15 to 300.15; outside, `in_range` is False
    humidity : relative, 0 to 1
    Raises ValueError for air that cannot be.

    Source: CIPM-2007, Metrologia 45 (2008) 149, equations 1 and A1.1 to A1.4.

    >>> round(moist_air(101325.0, 293.15, 0.5).density, 5)
    1.19931
    """
    p, T = pressure, temperature
    p_v = _vapour_pressure(p, T, humidity)
    Z = _compressibility(p, T, p_v / p)
    return _air(p, T, p_v, Z)


def ideal_moist_air(pressure: float, temperature: float, humidity: float) -> Air:
    """Return moist air as a mixture of ideal gases: p_d M_d/(R T) + p_v M_w/(R T).

    Arguments as in `moist_air`. Between 5 and 40 °C and 70 and 105 kPa the density is 0.01 to
    0.06 % lower than by CIPM-2007, which matters to no engine.
    Source: Dalton's law with the vapour pressure of CIPM-2007.

    >>> round(ideal_moist_air(101325.0, 293.15, 0.5).density, 4)
    1.1989
    """
    p_v = _vapour_pressure(pressure, temperature, humidity)
    return _air(pressure, temperature, p_v, 1.0)


def _air(p: float, T: float, p_v: float, Z: float) -> Air:
    dry = (p - p_v) * M_DRY / (Z * R * T)
    water = p_v * M_WATER / (Z * R * T)
    inside = (
        CIPM_PRESSURES[0] <= p <= CIPM_PRESSURES[1]
        and CIPM_TEMPERATURES[0] <= T <= CIPM_TEMPERATURES[1]
    )
    return Air(p, T, dry + water, dry, p_v, inside)


def _vapour_pressure(p: float, T: float, humidity: float) -> float:
    check_ambient(p)
    if not 0.0 <= humidity <= 1.0:
        raise ValueError(f"relative humidity {humidity * 100:g} % is outside 0 to 100 %")
    t = T - ZERO_CELSIUS
    enhancement = 1.00062 + 3.14e-8 * p + 5.6e-7 * t * t  # CIPM-2007, A1.2
    return humidity * enhancement * saturation_pressure(T)


def _compressibility(p: float, T: float, x: float) -> float:
    """Z of moist air, CIPM-2007 equation A1.4; x is the mole fraction of water."""
    t = T - ZERO_CELSIUS
    first = (
        1.58123e-6
        - 2.9331e-8 * t
        + 1.1043e-10 * t * t
        + (5.707e-6 - 2.051e-8 * t) * x
        + (1.9898e-4 - 2.376e-6 * t) * x * x
    )
    return 1.0 - p / T * first + (p / T) ** 2 * (1.83e-11 - 0.765e-8 * x * x)
