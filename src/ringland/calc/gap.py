"""Ring end gap: what a leaflet's rule asks for in this bore, and what leaves or a number prove."""

from typing import Any

from ringland.calc.calculator import Answer, BadInputs, Calculator, Field, Inputs, Row
from ringland.calc.readings import judged_fields, leaf_fields
from ringland.calc.shown import Told, chance, told
from ringland.calc.sizes import refuse_slips
from ringland.engine.refusal import OutOfRange
from ringland.engine.ring import gap_limits_by_rule
from ringland.measure.conformance import (
    Interval,
    interval_probability,
    interval_verdict,
    judge,
    probability_within,
)
from ringland.measure.estimates import MeasureError
from ringland.measure.gaps import (
    leaf_interval,
    next_thicker,
    stack_of,
)
from ringland.quantity.estimate import Estimate
from ringland.quantity.units import Quantity, find_unit

MM = find_unit("mm")
MOST_RULE = 0.05  # of the bore: from there on a per cent was typed for something else
LEAST_RULE = 0.001  # of the bore: under it a ratio was typed for a per cent; common practice
NO_CLAIM = (
    "A cold gap says nothing of the gap when hot; the leaflet that came with the ring rules. "
    "File only the ring's end faces, square, and take the burr off."
)


def _compute(inputs: Inputs) -> Answer:
    if inputs["gap"] is not None and inputs.si("gap") <= 0:
        raise BadInputs([("gap", f"{inputs['gap']} is no gap: a ring with none seizes; above 0")])
    refuse_slips(inputs, {"bore": "bore", "gap": "gap", "goes": "gap", "stops": "gap"})
    lower, upper = _limits(inputs)
    problems = _off_the_shelf(inputs)
    if problems:
        raise BadInputs(problems)
    rows = _rule_rows(inputs, lower, upper)
    fields: dict[str, Any] = {"least_mm": _mm(lower), "most_mm": _mm(upper)}
    if inputs["goes"] or inputs["stops"]:
        return _of_leaves(inputs, lower, upper, rows, fields)
    if inputs["gap"] is not None:
        return _of_number(inputs, lower, upper, rows, fields)
    if lower is None:
        raise BadInputs([("rule", "give a rule and a bore, or limits, or what the leaves showed")])
    say = _told(inputs).twice
    span = f"from {say(lower, 3)}" if upper is None else say.span(lower, upper, 3)
    return Answer(
        f"End gap {span}.",
        tuple(rows),
        (NO_CLAIM,),
        fields=fields,
    )


def _told(inputs: Inputs) -> Told:
    return told(inputs, "length", "goes", "stops", "gap", "lower", "upper", "bore")


def _limits(inputs: Inputs) -> tuple[float | None, float | None]:
    """Lower and upper limit; the ring's own rule outranks the engine sheet's figure."""
    bore = inputs.si_or_none("bore")
    found: list[float | None] = []
    problems = []
    for limit, rule in (("lower", "rule"), ("upper", "rule-most")):
        value = inputs.si_or_none(limit)
        share = inputs.si_or_none(rule)
        if share is not None:
            try:
                if bore is None:
                    raise MeasureError("a rule per bore needs --bore")
                if not share < MOST_RULE:
                    raise MeasureError(
                        f"{inputs[rule]} of the bore is no ring gap: rules ask for 0.3 to 1 %, and "
                        "5 % is past any; divide by 100, or add the unit of what was meant"
                    )
                if 0 < share < LEAST_RULE:
                    raise MeasureError(_no_rule(inputs[rule]))
                value, _ = gap_limits_by_rule(bore, share, share)
            except (MeasureError, OutOfRange) as error:
                problems.append((rule, str(error)))
        found.append(value)
    if problems:
        raise BadInputs(problems)
    lower, upper = found
    if lower is not None and upper is not None and lower > upper:
        raise BadInputs(
            [
                (
                    "upper",
                    f"{_told(inputs)(upper, 3)} is below the least gap {_told(inputs)(lower, 3)}",
                )
            ]
        )
    return lower, upper


def _no_rule(typed: Quantity) -> str:
    return (
        f"{typed} of the bore is next to nothing: rules ask for some tenths of a per cent. "
        f"{float(typed.number):g} inch per inch, or mm per mm, is {float(typed.number) * 100:g} %"
    )


def _off_the_shelf(inputs: Inputs) -> list[tuple[str, str]]:
    leaves = [each.si for each in inputs["leaf"]]
    if not leaves:
        return []
    return [
        (name, f"{each} is no leaf of this set and no stack of three: read it again")
        for name in ("goes", "stops")
        for each in inputs[name]
        if stack_of(each.si, leaves) is None
    ]


def _rule_rows(inputs: Inputs, lower: float | None, upper: float | None) -> list[Row]:
    def remark(limit: str, rule: str) -> str:
        if inputs[rule] is None:
            return "as given"
        outranked = f"; outranks the engine sheet's {inputs[limit]}" if inputs[limit] else ""
        return f"{inputs[rule]} of {inputs['bore']}{outranked}"

    rows, say = [], _told(inputs)
    if lower is not None:
        rows.append(Row("least gap", say(lower, 3), remark("lower", "rule")))
    if upper is not None:
        rows.append(Row("most gap", say(upper, 3), remark("upper", "rule-most")))
    return rows


