"""Calculator: clearance and ring end gap from cold to hot."""

from typing import Any

from ringland.calc.calculator import Answer, BadInputs, Calculator, Field, Inputs, Row
from ringland.calc.refusing import as_typed, refusing
from ringland.calc.shown import COVERAGE, Told, told
from ringland.calc.sizes import refuse_slips
from ringland.engine.expansion import MATERIALS, Part, part_of
from ringland.engine.hotfit import (
    ASSUMED_HALF_WIDTH,
    CONDITIONS,
    Condition,
    hot_clearance,
    hot_gap,
    touching_gap,
    touching_skirt_temperature,
)
from ringland.engine.refusal import OutOfRange
from ringland.engine.ring import Filing, filing
from ringland.quantity import Estimate

METALS = tuple(MATERIALS)
TEMPERATURES = ("bore-temp", "skirt-temp", "ring-temp")


def _told(inputs: Inputs) -> Told:
    return told(inputs, "length", "clearance", "gap", "gap-min", "gap-max", "bore")


def _conditions(inputs: Inputs) -> tuple[tuple[Condition, ...], bool]:
    """The conditions to compute, and whether their temperatures are assumed here."""
    given = [inputs.si_or_none(name) for name in TEMPERATURES]
    bore, skirt, ring = given
    if bore is None and skirt is None and ring is None:
        return CONDITIONS, True
    if bore is None or skirt is None or ring is None:
        missing = [name for name, value in zip(TEMPERATURES, given, strict=True) if value is None]
        raise BadInputs([(name, "give all three temperatures, or none") for name in missing])
    return (Condition("as given", bore, skirt, ring),), False


@refusing(
    {
        "cold": "measured-at",
        "gap limits": "gap-max",
    }
)
def compute(inputs: Inputs) -> Answer:
    refuse_slips(inputs, {"bore": "bore"})
    if inputs["clearance"] is None and inputs["gap"] is None:
        raise BadInputs([("clearance", "give the cold clearance, the cold ring gap, or both")])
    conditions, assumed = _conditions(inputs)
    bore, cold = inputs.si("bore"), inputs.si("measured-at")
    rows: list[Row] = []
    found = []
    for condition in conditions:
        fields, lines = _condition(inputs, condition, bore, cold)
        found.append(fields)
        rows += lines
    file_off = _file_rows(inputs, rows)
    return Answer(
        headline=_headline(found, _told(inputs)),
        rows=tuple(rows),
        notes=_notes(inputs, assumed),
        cautions=(
            "No figure here is a permission: the maker's clearance and the maker's least gap stand.",
            "Warm the engine before load: a hot piston in a cold bore is what seizes it.",
        ),
        fields={"conditions": found, "assumed_temperatures": assumed, **file_off},
    )


def _parts(inputs: Inputs, condition: Condition) -> tuple[Part, Part, Part]:
    wide = float(inputs["temp-pm"])
    metals = (inputs["bore-metal"], inputs["piston-metal"], inputs["ring-metal"])
    temperatures = (condition.bore, condition.skirt, condition.ring)
    parts, problems = [], []
    for field, metal, temperature in zip(TEMPERATURES, metals, temperatures, strict=True):
        try:
            parts.append(part_of(metal, temperature, half_width=wide))
        except OutOfRange as error:
            named = field if error.name == "temperature" else "temp-pm"
            problems.append((named, as_typed(inputs, named, str(error))))
    if problems:
        raise BadInputs(list(dict.fromkeys(problems)))
    bore, piston, ring = parts
    return bore, piston, ring


def _condition(
    inputs: Inputs, condition: Condition, bore: float, cold: float
) -> tuple[dict[str, Any], list[Row]]:
    cylinder, piston, ring = _parts(inputs, condition)
    say, warm = _told(inputs), told(inputs, "temperature", *TEMPERATURES)
    temperatures = (
        f"bore {warm(condition.bore, 0)}, skirt {warm(condition.skirt, 0)}, "
        f"ring {warm(condition.ring, 0)}"
    )
    rows = [Row(condition.name, "", temperatures)]
    fields: dict[str, Any] = {"name": condition.name}
    if inputs["clearance"] is not None:
        clearance = Estimate(inputs.si("clearance"), inputs.si("clearance-pm") / COVERAGE)
        hot = hot_clearance(bore, clearance, cylinder=cylinder, piston=piston, cold=cold)
        gone = touching_skirt_temperature(
            bore, clearance, cylinder=cylinder, piston=piston, cold=cold
        )
        rows.append(Row("  clearance", say.doubt(hot, 3), "plain growth, round piston"))
        rows.append(Row("  used up at", warm.doubt(gone, 0), "skirt temperature"))
        fields |= {"clearance_mm": hot.value * 1e3, "clearance_u_mm": hot.u * 1e3}
        fields["skirt_touches_at_degC"] = gone.value - 273.15
    if inputs["gap"] is not None:
        gap = Estimate(inputs.si("gap"), inputs.si("gap-pm") / COVERAGE)
        hot = hot_gap(bore, gap, cylinder=cylinder, ring=ring, cold=cold)
        touch = touching_gap(bore, cylinder=cylinder, ring=ring, cold=cold)
        rows.append(Row("  ring gap", say.doubt(hot), f"cold {say.doubt(gap)}"))
        rows.append(Row("  ends just touch", _touching(touch, say), _beside_maker(inputs)))
        fields |= {"gap_mm": hot.value * 1e3, "gap_u_mm": hot.u * 1e3}
        fields |= {"touching_cold_gap_mm": touch.value * 1e3, "touching_u_mm": touch.u * 1e3}
    return fields, rows


