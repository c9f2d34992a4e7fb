"""Hold points: the conditions that must hold, or that a named person signs why not.

Each condition is one function that returns the sentences of what does not hold yet. `CONDITIONS`
is the whole list; a sheet names conditions from it.
"""

from collections.abc import Callable, Iterable
from dataclasses import dataclass

from ringland.job.case import Case
from ringland.job.causes import causes_of
from ringland.job.counts import Tally
from ringland.sheet.model import Step


@dataclass(frozen=True, slots=True)
class Open:
    """One thing that does not hold.

    kind : what sort of thing, in a word; what : the sentence; todo : what to do
    never_signed : nobody can sign it away
    """

    kind: str
    what: str
    todo: str = ""
    never_signed: bool = False


def open_at(case: Case, name: str) -> list[Open]:
    """Return what does not hold at a hold point; nothing when it is signed and may be."""
    step = case.steps[name]
    found = [each for word in step.hold for each in CONDITIONS[word](case, step)]
    if name in case.state.signed and not step.never_signed:
        return [each for each in found if each.never_signed]
    return found


def counts_agree(case: Case, step: Step) -> Iterable[Open]:
    """What came off is accounted for; while building, what goes on as well.

    A piece that came off short is never signed away: an entry tells where it was, or its loss.
    """
    sides = ("off", "on") if step.phase in ("prestart", "start") else ("off",)
    for tally in case.tallies:
        if tally.side in sides and tally.is_open and tally.part != "rag":
            lost = tally.side == "off" and tally.said is not None and tally.missing > 0
            yield Open("count", tally.question(), _todo(tally), never_signed=lost)


def _todo(tally: Tally) -> str:
    if tally.said is None:
        return f"count, as in: {tally.part} {tally.side} {tally.expected}"
    if tally.missing < 0:
        return "count again, or sign why"
    if tally.side == "on":
        return "put it in, then count again"
    return f"count again, or: found {tally.part} WHERE IT LAY; a new one does not close it"


def readings_taken(case: Case, _step: Step) -> Iterable[Open]:
    """Each reading of the inspection has a value or a reason, and none contradict each other."""
    for verdict in case.readings_wanted("inspect"):
        stated = verdict.value is not None and verdict.value.said in ("not taken", "not measurable")
        if verdict.word == "not measured" and not stated and not verdict.overruled:
            yield Open("reading", f"{verdict.check}: not measured", verdict.todo)
        if verdict.word == "readings disagree":
            yield Open("reading", f"{verdict.check}: {verdict.reason}", verdict.todo)


def decisions_made(case: Case, _step: Step) -> Iterable[Open]:
    """Nothing is left undecided on a part that stays."""
    for verdict in case.readings_wanted("inspect"):
        part = case.book.sheet.checks[verdict.check].part
        settled = verdict.overruled or part in case.state.decided or part in case.renew
        if verdict.word in ("undecided", "not comparable") and not settled:
            yield Open("decision", f"{verdict.check}: {verdict.word}", verdict.todo)


def causes_named(case: Case, _step: Step) -> Iterable[Open]:
    """Each damage has a named cause with its proof."""
    for damage in causes_of(case).damages:
        if damage.named is None:
            content = case.book.sheet.findings.get(damage.name)
            likely = f"likely: {content.likely} " if content and content.likely else ""
            proven = (
                f"proven by what is known: {', '.join(damage.proven)}. " if damage.proven else ""
            )
            look = content.check if content else ""
            todo = f"{proven or likely}{look} Fitting waits until {damage.until}; see: causes"
            yield Open("cause", f"{damage.name}: no cause named", todo)


def parts_in_hand(case: Case, _step: Step) -> Iterable[Open]:
    """Every new part is there and matches."""
    for line in case.parts.lines():
        if not line.in_hand:
            todo = f"when it is here: renew {line.name}"
            yield Open("part", f"{line.name}: no new one in hand", todo)


def fitted_readings_within(case: Case, _step: Step) -> Iterable[Open]:
    """The new combination was measured and is within."""
    for verdict in case.readings_wanted("fit"):
        if not verdict.is_good and verdict.word != "not judged":
            yield Open("reading", f"{verdict.check}, as fitted: {verdict.word}", verdict.todo)


def torque_complete(case: Case, _step: Step | None = None) -> Iterable[Open]:
    """Every fastener has all its stages, at the right torque. Never signed away."""
    for name in case.groups():
        for sentence in case.progress(name).open:
            yield Open("torque", sentence, "tighten it", never_signed=True)


def stops_resolved(case: Case, _step: Step | None = None) -> Iterable[Open]:
    """No stop stands."""
    for stop in case.brought.open_stops():
        yield Open("stop", f"{stop.source}: {stop.sentence}", "", stop.never_signed)


def tests_passed(case: Case, _step: Step) -> Iterable[Open]:
    """The tests before the first start are passed."""
    for verdict in case.readings_wanted("prestart"):
        # what failed before the strip is answered by the same test of the new build
        if verdict.condition == "as found" and case.wanted(verdict.check, "as fitted"):
            continue
        if not verdict.is_good:
            left_out = verdict.value is not None and verdict.value.said == "not taken"
            not_done = "left out" if left_out else "not done"
            word = not_done if verdict.word == "not measured" else verdict.word
            said = [verdict.reason, verdict.todo] if left_out else [verdict.reason or verdict.todo]
            yield Open("test", f"{verdict.check}: {word}", "; ".join(filter(None, said)))


def rags_out(case: Case, _step: Step) -> Iterable[Open]:
    """As many rags came out as went in. Never signed away."""
    went_in = max(_rags_said(case, "on") or 0, _rags_by_steps(case))
    came_out = _rags_said(case, "off")
    if went_in and came_out is None:
        what, todo = (
            f"rag: {went_in} went in, none counted out",
            "take it out and count it: rag off 1",
        )
        yield Open("count", what, todo, never_signed=True)
    elif went_in != (came_out or 0):
        what = f"rag: {went_in} went in, {came_out} came out"
        yield Open("count", what, "find it before anything closes", never_signed=True)


def _rags_said(case: Case, side: str) -> int | None:
    counted = case.state.counted.get(("rag", side))
    return None if counted is None else counted.fact.count


def _rags_by_steps(case: Case) -> int:
    """A step that stuffs the mouth is done: then a rag is in, counted or not."""
    return sum("rag" in step.on and case.done[name] for name, step in case.steps.items())


def two_photos_or_two_people(case: Case, step: Step) -> Iterable[Open]:
    """What closes out of sight was seen by two people, or is on two photos."""
    for name in step.needs:
        people = {said.by for said in case.state.done.get(name, [])}
        photos = case.state.photos.get(name, [])
        if len(people) < 2 and len(photos) < 2:
            yield Open(
                "witness",
                f"{name}: seen by one person, {len(photos)} photos",
                "a second person ticks it, or two photos",
            )


Condition = Callable[[Case, Step], Iterable[Open]]
CONDITIONS: dict[str, Condition] = {
    "counts agree": counts_agree,
    "readings taken": readings_taken,
    "decisions made": decisions_made,
    "causes named": causes_named,
    "parts in hand": parts_in_hand,
    "fitted readings within": fitted_readings_within,
    "torque complete": torque_complete,
    "stops resolved": stops_resolved,
    "tests passed": tests_passed,
    "rags out": rags_out,
    "two photos or two people": two_photos_or_two_people,
}
