"""`calc leakdown`: flow and effective area of a cylinder's leak from a tester's two gauges."""

from math import exp

from ringland.calc.air import read_pressure
from ringland.calc.calculator import Answer, BadInputs, Calculator, Field, Inputs, Row
from ringland.calc.refusing import as_typed
from ringland.gas.leakdown import (
    CAUTIONS,
    PLACES,
    SUPPLY_LIMIT,
    FlowTester,
    LeakDown,
    equivalent_diameter,
    leak_down,
    log_area,
    share_on,
)
from ringland.quantity import show_number

OTHER_TESTERS = (0.5e-3, 1.0e-3, 1.5e-3)  # m, orifices to compare with


def _compute(inputs: Inputs) -> Answer:
    ambient, _ = read_pressure(inputs)
    supply, cylinder = inputs.si("supply"), inputs.si("cylinder")
    try:
        tester = FlowTester(
            inputs.si("orifice"),
            ambient=ambient,
            temperature=inputs.si("temp"),
            u_pressure=inputs.si("gauge-doubt"),
        )
    except ValueError as error:
        raise BadInputs([("orifice", as_typed(inputs, "orifice", str(error)))]) from None
    try:
        found = leak_down(supply, cylinder, tester)
    except ValueError as error:
        field = "cylinder" if 0.0 < supply <= SUPPLY_LIMIT else "supply"
        raise BadInputs([(field, as_typed(inputs, field, str(error)))]) from None
    rows = [
        Row("tester shows", f"{show_number(100 * found.share, 0)} %", "belongs to this orifice"),
        Row("flow", f"{show_number(found.flow * 60e3, 2)} L/min", "as outside air"),
        *_area_rows(found),
    ]
    if found.area is not None and found.area.value > 0.0:
        shown = [
            f"{each * 1e3:g} mm: {100 * share_on(found.area.value, supply, FlowTester(each, ambient=ambient)):.0f} %"
            for each in OTHER_TESTERS
        ]
        rows.append(Row("other testers", "; ".join(shown), "the same leak"))
    if inputs["heard"] is not None:
        rows.append(Row("heard at", inputs["heard"], PLACES[inputs["heard"]]))
    logged = log_area(found)
    return Answer(
        _headline(found),
        tuple(rows),
        notes=(
            "Two orifices in a row; the tester's coefficient 0.75 ± 0.06 is from memory. Effective"
            " area is coefficient times area. Orifice 0.040 in: FAA AC 43.13-1B, 8-14.",
            "The piston stands still here: a ring seals otherwise when it moves. Compare with the"
            " same engine, same tester; no limit is common to all.",
        ),
        cautions=CAUTIONS,
        fields={
            "share_lost": found.share,
            "flow_m3_s": found.flow,
            "area_m2": None if found.area is None else found.area.value,
            "area_u_m2": None if found.area is None else found.area.u,
            "log_area": None if logged is None else logged.value,
            "log_area_u": None if logged is None else logged.u,
        },
    )


def _area_rows(found: LeakDown) -> list[Row]:
    if found.area is None:
        return [Row("effective area", "too large to tell", "no pressure in the cylinder")]
    value, u = found.area.value * 1e6, found.area.u * 1e6
    text = f"{show_number(value, 2)} ± {show_number(2 * u, 2)} mm²"
    hole = equivalent_diameter(found.area.value) * 1e3
    clean = f"a clean hole of {show_number(hole, 2)} mm; " if hole > 0 else ""
    return [Row("effective area", text, f"{clean}± is 2 u")]


def _headline(found: LeakDown) -> str:
    logged = log_area(found)
    if found.area is None:
        return "The cylinder holds no pressure: an open path, or the piston is below the port."
    if logged is None or logged.u > 0.7:
        return f"The leak is below what these gauges tell: under {(found.area.value + 2 * found.area.u) * 1e6:.2f} mm²."
    low, high = (exp(logged.value + side * 2 * logged.u) * 1e6 for side in (-1, 1))
    return (
        f"The leak's effective area is {low:.2f} to {high:.2f} mm²; the percentage alone says less."
    )


CALCULATOR = Calculator(
    "leakdown",
    "Cylinder leak-down: flow and effective area.",
    (
        Field("supply", "pressure", "gauge before the orifice, 5.5 bar", required=True),
        Field("cylinder", "pressure", "gauge behind the orifice, 5.0 bar", required=True),
        Field("orifice", "length", "diameter of the tester's orifice, 1.016 mm", "0.040 in"),
        Field(
            "gauge-doubt",
            "pressure",
            "standard uncertainty of one gauge, 0.03 bar",
            "0.03 bar",
            doubt=True,
        ),
        Field("temp", "temperature", "of the air line, 20 °C", "20 °C"),
        Field("heard", "choice", "where the air is heard", choices=tuple(PLACES)),
        Field("pressure", "pressure", "absolute air pressure on the spot, 1013 hPa"),
        Field("altitude", "length", "altitude when the pressure is not known, 800 m"),
        Field("report", "pressure", "weather report's pressure at sea level, 1020 hPa"),
    ),
    _compute,
    'leakdown --supply "5.5 bar" --cylinder "5.0 bar"',
)