def _touching(touch: Estimate, say: Told) -> str:
    if touch.value > 0:
        return f"cold gap {say.doubt(touch)}"
    return f"ends open by {say.doubt(Estimate(-touch.value, touch.u))}"


def _beside_maker(inputs: Inputs) -> str:
    least = inputs.si_or_none("gap-min")
    return f"maker's least gap {'not given' if least is None else _told(inputs)(least)}"


def _file_rows(inputs: Inputs, rows: list[Row]) -> dict[str, Any]:
    gap, low, high = (inputs.si_or_none(name) for name in ("gap", "gap-min", "gap-max"))
    if gap is None or low is None or high is None:
        return {}
    found = filing(Estimate(gap, inputs.si("gap-pm") / COVERAGE), (low, high))
    rows.append(Row("to file", *_filing(found, _told(inputs))))
    return {
        "file_least_mm": found.least * 1e3,
        "file_aim_mm": None if found.aim is None else found.aim * 1e3,
        "file_most_mm": found.most * 1e3,
    }


def _filing(found: Filing, say: Told) -> tuple[str, str]:
    if found.most < 0:
        return "nothing", f"the gap is {say(-found.most)} past the maker's largest: another ring"
    if found.aim is None:
        return "nothing", "the maker's least gap is there, its doubt included"
    return say(found.aim), f"one end only, a little at a time; never more than {say(found.most)}"


def _headline(found: list[dict[str, Any]], say: Told) -> str:
    said = []
    for name, what in (("clearance_mm", "clearance"), ("gap_mm", "ring gap")):
        values = [each[name] for each in found if name in each]
        if values:
            said.append(f"least {what} {say.twice(min(values) / 1e3, 3)}")
    text = ", ".join(said) + " when hot, by plain growth"
    return text[0].upper() + text[1:]


def _notes(inputs: Inputs, assumed: bool) -> tuple[str, ...]:
    used = dict.fromkeys((inputs["bore-metal"], inputs["piston-metal"], inputs["ring-metal"]))
    growth = "; ".join(
        f"{name} {MATERIALS[name].expansion * 1e6:.1f} × 10⁻⁶/K ({MATERIALS[name].source})"
        for name in used
    )
    notes = [
        f"{growth}. A plated bore grows like the aluminium under it.",
        "Skirts are ground so as to leave room: a negative figure says that plain growth is used "
        "up, not that the engine seizes there.",
    ]
    if assumed:
        notes.append("Temperatures are assumed here, for comparison; give this engine's if known.")
    return tuple(notes)


CALCULATOR = Calculator(
    name="hotfit",
    title="Clearance and ring gap from cold to hot.",
    fields=(
        Field("bore", "length", "bore, cold: 54 mm", required=True),
        Field("clearance", "length", "piston clearance, cold: 0.050 mm"),
        Field("clearance-pm", "length", "± of it at 95 %", default="0.006 mm", doubt=True),
        Field("gap", "length", "ring end gap, cold: 0.30 mm"),
        Field("gap-pm", "length", "± of it at 95 %", default="0.03 mm", doubt=True),
        Field("gap-min", "length", "maker's least gap, to stand beside"),
        Field("gap-max", "length", "maker's largest gap when new, for filing"),
        Field("bore-metal", "choice", "what the bore grows like", "cast aluminium", choices=METALS),
        Field("piston-metal", "choice", "metal of the piston", "Al-12Si", choices=METALS),
        Field("ring-metal", "choice", "metal of the ring", "grey iron", choices=METALS),
        Field("bore-temp", "temperature", "bore wall, hot: 120 °C"),
        Field("skirt-temp", "temperature", "piston skirt, hot: 150 °C"),
        Field("ring-temp", "temperature", "ring, hot: 180 °C"),
        Field(
            "temp-pm",
            "number",
            "how far each temperature may be off, in kelvin",
            default=f"{ASSUMED_HALF_WIDTH:g}",
        ),
        Field("measured-at", "temperature", "where it was measured", default="20 °C"),
    ),
    compute=compute,
    example="hotfit --bore 54mm --clearance 0.050mm --gap 0.30mm --gap-min 0.25mm",
)
