"""From a log to the state it adds up to.

`fold` takes entries in the order of the log and returns what is true after them. An entry that was
withdrawn counts as if it had never been; one that was corrected counts as its correction, in its
own place. Folding a log is the same as folding its first half and then its second.
"""

from collections.abc import Iterable
from dataclasses import dataclass, field, fields
from typing import Generic, TypeVar, assert_never

from ringland.job.log.entries import (
    CauseNamed,
    Condition,
    Corrected,
    Entry,
    Fact,
    FastenerPulled,
    FigureTakenOver,
    FindingNoted,
    FindingResolved,
    Gauge,
    GaugeUsed,
    GroupSlackened,
    HandedOver,
    HoldSigned,
    JobOpened,
    LossExplained,
    MadeSafe,
    PartDecided,
    PartRenewed,
    PartsCounted,
    PhotoTaken,
    ReadingTaken,
    StepDone,
    StepSetAside,
    TimerStarted,
    TimerStopped,
    ValuePlanned,
    VerdictOverruled,
    Withdrawn,
)
from ringland.job.log.tightening import Tightening, pulled

Reading = tuple[str, Condition]  # check and the condition of its part


F = TypeVar("F")


@dataclass(frozen=True, slots=True)
class Said(Generic[F]):
    """A fact with who said it and when."""

    entry: str
    at: str
    by: str
    fact: F


@dataclass(slots=True)
class State:
    """What is true after a log. Only `fold` changes one, and only its own copy.

    entries : the whole log, also what was withdrawn
    inactive : ids of entries that were withdrawn
    findings : what was noted and not resolved since; `resolved` keeps how
    counted : (part, side) to the last count that was said
    timers : step or check to the clock that runs for it now
    """

    entries: list[Entry] = field(default_factory=list)
    inactive: set[str] = field(default_factory=set)
    opened: JobOpened | None = None
    gauges: dict[str, Gauge] = field(default_factory=dict)
    readings: dict[Reading, list[Said[ReadingTaken]]] = field(default_factory=dict)
    findings: dict[str, Said[FindingNoted]] = field(default_factory=dict)
    noted: dict[str, Said[FindingNoted]] = field(default_factory=dict)
    resolved: dict[str, Said[FindingResolved]] = field(default_factory=dict)
    counted: dict[tuple[str, str], Said[PartsCounted]] = field(default_factory=dict)
    explained: dict[str, list[Said[LossExplained]]] = field(default_factory=dict)
    done: dict[str, list[Said[StepDone]]] = field(default_factory=dict)
    aside: dict[str, Said[StepSetAside]] = field(default_factory=dict)
    renewed: dict[str, list[Said[PartRenewed]]] = field(default_factory=dict)
    decided: dict[str, Said[PartDecided]] = field(default_factory=dict)
    tightening: dict[str, Tightening] = field(default_factory=dict)
    photos: dict[str, list[Said[PhotoTaken]]] = field(default_factory=dict)
    timers: dict[str, Said[TimerStarted]] = field(default_factory=dict)
    causes: dict[str, Said[CauseNamed]] = field(default_factory=dict)
    overruled: dict[Reading, Said[VerdictOverruled]] = field(default_factory=dict)
    signed: dict[str, Said[HoldSigned]] = field(default_factory=dict)
    planned: dict[str, Said[ValuePlanned]] = field(default_factory=dict)
    taken_over: dict[tuple[str, ...], Said[FigureTakenOver]] = field(default_factory=dict)
    safe: Said[MadeSafe] | None = None
    handed_over: Said[HandedOver] | None = None

    def active(self) -> Iterable[Entry]:
        """Return the entries that count, in the order of the log."""
        return (entry for entry in self.entries if entry.id not in self.inactive)


def fold(entries: Iterable[Entry], since: State | None = None) -> State:
    """Return the state after these entries, which follow those of `since`."""
    new = list(entries)
    mends = any(isinstance(entry.fact, Withdrawn | Corrected) for entry in new)
    if mends or (since and _mended_before(since.entries, new)):
        # what was true before may not be any more: begin again, once
        return _from_nothing([*(since.entries if since else []), *new])
    state = _copy(since) if since else State()
    for entry in new:
        state.entries.append(entry)
        _step(state, entry, entry.fact)
    return state


