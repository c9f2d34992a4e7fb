"""Whether a value with its doubt lies within its limits, and what would settle it."""

from math import inf

from ringland.calc.calculator import Answer, BadInputs, Calculator, Field, Inputs, Row, as_decimal
from ringland.calc.readings import judged_fields
from ringland.calc.shown import chance
from ringland.measure.conformance import (
    DISPROVE,
    PROVE,
    expected_losses,
    judge,
    probability_within,
    worn,
)
from ringland.measure.settle import Question, needed_u
from ringland.quantity.estimate import Estimate
from ringland.quantity.parse import AmbiguousNumber, QuantityError, parse_quantity
from ringland.quantity.rounding import decimals_for, show, show_pair
from ringland.quantity.units import Quantity, Unit

HEADLINES = {
    "within": "Within its limits",
    "within, worn": "Within, worn: in the last third of its allowance",
    "undecided": "Undecided: a limit lies inside the doubt of the reading",
    "beyond": "Beyond its limits",
}
SOURCE = (
    "Probability of conformance after JCGM 106:2012, 7; within from {prove:.0f} %, beyond up to "
    "{disprove:.0f} % (default of ISO 14253-1; the norm is the shop's)."
)
MONEY = (
    "The cost view does not change the verdict. A part whose failure can hurt someone is never "
    "fitted for its price, and the maker's limit stands."
)


def _compute(inputs: Inputs) -> Answer:
    given = _given(inputs)
    value = given["value"]
    assert value is not None
    estimate = _estimate(inputs, given, value)
    lower, upper = _si(given["lower"]), _si(given["upper"])
    prove, disprove = inputs["prove"] / 100, inputs["disprove"] / 100
    try:
        p = probability_within(estimate, lower=lower, upper=upper)
        verdict: str = judge(estimate, lower=lower, upper=upper, prove=prove, disprove=disprove)
    except ValueError as error:
        raise BadInputs([("upper" if lower is None else "lower", str(error))]) from None
    if verdict == "within" and _is_worn(estimate.value, given, lower, upper):
        verdict = "within, worn"
    unit = value.unit
    decimals = decimals_for(unit.step_from_si(estimate.u), 2)
    rows = [
        Row("value", _with_doubt(estimate, unit, decimals), _other(value)),
        *_limit_rows(given),
        Row("probability that it conforms", chance(p)),
    ]
    question = Question(estimate.value, lower, upper, prove, disprove)
    needed = needed_u(question, estimate.dof) if verdict == "undecided" else None
    rows += _settling_rows(verdict, needed, unit, estimate.dof)
    rows += _loss_rows(inputs, p)
    fields = judged_fields(
        estimate, unit, lower=lower, upper=upper, probability=p, verdict=verdict,
        settled_by=_settled_by(needed, unit, estimate.dof),
    )  # fmt: skip
    return Answer(
        f"{HEADLINES[verdict]} ({chance(p)}).",
        tuple(rows),
        notes=(SOURCE.format(prove=inputs["prove"], disprove=inputs["disprove"]),),
        cautions=(MONEY,) if inputs["failure"] is not None else (),
        fields=fields,
    )


def _given(inputs: Inputs) -> dict[str, Quantity | None]:
    """The quantities, all of the value's kind; every problem at once."""
    problems: list[tuple[str, str]] = []
    found: dict[str, Quantity | None] = {}
    kind = None
    for name in ("value", "u", "expanded", "lower", "upper", "new-end"):
        text = inputs[name]
        try:
            found[name] = None if text is None else _read(text, kind)
        except QuantityError as error:
            problems.append((name, str(error)))
        if name == "value" and found.get("value"):
            quantity = found["value"]
            kind = quantity.unit.kind if quantity else None
    if inputs["u"] is None and inputs["expanded"] is None:
        problems.append(("u", "give the standard uncertainty, or --expanded for ± at 95 %"))
    if inputs["lower"] is None and inputs["upper"] is None:
        problems.append(("upper", "give an upper limit, a lower limit or both"))
    for name in ("u", "expanded"):
        stated = found.get(name)
        if stated is not None and stated.number < 0:
            problems.append((name, f"{stated} is negative: an uncertainty is 0 or more"))
    if problems:
        raise BadInputs(problems)
    return found


def _read(text: str, kind: str | None) -> Quantity:
    try:
        return parse_quantity(text, kind)
    except AmbiguousNumber:
        decimal = as_decimal(text, kind)
        if decimal is None:
            raise
        return decimal


