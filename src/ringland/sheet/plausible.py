"""Whether a typed figure can be right: the usual band of its question, and what else was likely meant.

The bands are common practice: they ask, they never judge and never change a figure.
"""

from collections.abc import Iterator
from dataclasses import replace

from ringland.quantity import Quantity, Span, Unit, parse_span, units_of
from ringland.sheet.figure import Figure, ends_of
from ringland.sheet.figures import kind_of
from ringland.sheet.model import Question, Sheet

NOT_PRINTED = (
    "cm",
    "m",
    "ft",
    "Pa",
    "hPa",
    "MPa",
    "daN·m",
    "s",
)  # no manual prints figures in them


def kind_asked(sheet: Sheet, question: Question) -> str:
    """Return the kind of unit that a question asks for."""
    if question.figure in sheet.fasteners:
        return "torque"
    return kind_of(sheet, question.figure) or "length"


def printed_units(kind: str) -> list[Unit]:
    """Return the units of a kind that manuals print, the commonest first."""
    return [unit for unit in units_of(kind) if unit.name not in NOT_PRINTED]


def is_usual(sheet: Sheet, question: Question, figure: Figure) -> bool:
    """Say whether a figure lies in the bands of the questions that ask for its two sides."""
    if figure.per_bore:
        return True
    sides = ((figure.new, False), (figure.service, True))
    return all(_holds(_band(sheet, question, limit=limit), span) for span, limit in sides if span)


def _band(sheet: Sheet, question: Question, *, limit: bool) -> Span | None:
    same = [each for each in sheet.questions if each.figure == question.figure]
    asked = next((each for each in same if each.asks_limit == limit), question)
    return parse_span(asked.plausible, kind_asked(sheet, asked)) if asked.plausible else None


def _holds(band: Span | None, span: Span) -> bool:
    if band is None or band.low is None or band.high is None:
        return True
    return all(band.low.si <= end.si <= band.high.si for end in (span.low, span.high) if end)


def likely(sheet: Sheet, question: Question, figure: Figure) -> list[Figure]:
    """Return what was likely meant by a figure outside its band: another unit, a slipped point."""
    found = (each for each in _slips(figure) if is_usual(sheet, question, each))
    return list(found)


def _slips(figure: Figure) -> Iterator[Figure]:
    unit = ends_of(figure)[0].unit
    for power in (-1, 1):
        yield _changed(figure, unit, power)
    for other in printed_units(unit.kind):
        if other != unit:
            yield _changed(figure, other, 0)
    for power in (-2, 2, -3):
        yield _changed(figure, unit, power)


def _changed(figure: Figure, unit: Unit, power: int) -> Figure:
    def end(quantity: Quantity | None) -> Quantity | None:
        return quantity and Quantity(quantity.number.scaleb(power), unit)

    spans = [s and Span(end(s.low), end(s.high)) for s in (figure.new, figure.service)]
    return replace(figure, new=spans[0], service=spans[1])
