"""One row of the settings, and what all subjects share.

Not here: its numbers and their words (`number`); any subject; each has a module beside this one.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from math import pi

from ringland.job.book import Book
from ringland.job.case import Case
from ringland.job.log.entries import Condition
from ringland.job.settings.number import Number, span_words
from ringland.quantity import Estimate, Span
from ringland.sheet.figures import Ruling

DEGREE = pi / 180
ADD_IT = "look it up in the manual, then: figure {} VALUE @ PAGE because REASON"


@dataclass(frozen=True, slots=True)
class Setting:
    """One setting: what for, the value, how it is worked out or what it rests on.

    A name that begins with two spaces belongs to the row before it.
    missing : what is needed before it can be given; then there is no value
    subject : what it is about: fit, ring, piston, squish, ports, torque, preload, fluids
    numbers : what its words print, for a program; empty where it has none (by feel, not given)
    """

    name: str
    value: str
    remark: str = ""
    source: str = ""
    missing: str = ""
    subject: str = ""
    numbers: tuple[Number, ...] = ()


def lacking(name: str, missing: str, *, subject: str, remark: str = "") -> Setting:
    """Return a setting that cannot be given yet: what is missing, and in the remark what to do."""
    return Setting(name, "", remark, missing=missing, subject=subject)


def where(ruling: Ruling) -> str:
    """Return whose figure rules, and where it stands."""
    return on_page(ruling.source, ruling.figure.page)


def outranks(ruling: Ruling) -> str:
    """Return what the ruling figure outranks, in words; empty for nothing."""
    own = ruling.outranked
    span = own and (own.new or own.service)
    return ruling.outranks(span_words(span)) if span else ""


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


def on_page(source: str, *pages: str) -> str:
    """Return whose figures they are, with their pages where known: "engine sheet, p 4-40".

    >>> on_page("engine sheet", "p 1-4", "", "p 1-5")
    'engine sheet, p 1-4, p 1-5'
    """
    return ", ".join([source, *filter(None, pages)])


def page_of(book: Book, names: Sequence[str]) -> str:
    """Return where several figures stand: "engine sheet, p 1-4, p 1-5"."""
    pages: dict[str, list[str]] = {}
    for name in names:
        if name in book.figures.limits:
            page = book.figures.limits[name].page
            of_source = pages.setdefault(book.source("figures", name), [])
            of_source += [page] if page not in of_source else []
    return "; ".join(on_page(source, *of_source) for source, of_source in pages.items())


def coarse(unit_name: str) -> int:
    """Return the decimals a gap or height is printed with: 0.01 mm, 0.0001 in, 1 thou."""
    return {"mm": 2, "in": 4, "thou": 0}.get(unit_name, 3)
