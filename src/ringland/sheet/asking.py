"""What `sheet new` asks, and what an answer means: the unit meant, whether it can be right.

Here: the questions of a scope (`questions_for`), one answer read (`take`): a figure, or a doubt
with what may have been meant. A unit is never guessed silently: a bare torque is always asked
about, a bare length once, and a value outside the usual band every time.
Not here: the talk itself (`ringland.cli.sheet_new`), the file's text (`writing`).
"""

import re
from collections.abc import Mapping
from dataclasses import dataclass, field, replace

from ringland.quantity import (
    AmbiguousNumber,
    MissingUnit,
    QuantityError,
    Span,
    find_unit,
    show_pair,
)
from ringland.sheet.fastener import parse_fastener
from ringland.sheet.figure import (
    Figure,
    clauses_of,
    ends_of,
    figure_text,
    parse_figure,
    split_page,
)
from ringland.sheet.model import Question, Scope, Sheet
from ringland.sheet.plausible import is_usual, kind_asked, likely, printed_units

_BARE_OR_TORQUE = re.compile(r"(?i)(?:max|min)?\s*[.,]?\d(?!\s*[×x*]\s*M)")
ALWAYS_OFFERED = ("N·m", "lbf·ft")  # a torque without unit is one of these before any other


@dataclass(frozen=True, slots=True)
class Habits:
    """What the person has shown so far: the unit of a kind, that a comma is a decimal mark."""

    units: Mapping[str, str] = field(default_factory=dict)
    comma_is_decimal: bool = False


@dataclass(frozen=True, slots=True)
class Choice:
    """One way an answer can be meant: how it is shown, the answer to take in its place.

    word : what the person types for it, besides its number; insist : take it without a doubt
    """

    label: str
    text: str
    word: str
    insist: bool = False
    decimal_comma: bool = False


@dataclass(frozen=True, slots=True)
class Doubt:
    """A question back. `enter` : the choice that Enter takes; None where none may be assumed."""

    question: str
    choices: tuple[Choice, ...]
    enter: Choice | None = None

    def chosen(self, typed: str) -> Choice | None:
        """Return the choice that a person's word or number names, or None."""
        word = typed.strip().casefold()
        if not word or (word in ("y", "yes") and self.enter):
            return self.enter
        if word.isdigit() and 0 < int(word) <= len(self.choices):
            return self.choices[int(word) - 1]
        return next((c for c in self.choices if _same_word(word, c.word)), None)


@dataclass(frozen=True, slots=True)
class Taken:
    """An answer that was understood.

    fastener : the other fields of a group's line that came with its torque (count, thread ...)
    """

    figure: Figure
    page: str
    fastener: Mapping[str, str] = field(default_factory=dict)
    units: Mapping[str, str] = field(default_factory=dict)


def questions_for(sheet: Sheet, scope: Scope) -> tuple[Question, ...]:
    """Return what is asked for a scope, of what this engine has, in the order of a manual."""
    return tuple(
        question
        for question in sheet.questions
        if scope in question.scopes and sheet.has(_fitted_to(sheet, question.figure))
    )


def _fitted_to(sheet: Sheet, name: str) -> str:
    content = sheet.checks.get(name) or sheet.fasteners.get(name)
    return content.fitted_to if content else ""


@dataclass(frozen=True, slots=True)
class _Said:
    """An answer taken apart: the figure, its page, the other clauses of a fastener's line."""

    figure: str
    page: str
    rest: tuple[str, ...] = ()

    def again(self, figure: str) -> str:
        """Return the whole answer with another figure in its place."""
        return ", ".join([*self.rest, figure]) + (f" @ {self.page}" if self.page else "")


def take(
    sheet: Sheet, question: Question, text: str, *, habits: Habits, insist: bool = False
) -> Taken | Doubt:
    """Read one answer to a question.

    insist : the person has seen the doubt about its size and keeps it
    Raises QuantityError for an answer that is no figure.
    """
    kind = kind_asked(sheet, question)
    said = _taken_apart(text.strip(), kind)
    fields = parse_fastener(", ".join(said.rest)) if said.rest else {}
    try:
        figure = _sided(sheet, question, parse_figure(said.figure, kind))
    except AmbiguousNumber as ambiguous:
        return _of_comma(sheet, question, text, ambiguous, habits)
    except MissingUnit:
        found = _of_unit(sheet, question, said, kind, habits)
        if isinstance(found, Doubt):
            return found
        figure = found
    if not insist and (doubt := _of_size(sheet, question, figure, said)):
        return doubt
    unit = next((end.unit.name for end in ends_of(figure)), "")
    return Taken(figure, said.page, fields, {kind: unit} if unit and not figure.per_bore else {})


