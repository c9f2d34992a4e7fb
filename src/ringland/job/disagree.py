"""Readings that cannot all be true.

A ring's end gap grows by π times the bore: the gap at two heights and the bore at two heights must
tell the same taper. Labels, stamps and micrometer of a piston must name the same class.
"""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from math import hypot, pi

from ringland.job.book import Book
from ringland.job.entries import Condition
from ringland.job.values import Value

ALLOWANCE = 2.0  # combined standard uncertainties that two routes may differ by, about 95 %


@dataclass(frozen=True, slots=True)
class Disagreement:
    """Readings that contradict each other, why, and the one reading that would separate them."""

    readings: tuple[tuple[str, Condition], ...]
    reason: str
    todo: str


def disagreements(book: Book, values: Mapping[tuple[str, Condition], Value]) -> list[Disagreement]:
    """Return the contradictions among the values of a job."""
    return [*_gap_against_bore(values), *_negative_clearance(book, values)]


def _gap_against_bore(values: Mapping[tuple[str, Condition], Value]) -> Iterator[Disagreement]:
    bore = values.get(("bore", "as found"))
    if bore is None:
        return
    for condition in ("as found", "as fitted"):
        gap = values.get(("ring end gap", condition))
        if gap is None or not {"bottom", "top"} <= set(gap.places):
            continue
        low, high = gap.places["bottom"].estimate, gap.places["top"].estimate
        heights = _means_by_height(bore)
        if low is None or high is None or not {"H1", "H3"} <= set(heights):
            continue
        by_gap = (high.value - low.value) / pi
        by_bore = heights["H1"] - heights["H3"]
        # one ring, one set of leaves: what is left is the feel of one leaf against the next
        feel = hypot(low.u, high.u) / pi
        gauge = bore.estimate.u if bore.estimate else 0.0
        if abs(by_gap - by_bore) > ALLOWANCE * hypot(feel, gauge):
            yield Disagreement(
                (("ring end gap", condition), ("bore", "as found")),
                f"the end gap says the bore is {by_gap * 1e3:+.3f} mm wider at the top; "
                f"the bore gauge says {by_bore * 1e3:+.3f} mm",
                "read the bore again at H1 and H3 on one zero of the gauge",
            )


def _means_by_height(bore: Value) -> dict[str, float]:
    found: dict[str, list[float]] = {}
    for place, value in bore.places.items():
        if value.estimate is not None:
            found.setdefault(place.partition("-")[0], []).append(value.estimate.value)
    return {height: sum(each) / len(each) for height, each in found.items()}


def _negative_clearance(
    book: Book, values: Mapping[tuple[str, Condition], Value]
) -> Iterator[Disagreement]:
    for (name, condition), value in values.items():
        check = book.sheet.checks[name]
        if check.method != "clearance" or value.least is None:
            continue
        if value.least.value + ALLOWANCE * value.least.u < 0:
            bore, skirt = check.of
            yield Disagreement(
                ((name, condition),),
                f"the skirt is wider than the bore by {-value.least.value * 1e3:.3f} mm",
                f"read {bore} and {skirt} again: wrong unit, wrong part or a slip",
            )
