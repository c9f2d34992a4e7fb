"""What each check's readings decide: the verdict, why, and what to do now.

The rule is ISO 14253-1's: within or beyond at the shop's norm of probability (JCGM 106), undecided
between them. Leaves, feel and counts are evidence of their own. A person may overrule.
"""

from dataclasses import replace

from ringland.job.book import Book
from ringland.job.disagree import disagreements
from ringland.job.entries import Condition, Indication
from ringland.job.fold import State
from ringland.job.pressure import judge_compression, judge_fall
from ringland.job.settle import what_would_settle
from ringland.job.values import CONDITIONS, Value, conditions_of, values_of
from ringland.job.verdict import Limits, Verdict, Verdicts, Word, limits_of
from ringland.measure import conformance
from ringland.quantity import Estimate, Unit, decimals_for, show, show_number
from ringland.sheet.model import Check

SIGNS_OF_PLAN = 2.0  # standard uncertainties by which a value differs from its plan


def judge(book: Book, state: State) -> dict[tuple[str, Condition], Verdict]:
    """Return the verdict of each check that belongs to the job, in each condition it is taken in."""
    values = values_of(book, state)
    verdicts: dict[tuple[str, Condition], Verdict] = {}
    for name, check in book.sheet.checks.items():
        taken = {condition for condition in CONDITIONS if (name, condition) in values}
        for condition in sorted(taken | set(conditions_of(check)), key=CONDITIONS.index):
            value = values.get((name, condition))
            if value is None and not book.applies(check.scopes, check.fitted_to):
                continue
            verdict = _verdict(book, state, name, condition, value)
            overruled = state.overruled.get((name, condition))
            verdicts[name, condition] = replace(verdict, overruled=overruled)
    for key, verdict in verdicts.items():
        verdicts[key] = _told_by_number(book, verdicts, verdict)
    for contradiction in disagreements(book, values):
        for key in contradiction.readings:
            if key in verdicts:
                verdicts[key] = replace(
                    verdicts[key],
                    word="readings disagree",
                    p=None,
                    reason=contradiction.reason,
                    todo=contradiction.todo,
                )
    return verdicts


def _told_by_number(book: Book, verdicts: Verdicts, verdict: Verdict) -> Verdict:
    """A feel that nobody was sure of is settled by the number that tells it."""
    check = book.sheet.checks[verdict.check]
    unsure = (
        verdict.word == "undecided"
        and verdict.value is not None
        and verdict.value.said == "not sure"
    )
    number = verdicts.get((check.tells_instead, verdict.condition)) if unsure else None
    if number is None or number.word not in ("within", "within, worn", "beyond"):
        return verdict
    return replace(verdict, word=number.word, reason=f"told by {number.check}", todo=number.todo)


def _verdict(
    book: Book, state: State, name: str, condition: Condition, value: Value | None
) -> Verdict:
    check = book.sheet.checks[name]
    ruling = book.ruling(name, condition)
    blank = Verdict(name, condition, "not measured", value, ruling)
    if value is None:
        return replace(blank, todo=_how(check))
    if check.method == "fall":
        return judge_fall(book, state, blank)
    if check.method == "percent of baseline":
        return judge_compression(book, state, blank)
    if value.doubt:
        word: Word = "not comparable" if value.not_comparable else "undecided"
        return replace(blank, word=word, reason=value.doubt, todo="take the reading again")
    if value.said is not None:
        return _of_feel(book, blank, value.said)
    limits = limits_of(check, ruling.figure, condition) if ruling else None
    if check.limit == "reported":
        return _planned(
            state, replace(blank, word="not judged", reason="reported; judged through others")
        )
    if limits is None:
        through = next((each for each, of in book.sheet.checks.items() if name in of.of), "")
        if ruling is None and through:  # a skirt, a bore: they count in the clearance
            said = f"no limit of its own is given; judged through {through}"
            return _planned(state, replace(blank, word="not judged", reason=said))
        said = (
            "no limit is given for it in the sheet"
            if ruling is None
            else "only a figure for new is given"
        )
        offered = check.common_practice
        todo = f"common practice, not the maker's: {offered}" if offered else "judge it by feel"
        return _planned(state, replace(blank, word="not judged", reason=said, todo=todo))
    return _planned(state, _held(book, blank, limits))


def _held(book: Book, blank: Verdict, limits: Limits) -> Verdict:
    value = blank.value
    assert value is not None
    held = replace(blank, limits=limits)
    check = book.sheet.checks[blank.check]
    if value.interval is not None:
        return _of_leaves(held, value.interval, limits, check)
    if value.estimate is None:
        return replace(held, todo=_how(check))
    p = _probability(value, limits)
    word = conformance.verdict_of(p, prove=book.norms.prove, disprove=book.norms.disprove)
    if word == "beyond" and _is_inside(value, limits):
        word = "undecided"  # a gauge too coarse for the room has proven nothing
    held = replace(held, word=word, p=p, reason=_against(value, limits, value.unit))
    if word == "within":
        judged = value.least if value.least and limits.upper is None else value.estimate
        return replace(held, word=_worn_or_within(judged, limits))
    if word == "undecided":
        return replace(held, todo=what_would_settle(book, value, limits, check))
    least = value.least or value.estimate
    return replace(
        held, todo=_say(check, low=limits.lower is not None and least.value < limits.lower)
    )


