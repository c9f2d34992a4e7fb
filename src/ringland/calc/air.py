"""`calc air`: density of moist air here and today, against the standard or another day."""

from ringland.calc.calculator import Answer, BadInputs, Calculator, Field, Inputs, Row
from ringland.gas.air import (
    P0,
    T0,
    ZERO_CELSIUS,
    Air,
    check_ambient,
    ideal_moist_air,
    moist_air,
    saturation_pressure,
    standard_atmosphere,
    station_pressure,
)
from ringland.gas.mixture import MixtureChange, mixture_change, power_factors
from ringland.quantity import show_number

NO_LEANER = (
    "Never fit a leaner jet on this figure: the maker's table comes first, and a plug check after"
    " it; a lean two-stroke seizes."
)


def air_fields(prefix: str = "") -> tuple[Field, ...]:
    """Return the fields that describe one state of air, each name beginning with `prefix`."""
    return (
        Field(f"{prefix}temp", "temperature", "air temperature, 20 °C", "15 °C"),
        Field(f"{prefix}pressure", "pressure", "absolute pressure on the spot, 1013 hPa"),
        Field(f"{prefix}altitude", "length", "altitude when the pressure is not known, 800 m"),
        Field(f"{prefix}report", "pressure", "weather report's pressure at sea level, 1020 hPa"),
        Field(f"{prefix}humidity", "share", "relative humidity, 50 %", "0", unit="%"),
    )


def read_pressure(inputs: Inputs, prefix: str = "") -> tuple[float, bool]:
    """Return absolute pressure [Pa] from pressure, altitude or report, and if it was measured."""
    pressure = inputs.si_or_none(f"{prefix}pressure")
    altitude = inputs.si_or_none(f"{prefix}altitude")
    report = inputs.si_or_none(f"{prefix}report")
    if pressure is not None and (altitude is not None or report is not None):
        raise BadInputs([(f"{prefix}pressure", "give the pressure on the spot, or the altitude")])
    if pressure is not None:
        return pressure, True
    try:
        if report is not None:
            return station_pressure(report, altitude or 0.0), True
        return (P0 if altitude is None else standard_atmosphere(altitude).pressure), False
    except ValueError as error:
        raise BadInputs([(f"{prefix}altitude", str(error))]) from None


def read_air(inputs: Inputs, prefix: str = "") -> Air:
    """Return the moist air that the fields of `air_fields` describe."""
    pressure, _ = read_pressure(inputs, prefix)
    temperature, humidity = inputs.si(f"{prefix}temp"), inputs.si(f"{prefix}humidity")
    problems = []
    for name, check in (
        ("pressure", lambda: check_ambient(pressure)),
        ("temp", lambda: saturation_pressure(temperature)),
        ("humidity", lambda: moist_air(P0, T0, humidity)),
    ):
        try:
            check()
        except ValueError as error:
            problems.append((prefix + name, str(error)))
    if problems:
        raise BadInputs(problems)
    return moist_air(pressure, temperature, humidity)


def _compute(inputs: Inputs) -> Answer:
    air = read_air(inputs)
    standard = moist_air(P0, T0, 0.0)
    change = mixture_change(standard, air)
    ideal = ideal_moist_air(air.pressure, air.temperature, inputs.si("humidity"))
    factors = power_factors(air)
    rows = (
        Row("pressure", f"{show_number(air.pressure / 100, 1)} hPa", "absolute, on the spot"),
        Row("density", f"{show_number(air.density, 4)} kg/m³", _range_remark(air)),
        Row("its dry air", f"{show_number(air.dry_density, 4)} kg/m³", "what feeds the flame"),
        Row("ideal form", f"{show_number(ideal.density, 4)} kg/m³", "0.01 to 0.06 % low"),
        Row("against standard", _percent(change.oxygen), "dry air, from 15 °C, 1013.25 hPa, dry"),
        Row("gauge reading", _percent(air.pressure / P0), "compression follows the pressure"),
        Row("mixture", worded(change), "venturi theory, from that standard"),
        *(
            Row(each.name, show_number(each.factor, 3), "" if each.valid else "outside its range")
            for each in factors
        ),
    )
    return Answer(
        f"Air of {show_number(air.density, 4)} kg/m³;"
        f" {show_number(air.dry_density, 4)} kg/m³ of it is dry air.",
        rows,
        notes=(
            "CIPM-2007 moist air, Metrologia 45 (2008) 149; US Standard Atmosphere 1976.",
            "Power factors are from memory and were made for four-stroke engines: none is proven"
            " for a two-stroke with a tuned pipe.",
        ),
        cautions=(NO_LEANER,),
        fields={
            "pressure_Pa": air.pressure,
            "temperature_K": air.temperature,
            "density_kg_m3": air.density,
            "dry_density_kg_m3": air.dry_density,
            "ideal_density_kg_m3": ideal.density,
            "vapour_pressure_Pa": air.vapour_pressure,
            "in_range": air.in_range,
            "dry_air_ratio": change.oxygen,
            "pressure_ratio": air.pressure / P0,
            "jet_area_ratio": change.area,
            "jet_diameter_ratio": change.diameter,
            "direction": change.direction,
            "power_factors": [
                {"name": each.name, "factor": each.factor, "valid": each.valid} for each in factors
            ],
        },
    )


def worded(change: MixtureChange) -> str:
    """Return direction and size of a mixture change in words."""
    if change.direction == "none":
        return "no change to follow"
    return f"{change.direction}: jet area {_percent(change.area)}, diameter {_percent(change.diameter)}"


def _percent(ratio: float) -> str:
    change = 100.0 * (ratio - 1.0)
    return f"{'+' if change > 0 else ''}{show_number(change, 1)} %"


def _range_remark(air: Air) -> str:
    if air.in_range:
        return "CIPM-2007"
    return f"CIPM-2007 at {air.temperature - ZERO_CELSIUS:.0f} °C, outside its 15 to 27 °C, 600 hPa"


CALCULATOR = Calculator(
    "air",
    "Density of moist air, and what altitude and weather do to mixture and power.",
    air_fields(),
    _compute,
    'air --temp "20 °C" --pressure "101325 Pa" --humidity 50',
)
