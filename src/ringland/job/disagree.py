"""Readings that cannot all be true, found over the quantities that hang together.

A ring's end gap grows by π times the bore; a clearance is bore less skirt; the squish changes by
what gasket and skim change; label, stamp and micrometer name one piston. Each is tested with the
doubts of its readings; what fails names the reading most likely wrong and the one to take next.
Start with `disagreements`.
"""

import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from math import pi

from ringland.engine.identity import check_identity
from ringland.engine.piston import SizeClass
from ringland.engine.refusal import OutOfRange
from ringland.job.book import Book
from ringland.job.entries import Condition
from ringland.job.fold import State
from ringland.job.value import CONDITIONS, Value
from ringland.measure.consistency import Consistency, Relation, check_linked
from ringland.measure.estimates import MeasureError
from ringland.measure.gaps import estimate_of_interval
from ringland.quantity import Estimate, QuantityError, parse_quantity, show_number

Key = tuple[str, Condition]
Values = Mapping[Key, Value]

ALLOWANCE = 2.0  # combined standard uncertainties that two routes may differ by, about 95 %
SIGNIFICANT = 0.05  # the same 95 %, as a probability
# common practice: ± 0.03 mm between gap difference and bore, as a 95 % value
RING_TOLERANCE = 15e-6  # m
GASKET_TOLERANCE = 20e-6  # m; common practice: how a gasket of a thickness beds when tightened
LABEL_DOUBT = 5e-6  # m; common practice: what a gasket of a printed thickness may differ by
FEEL = 10e-6  # m, u of leaf and hand beside a piston; common practice
LAPPED = "faces lapped"  # the step whose remark says how much came off
_CLASS = r"(?:class\s+)?([A-Za-z0-9]+)"
_LABEL = re.compile(rf"\b(?:class|box|label|kit)\s+{_CLASS}", re.IGNORECASE)
_STAMP = re.compile(rf"\b(?:stamp(?:ed)?|crown)\s+{_CLASS}", re.IGNORECASE)
_LENGTH = re.compile(r"(\d*[.,]?\d+)\s*(mm|in|thou|µm)\b")


@dataclass(frozen=True, slots=True)
class Disagreement:
    """Readings that contradict each other, why, and the one reading that would separate them."""

    readings: tuple[Key, ...]
    reason: str
    todo: str


def disagreements(book: Book, state: State, values: Values) -> list[Disagreement]:
    """Return the contradictions among the values of a job."""
    return [
        *_gap_against_bore(values),
        *_negative_clearance(book, values),
        *_clearance_by_leaf(book, values),
        *_squish_change(state, values),
        *_which_piston(book, state, values),
    ]


def _millimetres(length: float, *, signed: bool = True) -> str:
    sign = "+" if signed and length > 0 else ""
    return f"{sign}{show_number(length * 1e3, 3)} mm"