def _say(check: Check, *, low: bool) -> str:
    return check.beyond.say_low if low and check.beyond.say_low else check.beyond.say


def _probability(value: Value, limits: Limits) -> float:
    """The largest place against the upper limit, the least against the lower one."""
    assert value.estimate is not None
    if value.least is None or limits.lower is None or limits.upper is None:
        judged = value.least if value.least and limits.upper is None else value.estimate
        return conformance.probability_within(judged, lower=limits.lower, upper=limits.upper)
    above = conformance.probability_within(value.least, lower=limits.lower, upper=None)
    below = conformance.probability_within(value.estimate, lower=None, upper=limits.upper)
    return min(above, below)


def _is_inside(value: Value, limits: Limits) -> bool:
    assert value.estimate is not None
    least = value.least or value.estimate
    return (limits.lower is None or least.value >= limits.lower) and (
        limits.upper is None or value.estimate.value <= limits.upper
    )


def _worn_or_within(estimate: Estimate, limits: Limits) -> Word:
    end = limits.new_end
    limit = limits.upper if limits.upper is not None else limits.lower
    if end is None or limit is None or end == limit:
        return "within"
    return "within, worn" if conformance.worn(estimate.value, end, limit) else "within"


_SHOWN = {
    ("minimum", "within"): "above the minimum",
    ("minimum", "undecided"): "the minimum is not shown",
    ("minimum", "beyond"): "below the minimum",
    ("limit", "within"): "below the limit",
    ("limit", "undecided"): "the limit is not shown",
    ("limit", "beyond"): "past the limit",
}


def _of_leaves(
    held: Verdict, interval: conformance.Interval, limits: Limits, check: Check
) -> Verdict:
    sides = []
    if limits.lower is not None:
        sides.append(
            ("minimum", conformance.interval_verdict(interval, lower=limits.lower, upper=None))
        )
    if limits.upper is not None:
        sides.append(
            ("limit", conformance.interval_verdict(interval, lower=None, upper=limits.upper))
        )
    words = [word for _, word in sides]
    shown = "; ".join(_SHOWN[side, word] for side, word in sides)
    if "beyond" in words:
        low = ("minimum", "beyond") in sides
        return replace(held, word="beyond", reason=shown, todo=_say(check, low=low))
    if "undecided" in words:
        todo = f"try the next {'thinner' if interval.low is None else 'thicker'} leaf"
        if interval.low is not None and interval.high is not None:
            todo = "try a leaf between these two, or a stack of thin ones"
        return replace(held, word="undecided", reason=shown, todo=todo)
    return replace(held, word="within", reason=shown)


def _of_feel(book: Book, blank: Verdict, said: str) -> Verdict:
    check = book.sheet.checks[blank.check]
    match said:
        case "good":
            return replace(blank, word="within", reason="judged by eye and feel")
        case "bad":
            return replace(
                blank, word="beyond", reason="judged by eye and feel", todo=check.beyond.say
            )
        case "not measurable":
            return replace(blank, word="not judged", reason="not measurable here")
        case "not taken":
            remark = blank.value.remark if blank.value else ""
            return replace(blank, word="not measured", reason=remark or "not taken")
    todo = (
        f"measure {check.tells_instead}" if check.tells_instead else "have a second person feel it"
    )
    return replace(
        blank, word="undecided", reason=check.cannot_tell or "not sure by feel", todo=todo
    )


def _planned(state: State, verdict: Verdict) -> Verdict:
    """Say beside the verdict when the value is not what was planned, though it may be in limit."""
    planned = state.planned.get(verdict.check)
    if planned is None or verdict.value is None or verdict.value.estimate is None:
        return verdict
    wanted = Indication("value", *_two(planned.fact.value)).quantity
    assert wanted is not None
    estimate = verdict.value.estimate
    off = estimate.value - wanted.si
    if abs(off) <= SIGNS_OF_PLAN * estimate.u:
        return verdict
    unit = wanted.unit
    by = show_number(unit.step_from_si(off), decimals_for(unit.step_from_si(estimate.u)))
    sign = "+" if off > 0 else ""
    return replace(verdict, plan=f"differs from plan: {sign}{by} {unit.name} against {wanted}")


def _two(text: str) -> tuple[str, str]:
    number, _, unit = text.partition(" ")
    return number, unit


def _how(check: Check) -> str:
    return check.words or "take the reading"


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
