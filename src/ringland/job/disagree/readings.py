"""Readings that cannot all be true, found over the quantities that hang together.

A ring's end gap grows by π times the bore; a clearance is bore less skirt; the squish changes by
what gasket and skim change; label, stamp and micrometer name one piston. Each is tested with the
doubts of its readings; what fails names the reading most likely wrong and the one to take next.
Start with `disagreements`.
"""

from collections.abc import Iterator
from math import pi

from ringland.job.book import Book
from ringland.job.disagree.disagreement import Disagreement, Values, linked, millimetres
from ringland.job.disagree.fitted import squish_change, which_piston
from ringland.job.log.fold import State
from ringland.job.readings.value import CONDITIONS, Value
from ringland.measure.consistency import Consistency, Relation
from ringland.measure.gaps import estimate_of_interval
from ringland.quantity import Estimate

ALLOWANCE = 2.0  # combined standard uncertainties that two routes may differ by, about 95 %
# common practice: ± 0.03 mm between gap difference and bore, as a 95 % value
RING_TOLERANCE, SIGNIFICANT_GAP = 15e-6, 0.05  # m
FEEL = 10e-6  # m, u of leaf and hand beside a piston; common practice


def disagreements(book: Book, state: State, values: Values) -> list[Disagreement]:
    """Return the contradictions among the values of a job."""
    return [
        *_gap_against_bore(values),
        *_negative_clearance(book, values),
        *_clearance_by_leaf(book, values),
        *squish_change(state, values),
        *which_piston(book, state, values),
    ]


# -- end gap and bore --------------------------------------------------------------------------


def _gap_against_bore(values: Values) -> Iterator[Disagreement]:
    bore = values.get(("bore", "as found"))
    heights = _by_height(bore) if bore is not None else {}
    if len(heights) < 2:
        return
    first, last = next(iter(heights)), list(heights)[-1]
    for condition in CONDITIONS:
        gap = values.get(("ring end gap", condition))
        low, high = (_of_gap(gap, place) for place in ("bottom", "top"))
        if low is None or high is None:
            continue
        quantities = {
            "the end gap near the top": high,
            "the end gap low in the bore": low,
            f"the bore at {first}": heights[first],
            f"the bore at {last}": heights[last],
        }
        top, bottom, wide, narrow = quantities
        factors = {top: 1.0, bottom: -1.0, wide: -pi, narrow: pi}
        relation = Relation("gap difference = π × bore difference", factors, 0.0, RING_TOLERANCE)
        found = linked(quantities, relation, tuple(quantities), SIGNIFICANT_GAP)
        if found is None:
            continue
        by_gap = (high.value - low.value) / pi
        by_bore = heights[first].value - heights[last].value
        yield Disagreement(
            (("ring end gap", condition), ("bore", "as found")),
            f"the end gap says the bore is {millimetres(by_gap)} wider at the top; "
            f"the bore gauge says {millimetres(by_bore)}",
            _again(found, f"read the bore again at {first} and {last} on one zero of the gauge"),
        )


def _again(found: Consistency, bore: str) -> str:
    if found.measure_next.startswith("the bore"):
        return bore
    return f"take {found.measure_next} again, the ring squared with a piston"


def _of_gap(gap: Value | None, place: str) -> Estimate | None:
    value = gap.places.get(place) if gap is not None else None
    if value is None or value.estimate is not None:
        return value.estimate if value else None
    if value.interval is None or value.interval.low is None or value.interval.high is None:
        return None
    return estimate_of_interval(value.interval)


def _by_height(bore: Value) -> dict[str, Estimate]:
    """Mean diameter at each height; the zero of the gauge is common to all and cancels."""
    found: dict[str, list[Estimate]] = {}
    for place in sorted(bore.places):
        value, (height, _, axis) = bore.places[place], place.partition("-")
        if value.estimate is not None and axis:
            found.setdefault(height, []).append(value.estimate)
    return {
        height: Estimate(sum(e.value for e in each) / len(each), each[0].u / len(each) ** 0.5)
        for height, each in found.items()
    }


# -- clearance ---------------------------------------------------------------------------------


def _negative_clearance(book: Book, values: Values) -> Iterator[Disagreement]:
    for (name, condition), value in values.items():
        check = book.sheet.checks[name]
        if check.method != "clearance" or value.least is None:
            continue
        if value.least.value + ALLOWANCE * value.least.u < 0:
            bore, skirt = check.of
            by = millimetres(-value.least.value, signed=False)
            yield Disagreement(
                ((name, condition),),
                f"the skirt is wider than the bore by {by}",
                f"read {bore} and {skirt} again: wrong unit, wrong part or a slip",
            )


def _clearance_by_leaf(book: Book, values: Values) -> Iterator[Disagreement]:
    """Where someone put a leaf beside the piston: it must lie between the smallest and the largest."""
    for (name, condition), value in values.items():
        check = book.sheet.checks[name]
        leaf = values.get(("clearance by leaf", condition))
        if check.method != "clearance" or leaf is None or value.estimate is None:
            continue
        read = leaf.estimate
        if leaf.interval and leaf.interval.low is not None and leaf.interval.high is not None:
            read = estimate_of_interval(leaf.interval, feel=FEEL)
        if read is None:
            continue
        tight, wide = value.least or value.estimate, value.estimate
        nearest = min(max(read.value, tight.value), wide.value)
        quantities = {
            "the leaf beside the piston": read,
            "bore less skirt": Estimate(nearest, wide.u),
        }
        relation = Relation("clearance = bore − skirt", dict(zip(quantities, (1, -1), strict=True)))
        found = linked(quantities, relation, tuple(quantities))
        if found is not None:
            bore, skirt = check.of
            yield Disagreement(
                ((name, condition), ("clearance by leaf", condition)),
                f"the leaf says {millimetres(read.value, signed=False)} of clearance; "
                f"{bore} less {skirt} says {millimetres(nearest, signed=False)}",
                f"read the {skirt} again; a leaf bends beside a piston and proves little",
            )
