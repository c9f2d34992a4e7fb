"""The one-line language of the bench: one short line for each act.

A line starts with a verb of `VERBS`, or with the name of a check (then it is a reading), of a
finding (then it was seen), or of a part with "off" or "on" (then it was counted). The same lines in
a file are real input.
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field, replace
from datetime import datetime, timedelta
from pathlib import Path
from typing import Literal

from ringland.bench import sheets
from ringland.bench.bench import Bench, Outcome
from ringland.bench.names import Kind, find, must_find, nearest, spellings
from ringland.bench.readings import (
    NOT_OURS,
    Habits,
    Taking,
    condition_now,
    find_gauge,
    take,
)
from ringland.bench.refusal import Refused
from ringland.bench.tighten import Hand, Instruction, instruction, last_hand, tighten
from ringland.job.case import Case
from ringland.job.entries import (
    CauseNamed,
    Condition,
    Corrected,
    Entry,
    Fact,
    FigureTakenOver,
    FindingNoted,
    FindingResolved,
    HandedOver,
    HoldSigned,
    JobOpened,
    LossExplained,
    MadeSafe,
    PartDecided,
    PartRenewed,
    PartsCounted,
    ReadingTaken,
    StepDone,
    StepSetAside,
    ValuePlanned,
    VerdictOverruled,
    Withdrawn,
)
from ringland.job.holds import open_at
from ringland.job.plan import plan
from ringland.job.steps import count_of
from ringland.quantity import QuantityError, parse_quantity
from ringland.quantity.units import UnitError, find_unit
from ringland.sheet.load import sheet_of
from ringland.sheet.model import PHASES
from ringland.sheet.text import BadSheet

What = Literal[
    "plan", "verdicts", "parts", "settings", "prestart", "due", "log", "help", "where", "causes"
]


@dataclass(frozen=True, slots=True)
class Look:
    """The person wants to see something of the job; nothing was kept."""

    what: What


@dataclass(frozen=True, slots=True)
class Told:
    """A setting of the prompt changed: gauge, unit, person, time."""

    text: str


Reply = Outcome | Look | Told | Instruction | None
SIDES = ("EX", "IN", "IGN", "CL")


@dataclass(slots=True)
class Prompt:
    """One person at one job: what he typed last stays in use.

    when : time for what is keyed in afterwards; empty for now
    """

    bench: Bench
    job: str
    habits: Habits = field(default_factory=Habits)
    hands: dict[str, Hand] = field(default_factory=dict)
    taking: Taking = field(default_factory=Taking)
    when: str = ""

    def say(self, line: str) -> Reply:
        """Do what one line says. Raises Refused, or Asked; then nothing was kept.

        returns : what it changed, or what to show; None for leaving
        """
        words = line.strip().split()
        if not words or words[0].startswith("#"):
            return Told("")
        if words[-1] == "!":  # insists on what was asked about
            self.taking = replace(self.taking, insist=True)
            words = words[:-1]
        try:
            return self._do(words)
        finally:
            self.taking = replace(self.taking, insist=False, condition=None, remark="")

    def _do(self, words: list[str]) -> Reply:
        verb = words[0].casefold()
        two = " ".join(words[:2]).casefold()
        if verb in ("q", "quit", "exit"):
            return None
        if two in VERBS:
            return VERBS[two](self, words[2:])
        if verb in VERBS and not self._is_name(words):
            return VERBS[verb](self, words[1:])
        if verb in ("old", "new"):
            condition: Condition = "as found" if verb == "old" else "as fitted"
            self.taking = replace(self.taking, condition=condition)
            return self._measure(words[1:])
        return self._named(words)

    def _is_name(self, words: list[str]) -> bool:
        """A check such as "torque arm" would win over the verb "torque"."""
        return find(self.case.book.sheet, words, ("check",)) is not None

    @property
    def case(self) -> Case:
        """The job as it stands, at the time that is keyed in for."""
        return self.bench.case(self.job, self.when)

    def _named(self, words: list[str]) -> Reply:
        sheet = self.case.book.sheet
        for index, word in enumerate(words[1:], 1):
            if word.casefold() in ("off", "on") and find(sheet, words[:index], ("part",)):
                return self._count(words)
        if find(sheet, words, ("finding",)) and self._longest(words) == "finding":
            return self._note(words)
        if find(sheet, words, ("check",)):
            return self._measure(words)
        if find(sheet, words, ("finding",)):
            return self._note(words)
        if find(sheet, words, ("group",)):
            return self._torque(words)
        raise Refused(self._unknown(words))

    def _longest(self, words: list[str]) -> Kind:
        """Of a check and a finding that both begin the line, the longer name is meant."""
        found = [find(self.case.book.sheet, words, (kind,)) for kind in ("check", "finding")]
        lengths = [len(words) - len(each.rest) if each else 0 for each in found]
        return "finding" if lengths[1] > lengths[0] else "check"

    def _unknown(self, words: list[str]) -> str:
        sheet = self.case.book.sheet
        known = {
            s: s
            for kind in ("check", "finding", "step", "part", "group")
            for s, _ in spellings(sheet, kind)
        }
        near = nearest(" ".join(words), known | {verb: verb for verb in VERBS})
        hint = f" Did you mean {near}?" if near else " Type ? for what can be typed."
        return f"{' '.join(words)!r} is not understood.{hint}"

    def _keep(self, facts: Sequence[Fact]) -> Outcome:
        return self.bench.keep(self.job, facts, self.when)

    # -- verbs ---------------------------------------------------------------------------------

    def _measure(self, words: list[str]) -> Reply:
        named = must_find(self.case.book.sheet, words, "check")
        facts = take(
            self.case, named.name, named.rest, self.taking, self.habits, self.bench.shelf().gauges
        )
        return self._keep(facts)

    def _note(self, words: list[str]) -> Reply:
        named = must_find(self.case.book.sheet, words, "finding")
        return self._keep([FindingNoted(named.name, remark=" ".join(named.rest))])

    def _count(self, words: list[str]) -> Reply:
        index = next(i for i, word in enumerate(words) if word.casefold() in ("off", "on"))
        named = must_find(self.case.book.sheet, words[:index], "part")
        number, *remark = words[index + 1 :] or [""]
        if not number.isdigit():
            raise Refused(
                f"{named.name} {words[index]} how many? as in '{named.name} {words[index]} 2'"
            )
        side: Literal["off", "on"] = "off" if words[index].casefold() == "off" else "on"
        return self._keep([PartsCounted(named.name, side, int(number), " ".join(remark))])

    def _done(self, words: list[str]) -> Reply:
        if len(words) == 1 and words[0].casefold() in PHASES:
            return self._keep(whole_phase(self.case, words[0].casefold()))
        case = self.case
        named = must_find(case.book.sheet, words, "step")
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
        return self._keep([StepDone(named.name, " ".join(named.rest))])

    def _aside(self, words: list[str]) -> Reply:
        what, reason = _because(words, "aside STEP because REASON")
        sheet = self.case.book.sheet
        named = must_find(sheet, what, "step")
        if sheet.steps[named.name].hold:
            raise Refused(
                f"{named.name} is a hold point: sign {named.name} because REASON, if it may be"
            )
        return self._keep([StepSetAside(named.name, reason)])

    def _renew(self, words: list[str]) -> Reply:
        """One part, all parts of a kit ("renew piston kit"), or all that are still to get."""
        case = self.case
        said = " ".join(words).casefold()
        if said == "all" or said in case.book.sheet.kits:
            open_lines = [
                line for line in case.parts.lines() if not line.in_hand and not line.waits_for
            ]
            in_kit = {name: part.in_kit for name, part in case.book.sheet.parts.items()}
            wanted = [line for line in open_lines if said in ("all", in_kit[line.name])]
            if not wanted:
                raise Refused(f"nothing of {said} is to get now: see 'parts' for what waits")
            return self._keep([PartRenewed(line.name, line.count) for line in wanted])
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
        return self._keep([PartRenewed(named.name, count, " ".join(rest), batch, leaflet)])

    def _torque(self, words: list[str]) -> Reply:
        case = self.case
        named = must_find(case.book.sheet, words, "group")
        if named.name not in case.groups():
            raise Refused(f"{named.name} are not tightened in this job (scope {case.book.scope})")
        shelf = self.bench.shelf().gauges
        hand = self.hands.get(named.name) or last_hand(case, named.name)
        said = tighten(case, named.name, named.rest, hand, shelf)
        self.hands[named.name] = said.hand
        if said.facts:
            return self._keep(said.facts)
        return instruction(case, named.name, said.hand, shelf)

    def _correct(self, words: list[str]) -> Reply:
        """`correct bore H1X 53.214`: the last reading of that check and place is superseded."""
        case = self.case
        named = must_find(case.book.sheet, words, "check")
        taking = self.taking
        facts = take(case, named.name, named.rest, taking, self.habits, self.bench.shelf().gauges)
        right = [fact for fact in facts if isinstance(fact, ReadingTaken)]
        corrections: list[Fact] = [fact for fact in facts if not isinstance(fact, ReadingTaken)]
        for fact in right:
            readings = case.state.readings.get((fact.check, fact.condition), [])
            wrong = [said for said in readings if said.fact.place == fact.place]
            if not wrong:
                raise Refused(
                    f"{fact.check} {fact.place} was not read yet: there is nothing to correct"
                )
            corrections.append(Corrected(wrong[-1].entry, fact))
        return self._keep(corrections)

    def _undo(self, _words: list[str]) -> Reply:
        entries = last_act(list(self.case.state.active()), self.bench.by)
        if not entries:
            raise Refused(f"there is nothing of {self.bench.by} to take back in this job")
        return self._keep([Withdrawn(tuple(entry.id for entry in entries))])

    def _overrule(self, words: list[str]) -> Reply:
        what, reason = _because(words, "overrule CHECK DECISION because REASON")
        named = must_find(self.case.book.sheet, what, "check")
        rest = " ".join(named.rest)
        condition = condition_now(self.case, named.name)
        for said in ("as found", "as fitted"):
            if said in rest:
                condition = "as found" if said == "as found" else "as fitted"
                rest = rest.replace(said, "").strip()
        return self._keep([VerdictOverruled(named.name, condition, rest or "accepted", reason)])

    def _sign(self, words: list[str]) -> Reply:
        what, reason = _because(words, "sign HOLD because REASON")
        case = self.case
        named = find(case.book.sheet, what, ("step",)) or must_find(
            case.book.sheet, what, "finding", "check"
        )
        step = case.book.sheet.steps.get(named.name)
        if step is not None and not step.hold:
            raise Refused(
                f"{named.name} is a step, no hold point: do it, or: aside {named.name} because REASON"
            )
        never = step is not None and step.never_signed
        never = never or any(s.source == named.name and s.never_signed for s in case.brought.stops)
        if never:
            raise Refused(
                f"{named.name} can never be signed away. The honest way out: hand over unstarted"
            )
        for each in open_at(case, named.name) if named.name in case.steps else ():
            if each.never_signed:
                raise Refused(f"{each.what}. Nobody can sign that away: {each.todo}")
        return self._keep([HoldSigned(named.name, reason)])

    def _cause(self, words: list[str]) -> Reply:
        what, evidence = _because(words, "cause DAMAGE is CAUSE because EVIDENCE")
        named = must_find(self.case.book.sheet, what, "finding", "check")
        cause = " ".join(named.rest).removeprefix("is ").strip(" :")
        if not cause:
            raise Refused("name the cause: cause DAMAGE is CAUSE because EVIDENCE")
        return self._keep([CauseNamed(named.name, cause, evidence)])

    def _decide(self, words: list[str]) -> Reply:
        what, reason = _because(words, "", needed=False)
        named = must_find(self.case.book.sheet, what, "part")
        decision = " ".join(named.rest)
        if not decision:
            raise Refused(f"decide {named.name} how? reuse, renew, clean, dress, send out, class X")
        return self._keep([PartDecided(named.name, decision, reason)])

    def _found(self, words: list[str]) -> Reply:
        named = must_find(self.case.book.sheet, words, "part")
        rest = list(named.rest)
        count = int(rest.pop(0)) if rest and rest[0].isdigit() else 1
        if not rest:
            raise Refused(f"where was it found? as in 'found {named.name} in the transfer recess'")
        return self._keep([LossExplained(named.name, count, " ".join(rest))])

    def _expect(self, words: list[str]) -> Reply:
        named = must_find(self.case.book.sheet, words, "check")
        kind = self.case.book.sheet.checks[named.name].unit
        try:
            value = parse_quantity(" ".join(named.rest), kind, default=self.habits.units.get(kind))
        except QuantityError as error:
            raise Refused(f"{named.name}: {error}") from None
        return self._keep([ValuePlanned(named.name, str(value))])

    def _figure(self, words: list[str]) -> Reply:
        """A figure of the sheet was wrong: the right one is taken over into this job."""
        what, reason = _because(words, "figure NAME TEXT because REASON")
        sheet = self.case.book.sheet
        named = must_find(sheet, what, "check", "group")
        text = " ".join(named.rest)
        path = (
            ("figures", named.name)
            if named.kind == "check"
            else ("fasteners", named.name, "torque")
        )
        opened = self.case.state.opened
        assert opened is not None
        tree = {**opened.sheet, path[0]: {**opened.sheet.get(path[0], {})}}
        if named.kind == "check":
            tree["figures"][named.name] = text
        else:
            tree["fasteners"][named.name] = {**tree["fasteners"][named.name], "torque": text}
        try:
            sheet_of(tree)
        except BadSheet as error:
            raise Refused(*[problem.message for problem in error.problems]) from None
        return self._keep([FigureTakenOver(path, text, reason)])

    def _resolved(self, words: list[str]) -> Reply:
        what, how = _because(words, "resolved FINDING because HOW IT IS KNOWN")
        named = must_find(self.case.book.sheet, what, "finding", "check")
        if named.name not in {stop.source for stop in self.case.brought.stops}:
            raise Refused(f"{named.name} is no open stop in this job")
        return self._keep([FindingResolved(named.name, how)])

    def _safe(self, words: list[str]) -> Reply:
        return self._keep([MadeSafe(" ".join(words))])

    def _hand_over(self, words: list[str]) -> Reply:
        started = "unstarted" not in words
        return self._keep([HandedOver(started, " ".join(w for w in words if w != "unstarted"))])

    # -- what stays in use ---------------------------------------------------------------------

    def _gauge(self, words: list[str]) -> Reply:
        if words in (["none"], ["unknown"]):
            self.taking = replace(self.taking, gauge=NOT_OURS)
            return Told("read with gauges that are not on this shelf, until one is named")
        self.taking = replace(self.taking, gauge="")
        gauge = find_gauge(" ".join(words), self.bench.shelf().gauges)
        self.habits.gauges[gauge.kind] = gauge.id
        return Told(f"gauge {gauge.id}, {gauge.kind}")

    def _unit(self, words: list[str]) -> Reply:
        try:
            unit = find_unit(" ".join(words))
        except UnitError as error:
            raise Refused(str(error)) from None
        self.habits.units[unit.kind] = unit.name
        return Told(f"{unit.kind} in {unit.name} unless a unit is typed")

    def _by(self, words: list[str]) -> Reply:
        if not words:
            raise Refused("by whom? as in 'by Ada'")
        self.bench.by = " ".join(words)
        return Told(f"by {self.bench.by} from here on")

    def _when(self, words: list[str]) -> Reply:
        self.when = _instant(" ".join(words), self.when or self.bench.now())
        return Told(f"at {self.when}" if self.when else "at the time it is typed")

    def _temperature(self, words: list[str]) -> Reply:
        try:
            text = (
                str(parse_quantity(" ".join(words), "temperature", default="°C")) if words else ""
            )
        except QuantityError as error:
            raise Refused(str(error)) from None
        self.taking = replace(self.taking, temperature=text)
        return Told(f"parts at {text}" if text else "part temperature not noted")


def _because(words: list[str], form: str, *, needed: bool = True) -> tuple[list[str], str]:
    """Split at "because"; the reason is needed where someone answers for it."""
    lowered = [word.casefold() for word in words]
    if "because" in lowered:
        at = lowered.index("because")
        if words[at + 1 :] and words[:at]:
            return words[:at], " ".join(words[at + 1 :])
    if needed:
        raise Refused(f"give the reason: {form}")
    return words, ""


def _instant(text: str, before: str) -> str:
    """Read "14:10", "2026-05-02 14:10", "+26 min" or "now" (which is empty)."""
    base = datetime.fromisoformat(before)
    if text in ("now", ""):
        return ""
    try:
        if text.startswith("+"):
            later = parse_quantity(text[1:], "time", default="min")
            return (base + timedelta(seconds=later.si)).isoformat(timespec="seconds")
        if len(text) <= 5:
            hour, minute = map(int, text.split(":"))
            return base.replace(hour=hour, minute=minute, second=0).isoformat(timespec="seconds")
        found = datetime.fromisoformat(text)
    except ValueError:
        raise Refused(
            f"{text!r} is no time: write 14:10, 2026-05-02 14:10, +26 min or now"
        ) from None
    return (found if found.tzinfo else found.replace(tzinfo=base.tzinfo)).isoformat(
        timespec="seconds"
    )


def last_act(active: Sequence[Entry], by: str) -> list[Entry]:
    """Return the entries of a person's last act that still counts; opening the job is none."""
    mine = [
        entry
        for entry in active
        if entry.by == by and not isinstance(entry.fact, Withdrawn | JobOpened)
    ]
    return [entry for entry in mine if entry.act == mine[-1].act] if mine else []


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
        raise Refused(f"nothing of the phase {phase} can be ticked now: see 'plan'")
    return [StepDone(name) for name in ticked]


