"""The talk of `sheet new`: engine, kind, scope, then the figures of that scope, one line each.

It asks and says through two functions that it is given, so that it runs without a terminal.
Whatever ends it early, the draft holds what was answered so far.
Not here: what an answer means (`ringland.sheet.asking`), files (`ringland.cli.sheet_new`).
"""

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field, replace

from ringland.quantity import QuantityError
from ringland.sheet.asking import Choice, Doubt, Habits, Taken, questions_for, take
from ringland.sheet.figure import figure_text
from ringland.sheet.model import SCOPES, Question, Scope, Sheet
from ringland.sheet.text import did_you_mean
from ringland.sheet.writing import Draft, line_of, together

SKIPS = ("", "skip", "-", "?!")
AGAIN = ("n", "no", "again")
DONT_KNOW = ("don't know", "dont know", "don't know yet", "not sure", "?", "look", "see")
# what a person says for a feature, and the feature it is (with "no" where it means the lack of it)
SAID_FOR = {
    "air-cooled": "no water cooling",
    "air cooled": "no water cooling",
    "air cooling": "no water cooling",
    "liquid-cooled": "water cooling",
    "liquid cooling": "water cooling",
    "no reeds": "no reed block",
    "carb": "carburettor",
    "injection": "fuel injection",
}

ABREAST = 3  # features in a line: it fits a screen of 80

Key = tuple[str, bool]  # a figure, and whether its limit in service was asked for


class _Back(Exception):
    """The person wants the question before this one again."""


