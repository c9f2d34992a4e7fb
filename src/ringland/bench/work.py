"""Words to facts of the work: steps, counts, findings, new parts.

Each function takes the job and the words behind its verb, and returns the facts to keep. All raise
Refused with what is wrong, what is allowed and what to do.
"""

from dataclasses import replace
from pathlib import Path
from typing import Literal

from ringland.bench import sheets
from ringland.bench.answers import because
from ringland.bench.names import find, must_find
from ringland.bench.refusal import Refused
from ringland.job.case import Case
from ringland.job.log.entries import (
    Fact,
    FindingNoted,
    HandedOver,
    LossExplained,
    MadeSafe,
    PartRenewed,
    PartsCounted,
    StepDone,
    StepSetAside,
    TimerStarted,
    TimerStopped,
)
from ringland.job.plan import plan
from ringland.job.prestart import prestart
from ringland.job.steps import count_of
from ringland.quantity import QuantityError, parse_quantity
from ringland.sheet.model import PHASES, Sheet


def note(case: Case, words: list[str]) -> list[Fact]:
    """Something of the sheet's list was seen: `metal specks on the strap`."""
    named = must_find(case.book.sheet, words, "finding")
    return [FindingNoted(named.name, remark=" ".join(named.rest))]


def count(case: Case, words: list[str]) -> list[Fact]:
    """Parts were counted: `dowels off 2`, or several: `dowels off 2, clips 2, washers 5`.

    What follows a comma and counts nothing belongs to the remark before it.
    """
    facts: list[PartsCounted] = []
    for clause in " ".join(words).split(","):
        counted = _counted(case, clause.split(), facts[-1].side if facts else None)
        if counted is not None:
            facts.append(counted)
        elif facts:
            facts[-1] = replace(facts[-1], remark=f"{facts[-1].remark},{clause}")
        else:
            named = must_find(
                case.book.sheet, [w for w in clause.split() if w not in SIDES], "part"
            )
            raise Refused(f"{named.name} off or on, and how many? as in '{named.name} off 2'")
    return list(facts)


SIDES = ("off", "on")


def _counted(case: Case, said: list[str], side: Literal["off", "on"] | None) -> PartsCounted | None:
    number = next((i for i, word in enumerate(said) if word.isdigit()), None)
    if number is None:
        return None
    before = [word.casefold() for word in said[:number]]
    if "off" in before or "on" in before:
        side = "off" if "off" in before else "on"
    elif said[number + 1 :] and said[number + 1].casefold() in SIDES:  # "dowels 2 off"
        side = "off" if said.pop(number + 1).casefold() == "off" else "on"
    named = find(case.book.sheet, [word for word in before if word not in SIDES], ("part",))
    if named is None or named.rest or side is None:
        return None
    return PartsCounted(named.name, side, int(said[number]), " ".join(said[number + 1 :]))


def done(case: Case, words: list[str]) -> list[Fact]:
    """A step, or what can be ticked of a phase: `done head off`, `done strip`."""
    if len(words) == 1 and words[0].casefold() in PHASES:
        return whole_phase(case, words[0].casefold())
    named = must_find(_with_ways_back(case), words, "step")
    item = next((i for i in plan(case).items if i.id == f"step:{named.name}"), None)
    if item is None:
        raise Refused(f"{named.name} does not belong to this job (scope {case.book.scope})")
    if item.kind == "hold":
        raise Refused(
            f"{named.name} is a hold point: it opens by itself, or: sign {named.name} because REASON"
        )
    if item.waits_for:
        raise Refused(
            f"{named.name} waits for {', '.join(item.waits_for)}. Do that first, then this"
        )
    return [StepDone(named.name, " ".join(named.rest))]


def _with_ways_back(case: Case) -> Sheet:
    """The job's sheet, with the steps that are made from the strip: they have names of their own."""
    sheet = case.book.sheet
    return sheet.model_copy(update={"steps": {**sheet.steps, **case.steps}})


def timer(case: Case, words: list[str]) -> list[Fact]:
    """A clock starts or stops: `timer start crankcase leak 6 min`, `timer stop crankcase leak`."""
    what = words[0].casefold() if words else ""
    if what not in ("start", "stop"):
        raise Refused("start or stop? as in 'timer start crankcase leak 6 min'")
    named = must_find(_with_ways_back(case), words[1:], "check", "step")
    running = named.name in case.state.timers
    if what == "stop":
        if not running:
            raise Refused(f"no clock runs for {named.name}")
        return [TimerStopped(named.name, " ".join(named.rest))]
    if running:
        raise Refused(
            f"a clock runs for {named.name} already, since {case.state.timers[named.name].at[11:16]}"
        )
    try:
        text = " ".join(named.rest)
        planned = str(parse_quantity(text, "time", default="min")) if text else ""
    except QuantityError as error:
        raise Refused(f"{named.name}: {error}") from None
    return [TimerStarted(named.name, planned)]