def _of_leaves(
    inputs: Inputs,
    lower: float | None,
    upper: float | None,
    rows: list[Row],
    fields: dict[str, Any],
) -> Answer:
    goes, stops = _si(inputs["goes"]), _si(inputs["stops"])
    say = _told(inputs)
    if goes and stops and max(goes) >= min(stops):
        message = f"{say(max(goes), 2)} goes, yet {say(min(stops), 2)} does not: try both again"
        raise BadInputs([("goes", message)])
    try:
        interval = leaf_interval(goes, stops)
    except MeasureError as error:
        raise BadInputs([("goes", str(error))]) from None
    between = _between(interval, say)
    rows.append(Row("gap", between))
    fields |= {"low_mm": _mm(interval.low), "high_mm": _mm(interval.high)} | leaf_fields(interval)
    if lower is None and upper is None:
        return Answer(f"End gap {between}.", tuple(rows), (NO_CLAIM,), fields=fields)
    verdict = interval_verdict(interval, lower=lower, upper=upper)
    fields |= {
        "verdict": verdict,
        "probability": interval_probability(interval, lower=lower, upper=upper),
        "limits": {"lower": _mm(lower), "upper": _mm(upper)},
        "settled_by": [],
    }
    if verdict == "undecided":
        rows.append(Row("to settle it", todo := _next_leaf(inputs, interval)))
        fields["settled_by"] = [{"kind": "leaf", "what": todo}]
    notes = (
        "The limit's own leaf entering means beyond; one leaf entering with the next untried is "
        "enough to prove a minimum (common practice).",
        NO_CLAIM,
    )
    return Answer(f"End gap {between}: {verdict}.", tuple(rows), notes, fields=fields)


def _next_leaf(inputs: Inputs, interval: Interval) -> str:
    if interval.low is None:
        return "try a thinner leaf"
    if interval.high is not None:
        return "try a leaf or a stack between the two"
    leaves = [each.si for each in inputs["leaf"]]
    thicker = next_thicker(interval.low, leaves) if leaves else None
    return "try the next thicker leaf" + (
        "" if thicker is None else f", {_told(inputs)(thicker, 2)}"
    )


def _of_number(
    inputs: Inputs,
    lower: float | None,
    upper: float | None,
    rows: list[Row],
    fields: dict[str, Any],
) -> Answer:
    say = _told(inputs)
    estimate = Estimate(inputs.si("gap"), inputs.si("expanded") / 2)
    rows.append(Row("gap", say.doubt(estimate, 3)))
    if lower is None and upper is None:
        raise BadInputs([("upper", "give a limit, or a rule with its bore")])
    p = probability_within(estimate, lower=lower, upper=upper)
    verdict = judge(estimate, lower=lower, upper=upper)
    rows.append(Row("probability that it conforms", chance(p)))
    if lower is not None and estimate.value < lower:
        left = lower - estimate.value
        rows.append(Row("to file off a new ring", say(left, 3), "a little at a time"))
        fields["to_file_off_mm"] = left * 1e3
    fields |= judged_fields(estimate, MM, lower=lower, upper=upper, probability=p, verdict=verdict)
    headline = f"End gap {say.twice(estimate.value, 3)}: {verdict}."
    return Answer(headline, tuple(rows), (NO_CLAIM,), fields=fields)


def _si(quantities: tuple[Quantity, ...]) -> list[float]:
    return [each.si for each in quantities]


def _mm(value: float | None) -> float | None:
    return None if value is None else value * 1e3


def _between(interval: Interval, say: Told) -> str:
    if interval.low is None:
        assert interval.high is not None
        return f"under {say(interval.high, 2)}"
    if interval.high is None:
        return f"at least {say(interval.low, 2)}"
    return f"{say(interval.low, 2)} to under {say(interval.high, 2)}"


CALCULATOR = Calculator(
    name="gap",
    title="Ring end gap from a leaflet's rule per bore, and what a reading proves.",
    fields=(
        Field("bore", "length", "Bore that the ring runs in.", unit="mm"),
        Field("rule", "share", "Least gap per bore, as 0.45 % (0.0045 in per inch).", unit="%"),
        Field("rule-most", "share", "Most gap per bore, as 0.70 %.", unit="%"),
        Field("lower", "length", "Least gap of the engine sheet; the rule outranks it.", unit="mm"),
        Field("upper", "length", "Most gap of the engine sheet; the rule outranks it.", unit="mm"),
        Field("goes", "length", "Leaf (or stack) that enters.", unit="mm", many=True),
        Field("stops", "length", "Leaf (or stack) that does not.", unit="mm", many=True),
        Field("leaf", "length", "A leaf of the set, to check what was read.", unit="mm", many=True),
        Field("gap", "length", "Instead of leaves: the gap as a number.", unit="mm"),
        Field(
            "expanded",
            "length",
            "± of that number at 95 %.",
            default="0.02 mm",
            unit="mm",
            doubt=True,
        ),
    ),
    compute=_compute,
    example='gap --bore "54 mm" --rule "0.45 %" --goes "0.25 mm" --stops "0.30 mm"',
)
