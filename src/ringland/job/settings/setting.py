"""One row of the settings, and the words that all subjects share.

Not here: any subject; each has a module of its own beside this one.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from math import pi

from ringland.job.book import Book
from ringland.job.case import Case
from ringland.job.entries import Condition
from ringland.quantity import Estimate, Quantity, Span, Unit, show_number
from ringland.sheet.figures import Ruling

DECIMALS = {"mm": 3, "in": 4, "thou": 1}
DEGREE = pi / 180


@dataclass(frozen=True, slots=True)
class Setting:
    """One setting: what for, the value, how it is worked out or what it rests on.

    A name that begins with two spaces belongs to the row before it.
    missing : what is needed before it can be given; then there is no value
    subject : what it is about: fit, ring, piston, squish, ports, torque, preload, fluids
    """

    name: str
    value: str
    remark: str = ""
    source: str = ""
    missing: str = ""
    subject: str = ""


def span_words(span: Span) -> str:
    """Return a span of the sheet as printed; of one worked out from a rule, three decimals."""
    ends = [end for end in (span.low, span.high) if end is not None]
    shown = [None if end is None else _digits(end) for end in (span.low, span.high)]
    unit = ends[0].unit.name
    if shown[0] and shown[1]:
        return f"{shown[0]}-{shown[1]} {unit}" if shown[0] != shown[1] else f"{shown[0]} {unit}"
    return f"max {shown[1]} {unit}" if shown[1] else f"min {shown[0]} {unit}"


def end_words(end: Quantity) -> str:
    """Return one end of a span as printed."""
    return f"{_digits(end)} {end.unit.name}"


def _digits(end: Quantity) -> str:
    typed = -(end.number.as_tuple().exponent or 0)  # type: ignore[operator]  # a figure of a sheet is finite
    return show_number(float(end.number), min(typed, _decimals(end.unit)))


def _decimals(unit: Unit) -> int:
    return DECIMALS.get(unit.name, 3)


def length(value: float, unit: Unit, *, more: int = 0) -> str:
    """Return a length in the sheet's unit: two decimals of a millimetre, three of an inch."""
    decimals = {"mm": 2, "in": 4, "thou": 0}.get(unit.name, 3) + more
    return f"{show_number(unit.from_si(value), decimals)} {unit.name}"


def plus_minus(value: float, u: float, unit: Unit, *, more: int = 0) -> str:
    """Return a length with its ± at about 95 % (two standard uncertainties)."""
    decimals = {"mm": 2, "in": 4, "thou": 0}.get(unit.name, 3) + more
    one, doubt = unit.step_from_si(value), unit.step_from_si(2 * u)
    return f"{show_number(one, decimals)} ± {show_number(doubt, decimals)} {unit.name}"


def where(ruling: Ruling) -> str:
    """Return whose figure rules, and where it stands."""
    page = f", {ruling.figure.page}" if ruling.figure.page else ""
    return f"{ruling.source}{page}"


def outranks(ruling: Ruling) -> str:
    """Return what the ruling figure outranks, in words; empty for nothing."""
    own = ruling.outranked
    span = own and (own.new or own.service)
    return f"outranks the {ruling.outranked_source}'s {span_words(span)}" if span else ""


def joined(*parts: str) -> str:
    """Return what there is of several remarks."""
    return "; ".join(part for part in parts if part)


def new_span(case: Case, check: str) -> tuple[Ruling, Span] | None:
    """Return the two-sided figure for the new combination, with its ruling; None without one."""
    ruling = case.book.ruling(check, "as fitted")
    span = ruling.figure.new if ruling else None
    if ruling is None or span is None or span.low is None or span.high is None:
        return None
    return ruling, span


def measured(case: Case, check: str, *conditions: Condition) -> tuple[Estimate, Estimate] | None:
    """Return the largest and least value of a check in the first condition it was read in."""
    for condition in conditions:
        verdict = case.verdicts.get((check, condition))
        if verdict is None or verdict.value is None or verdict.value.estimate is None:
            continue
        return verdict.value.estimate, verdict.value.least or verdict.value.estimate
    return None


def page_of(book: Book, names: Sequence[str]) -> str:
    """Return where figures of the engine sheet stand: "engine sheet, p 1-4, p 1-5"."""
    figures = [book.figures.limits[name] for name in names if name in book.figures.limits]
    pages = dict.fromkeys(figure.page for figure in figures if figure.page)
    return ", ".join(["engine sheet", *pages])
