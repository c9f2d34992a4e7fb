"""Judging what has a rule of its own: leak tests by their profile, compression by its baseline."""

from dataclasses import replace

from ringland.gas.air import standard_atmosphere
from ringland.gas.baseline import CrankingReading, DropLevels, against_baseline
from ringland.gas.leak_profile import COOLING_LIMIT, SEAL_LIMIT, LeakProfile
from ringland.gas.pressure_test import LeakTest, judge_leak_test
from ringland.job.book import Book
from ringland.job.entries import ReadingTaken
from ringland.job.fold import State
from ringland.job.gauging import measure_of
from ringland.job.verdict import Verdict, Word
from ringland.measure.gauges import allowed_error
from ringland.quantity import Quantity, parse_quantity
from ringland.quantity.rounding import MINUS
from ringland.sheet.figures import Profile

STANDARD = 101_325.0  # Pa, where nobody noted an altitude: the same for reading and baseline


def judge_fall(book: Book, state: State, blank: Verdict) -> Verdict:
    """Judge a leak test: start and end pressure, minutes, bubbles, by the sheet's profile."""
    check = book.sheet.checks[blank.check]
    reading = _last(state, blank)
    pressures = [q for q in _quantities(reading) if q.unit.kind == "pressure"]
    times = [q for q in _quantities(reading) if q.unit.kind == "time"]
    profile = book.figures.tests.get(check.profile)
    bubble = any(each.evidence == "bad" for each in reading.indications)
    if bubble:
        why = "bubbles at a seal or joint fail, whatever the fall"
        return replace(blank, word="beyond", reason=why, todo=check.beyond.say)
    if len(pressures) < 2:
        return replace(
            blank, word="undecided", reason="a leak test needs pressure at start and end"
        )
    if profile is None:
        why = f"the sheet gives no rule '{check.profile}': pressure, time, allowed fall"
        return replace(blank, word="not judged", reason=why, todo="add the rule to the sheet")
    gauge = measure_of(state.gauges.get(reading.gauge), check)
    seen = any(each.evidence == "good" for each in reading.indications)
    cooling = profile.pressure.si > SEAL_LIMIT
    try:
        test = LeakTest(
            pressures[0].si,
            pressures[1].si,
            times[0].si if times else profile.time.si,
            warmed=0.0,
            u_pressure=_between_two(
                gauge_error=allowed_error(gauge, pressures[0].si), fall=profile.fall.si
            ),
            bubbles="none" if seen else "not looked for",
        )
        result = judge_leak_test(test, _rule(check.profile, profile, cooling))
    except ValueError as error:
        return replace(blank, word="undecided", reason=str(error), todo="repeat the test")
    words: dict[str, Word] = {"pass": "within", "fail": "beyond"}
    word = words.get(result.verdict, "undecided")
    todo = {"within": "", "beyond": check.beyond.say}.get(word, "repeat it by the rule")
    return replace(
        blank, word=word, reason=f"{result.reasons[0]} (rule: {profile.typed})", todo=todo
    )


def _between_two(*, gauge_error: float, fall: float) -> float:
    """Doubt of one reading against another on the same gauge: its steps, not its scale error.

    Common practice: a low-pressure gauge is read to a fifth of its error. The allowed fall of a
    rule that asks for none is what the gauge can show.
    """
    return min(gauge_error / 5, fall / 5 or gauge_error / 5)


def _rule(name: str, profile: Profile, cooling: bool) -> LeakProfile:
    return LeakProfile(
        name,
        profile.pressure.si,
        profile.time.si,
        profile.fall.si,
        limit=COOLING_LIMIT if cooling else SEAL_LIMIT,
        source="engine sheet",
    )


_LEVELS: dict[str, tuple[Word, str]] = {
    "none": ("within", ""),
    "note": ("within", "note it"),
    "plan": ("within, worn", "plan the top end"),
    "stop": ("beyond", "stop riding it"),
}


def judge_compression(book: Book, state: State, blank: Verdict) -> Verdict:
    """Judge cranking compression against this machine's own baseline on the same gauge."""
    reading = _last(state, blank)
    pressures = [q for q in _quantities(reading) if q.unit.kind == "pressure"]
    opened = state.opened
    if not pressures:
        return replace(blank, word="not measured", reason=reading.remark)
    if opened is None or opened.baseline is None:
        why = "this machine has no baseline on this gauge: a number alone says little"
        return replace(blank, word="not comparable", reason=why, todo="this reading can become one")
    baseline = opened.baseline
    now = CrankingReading(
        pressures[0].si, reading.gauge or None, _ambient(_quantities(reading)), False
    )
    heights = [parse_quantity(baseline.altitude)] if baseline.altitude else []
    before = CrankingReading(
        parse_quantity(baseline.value).si, baseline.gauge or None, _ambient(heights), False
    )
    norms = book.norms
    found = against_baseline(
        now, [before], levels=DropLevels(norms.note, norms.plan, norms.stop, "the shop's norm")
    )
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
    return replace(blank, word=word, reason=said, todo=advice)


def _last(state: State, blank: Verdict) -> ReadingTaken:
    return state.readings[blank.check, blank.condition][-1].fact


def _quantities(reading: ReadingTaken) -> list[Quantity]:
    found = [each.quantity for each in reading.indications]
    return [quantity for quantity in found if quantity is not None]


def _ambient(quantities: list[Quantity]) -> float:
    """Air pressure of the altitude that was noted; the standard one where none was."""
    heights = [q.si for q in quantities if q.unit.kind == "length"]
    return standard_atmosphere(heights[0]).pressure if heights else STANDARD
