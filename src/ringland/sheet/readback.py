"""Reading the typed figures back against the manual: which, by whom, and whether it still holds.

A note is `figure: NAME DATE as VALUE`. It holds for that value only: a figure that is changed
afterwards, or that a variant has otherwise, is not read back.
"""

import re
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, replace

from ringland.quantity import QuantityError, Span, parse_quantity
from ringland.sheet.figure import Figure, clauses_of, ends_of, figure_text, parse_figure, split_page
from ringland.sheet.figures import Figures
from ringland.sheet.model import Sheet
from ringland.sheet.text import Path

WHOLE = ("test", "fluid", "lengths", "share of bore")  # kinds that are typed as one text
_NOTE = re.compile(r"(?P<who>.*?)(?:\s+(?P<date>\d{4}-\d\d-\d\d))?(?:\s+as\s+(?P<value>.+))?$")


@dataclass(frozen=True, slots=True)
class Typed:
    """One figure as a person typed it into the sheet.

    key : its name in the read-back section; path : where it stands; kind : of its unit
    value : in the house's spelling, raw : as it was typed, both without the page
    """

    key: str
    path: Path
    kind: str
    value: str
    raw: str
    page: str

    @property
    def shape(self) -> str:
        """Which halves a figure has, as words for the person who reads it back."""
        if self.kind in WHOLE:
            return ""
        figure = parse_figure(self.value, self.kind)
        if figure.service is None:
            return ""
        return "limit" if figure.new is None else "new, then limit"


@dataclass(frozen=True, slots=True)
class Note:
    """Who read a figure back, when, and as what."""

    who: str
    date: str
    value: str


def typed_figures(sheet: Sheet, figures: Figures) -> Iterator[Typed]:
    """Yield every figure of a sheet that can be read back, in the order they stand in it."""
    for name, figure in figures.limits.items():
        kind = "share of bore" if figure.per_bore else _kind(figure)
        raw = split_page(figure.typed)[0]
        yield Typed(name, ("figures", name), kind, figure_text(figure), raw, figure.page)
    for name, figure in figures.torques.items():
        path, raw = ("fasteners", name, "torque"), split_page(figure.typed)[0]
        yield Typed(name, path, "torque", figure_text(figure), raw, figure.page)
    names = {"class": "piston classes", "test": "tests", "hours": "hours", "fluid": "fluids"}
    for word, texts in _sections(sheet).items():
        for name, text in texts.items():
            value, page = split_page(text)
            if word != "fluid" or value[:1].isdigit():
                kind = {"class": "length", "hours": "time"}.get(word, word)
                yield Typed(f"{word} {name}", (names[word], name), kind, value, value, page)
    if sheet.base_gaskets:
        text = ", ".join(sheet.base_gaskets)
        yield Typed("base gaskets", ("base gaskets",), "lengths", text, text, "")


def _sections(sheet: Sheet) -> dict[str, Mapping[str, str]]:
    """The sections whose names need a word before them, since a part can be called the same."""
    return {
        "class": sheet.piston_classes,
        "test": sheet.tests,
        "hours": sheet.hours,
        "fluid": sheet.fluids,
    }


def keys_of(sheet: Sheet) -> list[str]:
    """Return the names that the read-back section may hold."""
    found = [*sheet.figures, *sheet.fasteners, "base gaskets"]
    for word, texts in _sections(sheet).items():
        found += [f"{word} {name}" for name in texts]
    return found


def _kind(figure: Figure) -> str:
    spans = (span for span in (figure.new, figure.service) if span)
    return next((end.unit.kind for s in spans for end in (s.low, s.high) if end), "length")


def parse_note(text: str) -> Note:
    """Read a note.

    >>> parse_note("Ada 2026-11-05 as 0.30-0.38 mm, max 0.60 mm")
    Note(who='Ada', date='2026-11-05', value='0.30-0.38 mm, max 0.60 mm')
    """
    found = _NOTE.match(text.strip())
    assert found is not None  # every part of the pattern may be missing
    return Note(found["who"].strip(), found["date"] or "", found["value"] or "")


