"""The one-line language of the bench: one short line for each act.

A line starts with a verb of `VERBS`, or with the name of a check (then it is a reading), of a
finding (then it was seen), or of a part with "off" or "on" (then it was counted). The same lines in
a file are real input.
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field, replace
from typing import Literal

from ringland.bench import answers, work
from ringland.bench.bench import Bench, Outcome
from ringland.bench.doubtful import last_job
from ringland.bench.guess import guesses, seen
from ringland.bench.names import Kind, find, must_find
from ringland.bench.points import points_of
from ringland.bench.reading_value import Habits
from ringland.bench.readings import NOT_OURS, Taking, find_gauge, take
from ringland.bench.refusal import Asked, Offer, Refused
from ringland.bench.tighten import Hand, Instruction, instruction, last_hand, tighten
from ringland.bench.times import instant
from ringland.job.case import Case
from ringland.job.log.entries import (
    Condition,
    Corrected,
    Entry,
    Fact,
    JobOpened,
    ReadingTaken,
    ValuePlanned,
    Withdrawn,
)
from ringland.job.plan import plan
from ringland.job.slips.size import warmth_slip
from ringland.quantity import QuantityError, parse_quantity
from ringland.quantity.units import UnitError, find_unit

What = Literal[
    "plan", "verdicts", "parts", "settings", "prestart", "due", "log", "help", "where", "causes"
]


@dataclass(frozen=True, slots=True)
class Look:
    """The person wants to see something of the job; nothing was kept."""

    what: What
    more: bool = False


@dataclass(frozen=True, slots=True)
class Told:
    """A setting of the prompt changed: gauge, unit, person, time."""

    text: str


Reply = Outcome | Look | Told | Instruction | None
RAG = {"in": "on", "out": "off"}  # a rag goes in while the engine is open and comes out again


@dataclass(slots=True)
class Prompt:
    """One person at one job: what he typed last stays in use.

    when : time for what is keyed in afterwards; empty for now
    pulling : the group of fasteners that the last line was about, so that "1 ok" is enough
    """

    bench: Bench
    job: str
    habits: Habits = field(default_factory=Habits)
    hands: dict[str, Hand] = field(default_factory=dict)
    taking: Taking = field(default_factory=Taking)
    when: str = ""
    pulling: str = ""

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
        pulling, self.pulling = self.pulling, ""
        if pulling and words[-1].casefold().rstrip(",") == "ok" and _is_of_pulls(words):
            return self._torque([*pulling.split(), *words])
        if verb in VERBS and not self._is_name(words):
            return VERBS[verb](self, words[1:])
        if verb in ("old", "new"):
            self._of(verb)
            return self._measure(words[1:])
        return self._named(words)

    def _of(self, word: str) -> None:
        """What is read in this line is of the old part, or of the new one."""
        condition: Condition = "as found" if word.casefold() == "old" else "as fitted"
        self.taking = replace(self.taking, condition=condition)

    def _is_name(self, words: list[str]) -> bool:
        """A check such as "torque arm" would win over the verb "torque"."""
        return find(self.case.book.sheet, words, ("check",)) is not None

    @property
    def case(self) -> Case:
        """The job as it stands, at the time that is keyed in for."""
        return self.bench.case(self.job, self.when)

    def _named(self, words: list[str]) -> Reply:
        sheet = self.case.book.sheet
        if words[0].casefold() in ("rag", "rags") and " ".join(words[1:2]).casefold() in RAG:
            side, count = RAG[words[1].casefold()], words[2:] or ["1"]
            return self._keep(work.count(self.case, ["rag", side, *count]))
        for index, word in enumerate(words[1:], 1):
            if word.casefold() in ("off", "on") and find(sheet, words[:index], ("part",)):
                return self._keep(work.count(self.case, words))
        if find(sheet, words, ("finding",)) and self._longest(words) == "finding":
            return self._keep(work.note(self.case, words))
        if find(sheet, words, ("check",)):
            return self._or_seen(self._measure, words, "check")
        if find(sheet, words, ("finding",)):
            return self._keep(work.note(self.case, words))
        if find(sheet, words, ("group",)):
            return self._or_seen(self._torque, words, "group")
        raise Refused(self._unknown(words))

    def _or_seen(self, act: Callable[[list[str]], Reply], words: list[str], kind: Kind) -> Reply:
        """Do a line without a verb; refused, it may tell what was seen there: `plug specks`."""
        try:
            return act(words)
        except Refused as refused:
            sheet = self.case.book.sheet
            named = must_find(sheet, words, kind)
            meant = seen(sheet, words, len(words) - len(named.rest))
            if not meant:
                raise
            raise Refused(*refused.problems, f"Did you mean {_either(meant)}?") from None

    def _longest(self, words: list[str]) -> Kind:
        """Of a check and a finding that both begin the line, the longer name is meant."""
        found = [find(self.case.book.sheet, words, (kind,)) for kind in ("check", "finding")]
        lengths = [len(words) - len(each.rest) if each else 0 for each in found]
        return "finding" if lengths[1] > lengths[0] else "check"

    def _unknown(self, words: list[str]) -> str:
        if words[0].lstrip("+-−.,")[:1].isdigit() and not any(word[:1].isalpha() for word in words):
            ahead = plan(self.case).next
            name = (
                ahead.name.rpartition(", ")[0] if ahead and ahead.kind == "reading" else "bore H1X"
            )
            return f"{' '.join(words)} of what? Name it first, as in: {name} {' '.join(words)}"
        return _not_understood(words, guesses(self.case.book.sheet, words, tuple(VERBS)))

    def _keep(self, facts: Sequence[Fact]) -> Outcome:
        return self.bench.keep(self.job, facts, self.when)

    # -- verbs ---------------------------------------------------------------------------------

    def _measure(self, words: list[str]) -> Reply:
        named = must_find(self.case.book.sheet, words, "check")
        shelf, last = self.bench.shelf().gauges, last_job(self.bench, self.job)
        case, habits = self.case, self.habits
        taking, rest = self._with(named.rest)
        if rest and rest[0].casefold() == "points":
            return self._keep(points_of(case, named.name, rest[1:], taking, habits, shelf))
        return self._keep(take(case, named.name, rest, taking, habits, shelf, last=last))

    def _with(self, words: Sequence[str]) -> tuple[Taking, Sequence[str]]:
        """The gauge of this line alone: `skirt 47.93 with MIC-2`, `with a borrowed micrometer`."""
        lowered = [word.casefold() for word in words]
        if "with" not in lowered:
            return self.taking, words
        at = lowered.index("with")
        said = " ".join(words[at + 1 :])
        if "borrowed" in lowered[at:]:
            return replace(self.taking, gauge=NOT_OURS, remark=said), words[:at]
        gauge = find_gauge(said, self.bench.shelf().gauges)
        return replace(self.taking, gauge=gauge.id), words[:at]

    def _torque(self, words: list[str]) -> Reply:
        case = self.case
        named = must_find(case.book.sheet, words, "group")
        if named.name not in case.groups():
            raise Refused(f"{named.name} are not tightened in this job (scope {case.book.scope})")
        shelf = self.bench.shelf().gauges
        hand = self.hands.get(named.name) or last_hand(case, named.name)
        said = tighten(case, named.name, named.rest, hand, shelf)
        self.hands[named.name], self.pulling = said.hand, named.name
        if said.facts:
            kept = self._keep(said.facts)
            if kept.after.progress(named.name).is_complete:
                self.pulling = ""  # an "ok" too many pulls nothing twice
            return kept
        return instruction(case, named.name, said.hand, shelf)

    def _correct(self, words: list[str]) -> Reply:
        """`correct bore H1X 53.214`: the last reading of that check and place is superseded."""
        case = self.case
        if words and words[0].casefold() in ("old", "new"):
            self._of(words.pop(0))
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

    def _expect(self, words: list[str]) -> Reply:
        named = must_find(self.case.book.sheet, words, "check")
        kind = self.case.book.sheet.checks[named.name].unit
        try:
            value = parse_quantity(" ".join(named.rest), kind, default=self.habits.units.get(kind))
        except QuantityError as error:
            raise Refused(f"{named.name}: {error}") from None
        return self._keep([ValuePlanned(named.name, str(value))])

    # -- what stays in use ---------------------------------------------------------------------

    def _gauge(self, words: list[str]) -> Reply:
        if " ".join(words).casefold() in ("none", "unknown", "borrowed"):
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

    def use_unit(self, value: str) -> str:
        """A bare number is in the unit of this value from here on; return that in words."""
        unit = parse_quantity(value).unit
        self.habits.units[unit.kind] = unit.name
        return f"{unit.kind} in {unit.name} from here on, unless a unit is typed"

    def _by(self, words: list[str]) -> Reply:
        if not words:
            raise Refused("by whom? as in 'by Ada'")
        self.bench.by = " ".join(words)
        return Told(f"by {self.bench.by} from here on")

    def _when(self, words: list[str]) -> Reply:
        self.when = instant(" ".join(words), self.when or self.bench.now())
        return Told(f"at {self.when}" if self.when else "at the time it is typed")

    def _temperature(self, words: list[str]) -> Reply:
        """`temp 24 °C`, `temp 31 °C gauge 20 °C`, or `temp` alone to note it no more."""
        at = words.index("gauge") if "gauge" in words else len(words)
        part, gauge = (self._warmth(words[:at]), self._warmth(words[at + 1 :]))
        self.taking = replace(self.taking, temperature=part, gauge_temperature=gauge)
        beside = f", gauge at {gauge}" if gauge else ""
        return Told(f"parts at {part}{beside}" if part else "part temperature not noted")

    def _warmth(self, words: list[str]) -> str:
        if not words:
            return ""
        try:
            read = parse_quantity(" ".join(words), "temperature", default="°C")
        except QuantityError as error:
            raise Refused(str(error)) from None
        slip = warmth_slip(read)
        if slip is not None and not self.taking.insist:
            raise Asked(slip.question, tuple(Offer(each, each) for each in slip.likely))
        return str(read)


def _is_of_pulls(words: Sequence[str]) -> bool:
    return all(word.strip(",").isdigit() or word.casefold().strip(",") == "ok" for word in words)


def _not_understood(words: Sequence[str], meant: Sequence[str]) -> str:
    said = f"{' '.join(words)!r} is not understood; nothing kept."
    if not meant:
        return f"{said} Type ? for what can be typed."
    return f"{said} Did you mean {_either(meant)}?"


def _either(lines: Sequence[str]) -> str:
    return " or ".join(map(repr, lines))


def last_act(active: Sequence[Entry], by: str) -> list[Entry]:
    """Return the entries of a person's last act that still counts; opening the job is none."""
    opening = {entry.act for entry in active if isinstance(entry.fact, JobOpened)}
    mine = [
        entry
        for entry in active
        if entry.by == by and entry.act not in opening and not isinstance(entry.fact, Withdrawn)
    ]
    return [entry for entry in mine if entry.act == mine[-1].act] if mine else []