Verb = Callable[[Prompt, list[str]], Reply]


def _look(what: What) -> Verb:
    return lambda _prompt, _words: Look(what)


VERBS: dict[str, Verb] = {
    "measure": Prompt._measure,
    "note": Prompt._note,
    "count": Prompt._count,
    "done": Prompt._done,
    "aside": Prompt._aside,
    "renew": Prompt._renew,
    "torque": Prompt._torque,
    "correct": Prompt._correct,
    "undo": Prompt._undo,
    "overrule": Prompt._overrule,
    "sign": Prompt._sign,
    "cause": Prompt._cause,
    "decide": Prompt._decide,
    "found": Prompt._found,
    "expect": Prompt._expect,
    "figure": Prompt._figure,
    "resolved": Prompt._resolved,
    "safe": Prompt._safe,
    "hand over": Prompt._hand_over,
    "gauge": Prompt._gauge,
    "unit": Prompt._unit,
    "by": Prompt._by,
    "when": Prompt._when,
    "temp": Prompt._temperature,
    "plan": _look("plan"),
    "verdicts": _look("verdicts"),
    "parts": _look("parts"),
    "settings": _look("settings"),
    "prestart": _look("prestart"),
    "due": _look("due"),
    "log": _look("log"),
    "where": _look("where"),
    "?": _look("help"),
    "help": _look("help"),
}
