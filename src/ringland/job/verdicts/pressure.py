"""Judging what has a rule of its own: leak tests by their profile, compression by its baseline."""

from dataclasses import replace

from ringland.job.book import Book
from ringland.job.log.entries import ReadingTaken
from ringland.job.log.fold import State
from ringland.job.readings.cranking import compared
from ringland.job.readings.gauging import measure_of
from ringland.job.readings.leaks import leak_of, of_kind
from ringland.job.verdicts.verdict import Tested, Verdict, Word
from ringland.measure.estimates import MeasureError
from ringland.measure.gauges import estimate_of_readings
from ringland.quantity.rounding import MINUS
from ringland.sheet.model import Check


def judge_fall(book: Book, state: State, blank: Verdict) -> Verdict:
    """Judge a leak test: start and end pressure, minutes, bubbles, by the sheet's profile."""
    check = book.sheet.checks[blank.check]
    reading = _last(state, blank)
    if check.limit == "reported":
        said = ", ".join(reading.how)
        return replace(blank, word="not judged", reason=said or "reported; judged through others")
    profile = book.figures.tests.get(check.profile)
    if any(each.evidence == "bad" for each in reading.indications):
        places = [each for each in reading.how if each.startswith("bubbles")]
        why = "bubbles at a seal or joint fail, whatever the fall"
        reason = "; ".join([*places, why])
        return replace(blank, word="beyond", reason=reason, todo=check.beyond.say)
    if len(of_kind(reading, "pressure")) < 2:
        return replace(
            blank, word="undecided", reason="a leak test needs pressure at start and end"
        )
    if profile is None:
        why = f"the sheet gives no rule '{check.profile}': pressure, time, allowed fall"
        return replace(blank, word="not judged", reason=why, todo="add the rule to the sheet")
    try:
        found = leak_of(book, state, check, reading)
    except ValueError as error:
        return replace(blank, word="undecided", reason=str(error), todo="repeat the test")
    assert found is not None
    words: dict[str, Word] = {"pass": "within", "fail": "beyond"}
    word = words.get(found.result.verdict, "undecided")
    todo = {"within": "", "beyond": check.beyond.say}.get(word, "repeat it by the rule")
    reason = f"{found.result.reasons[0]} (rule: {profile.typed.replace(' @', ',')})"
    return replace(blank, word=word, reason=reason, todo=todo)


_LEVELS: dict[str, tuple[Word, str]] = {
    "none": ("within", ""),
    "note": ("within", "the shop's norm: note it"),
    "plan": ("within, worn", "the shop's norm: plan the top end"),
    "stop": ("beyond", "the shop's norm: stop riding it"),
}


def judge_compression(book: Book, state: State, blank: Verdict) -> Verdict:
    """Judge cranking compression against this machine's own baseline on the same gauge."""
    reading = _last(state, blank)
    opened = state.opened
    if not of_kind(reading, "pressure"):
        return replace(blank, word="not measured", reason=reading.remark)
    check = book.sheet.checks[blank.check]
    blank = replace(blank, tested=_tested(state, check, reading))
    if opened is None or opened.baseline is None:
        why = "this machine has no baseline on this gauge: a number alone says little"
        return replace(blank, word="not comparable", reason=why, todo="this reading can become one")
    baseline = opened.baseline
    try:
        found = compared(book, baseline, reading)
    except ValueError as error:
        return replace(blank, word="not comparable", reason=str(error), todo="check the unit")
    if not found.comparable or found.share is None:
        return replace(
            blank,
            word="not comparable",
            reason="; ".join(found.reasons),
            todo="take it on the baseline's gauge, in the same way",
        )
    drop = 100 * (found.share.value - 1)
    fall = f"{drop:+.1f} %".replace("-", MINUS)
    said = f"{fall} ± {200 * found.share.u:.0f} against {baseline.value} on {baseline.gauge}"
    word, advice = _LEVELS[found.level or "none"]
    tested = blank.tested
    if tested is not None:
        least = tested.budget.estimate.value / found.share.value * (1 - book.norms.stop)
        tested = replace(tested, share=found.share, lower=least)
    return replace(blank, word=word, reason=said, todo=advice, tested=tested)


def _tested(state: State, check: Check, reading: ReadingTaken) -> Tested | None:
    """The pressure as its gauge tells it; None outside of what the gauge reads."""
    pressure = of_kind(reading, "pressure")[-1]
    gauge = measure_of(state.gauges.get(reading.gauge), check)
    try:
        budget = estimate_of_readings([pressure.si], gauge).budget
    except MeasureError:
        return None
    return Tested(budget, pressure.unit) if budget else None


def _last(state: State, blank: Verdict) -> ReadingTaken:
    return state.readings[blank.check, blank.condition][-1].fact