@dataclass(slots=True)
class Talk:
    """One talk: who is asked, the common sheets there are, what was answered.

    ask : prints a prompt and returns the line typed; say : prints a line
    """

    ask: Callable[[str], str]
    say: Callable[[str], None]
    commons: Mapping[str, Sheet]
    draft: Draft = field(default_factory=Draft)
    scope: Scope | None = None
    answers: dict[Key, Taken] = field(default_factory=dict)
    habits: Habits = field(default_factory=Habits)

    @property
    def sheet(self) -> Sheet:
        """The common sheet that the new one extends, with what this engine lacks."""
        common = self.commons[self.draft.extends or next(iter(self.commons))]
        if self.draft.not_fitted is None:
            return common
        return common.model_copy(update={"not_fitted": self.draft.not_fitted})

    @property
    def questions(self) -> tuple[Question, ...]:
        """What this engine and scope are asked for."""
        return questions_for(self.sheet, self.scope) if self.scope else ()

    def run(self) -> None:
        """Ask everything; 'back' asks the question before again."""
        opening: tuple[Callable[[], None], ...] = (self._engine, self._kind, self._scope)
        asked: list[int] = []
        at = 0
        while at < len(opening) or at - len(opening) < len(self.questions):
            if at >= len(opening) and at not in asked and self._has(at - len(opening)):
                at += 1
                continue
            try:
                if at < len(opening):
                    opening[at]()
                else:
                    self._figure(at - len(opening))
            except _Back:
                at = asked.pop() if asked else 0
                continue
            asked.append(at)
            at += 1

    def _read(self, prompt: str) -> str:
        while True:
            text = " ".join(self.ask(prompt).split())
            if text.casefold() == "back":
                raise _Back
            if text.isprintable():
                return text
            self.say("  there are signs in it that are no text; type it again")

    def _engine(self) -> None:
        while not (text := self._read("Which engine do you call it? > ")):
            self.say("  a name is needed, such as Tarrow 124; Ctrl-C leaves")
        self.draft.engine = text

    def _kind(self) -> None:
        names = list(self.commons)
        self.draft.extends = names[0]
        if len(names) > 1:
            self.draft.extends = self._which("Kind?", {name: name for name in names})
        self.draft.not_fitted = None
        self.say(f"A {self.sheet.engine}. What has it? x stands for yes:")
        while True:
            self._show_features()
            self.say("Enter when that is right; else what differs: no power valve, air-cooled, ...")
            text = self._read("> ")
            if text in ("", "1", "y", "yes"):
                return
            if text != "2":  # a person who counts answers: the second is what the line says
                self._differs(text)

    def _show_features(self) -> None:
        sheet = self.sheet
        width = max(map(len, sheet.features)) + 6
        cells = [
            f"[{' ' if name in sheet.not_fitted else 'x'}] {name}".ljust(width)
            for name in sheet.features
        ]
        for at in range(0, len(cells), ABREAST):
            self.say(f"  {''.join(cells[at : at + ABREAST])}".rstrip())

    def _differs(self, text: str) -> None:
        sheet = self.sheet
        lacks = list(sheet.not_fitted)
        for said in text.replace(" and ", ", ").split(","):
            word = SAID_FOR.get(said.strip().casefold(), said.strip().casefold())
            sign, _, rest = word.partition(" ")
            name = rest if sign in ("no", "without", "with") else word
            if name not in sheet.features:
                near = did_you_mean(name, sheet.features) or f" Known: {', '.join(sheet.features)}"
                self.say(f"  {said.strip()!r} is no feature here.{near}")
            elif sign == "with" or (sign not in ("no", "without") and name in lacks):
                lacks = [each for each in lacks if each != name]
            else:
                lacks.append(name)
        self.draft.not_fitted = tuple(name for name in sheet.features if name in lacks)

    def _scope(self) -> None:
        words = {**SCOPES, "open": "don't know yet"}
        self.scope = self._which("What will you do?", words)
        count = len(self.questions)
        self.say(
            f"{count} figures from your manual; Enter skips one. A page may follow: 0.3 mm p 4-31"
        )
        self.say("'back' corrects the answer before, '?' explains, Ctrl-C keeps what you have.")

    def _which(self, title: str, choices: Mapping[Scope, str] | Mapping[str, str]) -> Scope:
        shown = "  ".join(f"{number} {words}" for number, words in enumerate(choices.values(), 1))
        self.say(f"{title}  {shown}")
        while True:
            text = self._read("> ").casefold()
            for number, (name, words) in enumerate(choices.items(), 1):
                begins = len(text) > 2 and words.casefold().startswith(text)
                if text in (str(number), name) or begins or (name == "open" and text in DONT_KNOW):
                    return name  # type: ignore[return-value]  # a key of the choices given
            self.say(f"  a number from 1 to {len(choices)}, or a word of it")

    # -- figures -------------------------------------------------------------------------------

    def _has(self, index: int) -> bool:
        """The limit may have come with the figure when new: "0.30-0.38, max 0.60"."""
        question = self.questions[index]
        taken = self.draft.taken.get(question.figure)
        if taken is None or (question.figure, question.asks_limit) in self.answers:
            return False
        side = taken.figure.service if question.asks_limit else taken.figure.new
        return side is not None

    def _figure(self, index: int) -> None:
        questions = self.questions
        question = questions[index]
        key = (question.figure, question.asks_limit)
        width = max(len(each.ask) for each in questions)
        prompt = f"{index + 1:>2} {question.ask:<{width}} > "
        before = self.answers.get(key)
        if before is not None:
            self.say(f"   now {figure_text(before.figure)}; Enter keeps it, 'skip' leaves it out")
        taken = self._answer(question, prompt, before)
        if taken is None:
            self.answers.pop(key, None)
        else:
            self.answers[key] = taken
            learnt = {k: unit for k, unit in taken.units.items() if k != "torque"}
            self.habits = replace(self.habits, units={**self.habits.units, **learnt})
        self._collect()

    def _collect(self) -> None:
        self.draft.taken = {}
        for name, limit in sorted(self.answers, key=self._place):
            self.draft.taken[name] = together(self.draft.taken.get(name), self.answers[name, limit])

    def _place(self, key: Key) -> int:
        order = [(question.figure, question.asks_limit) for question in self.sheet.questions]
        return order.index(key)

    def _answer(self, question: Question, prompt: str, before: Taken | None) -> Taken | None:
        text, insist = self._read(prompt), False
        while True:
            if text.casefold() in SKIPS:
                return before if text == "" else None
            if text == "?":
                self._explain(question)
                text = self._read(prompt)
                continue
            try:
                found = take(self.sheet, question, text, habits=self.habits, insist=insist)
                if isinstance(found, Taken):
                    self._must_fit(question, found)
                    self._tell_count(question, found)
                    return found
            except QuantityError as error:
                self.say(f"   {error}")
                text, insist = self._read(prompt), False
                continue
            text, insist = self._settle(found, prompt)

    def _must_fit(self, question: Question, taken: Taken) -> None:
        """Refuse what contradicts the other half of the figure, as the loader would."""
        other = self.answers.get((question.figure, not question.asks_limit))
        line_of(self.sheet, question.figure, together(other, taken))

    def _tell_count(self, question: Question, taken: Taken) -> None:
        """A group's count that nobody typed is the common sheet's: say so, since it may differ."""
        group = self.sheet.fasteners.get(question.figure)
        if group is not None and group.count > 1 and "count" not in taken.fastener:
            typed = taken.figure.typed
            self.say(f"   {group.count} of them? If not, 'back' and as in: 4 × M8, {typed}")

    def _settle(self, doubt: Doubt, prompt: str) -> tuple[str, bool]:
        """Return the answer that is meant, and whether the person insists on it."""
        taken = f" Enter: {doubt.enter.label}" if doubt.enter else ""
        insists = [f" Or '{choice.word}'." for choice in doubt.choices if choice.insist]
        asked = "".join([doubt.question, *insists, taken])
        while True:
            said = self._read(f"   {asked} > ")
            if choice := doubt.chosen(said):
                return self._chosen(choice)
            if said.casefold() in AGAIN:
                return self._read(prompt), False
            if said:
                return said, False
            which = ", ".join(f"{n} {c.label}" for n, c in enumerate(doubt.choices, 1))
            self.say(f"   nothing is assumed here: {which}; or type the figure again")

    def _chosen(self, choice: Choice) -> tuple[str, bool]:
        if choice.decimal_comma:
            self.habits = replace(self.habits, comma_is_decimal=True)
        return choice.text, choice.insist

    def _explain(self, question: Question) -> None:
        sheet = self.sheet
        check = sheet.checks.get(question.figure)
        group = sheet.fasteners.get(question.figure)
        words = check.words if check else group.words if group else ""
        lines = [words or f"as the manual gives it, such as {question.plausible}"]
        if check and check.why:
            lines.append(check.why)
        if check and check.common_practice:
            lines.append(f"common practice, not the maker's: {check.common_practice}")
        for line in lines:
            self.say(f"   {line}")
