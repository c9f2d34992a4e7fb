"""From typed words to a reading: values with units, leaves, places, words of eye and feel.

The words of a line are taken apart in `reading_words`, its values read in `reading_value`. What is
not plausible is asked about and nothing is kept.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from ringland.bench.called import command
from ringland.bench.doubtful import Line
from ringland.bench.reading_value import Habits, value_of
from ringland.bench.reading_words import LEAF, SAID, by_place, tokens
from ringland.bench.refusal import Refused
from ringland.job.case import Case
from ringland.job.log.entries import (
    Condition,
    Fact,
    Gauge,
    GaugeUsed,
    Indication,
    ReadingTaken,
)
from ringland.job.readings.circumstances import LEAK_DOWN, NotUnderstood, take_out
from ringland.job.slips.beside import Last
from ringland.sheet.model import Check

NOT_OURS = "-"  # a reading that came by message, taken with a gauge nobody here knows


@dataclass(frozen=True, slots=True)
class Taking:
    """How a reading is taken: beside the words with the values.

    gauge : id of the gauge that was named; `NOT_OURS` for one that is not on the shelf
    """

    gauge: str = ""
    temperature: str = ""
    condition: Condition | None = None
    remark: str = ""
    insist: bool = False
    gauge_temperature: str = ""


def take(
    case: Case,
    check: str,
    words: Sequence[str],
    taking: Taking,
    habits: Habits,
    shelf: dict[str, Gauge],
    *,
    last: Last | None = None,
) -> list[Fact]:
    """Return the facts of one or several readings of a check.

    words : values and words as typed, such as ("H1X", "53.214"), (".29", "goes"), ("not", "sure")
    last : what was read in the machine's last job, to ask "measured today?"
    Raises Refused, or Asked where something must be settled first.
    """
    content = case.book.sheet.checks[check]
    if content.of:
        raise Refused(f"{check} is worked out from {' and '.join(content.of)}: read those")
    condition = taking.condition or condition_now(case, check)
    gauge = gauge_for(content, taking, habits, shelf)
    try:
        kind = LEAK_DOWN if content.unit == "share" else content.method
        words, how = take_out(words, kind)
    except NotUnderstood as error:
        raise Refused(f"{check}: {error}") from None
    line = Line(case, check, condition, gauge, last)
    readings = [replace(reading, how=how) for reading in _readings(line, words, taking, habits)]
    if copied := line.copied():
        readings = [replace(reading, insisted=reading.insisted or copied) for reading in readings]
    if line.slips and not taking.insist:
        raise line.asked()
    if not readings:
        raise Refused(f"{check}: nothing to keep. {_usage(content)}")
    facts: list[Fact] = []
    if gauge is not None and case.state.gauges.get(gauge.id) != gauge:
        facts.append(GaugeUsed(gauge))
    return [*facts, *readings]


def condition_now(case: Case, check: str) -> Condition:
    """Return what a reading taken now is of: the new part once one is in hand, else as found."""
    content = case.book.sheet.checks[check]
    if content.taken != "both":
        return content.taken
    if content.phase not in ("due", "inspect"):  # a test: of the new build once the strip began
        begun = any(case.done[name] and step.off for name, step in case.steps.items())
        return "as fitted" if begun else "as found"
    return "as fitted" if content.part in case.state.renewed else "as found"


def _usage(content: Check) -> str:
    if content.places:
        return f"Name the place and the value, as in '{content.places[0]} 53.21 mm'."
    return "Write the value with its unit, or a word such as 'good', 'bad', 'not sure'."


def gauge_for(
    content: Check, taking: Taking, habits: Habits, shelf: dict[str, Gauge]
) -> Gauge | None:
    """Return the gauge that is named, the one used last, or the only one of the best kind."""
    if taking.gauge == NOT_OURS:
        return None
    if taking.gauge:
        return find_gauge(taking.gauge, shelf)
    for kind in content.gauges:
        last = habits.gauges.get(kind)
        if last and last in shelf:
            return shelf[last]
    of_kind = [g for kind in content.gauges for g in shelf.values() if g.kind == kind]
    same = {g.kind for g in of_kind}
    # the only gauge of the best kind is the one meant; of several the person names one
    best = [g for g in of_kind if g.kind == next((k for k in content.gauges if k in same), "")]
    return best[0] if len(best) == 1 else None


def find_gauge(said: str, shelf: dict[str, Gauge]) -> Gauge:
    """Return a gauge by its id, or by its kind where there is one of it. Raises Refused."""
    by_id = {each.id.casefold(): each for each in shelf.values()}
    if said.casefold() in by_id:
        return by_id[said.casefold()]
    of_kind = [g for g in shelf.values() if said.casefold() in g.kind]
    if len(of_kind) == 1:
        return of_kind[0]
    known = (
        ", ".join(f"{g.id} ({g.kind})" for g in shelf.values()) or f"none: {command('gauge add')}"
    )
    which = "several gauges are" if of_kind else "no gauge is"
    raise Refused(f"{which} called {said!r}. On the shelf: {known}")


def _readings(
    line: Line, words: Sequence[str], taking: Taking, habits: Habits
) -> Iterator[ReadingTaken]:
    content = line.case.book.sheet.checks[line.check]
    blank = ReadingTaken(
        line.check,
        line.condition,
        (),
        gauge=line.gauge.id if line.gauge else "",
        temperature=taking.temperature,
        remark=taking.remark,
        gauge_temperature=taking.gauge_temperature,
    )
    for place, said in by_place(content, words):
        indications, insisted = _indications(line, content, place, said, habits)
        if indications:
            yield replace(blank, place=place, indications=tuple(indications), insisted=insisted)


def _indications(
    line: Line, content: Check, place: str, words: list[str], habits: Habits
) -> tuple[list[Indication], str]:
    found: list[Indication] = []
    insisted = ""
    for token in tokens(words):
        if token in SAID:
            evidence, typed = SAID[token]
            found.append(Indication(evidence, typed=typed or token))
            continue
        if token in LEAF:
            if not found or found[-1].evidence != "value":
                raise Refused(f"'{token}' follows a leaf, as in '0.30 {token}'")
            found[-1] = replace(found[-1], evidence="goes" if LEAF[token] == "goes" else "stops")
            continue
        quantity = value_of(line.case, content, line.check, token, line.gauge, habits)
        insisted = line.question(place, quantity) or insisted
        found.append(Indication("value", str(quantity.number), quantity.unit.name, token))
    return found, insisted