def note_text(note: Note) -> str:
    """Return a note as it stands in a sheet."""
    return f"{note.who} {note.date} as {note.value}"


def read_back_by(sheet: Sheet, typed: Typed) -> str:
    """Return who read a figure back and when; nothing when nobody did, or it changed since."""
    text = sheet.read_back.get(typed.key)
    if text is None:
        return ""
    note = parse_note(text)
    if note.value and not same_value(note.value, typed.value, typed.kind):
        return ""
    return f"{note.who} {note.date}".strip()


def is_read_back(sheet: Sheet, figures: Figures, key: str) -> bool:
    """Say whether a figure, by its name in the read-back section, was read back as it is now."""
    return key in sheet.read_back and any(
        t.key == key and read_back_by(sheet, t) for t in typed_figures(sheet, figures)
    )


def is_stale(sheet: Sheet, typed: Typed) -> bool:
    """Say whether a figure was read back as another value than it has now."""
    return typed.key in sheet.read_back and not read_back_by(sheet, typed)


def completed(said: str, typed: Typed, units: dict[str, str], ask: Callable[[str], str]) -> str:
    """Return what a reader typed as a whole figure, asking for the half that is not there yet.

    units : the unit of each kind that this reader has typed before; a torque always needs its own
    ask : asks for the limit in service
    Raises QuantityError; MissingUnit where the reader has not yet said in which unit he reads.
    """
    kind = typed.kind
    if kind in WHOLE:
        return said
    default = None if kind == "torque" else units.get(kind)
    wanted = parse_figure(typed.value, kind)
    read = parse_figure(said, kind, default=default)
    units |= {end.unit.kind: end.unit.name for end in ends_of(read)}
    if wanted.new is None and read.service is None:
        read = _as_limit(read, wanted)
    elif wanted.service is not None and read.service is None:
        more = ask("its limit").strip()
        if not more:
            raise QuantityError("half a figure is not read back: new and limit belong together")
        limit = parse_figure(more, kind, default=None if kind == "torque" else units.get(kind))
        limit = limit if limit.service else _as_limit(limit, wanted)
        read = replace(read, service=limit.service)
    return figure_text(read)


def _as_limit(read: Figure, wanted: Figure) -> Figure:
    """A bare number read as a limit is one on the side that the sheet has it."""
    service = wanted.service
    if read.new is None or read.nominal is None or service is None:
        return read
    low, high = (read.new.low if service.low else None), (read.new.high if service.high else None)
    return replace(read, new=None, service=Span(low, high))


def same_value(one: str, other: str, kind: str) -> bool:
    """Say whether two texts are the same figure, whatever their units and digits.

    >>> same_value("0.30-0.38 mm", "0,3 - 0,380 mm", "length"), same_value("21 N·m", "21 ft-lb", "torque")
    (True, False)
    """
    return numbers_in(one, kind) == numbers_in(other, kind)


def numbers_in(text: str, kind: str) -> tuple[object, ...]:
    """Return what a text means, so that equal figures are equal. Raises QuantityError."""
    said, _ = split_page(text)
    if kind == "share of bore":
        figure = parse_figure(said, "length")
        return _span(figure.new), _span(figure.service), figure.per_bore
    if kind in ("test", "fluid", "lengths"):
        return tuple(_clause(clause) for _, clause in clauses_of(said))
    figure = parse_figure(said, kind)
    return _span(figure.new), _span(figure.service), figure.per_bore


def _span(span: Span | None) -> tuple[float | None, float | None] | None:
    if span is None:
        return None
    low, high = span.low, span.high
    return (None if low is None else low.si, None if high is None else high.si)


def _clause(clause: str) -> object:
    """A clause with a number means that quantity, any other its words."""
    number = re.sub(r"(?i)^(?:fall\b)?\s*(?:max\b)?\s*", "", clause)
    for kind in (None, "ratio"):
        try:
            return parse_quantity(number, kind).si
        except QuantityError:
            continue
    return number.casefold()
