"""What would settle an undecided verdict: an undecided never stands alone."""

from math import inf

from ringland.job.book import Book
from ringland.job.values import Value
from ringland.job.verdict import Limits
from ringland.measure.conformance import probability_within, verdict_of
from ringland.measure.gauges import HABIT_COVERAGE, HABITS
from ringland.quantity import Estimate
from ringland.sheet.model import Check


def what_would_settle(book: Book, value: Value, limits: Limits, check: Check) -> str:
    """Return what to do now: a finer kind of gauge if one would decide, else who decides instead."""
    estimate = value.estimate
    assert estimate is not None
    finer = [kind for kind in check.gauges if _u_of(kind, estimate.value) < estimate.u]
    for kind in sorted(finer, key=lambda each: -_u_of(each, estimate.value)):
        p = probability_within(
            Estimate(estimate.value, _u_of(kind, estimate.value)),
            lower=limits.lower,
            upper=limits.upper,
        )
        if verdict_of(p, prove=book.norms.prove, disprove=book.norms.disprove) != "undecided":
            return f"read it with a {kind}: if it shows the same, that decides"
    return "no gauge of the usual kinds decides this: have a machinist measure it, or treat it as beyond"


def _u_of(kind: str, reading: float) -> float:
    habit = HABITS.get(kind)
    return habit.expanded(reading) / HABIT_COVERAGE if habit else inf