def _linked(
    quantities: Mapping[str, Estimate], relation: Relation, repeatable: tuple[str, ...]
) -> Consistency | None:
    """Test one relation; None where the readings agree or nothing in it is in doubt."""
    try:
        found = check_linked(
            quantities, [relation], repeatable=repeatable, significance=SIGNIFICANT
        )
    except MeasureError:
        return None
    return found if found.disagrees else None


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
        found = _linked(quantities, relation, tuple(quantities))
        if found is None:
            continue
        by_gap = (high.value - low.value) / pi
        by_bore = heights[first].value - heights[last].value
        yield Disagreement(
            (("ring end gap", condition), ("bore", "as found")),
            f"the end gap says the bore is {_millimetres(by_gap)} wider at the top; "
            f"the bore gauge says {_millimetres(by_bore)}",
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
            by = _millimetres(-value.least.value, signed=False)
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
        found = _linked(quantities, relation, tuple(quantities))
        if found is not None:
            bore, skirt = check.of
            yield Disagreement(
                ((name, condition), ("clearance by leaf", condition)),
                f"the leaf says {_millimetres(read.value, signed=False)} of clearance; "
                f"{bore} less {skirt} says {_millimetres(nearest, signed=False)}",
                f"read the {skirt} again; a leaf bends beside a piston and proves little",
            )


# -- squish ------------------------------------------------------------------------------------


def _squish_change(state: State, values: Values) -> Iterator[Disagreement]:
    """Squish after less squish before is what the gasket changed, less what was lapped off."""
    squish = [values.get(("squish", condition)) for condition in CONDITIONS]
    before, after = (value.estimate if value else None for value in squish)
    old, new = _gasket(state, values, "as found"), _gasket(state, values, "as fitted")
    if before is None or after is None or old is None or new is None:
        return
    off = _lapped(state)
    quantities = {
        "the squish before": before,
        "the squish now": after,
        "the old gasket": old,
        "the new gasket": new,
    }
    factors = dict(zip(quantities, (-1.0, 1.0, 1.0, -1.0), strict=True))
    relation = Relation("squish change = gasket change − skim", factors, -off, GASKET_TOLERANCE)
    found = _linked(quantities, relation, ("the squish now", "the new gasket"))
    if found is None:
        return
    change = after.value - before.value
    expected = new.value - old.value - off
    yield Disagreement(
        (("squish", "as fitted"),),
        f"the squish changed by {_millimetres(change)}; "
        f"gasket and face changed by {_millimetres(expected)}",
        f"measure {found.measure_next} again; or another gasket lies in, or dirt under the foot",
    )


def _gasket(state: State, values: Values, condition: Condition) -> Estimate | None:
    """Thickness of the base gasket: read with a micrometer, else as its label says."""
    read = values.get(("gasket thickness", condition))
    if read is not None and read.estimate is not None:
        return read.estimate
    renewed = state.renewed.get("base gasket", []) if condition == "as fitted" else []
    lengths = [found for said in renewed for found in _lengths(said.fact.label)]
    return Estimate(lengths[-1], LABEL_DOUBT) if lengths else None


def _lapped(state: State) -> float:
    return sum(
        length for said in state.done.get(LAPPED, []) for length in _lengths(said.fact.remark)
    )


def _lengths(text: str) -> list[float]:
    found = []
    for number, unit in _LENGTH.findall(text):
        try:
            found.append(parse_quantity(f"{number} {unit}", "length", comma="decimal").si)
        except QuantityError:
            continue
    return found


# -- which piston ------------------------------------------------------------------------------


def marks_of(text: str) -> tuple[str | None, str | None]:
    """Return the class on the box and the one on the crown, from what was typed of a new piston.

    >>> marks_of("class B stamp C"), marks_of("box A"), marks_of("from the shelf")
    (('B', 'C'), ('A', None), (None, None))
    """
    stamp = _STAMP.search(text)
    label = _LABEL.search(_STAMP.sub("", text))
    return (label[1] if label else None), (stamp[1] if stamp else None)


def _which_piston(book: Book, state: State, values: Values) -> Iterator[Disagreement]:
    """Box, crown and micrometer must name one class; the class wanted is another question."""
    renewed = state.renewed.get("piston", [])
    classes = [
        SizeClass(name, span.low.si, span.high.si)
        for name, span in book.figures.classes.items()
        if span.low is not None and span.high is not None
    ]
    if not renewed or not classes:
        return
    label, stamp = marks_of(renewed[-1].fact.label)
    skirt = values.get(("piston skirt", "as fitted"))
    read = skirt.estimate if skirt else None
    if sum(each is not None for each in (label, stamp, read)) < 2:
        return
    try:
        found = check_identity(classes, label=label, stamp=stamp, measured=read)
    except OutOfRange:  # a mark that this sheet has no class for
        return
    if found.state != "readings disagree":
        return
    likely = max(found.by_micrometer, key=lambda each: each[1], default=None)
    by_size = f"; by its size it is {likely[0]}" if likely and likely[1] > 0.5 else ""
    todo = (
        "measure the skirt" if read is None else "measure the skirt once more, with another gauge"
    )
    yield Disagreement(
        (("piston skirt", "as fitted"),),
        "; ".join(found.contradictions) + by_size,
        f"{todo}, before it is fitted or sent back",
    )