Verb = Callable[[Prompt, list[str]], Reply]


def _kept(act: Callable[[Case, list[str]], list[Fact]]) -> Verb:
    return lambda prompt, words: prompt._keep(act(prompt.case, words))


def _look(what: What) -> Verb:
    return lambda _prompt, words: Look(what, bool(set(words) & {"all", "-a", "--all"}))


VERBS: dict[str, Verb] = {
    "measure": Prompt._measure,
    "note": _kept(work.note),
    "count": _kept(work.count),
    "done": _kept(work.done),
    "timer": _kept(work.timer),
    "aside": _kept(work.aside),
    "renew": _kept(work.renew),
    "torque": Prompt._torque,
    "correct": Prompt._correct,
    "undo": Prompt._undo,
    "overrule": _kept(answers.overrule),
    "sign": _kept(answers.sign),
    "cause": _kept(answers.cause),
    "decide": _kept(answers.decide),
    "found": _kept(work.found),
    "expect": Prompt._expect,
    "figure": _kept(answers.figure),
    "resolved": _kept(answers.resolved),
    "safe": _kept(work.safe),
    "hand over": _kept(work.hand_over),
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
    "causes": _look("causes"),
    "log": _look("log"),
    "where": _look("where"),
    "?": _look("help"),
    "help": _look("help"),
}
