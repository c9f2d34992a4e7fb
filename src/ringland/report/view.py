"""The view of a job: everything a person gets to see of it, worded and rounded, once for all doors.

Text, JSON, page and paper draw these same lines. Start with `job_view` and `change_view`.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from ringland.job.case import Case
from ringland.job.parts import Line, PartsList
from ringland.job.plan import Item, plan
from ringland.job.prestart import prestart
from ringland.job.settings import settings
from ringland.job.verdicts.verdict import Verdict
from ringland.report.measured import Measured, SettingNumber, measured, setting_number
from ringland.report.words import (
    chance_words,
    limit_words,
    overruled_words,
    ruling_words,
    value_words,
)
from ringland.sheet.model import SCOPES, Phase


@dataclass(frozen=True, slots=True)
class VerdictLine:
    """One line of the verdict board.

    value : what was read with its ±; limit : what it is held against
    word : the verdict; chance : probability that the part conforms
    ruled_by : the figure that ruled, its place in the manual, what it outranked
    measured : the numbers behind it, with the budget
    past : read on the engine before the strip, which has begun: it is noted and asks no more
    """

    check: str
    condition: str
    part: str
    value: str
    limit: str
    word: str
    chance: str
    reason: str
    todo: str
    plan: str
    ruled_by: str
    overruled: str
    gauges: tuple[str, ...]
    measured: Measured | None = None
    past: bool = False

    @property
    def asks(self) -> bool:
        """Say whether the person has something to do about it."""
        good = self.word in ("within", "within, worn", "not measured", "not judged")
        return not (good or self.overruled or self.past) or bool(self.plan)


@dataclass(frozen=True, slots=True)
class PlanLine:
    """One item of the plan. `tighten` names the group of fasteners that a step tightens."""

    kind: str
    name: str
    phase: Phase
    state: str
    words: str
    minutes: int
    waits_for: tuple[str, ...]
    caution: str
    why: str
    mistake: str
    orientation: str
    tighten: str


@dataclass(frozen=True, slots=True)
class PartLine:
    """One line of the parts list."""

    name: str
    count: int
    why: str
    waits_for: tuple[str, ...]
    in_hand: bool


@dataclass(frozen=True, slots=True)
class PartsView:
    """The parts list: two waves, what kits leave out, tools, supplies."""

    first: tuple[PartLine, ...]
    second: tuple[PartLine, ...]
    left_out: dict[str, tuple[str, ...]]
    tools: tuple[PartLine, ...]
    supplies: tuple[PartLine, ...]


@dataclass(frozen=True, slots=True)
class SettingLine:
    """One setting of the build.

    of : names the setting that this one belongs to, such as its stages
    numbers : what the words print, for a program; empty for what has none
    """

    name: str
    value: str
    remark: str
    source: str
    missing: str
    subject: str = ""
    of: str = ""
    numbers: tuple[SettingNumber, ...] = ()


@dataclass(frozen=True, slots=True)
class OpenLine:
    """One thing that forbids the first start."""

    kind: str
    what: str
    todo: str
    never_signed: bool


@dataclass(frozen=True, slots=True)
class JobView:
    """Where a job stands.

    asks : the verdicts that ask for the person; stops : sentences of the stops that stand
    next : what to do now
    counts : what was counted and does not add up, with who counted it when
    """

    job: str
    machine: str
    engine: str
    scope: str
    hours: str
    reason: str
    phase: Phase
    entries: int
    safe: bool
    handed_over: str
    next: PlanLine | None
    ready: tuple[PlanLine, ...]
    stops: tuple[str, ...]
    asks: tuple[VerdictLine, ...]
    to_get: int
    waiting: tuple[str, ...]
    counts: tuple[str, ...] = ()


def job_view(case: Case, job: str) -> JobView:
    """Return where a job stands: what to do now, what is blocked, what asks for the person."""
    opened = case.state.opened
    assert opened is not None
    whole = plan(case)
    lines = case.parts.lines()
    handed = case.state.handed_over
    return JobView(
        job,
        opened.machine,
        case.book.sheet.engine,
        SCOPES[case.book.scope],
        opened.hours,
        opened.reason,
        whole.phase,
        len(case.state.entries),
        case.state.safe is not None,
        ("started" if handed.fact.started else "unstarted") if handed else "",
        plan_line(case, whole.next) if whole.next else None,
        tuple(plan_line(case, item) for item in whole.ready()),
        tuple(f"{stop.source}: {stop.sentence}" for stop in case.brought.open_stops()),
        tuple(line for line in board(case) if line.asks),
        sum(not line.in_hand and not line.waits_for for line in lines),
        tuple(line.name for line in lines if line.waits_for and not line.in_hand),
        tuple(_short_counts(case)),
    )


def _short_counts(case: Case) -> Iterator[str]:
    for tally in case.tallies:
        said = case.state.counted.get((tally.part, tally.side))
        if said is not None and tally.is_open:
            yield f"{tally.question()} (counted by {said.by}, {said.at[:16].replace('T', ' ')})"


def board(case: Case, *, everything: bool = False) -> list[VerdictLine]:
    """Return the verdicts of the readings that the job wants, and of all that were taken."""
    return [
        verdict_line(case, verdict)
        for (name, condition), verdict in case.verdicts.items()
        if verdict.value is not None or everything or case.wanted(name, condition)
    ]


def verdict_line(case: Case, verdict: Verdict) -> VerdictLine:
    """Word one verdict."""
    unit = verdict.value.unit if verdict.value else None
    return VerdictLine(
        verdict.check,
        verdict.condition,
        case.book.sheet.checks[verdict.check].part,
        value_words(verdict.value),
        limit_words(verdict.limits, unit),
        verdict.word,
        chance_words(verdict),
        verdict.reason,
        verdict.todo,
        verdict.plan,
        ruling_words(verdict.ruling),
        overruled_words(verdict),
        verdict.value.gauges if verdict.value else (),
        measured(verdict),
        verdict.past,
    )


def plan_view(case: Case) -> list[PlanLine]:
    """Return the whole plan in working order."""
    return [plan_line(case, item) for item in plan(case).items]


def plan_line(case: Case, item: Item) -> PlanLine:
    """Word one item of the plan."""
    step = case.steps.get(item.name) if item.kind in ("step", "hold") else None
    check = (
        case.book.sheet.checks.get(item.name.rpartition(", ")[0])
        if item.kind == "reading"
        else None
    )
    source = step or check
    return PlanLine(
        item.kind,
        item.name,
        item.phase,
        item.state,
        item.words,
        item.minutes,
        item.waits_for,
        source.caution if source else "",
        source.why if source else "",
        source.mistake if source else "",
        step.orientation if step else "",
        step.tighten if step else "",
    )


def parts_view(parts: PartsList) -> PartsView:
    """Word a parts list."""
    return PartsView(
        tuple(map(_part_line, parts.first)),
        tuple(map(_part_line, parts.second)),
        parts.left_out,
        tuple(map(_part_line, parts.tools)),
        tuple(map(_part_line, parts.supplies)),
    )


def _part_line(line: Line) -> PartLine:
    return PartLine(line.name, line.count, line.why, line.waits_for, line.in_hand)


def settings_view(case: Case, *, explain: bool = False) -> list[SettingLine]:
    """Word the settings of the build; `explain` adds what explains and sets nothing."""
    lines: list[SettingLine] = []
    head = ""
    for s in settings(case, explain=explain):
        name = s.name.strip()
        belongs = s.name != name  # indented below the setting that it tells more of
        of = head if belongs else ""
        numbers = tuple(setting_number(each, s.source) for each in s.numbers)
        line = SettingLine(name, s.value, s.remark, s.source, s.missing, s.subject, of, numbers)
        lines.append(line)
        head = head if belongs else name
    return lines


SECTIONS = {
    "fit": "Limits and fits",
    "piston": "Piston",
    "squish": "Base gasket, by the squish it gives",
    "ports": "Ports and ratio, as the sheet gives them",
    "torque": "Tightening",
    "preload": "Clamp force: explains, sets nothing",
    "fluids": "Fluids",
}


def in_sections(lines: Sequence[SettingLine]) -> list[tuple[str, list[SettingLine]]]:
    """Return settings under a title for each subject; what belongs to a line stays with it."""
    found: list[tuple[str, list[SettingLine]]] = []
    for line in lines:
        title = found[-1][0] if line.of and found else SECTIONS.get(line.subject, line.subject)
        if not found or found[-1][0] != title:
            found.append((title, []))
        found[-1][1].append(line)
    return found


def prestart_view(case: Case) -> list[OpenLine]:
    """Word what forbids the first start."""
    return [OpenLine(o.kind, o.what, o.todo, o.never_signed) for o in prestart(case)]