def _mended_before(log: list[Entry], new: list[Entry]) -> bool:
    """Say whether an entry that was taken back or corrected comes only now, as it can by sync."""
    mended: set[str] = set()
    for entry in log:
        if isinstance(entry.fact, Withdrawn):
            mended |= set(entry.fact.entries)
        elif isinstance(entry.fact, Corrected):
            mended.add(entry.fact.entry)
    return any(entry.id in mended for entry in new)


def _from_nothing(log: list[Entry]) -> State:
    inactive: set[str] = set()
    right: dict[str, Fact] = {}
    for entry in reversed(log):  # a later withdrawal may itself be withdrawn
        if entry.id in inactive:
            continue
        if isinstance(entry.fact, Withdrawn):
            inactive |= set(entry.fact.entries)
        elif isinstance(entry.fact, Corrected):
            right.setdefault(entry.fact.entry, entry.fact.fact)
    state = State(entries=log, inactive=inactive)
    for entry in log:
        if entry.id not in inactive:
            _step(state, entry, right.get(entry.id, entry.fact))
    return state


def _copy(state: State) -> State:
    copies = {}
    for each in fields(state):
        value = getattr(state, each.name)
        if isinstance(value, dict):
            value = {k: list(v) if isinstance(v, list) else v for k, v in value.items()}
        elif isinstance(value, list | set):
            value = value.copy()
        copies[each.name] = value
    return State(**copies)


def _step(state: State, entry: Entry, fact: Fact) -> None:  # noqa: C901  # one flat case per kind
    def said(what: F) -> Said[F]:
        return Said(entry.id, entry.at, entry.by, what)

    match fact:
        case JobOpened():
            state.opened = fact
        case GaugeUsed():
            state.gauges[fact.gauge.id] = fact.gauge
        case ReadingTaken():
            state.readings.setdefault((fact.check, fact.condition), []).append(said(fact))
        case FindingNoted():
            state.findings[fact.finding] = state.noted[fact.finding] = said(fact)
            state.resolved.pop(fact.finding, None)
        case FindingResolved():
            state.findings.pop(fact.finding, None)
            state.resolved[fact.finding] = said(fact)
        case PartsCounted():
            state.counted[fact.part, fact.side] = said(fact)
        case LossExplained():
            state.explained.setdefault(fact.part, []).append(said(fact))
        case StepDone():
            state.done.setdefault(fact.step, []).append(said(fact))
            state.safe = None
        case StepSetAside():
            state.aside[fact.step] = said(fact)
        case PartRenewed():
            state.renewed.setdefault(fact.part, []).append(said(fact))
        case PartDecided():
            state.decided[fact.part] = said(fact)
        case FastenerPulled():
            before = state.tightening.get(fact.group, Tightening())
            state.tightening[fact.group] = pulled(before, fact, entry)
        case GroupSlackened():
            state.tightening[fact.group] = Tightening()
        case PhotoTaken():
            state.photos.setdefault(fact.subject, []).append(said(fact))
        case TimerStarted():
            state.timers[fact.subject] = said(fact)
        case TimerStopped():
            state.timers.pop(fact.subject, None)
        case CauseNamed():
            state.causes[fact.finding] = said(fact)
        case VerdictOverruled():
            state.overruled[fact.check, fact.condition] = said(fact)
        case HoldSigned():
            state.signed[fact.hold] = said(fact)
        case ValuePlanned():
            state.planned[fact.check] = said(fact)
        case FigureTakenOver():
            state.taken_over[fact.path] = said(fact)
        case MadeSafe():
            state.safe = said(fact)
        case HandedOver():
            state.handed_over = said(fact)
        case Withdrawn() | Corrected():
            pass  # taken account of before, by `_from_nothing`
        case _:
            assert_never(fact)