def _taken_apart(text: str, kind: str) -> _Said:
    """Take page and, for a fastener, the other clauses off: "4 × M8, 21, crosswise p 4-40"."""
    said, page = split_page(text)
    if kind != "torque":
        return _Said(said, page)
    clauses = [clause for _, clause in clauses_of(said)]
    numbers = [clause for clause in clauses if _BARE_OR_TORQUE.match(clause)]
    if clauses and not numbers:
        raise QuantityError(f"no torque in {said!r}: write it, as in 21 lbf·ft")
    if len(clauses) == 1 or len(numbers) != 1:
        return _Said(said, page)
    return _Said(numbers[0], page, tuple(c for c in clauses if c != numbers[0]))


def _sided(sheet: Sheet, question: Question, figure: Figure) -> Figure:
    """A bare number asked for as the limit in service is one: the largest, or the smallest."""
    if not question.asks_limit or figure.service is not None or figure.new is None:
        return figure
    if figure.nominal is None:
        raise QuantityError("one value is the limit; a range is the figure when new")
    check = sheet.checks.get(question.figure)
    shrinks = check is not None and check.limit == "lower"
    service = Span(figure.new.low, None) if shrinks else Span(None, figure.new.high)
    return replace(figure, new=None, service=service)


def _of_comma(
    sheet: Sheet, question: Question, text: str, found: AmbiguousNumber, habits: Habits
) -> Taken | Doubt:
    decimal, grouped = found.readings
    typed = decimal.replace(".", ",")
    if habits.comma_is_decimal:
        return take(sheet, question, text.replace(typed, decimal), habits=habits)
    return Doubt(
        f"{typed}: {decimal} or {grouped}?",
        tuple(
            Choice(each, text.replace(typed, each), each, decimal_comma=each == decimal)
            for each in found.readings
        ),
    )


def _of_unit(
    sheet: Sheet, question: Question, said: _Said, kind: str, habits: Habits
) -> Figure | Doubt:
    """Find out which unit a bare number is in."""
    read = {
        unit.name: _sided(sheet, question, parse_figure(said.figure, kind, default=unit.name))
        for unit in printed_units(kind)
    }
    fits = [name for name, figure in read.items() if is_usual(sheet, question, figure)]
    usual = habits.units.get(kind, find_unit(question.unit).name)
    if kind == "torque":
        last = [usual] if kind in habits.units else []
        plain = [name for name in ALWAYS_OFFERED if name in fits] or fits
        offered = list(dict.fromkeys([*last, *ALWAYS_OFFERED, *(() if plain != fits else fits)]))
        return _which_unit(said, {name: read[name] for name in offered})
    if kind in habits.units and usual in fits:
        return read[usual]
    if usual in fits and len(fits) == 1:
        only = _choice(said, usual, read[usual])
        return Doubt(f"{usual}?", (only,), only)
    if not fits:
        return read[usual] if usual in read else _which_unit(said, read)
    ordered = {name: read[name] for name in dict.fromkeys([*fits, usual])}
    doubt = _which_unit(said, ordered)
    return replace(doubt, enter=doubt.choices[0]) if len(fits) == 1 else doubt


def _which_unit(said: _Said, read: Mapping[str, Figure]) -> Doubt:
    choices = tuple(_choice(said, name, figure) for name, figure in read.items())
    return Doubt(" or ".join(choice.label for choice in choices) + "?", choices)


def _choice(said: _Said, unit: str, figure: Figure) -> Choice:
    ends = ends_of(figure)
    label = show_pair(ends[0]) if len(ends) == 1 else f"{said.figure} {unit}"
    return Choice(label, said.again(f"{said.figure} {unit}"), unit)


def _of_size(sheet: Sheet, question: Question, figure: Figure, said: _Said) -> Doubt | None:
    """Ask about a figure outside the usual band: another unit, ten times, a hundred times."""
    if is_usual(sheet, question, figure):
        return None
    texts = [figure_text(each) for each in likely(sheet, question, figure)][:3]
    meant = [Choice(text, said.again(text), text) for text in texts]
    now = figure_text(figure)
    keep = Choice(f"keep {now}", said.again(now), "keep", insist=True)
    hint = f" Did you mean {' or '.join(texts)}?" if texts else ""
    asked = f"{now} lies outside what is usual ({question.plausible}).{hint}"
    return Doubt(asked, (*meant, keep))


def _same_word(typed: str, word: str) -> bool:
    if typed == word.casefold():
        return True
    try:
        return find_unit(typed, find_unit(word).kind).name == word
    except ValueError:
        return False
