"""Piston clearance from bore and skirt, with the error that both readings share."""

from math import sqrt
from typing import Any

from ringland.calc.calculator import Answer, BadInputs, Calculator, Field, Inputs, Row
from ringland.calc.readings import judged_fields, not_judged
from ringland.calc.shown import Told, chance, told
from ringland.calc.sizes import slips
from ringland.measure.clearance import difference
from ringland.measure.conformance import judge, probability_within
from ringland.measure.estimates import Budget, Contribution, add_up, rectangular
from ringland.measure.settle import Question, needed_u
from ringland.quantity.units import find_unit

MM = find_unit("mm")
MICROMETER = "micrometer"
LOOSE = 0.02  # of the bore: no piston runs so loose, worn out or not; common practice
TYPED = 0.01  # share by which a ± may be rounded when typed


def _compute(inputs: Inputs) -> Answer:
    say = _told(inputs)
    _check(inputs)
    shared = inputs.si_or_none("shared")
    bore, skirt = (_reading(inputs, name, shared) for name in ("bore", "skirt"))
    budget = difference(bore, skirt)
    clearance = budget.estimate
    if clearance.value < 0:
        raise BadInputs(
            [("skirt", f"it is {say(-clearance.value, 3)} larger than the bore: a slip, or the "
                       "wrong part; measure both again")]
        )  # fmt: skip
    if clearance.value > LOOSE * bore.estimate.value:
        raise BadInputs(
            [("skirt", f"{say(clearance.value, 3)} is no clearance, a piston would rattle to pieces: "
                       "look for swapped digits and measure both again")]
        )  # fmt: skip
    rows = [
        Row("clearance", say.doubt(clearance, 4), "± at 95 %"),
        *(Row(line.name, say(line.u, 4), "standard uncertainty") for line in budget.contributions),
    ]
    fields, verdict = _judged(inputs, budget, rows)
    tail = f": {verdict}" if verdict else ""
    return Answer(
        f"Clearance {say.twice.doubt(clearance, 3)}{tail}.",
        tuple(rows),
        _notes(shared is not None),
        (
            "The figure that came with the piston rules. Take the smallest bore in the skirt zone "
            "for seizure and the largest for wear; bore and piston at one temperature.",
        ),
        fields,
    )


def _told(inputs: Inputs) -> Told:
    return told(inputs, "length", "bore", "skirt", "lower", "upper")


def _check(inputs: Inputs) -> None:
    say = _told(inputs)
    problems = slips(inputs, {"bore": "bore", "skirt": "bore"})
    problems += [
        (name, f"{inputs[name]} is negative: 0 or more")
        for name in ("bore-expanded", "skirt-expanded", "shared")
        if inputs[name] is not None and inputs.si(name) < 0
    ]
    if inputs["shared"] is not None and not problems:
        problems += _shared_too_large(inputs)
    lower, upper = inputs.si_or_none("lower"), inputs.si_or_none("upper")
    if lower is not None and upper is not None and lower > upper:
        problems.append(("upper", f"{say(upper, 3)} is below the lower limit {say(lower, 3)}"))
    if problems:
        raise BadInputs(problems)


def _shared_too_large(inputs: Inputs) -> list[tuple[str, str]]:
    least = 2 * rectangular(inputs.si("shared"))
    own = _told(inputs)(least, 4)
    return [
        (
            f"{name}-expanded",
            f"{inputs[f'{name}-expanded']} is less than the micrometer's own ± {own} "
            "at 95 %: give the ± of the whole reading",
        )
        for name in ("bore", "skirt")
        if inputs.si(f"{name}-expanded") < least * (1 - TYPED)
    ]


def _reading(inputs: Inputs, name: str, shared: float | None) -> Budget:
    """The reading with what is its own and what is shared; its ± holds both."""
    value, whole = inputs.si(name), inputs.si(f"{name}-expanded") / 2
    if shared is None:
        return add_up(value, [Contribution(name, whole)])
    common = rectangular(shared)
    own = sqrt(max(whole**2 - common**2, 0.0))  # the ± is rounded; _check refused what is not
    lines = [Contribution(MICROMETER, common, shared=MICROMETER), Contribution(name, own)]
    return add_up(value, lines)


def _judged(inputs: Inputs, budget: Budget, rows: list[Row]) -> tuple[dict[str, Any], str]:
    lower, upper = inputs.si_or_none("lower"), inputs.si_or_none("upper")
    if lower is None and upper is None:
        return not_judged(budget.estimate, MM, budget), ""
    p = probability_within(budget.estimate, lower=lower, upper=upper)
    verdict = judge(budget.estimate, lower=lower, upper=upper)
    say = _told(inputs)
    ends = [each for each in (lower, upper) if each is not None]
    limits = say.span(ends[0], ends[-1], 3) if len(ends) == 2 else say(ends[0], 3)
    rows.append(Row("probability that it conforms", chance(p), f"limit {limits}"))
    settling = []
    if verdict == "undecided":
        needed = needed_u(Question(budget.estimate.value, lower, upper))
        if needed is None:
            rows.append(Row("to settle it", "nothing will", "it stands on its limit"))
        else:
            words = f"± {say(2 * needed, 4)} at 95 %"
            rows.append(Row("to settle it", words, "if the value stays; or treat as beyond"))
        if needed is not None:
            settling.append({"kind": "smaller doubt", "standard_uncertainty": needed * 1e3})
    fields = judged_fields(
        budget.estimate, MM, lower=lower, upper=upper, probability=p, verdict=verdict,
        budget=budget, settled_by=settling,
    )  # fmt: skip
    return fields, verdict


def _notes(is_shared: bool) -> tuple[str, ...]:
    if is_shared:
        return (
            "The micrometer that set the bore gauge measured the piston: its error is in both and "
            "cancels (JCGM 100:2008, F.1.2.3). Leave --shared out where it was another one.",
        )
    return ("The two readings are taken as independent (JCGM 100:2008, 5.1.2).",)


CALCULATOR = Calculator(
    name="clearance",
    title="Piston clearance from bore and skirt, with what they share.",
    fields=(
        Field("bore", "length", "Bore diameter.", required=True, unit="mm"),
        Field("skirt", "length", "Skirt diameter of the piston.", required=True, unit="mm"),
        Field(
            "bore-expanded", "length", "± of the bore at 95 %, all in.",
            default="0.005 mm", unit="mm",
        ),
        Field(
            "skirt-expanded", "length", "± of the skirt at 95 %, all in.",
            default="0.003 mm", unit="mm",
        ),
        Field(
            "shared", "length",
            "Permissible error of the one micrometer that set the bore gauge and read the skirt.",
            unit="mm",
        ),
        Field("lower", "length", "Least clearance allowed.", unit="mm"),
        Field("upper", "length", "Most clearance allowed.", unit="mm"),
    ),
    compute=_compute,
    example='clearance --bore "65.021 mm" --skirt "64.953 mm" --lower "0.050 mm" --upper "0.080 mm"',
)  # fmt: skip
