"""Calculator: how long an engine needs to cool between break-in heat cycles."""

from ringland.calc.calculator import Answer, BadInputs, Calculator, Field, Inputs, Row
from ringland.calc.shown import told
from ringland.fluids.cooling import CoolingError, cooling_from
from ringland.quantity import Estimate, find_unit, show, show_number

MINUTE = find_unit("min")
USUAL = (30, 60)  # min; common practice for cooling to the touch


def _compute(given: Inputs) -> Answer:
    margin = given["doubt"]
    doubt = float(margin.number * margin.unit.factor)  # a difference: no zero point in it
    first, second, air = (Estimate(given.si(name), doubt) for name in ("first", "second", "air"))
    if given.si("after") <= 0:
        raise BadInputs(
            [("after", f"{given['after']}: the second reading comes later; above 0 min")]
        )
    blamed = "second"
    try:
        cooling = cooling_from(first, second, given.si("after"), air)
        blamed = "until"
        cold = cooling.time_to(given.si("until"))
    except CoolingError as error:
        raise BadInputs([(blamed, str(error))]) from None
    tau, warm = cooling.time_constant, told(given, "temperature", "first", "second", "air")
    left = cold.value - given.si("after")
    return Answer(
        headline=f"Cool to {warm(given.si('until'), 0)} about {_minutes(cold.value)} after the "
        f"first reading, {_minutes(max(left, 0.0))} after the second.",
        rows=(
            Row("give or take", _minutes(1.96 * cold.u), "95 %, from readings and air"),
            Row("time constant", _minutes(tau.value), f"± {show_number(1.96 * tau.u / 60, 1)} min"),
        ),
        notes=(
            "Newton's law of cooling from two readings at one place. It holds while wind and fan stay "
            "as they are; take the first reading a few minutes after the stop.",
            f"Common practice: three cycles of 3 to 8 min, each cooled to the touch, {USUAL[0]} to "
            f"{USUAL[1]} min; the maker's own way wins.",
        ),
        cautions=(
            "Outdoors or with extraction: carbon monoxide. Let the pipe cool before hands come near.",
            "The hand at the cylinder decides, not the clock. Retorque only stone cold.",
        ),
        fields={
            "time_constant_s": tau.value,
            "time_constant_standard_uncertainty_s": tau.u,
            "cold_after_first_reading_s": cold.value,
            "cold_after_first_reading_standard_uncertainty_s": cold.u,
            "cold_after_second_reading_s": left,
        },
    )


def _minutes(seconds: float) -> str:
    return show(seconds, MINUTE, 0)


CALCULATOR = Calculator(
    name="heatcycle",
    title="Break-in heat cycles: how long an engine needs to cool.",
    fields=(
        Field("first", "temperature", "First reading, as in 80 °C.", required=True, unit="°C"),
        Field(
            "second", "temperature", "Later reading at the same place.", required=True, unit="°C"
        ),
        Field("after", "time", "Time between them, as in 10 min.", required=True, unit="min"),
        Field("air", "temperature", "The air around it, as in 20 °C.", required=True, unit="°C"),
        Field("until", "temperature", "Cool enough to touch.", default="40", unit="°C"),
        Field(
            "doubt",
            "temperature",
            "Standard uncertainty of each reading.",
            default="1",
            unit="K",
            doubt=True,
        ),
    ),
    compute=_compute,
    example="heatcycle --first 80 --second 60 --after 10 --air 20",
)
