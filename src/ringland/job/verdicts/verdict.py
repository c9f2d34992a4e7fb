"""A verdict on one check, and the limits it is held against."""

from collections.abc import Mapping
from dataclasses import dataclass, replace
from typing import Literal

from ringland.job.log.entries import Condition, VerdictOverruled
from ringland.job.log.fold import Said
from ringland.job.readings.value import Value
from ringland.measure.estimates import Budget
from ringland.measure.settle import Way
from ringland.quantity import Estimate, Quantity, Span, Unit
from ringland.sheet.figure import Figure
from ringland.sheet.figures import Ruling
from ringland.sheet.model import Check

Word = Literal[
    "within",
    "within, worn",
    "undecided",
    "beyond",
    "not comparable",
    "readings disagree",
    "not measured",
    "not judged",
]


@dataclass(frozen=True, slots=True)
class Limits:
    """What a value is held against, in SI: lower and upper limit, and the end of new before wear."""

    lower: float | None
    upper: float | None
    new_end: float | None = None


@dataclass(frozen=True, slots=True)
class Settles:
    """One way to settle an undecided verdict, and in words: "BG-2 instead of TG-1"."""

    way: Way
    words: str


@dataclass(frozen=True, slots=True)
class Tested:
    """A compression as a number, in SI: it is judged by its share, so it is no value with limits.

    budget : the pressure read, with what its gauge is worth; unit : it was read in
    share : of the machine's own baseline, where the two can be compared
    lower : the pressure, in this air, from which on the shop stops riding
    """

    budget: Budget
    unit: Unit
    share: Estimate | None = None
    lower: float | None = None


@dataclass(frozen=True, slots=True)
class Verdict:
    """One check on a part as found or as fitted.

    p : probability that the part conforms; None where nothing is computed (feel, leaves, counts)
    ruling : the figure that ruled and what it outranked; None where the sheet gives none
    reason : one sentence; todo : what to do now, empty when nothing
    settled_by : of an undecided number, what on the shelf would settle it, least trouble first
    plan : how it differs from what was planned, said beside the verdict
    overruled : who decided otherwise, and why
    tested : a compression as a number; None for all that is no compression
    past : of the whole engine before the strip, which has begun: it can only be noted
    """

    check: str
    condition: Condition
    word: Word
    value: Value | None = None
    ruling: Ruling | None = None
    limits: Limits | None = None
    p: float | None = None
    reason: str = ""
    todo: str = ""
    settled_by: tuple[Settles, ...] = ()
    plan: str = ""
    overruled: Said[VerdictOverruled] | None = None
    tested: Tested | None = None
    past: bool = False

    @property
    def is_good(self) -> bool:
        """Within, or taken on by a named person."""
        return self.word in ("within", "within, worn") or self.overruled is not None

    @property
    def is_bad(self) -> bool:
        """Beyond, and nobody overruled it."""
        return self.word == "beyond" and self.overruled is None


Verdicts = Mapping[tuple[str, Condition], Verdict]


def limits_of(check: Check, figure: Figure, condition: Condition) -> Limits | None:
    """Return the limits that hold in a condition, or None when the figure gives none for it."""
    new, service = figure.new, figure.service
    if condition == "as fitted" and new is not None and figure.nominal is None:
        return _of_span(new)
    if service is not None:
        limits = _of_span(service)
        return replace(limits, new_end=_new_end(check, new))
    if check.limit == "both" and new is not None and figure.nominal is None:
        return _of_span(new)
    return None


def _of_span(span: Span) -> Limits:
    return Limits(_si(span.low), _si(span.high))


def _si(quantity: Quantity | None) -> float | None:
    return None if quantity is None else quantity.si


def _new_end(check: Check, new: Span | None) -> float | None:
    """The end of new from which wear goes on towards the limit."""
    if new is None:
        return None
    return _si(new.low if check.limit == "lower" else new.high)