def _si(quantity: Quantity | None) -> float | None:
    return None if quantity is None else quantity.si


def _estimate(inputs: Inputs, given: dict[str, Quantity | None], value: Quantity) -> Estimate:
    stated, name = (given["u"], "u") if given["u"] else (given["expanded"], "expanded")
    assert stated is not None
    u = float(stated.number * stated.unit.factor)  # a difference: an offset does not apply
    dof = inf if inputs["dof"] is None else inputs["dof"]
    if not dof > 0:
        raise BadInputs([("dof", f"degrees of freedom are above 0, not {dof:g}")])
    return Estimate(value.si, u if name == "u" else u / 2, dof)


def _is_worn(
    value: float, given: dict[str, Quantity | None], lower: float | None, upper: float | None
) -> bool:
    new_end = given["new-end"]
    if new_end is None:
        return False
    limits = [limit for limit in (upper, lower) if limit is not None and limit != new_end.si]
    return any(worn(value, new_end.si, limit) for limit in limits[:1])


def _with_doubt(estimate: Estimate, unit: Unit, decimals: int) -> str:
    u = f"{unit.step_from_si(estimate.u):.{decimals}f}"
    dof = "" if estimate.dof == inf else f", {estimate.dof:.3g} degrees of freedom"
    return f"{show(estimate.value, unit, decimals)}, u {u}{dof}"


def _limit_rows(given: dict[str, Quantity | None]) -> list[Row]:
    return [
        Row(f"{name} limit", str(limit), _other(limit))
        for name in ("lower", "upper")
        if (limit := given[name]) is not None
    ]


def _other(typed: Quantity) -> str:
    """The same in the other system's unit, where it has one."""
    return show_pair(typed).removeprefix(str(typed)).strip(" ()")


def _settling_rows(verdict: str, needed: float | None, unit: Unit, dof: float) -> list[Row]:
    if verdict != "undecided":
        return []
    if needed is None:
        return [Row("to settle it", "no gauge will: the value stands on its limit")]
    decimals = decimals_for(unit.step_from_si(needed), 2)
    text = f"{unit.step_from_si(needed):.{decimals}f} {unit.name}"
    known = (
        "" if dof == inf else f" and its degrees of freedom stay {dof:.3g}; more of them help too"
    )
    return [Row("to settle it", f"u down to {text}", f"if the value stays where it is{known}")]


def _settled_by(needed: float | None, unit: Unit, dof: float) -> list[dict[str, object]]:
    if needed is None:
        return []
    return [
        {
            "kind": "smaller doubt",
            "standard_uncertainty": unit.step_from_si(needed),
            "degrees_of_freedom": None if dof == inf else dof,
        }
    ]


def _loss_rows(inputs: Inputs, p: float) -> list[Row]:
    failure, renewal = inputs["failure"], inputs["renewal"]
    if failure is None or renewal is None:
        return []
    try:
        losses = expected_losses(p, failure=failure, renewal=renewal)
    except ValueError as error:
        raise BadInputs([("failure", str(error))]) from None
    return [
        Row("expected loss if fitted", f"{losses.fit:.2f}"),
        Row("cost of renewing", f"{losses.renew:.2f}", f"cheaper: {losses.cheaper}"),
    ]


CALCULATOR = Calculator(
    name="conformance",
    title="Probability that a value lies within its limits.",
    fields=(
        Field("value", "text", 'What was read, as "54.032 mm".', required=True),
        Field("u", "text", 'Its standard uncertainty, as "3 µm".'),
        Field("expanded", "text", 'Instead of u: ± at 95 %, as "0.006 mm"; u is half of it.'),
        Field("dof", "number", "Degrees of freedom of u; left out where u is taken as known."),
        Field("lower", "text", 'Lower limit, as "54.000 mm".'),
        Field("upper", "text", 'Upper limit, as "54.040 mm".'),
        Field("new-end", "text", "Where the allowance of a new part ends; tells worn."),
        Field(
            "prove", "number", "Within from this probability, in %.", default=f"{PROVE * 100:.0f}"
        ),
        Field(
            "disprove", "number", "Beyond up to this one, in %.", default=f"{DISPROVE * 100:.0f}"
        ),
        Field("failure", "number", "What fitting it costs if it does not conform, any money."),
        Field("renewal", "number", "What a new part costs, same money."),
    ),
    compute=_compute,
    example='conformance --value "54.032 mm" --u "3 µm" --upper "54.040 mm"',
)