def aside(case: Case, words: list[str]) -> list[Fact]:
    """A step does not apply: `aside STEP because REASON`."""
    what, reason = because(words, "aside STEP because REASON")
    sheet = _with_ways_back(case)
    named = must_find(sheet, what, "step")
    if sheet.steps[named.name].hold:
        raise Refused(
            f"{named.name} is a hold point: sign {named.name} because REASON, if it may be"
        )
    return [StepSetAside(named.name, reason)]


def renew(case: Case, words: list[str]) -> list[Fact]:
    """One part, all parts of a kit ("renew piston kit"), or all that are still to get."""
    said = " ".join(words).casefold()
    if said == "all" or said in case.book.sheet.kits:
        open_lines = [
            line for line in case.parts.lines() if not line.in_hand and not line.waits_for
        ]
        in_kit = {name: part.in_kit for name, part in case.book.sheet.parts.items()}
        wanted = [line for line in open_lines if said in ("all", in_kit[line.name])]
        if not wanted:
            raise Refused(f"nothing of {said} is to get now: see 'parts' for what waits")
        return [PartRenewed(line.name, line.count) for line in wanted]
    named = must_find(case.book.sheet, words, "part")
    rest = list(named.rest)
    leaflet = None
    if "leaflet" in rest:
        at = rest.index("leaflet")
        if at + 1 >= len(rest):
            raise Refused("name the leaflet's file: renew piston leaflet FILE")
        leaflet = sheets.leaflet(Path(rest[at + 1]).expanduser(), case.book.sheet)
        del rest[at : at + 2]
    count = count_of(case.book.sheet, named.name)
    if rest and rest[0].isdigit():
        count = int(rest.pop(0))
    batch = ""
    if "batch" in rest:
        at = rest.index("batch")
        batch = " ".join(rest[at + 1 :])
        del rest[at:]
    return [PartRenewed(named.name, count, " ".join(rest), batch, leaflet)]


def found(case: Case, words: list[str]) -> list[Fact]:
    """A missing piece was found: `found dowel in the transfer recess`."""
    named = must_find(case.book.sheet, words, "part")
    rest = list(named.rest)
    count = int(rest.pop(0)) if rest and rest[0].isdigit() else 1
    if not rest:
        raise Refused(f"where was it found? as in 'found {named.name} in the transfer recess'")
    return [LossExplained(named.name, count, " ".join(rest))]


def safe(_case: Case, words: list[str]) -> list[Fact]:
    """Left covered, oiled and tagged."""
    return [MadeSafe(" ".join(words))]


def hand_over(case: Case, words: list[str]) -> list[Fact]:
    """Handed over, started or unstarted; started only when nothing forbids the first start."""
    started = "unstarted" not in words
    forbids = prestart(case) if started else []
    if forbids:
        first = forbids[0].what
        raise Refused(
            f"{len(forbids)} things forbid the first start, first {first}. See 'prestart', or: "
            "hand over unstarted WHAT IS OPEN"
        )
    return [HandedOver(started, " ".join(word for word in words if word != "unstarted"))]


def whole_phase(case: Case, phase: str) -> list[Fact]:
    """Tick what can be ticked of a phase; readings, photos, tightening and holds stay.

    Raises Refused when nothing of it can.
    """
    ticked: list[str] = []
    done = {item.id for item in plan(case).items if item.done}
    for item in plan(case).items:
        if item.phase != phase or item.kind != "step" or item.done:
            continue
        step = case.steps[item.name]
        stopped = any(stop.holds_up(item.phase) for stop in case.brought.open_stops())
        owed = step.photo_needed and item.name not in case.state.photos
        if stopped or owed or step.tighten or not set(item.needs) <= done:
            continue
        ticked.append(item.name)
        done.add(item.id)
    if not ticked:
        raise Refused(_why_none(case, phase))
    return [StepDone(name) for name in ticked]


def _why_none(case: Case, phase: str) -> str:
    left = [item for item in plan(case).items if item.phase == phase and not item.done]
    if not left:
        return f"{phase}: all of it is done"
    first = left[0]
    waits = f", waits for {'; '.join(first.waits_for[:2])}" if first.waits_for else ""
    what = f"{len(left)} left, first {first.name} ({first.kind}{waits})"
    return f"nothing of the phase {phase} can be ticked now: {what}"
