"""What an act changed, in words: the verdict first, then parts, steps, stops, what is next."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from ringland.job.case import Case
from ringland.job.counts import Tally
from ringland.job.holds import open_at
from ringland.job.log.entries import (
    Corrected,
    Entry,
    Fact,
    FastenerPulled,
    GaugeUsed,
    ReadingTaken,
    StepDone,
    Withdrawn,
)
from ringland.job.log.fold import Reading
from ringland.job.plan import plan
from ringland.job.torques import Progress
from ringland.report.facts import fact_words as fact_words  # the pages take it from here
from ringland.report.told import told
from ringland.report.view import PlanLine, VerdictLine, plan_line, verdict_line


@dataclass(frozen=True, slots=True)
class ChangeView:
    """What was kept and what it changed.

    kept : one line for each thing kept, the verdict of a reading in it
    stops : sentences of stops that now stand; lifted : stops that stand no more
    parts, steps : names added to and taken from the job
    questions : what is open because of it (counts, tightening)
    disagree : readings that now contradict each other
    told : what a pressure reading tells beyond its verdict, and what it cannot
    """

    kept: tuple[str, ...]
    verdicts: tuple[VerdictLine, ...]
    stops: tuple[str, ...]
    lifted: tuple[str, ...]
    parts_added: tuple[str, ...]
    parts_gone: tuple[str, ...]
    steps_added: tuple[str, ...]
    questions: tuple[str, ...]
    next: PlanLine | None
    next_is_new: bool
    told: tuple[str, ...] = ()


def change_view(before: Case, after: Case, entries: Sequence[Entry]) -> ChangeView:
    """Return what an act changed, for the person who made it."""
    facts = [entry.fact for entry in entries]
    read = list(_read(facts))
    verdicts = [v for key, v in after.verdicts.items() if _moved(before, after, key) or key in read]
    stops_before = {stop.sentence: stop for stop in before.brought.open_stops()}
    stops_after = {stop.sentence: stop for stop in after.brought.open_stops()}
    ahead, was = plan(after).next, plan(before).next
    return ChangeView(
        tuple(_kept(after, facts)),
        tuple(verdict_line(after, verdict) for verdict in verdicts if verdict.value is not None),
        tuple(f"{s.source}: {text}" for text, s in stops_after.items() if text not in stops_before),
        tuple(s.source for text, s in stops_before.items() if text not in stops_after),
        tuple(name for name in after.renew if name not in before.renew),
        tuple(name for name in before.renew if name not in after.renew),
        tuple(name for name in after.steps if name not in before.steps),
        tuple(_questions(before, after, facts)),
        plan_line(after, ahead) if ahead else None,
        (was.id if was else "") != (ahead.id if ahead else ""),
        tuple(line for key in dict.fromkeys(read) for line in told(after, key)),
    )


def _moved(before: Case, after: Case, key: Reading) -> bool:
    old, new = before.verdicts.get(key), after.verdicts[key]
    return old is None or (old.word, old.reason) != (new.word, new.reason)


def _read(facts: Sequence[Fact]) -> Iterator[Reading]:
    for fact in facts:
        inner = fact.fact if isinstance(fact, Corrected) else fact
        if isinstance(inner, ReadingTaken):
            yield inner.check, inner.condition


def _kept(after: Case, facts: Sequence[Fact]) -> Iterator[str]:
    steps = [fact.step for fact in facts if isinstance(fact, StepDone)]
    if len(steps) > 1:
        yield f"{len(steps)} steps ticked: {', '.join(steps)}"
    for fact in facts:
        match fact:
            case StepDone() if len(steps) > 1:
                continue
            case GaugeUsed() | ReadingTaken() | FastenerPulled():
                continue  # said by the verdict and the tightening's own lines
            case Withdrawn():
                yield f"taken back: {_withdrawn(after, fact)} (kept in the log)"
            case Corrected():
                yield "corrected; the wrong entry is kept in the log and counts no more"
            case _:
                yield fact_words(fact, after.book.sheet)


def _withdrawn(after: Case, fact: Withdrawn) -> str:
    gone = [entry.fact for entry in after.state.entries if entry.id in fact.entries]
    said = [fact_words(f, after.book.sheet) for f in gone if not isinstance(f, GaugeUsed)]
    return said[0] + (f" and {len(said) - 1} more" if len(said) > 1 else "") if said else "nothing"


def _questions(before: Case, after: Case, facts: Sequence[Fact]) -> Iterator[str]:
    old = {tally.question() for tally in before.tallies if tally.is_open}
    new = [t for t in after.tallies if t.is_open and t.question() not in old]
    yield from (tally.question() for tally in new if tally.said is not None)
    yield from _to_count([tally for tally in new if tally.said is None])
    steps = [fact.step for fact in facts if isinstance(fact, StepDone)]
    if len(steps) > 1:
        yield from _not_ticked(after, steps)
    pulls = [fact for fact in facts if isinstance(fact, FastenerPulled)]
    for group in dict.fromkeys(fact.group for fact in pulls):
        of_group = [fact for fact in pulls if fact.group == group]
        last = of_group[-1]
        how = "by feel" if last.by_feel else "snug"
        if last.setting:
            how = f"at {last.setting} on {last.wrench or 'a wrench not named'}"
        yield f"{group}: {_which(after, of_group)} pulled {how}, {_round(last)}"
        yield from _broken_off(before, of_group)
        yield from _too_early(before, group)
        yield from tightening_words(after, group, known=before.progress(group))


_BY_PEOPLE = ("witness", "cause", "decision")  # what no reading and no count brings up by itself


def _which(case: Case, pulls: Sequence[FastenerPulled]) -> str:
    """Say which were pulled, so that no number can be read as how many."""
    layout = case.progress(pulls[0].group).layout
    numbers = list(dict.fromkeys(layout.number(each.position) for each in pulls))
    if len(numbers) == len(layout.order) > 1:
        return f"all {len(numbers)}"
    return f"number {', '.join(map(str, numbers))}"


def _round(pull: FastenerPulled) -> str:
    return "cold, after the first heat" if pull.retorque else f"stage {pull.stage}"


def _to_count(owed: Sequence[Tally]) -> Iterator[str]:
    """Ask for all counts of one side in one line, as they can be typed."""
    for side in ("off", "on"):
        wanted = [f"{tally.part} {tally.expected}" for tally in owed if tally.side == side]
        if wanted:
            first = next(tally for tally in owed if tally.side == side)
            rest = "".join(f", {each}" for each in wanted[1:])
            yield f"count, the sheet says: {first.part} {side} {first.expected}{rest}"


def _not_ticked(after: Case, ticked: Sequence[str]) -> Iterator[str]:
    """Say what a phase ticked as a whole leaves, and why."""
    phases = {after.steps[name].phase for name in ticked if name in after.steps}
    whole = plan(after)
    done = {item.id for item in whole.items if item.done}
    for item in whole.items:
        if item.kind == "hold" and item.phase in phases and set(item.needs) <= done:
            opens = [each.what for each in open_at(after, item.name) if each.kind in _BY_PEOPLE]
            yield from (f"{item.name} waits for: {what}" for what in opens)
        if item.kind == "step" and item.state == "ready" and item.phase in phases:
            step = after.steps[item.name]
            why = (
                "tighten it"
                if step.tighten
                else f"photo of {step.photo}"
                if step.photo_needed
                else "do it by itself"
            )
            yield f"not ticked: {item.name} ({why})"


def _broken_off(before: Case, pulls: Sequence[FastenerPulled]) -> Iterator[str]:
    """Say that the stage began again, unless whoever pulled began it with the first in the order."""
    was = before.progress(pulls[0].group)
    if was.again and (len(pulls) == was.count or was.layout.number(pulls[0].position) != 1):
        yield f"{was.group}: stage {was.stage} began again: {was.again}"


def _too_early(before: Case, group: str) -> Iterator[str]:
    """Ask at the first pull whether it is a trial build, where what must be on is not ticked."""
    now = before.progress(group)
    if now.stage != 1 or now.pulled or now.again:
        return
    for name, step in before.steps.items():
        waits = [need for need in step.needs if not before.done.get(need, True)]
        if step.tighten == group and waits:
            yield (
                f"{name} waits for {', '.join(waits)}: tick it if that is done; after a trial build "
                f"let them off again (torque {group} slack)"
            )


def tightening_words(case: Case, group: str, *, known: Progress | None = None) -> list[str]:
    """Return how a group stands: complete, what is next, what begins again, what is open.

    known : how it stood before; what was said of that is not said again
    """
    now = case.progress(group)
    lines = turn_cautions(now, known)
    if now.is_complete:
        return [*lines, f"{group}: all stages done"]
    if now.again and not (known and known.again):
        lines.append(f"{group}: stage {now.stage} begins again: {now.again}")
    if now.stage is not None and now.next is not None:
        last = case.book.sheet.fasteners[group].check_pass and now.stage == now.stages
        name = "check pass" if last else f"stage {now.stage} of {now.stages}"
        lines.append(
            f"{group}: {name}, {len(now.pulled)} of {now.count} pulled; next number {now.next}"
        )
    return [*lines, *now.wrong]


def turn_cautions(now: Progress, known: Progress | None = None) -> list[str]:
    """Return one caution for what was pulled out of turn.

    known : as it stood before the act that is answered; None for what stands in the stage in hand,
        which the page shows until the stage is done
    """
    if known is None:
        found = [each for each in now.out_of_turn if each.stage == now.stage]
    else:
        found = [each for each in now.out_of_turn if each not in known.out_of_turn]
    if not found:
        return []
    first = found[0]
    numbers = ", ".join(dict.fromkeys(str(each.number) for each in found))
    do = f"{_what_to_do(now, first.stage)}; if one side gapes, let all off (slack)"
    if known is None:
        return [f"Number {numbers} was pulled out of turn, before {first.instead_of}: {do}"]
    return [
        f"{now.group}: number {numbers} pulled out of turn, {first.instead_of} was next; kept. One "
        f"side drawn down first can warp the joint: {do}"
    ]


def _what_to_do(now: Progress, stage: int) -> str:
    """Common practice: the rounds that follow even it out, in the order; after the last, once more."""
    if stage >= now.stages:
        return f"pull this round once more, all from 1 (torque {now.group} stage {stage} ok)"
    go_on = f"go on with {now.next} and " if now.stage == stage and now.next else ""
    return f"{go_on}keep the order from here"
