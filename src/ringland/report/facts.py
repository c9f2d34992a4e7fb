"""Each kind of fact in one short line, for the log and for "taken back"."""

from typing import assert_never

from ringland.job.layout import layout_of
from ringland.job.log.entries import (
    CauseNamed,
    Corrected,
    Fact,
    FastenerPulled,
    FigureTakenOver,
    FindingNoted,
    FindingResolved,
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
from ringland.report.words import ended_words, indication_words
from ringland.sheet.model import SCOPES, Sheet


def fact_words(fact: Fact, sheet: Sheet | None = None) -> str:  # noqa: C901  # one flat case per kind
    """Return a fact in one short line.

    sheet : the job's; without it a fastener is named by its place, since its turn is not known
    """
    match fact:
        case JobOpened():
            scope = next((SCOPES[each] for each in SCOPES if each == fact.scope), fact.scope)
            return _because(f"job opened on {fact.machine}: {scope}", fact.reason)
        case GaugeUsed():
            return f"gauge {fact.gauge.id}, {fact.gauge.kind}"
        case ReadingTaken():
            return _with(_reading(fact), fact.remark)
        case FindingNoted():
            return _with(fact.finding, fact.remark)
        case FindingResolved():
            return f"resolved: {fact.finding}, because {fact.how}"
        case PartsCounted():
            return _with(f"{fact.part} {fact.side} {fact.count}", fact.remark)
        case LossExplained():
            return f"found: {fact.count} × {fact.part}, {fact.how}"
        case StepDone():
            return _with(f"done: {fact.step}", fact.remark)
        case StepSetAside():
            return f"set aside: {fact.step}, because {fact.reason}"
        case PartRenewed():
            label = " ".join(filter(None, [fact.label, fact.batch and f"batch {fact.batch}"]))
            leaflet = ", with its leaflet" if fact.leaflet else ""
            return f"new in hand: {fact.count} × {fact.part}{' ' + label if label else ''}{leaflet}"
        case PartDecided():
            return _because(f"decided: {fact.part} {fact.decision}", fact.reason)
        case FastenerPulled():
            how = f"set {fact.setting}" if fact.setting else "by feel" if fact.by_feel else "snug"
            adapter = f", adapter {fact.adapter} at {fact.angle}" if fact.adapter else ""
            stage = "retorque" if fact.retorque else f"stage {fact.stage}"
            moved = f", moved {fact.moved}" if fact.moved else ""
            return f"{fact.group} {_which(fact, sheet)}, {stage}, {how}{adapter}{moved}"
        case GroupSlackened():
            return _because(f"let off: {fact.group}", fact.reason)
        case PhotoTaken():
            return _with(" ".join(filter(None, ["photo of", fact.subject, fact.side])), fact.remark)
        case TimerStarted():
            planned = f", for {fact.planned}" if fact.planned else ""
            return f"clock started: {fact.subject}{planned}"
        case TimerStopped():
            return _with(f"clock stopped: {fact.subject}", fact.remark)
        case CauseNamed():
            return f"cause of {fact.finding}: {fact.cause}, because {fact.evidence}"
        case VerdictOverruled():
            what = f"{fact.check}, {fact.condition}"
            return f"overruled: {what}: {fact.decision}, because {fact.reason}"
        case HoldSigned():
            return f"signed: {fact.hold}, because {fact.reason}"
        case ValuePlanned():
            return _because(f"planned: {fact.check} {fact.value}", fact.reason)
        case FigureTakenOver():
            return f"figure taken over: {fact.path[1]} {fact.text}, because {fact.reason}"
        case MadeSafe():
            return _with("left safe: covered, oiled, tagged", fact.remark)
        case HandedOver():
            return _with(ended_words("started" if fact.started else "unstarted"), fact.remark)
        case Withdrawn():
            entries = "entry" if len(fact.entries) == 1 else "entries"
            return _because(f"took back {len(fact.entries)} {entries}", fact.reason)
        case Corrected():
            return _because(f"corrected: {fact_words(fact.fact, sheet)}", fact.reason)
        case _:
            assert_never(fact)


def _reading(fact: ReadingTaken) -> str:
    """What was read, where, with what: "new ring end gap top 0.32 mm with FG-1"."""
    new = "new" if fact.condition == "as fitted" else ""
    said = ", ".join([*map(indication_words, fact.indications), *fact.how])
    words = " ".join(filter(None, [new, fact.check, fact.place, said]))
    if not any(each.number for each in fact.indications):
        return words  # by eye or feel, or nothing was read
    gauge = f" with {fact.gauge}" if fact.gauge else ""
    return f"{words}{gauge}" + (f" at {fact.temperature}" if fact.temperature else "")


def _which(fact: FastenerPulled, sheet: Sheet | None) -> str:
    if sheet is None or fact.group not in sheet.fasteners:
        return f"place {fact.position}"
    return str(layout_of(sheet, fact.group).number(fact.position))


def _with(words: str, remark: str) -> str:
    return f"{words}: {remark}" if remark else words


def _because(words: str, reason: str) -> str:
    return f"{words}, because {reason}" if reason else words
