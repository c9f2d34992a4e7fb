"""A value held against its limits: how probable it is that the part conforms, and the word for it.

Beyond is proven against one limit, never against both at once. A difference of sizes is judged by
simulation, leaves by what they prove. Not here: feel, tests with a rule of their own (`judge`).
Start with `held`.
"""

from dataclasses import replace

from ringland.job.book import Norms
from ringland.job.readings.value import Value
from ringland.job.verdicts.verdict import Limits, Verdict, Word
from ringland.measure import conformance
from ringland.measure.conformance import Interval
from ringland.quantity import Estimate, Unit, decimals_for, show, show_number

Side = tuple[conformance.Verdict, float]  # what one side decides, and its probability
_SHOWN = {
    ("minimum", "within"): "above the minimum",
    ("minimum", "undecided"): "the minimum is not shown",
    ("minimum", "beyond"): "below the minimum",
    ("limit", "within"): "below the limit",
    ("limit", "undecided"): "the limit is not shown",
    ("limit", "beyond"): "past the limit",
}


def held(norms: Norms, blank: Verdict, limits: Limits) -> Verdict:
    """Return the verdict on a value: its word, its probability and one reason."""
    value = blank.value
    assert value is not None
    verdict = replace(blank, limits=limits)
    words: list[conformance.Verdict] = []
    if value.interval is not None:
        found = _of_leaves(value.interval, value.least_interval or value.interval, limits)
        words += [word for _, word in found]
        verdict = replace(verdict, reason="; ".join(_SHOWN[each] for each in found))
    if value.estimate is not None:
        word, p = _of_number(norms, value, limits)
        words.append(word)
        verdict = replace(verdict, p=p, reason=_against(value, limits, value.unit))
    if not words:
        return verdict
    # with "within" everywhere it is within; one place that is beyond is enough
    worst: Word = next((w for w in ("beyond", "undecided") if w in words), "within")
    return replace(verdict, word=_worn_or(value, limits) if worst == "within" else worst)


def _of_number(norms: Norms, value: Value, limits: Limits) -> Side:
    estimate = value.estimate
    assert estimate is not None
    if value.form is not None and limits.upper is not None:
        shown = value.form.within(limits.upper)
        word = shown.verdict(prove=norms.prove, disprove=norms.disprove)
        return word, shown.probability
    least = value.least or estimate
    if limits.lower is None or limits.upper is None or value.least is None:
        judged = least if limits.upper is None else estimate
        return _judged(norms, judged, limits.lower, limits.upper)
    below, above = (
        _judged(norms, least, limits.lower, None),
        _judged(norms, estimate, None, limits.upper),
    )
    both = (below[0], above[0])
    word = next((w for w in ("beyond", "undecided") if w in both), "within")
    return word, min(below[1], above[1])


def _judged(norms: Norms, estimate: Estimate, lower: float | None, upper: float | None) -> Side:
    word = conformance.judge(
        estimate, lower=lower, upper=upper, prove=norms.prove, disprove=norms.disprove
    )
    return word, conformance.probability_within(estimate, lower=lower, upper=upper)


def _of_leaves(
    widest: Interval, least: Interval, limits: Limits
) -> list[tuple[str, conformance.Verdict]]:
    found: list[tuple[str, conformance.Verdict]] = []
    if limits.lower is not None:
        word = conformance.interval_verdict(least, lower=limits.lower, upper=None)
        found.append(("minimum", word))
    if limits.upper is not None:
        word = conformance.interval_verdict(widest, lower=None, upper=limits.upper)
        found.append(("limit", word))
    return found


def _worn_or(value: Value, limits: Limits) -> Word:
    """In the last third of the allowance for wear it is within, but worn."""
    end = limits.new_end
    limit = limits.upper if limits.upper is not None else limits.lower
    if end is None or limit is None or end == limit:
        return "within"
    shown: list[float] = []
    judged = value.estimate if limits.upper is not None else value.least or value.estimate
    if judged is not None:
        shown.append(judged.value)
    if value.interval is not None:  # what the leaves prove it has reached at least
        reached = value.interval.low if limits.upper is not None else value.interval.high
        shown += [reached] if reached is not None else []
    worn = any(conformance.worn(each, end, limit) for each in shown)
    return "within, worn" if worn else "within"


def _against(value: Value, limits: Limits, unit: Unit | None) -> str:
    assert value.estimate is not None
    if unit is None:
        return ""
    low, high = limits.lower, limits.upper
    decimals = max(decimals_for(unit.step_from_si(value.estimate.u)), 2)
    if low is not None and high is not None:
        return f"allowed {show_number(unit.from_si(low), decimals)} to {show(high, unit, decimals)}"
    if high is not None:
        return f"max {show(high, unit, decimals)}"
    assert low is not None
    return f"min {show(low, unit, decimals)}"
