"""Readings that look like a slip: asked about before they are kept, with the likely value.

A wrong unit, a factor of ten, a swapped digit, a place that does not fit its neighbours, a
thickness that no leaf shows. Nothing is corrected silently; the person can insist.
"""

from dataclasses import dataclass
from itertools import combinations

from ringland.job.case import Case
from ringland.job.entries import Condition, Gauge
from ringland.quantity import Quantity, Span, Unit, find_unit, parse_quantity, units_of
from ringland.sheet.figure import Figure

# The units that gauges of the bench read in: only these are offered for a number typed without one.
READ_IN = {
    "length": ("mm", "in", "thou", "µm"),
    "pressure": ("bar", "psi", "kPa", "kgf/cm²"),
    "torque": ("N·m", "lbf·ft", "lbf·in", "kgf·m"),
}
NEIGHBOURS_APART = 150e-6  # m; common practice: more between places is typing before it is wear
SAME_LEAF = 1e-6  # m
# Bands outside which a value is asked about where the sheet gives no figure; common practice.
BANDS = {"cranking compression": ("3 bar", "18 bar")}
LEAK_BAND = (0.0, 2.5e5)  # Pa gauge: from crankcase tests to radiator caps
ROOM_BELOW, ROOM_ABOVE = 0.35, 2.8  # shares of the smallest and largest figure for a gap or play
SIZE_ROOM = 0.02  # of a size such as a bore: 2 % either way


@dataclass(frozen=True, slots=True)
class Plausible:
    """Where a value of a check may lie at all, in SI; the sheet's unit, and the nominal size."""

    low: float
    high: float
    unit: Unit
    nominal: float | None = None

    def holds(self, value: float) -> bool:
        """Say whether a value lies in the band."""
        return self.low <= value <= self.high


@dataclass(frozen=True, slots=True)
class Slip:
    """A question about a reading, and what was likely meant, as text to type."""

    question: str
    likely: tuple[str, ...] = ()


def plausible(case: Case, check: str) -> Plausible | None:
    """Return the band of a check from its figures; None where nothing is known of it."""
    content = case.book.sheet.checks[check]
    if check in BANDS:
        low, high = (parse_quantity(text) for text in BANDS[check])
        return Plausible(low.si, high.si, low.unit)
    if content.method == "fall":
        return Plausible(*LEAK_BAND, find_unit("bar"))
    figure = case.book.figures.own(check) or _sibling(case, check)
    ends = [q for span in _spans(figure) for q in (span.low, span.high) if q is not None]
    if not ends:
        return None
    values = [q.si for q in ends]
    is_size = min(values) > 5e-3 and max(values) < min(values) * (1 + SIZE_ROOM)
    if is_size and content.unit == "length":  # of a part, not a gap, play or travel
        size = values[0]
        return Plausible(
            min(values) * (1 - SIZE_ROOM), max(values) * (1 + SIZE_ROOM), ends[0].unit, size
        )
    return Plausible(
        min(values) * ROOM_BELOW if len(values) > 1 else 0.0, max(values) * ROOM_ABOVE, ends[0].unit
    )


def _sibling(case: Case, check: str) -> Figure | None:
    """A skirt's size is close to the bore's, where its own is not given."""
    part = case.book.sheet.checks[check].part
    return case.book.figures.own("bore") if part == "piston" and "skirt" in check else None


def _spans(figure: Figure | None) -> list[Span]:
    return [span for span in (figure.new, figure.service) if span] if figure else []


def usual_units(kind: str) -> list[Unit]:
    """Return the units of a kind that a gauge of the bench reads in."""
    names = READ_IN.get(kind)
    return [unit for unit in units_of(kind) if names is None or unit.name in names]


def slip_of(case: Case, check: str, quantity: Quantity) -> Slip | None:
    """Ask about a value outside the band: another unit, ten times, a hundred times."""
    band = plausible(case, check)
    if band is None or band.holds(quantity.si):
        return None
    if quantity.si < 0 or (quantity.number == 0 and band.low > 0):
        return Slip(f"{check} of {quantity}: a blank is not zero; leave it out if it was not read.")
    likely = [
        f"{quantity.number} {unit.name}"
        for unit in usual_units(quantity.unit.kind)
        if unit != quantity.unit and band.holds(unit.to_si(quantity.number))
    ]
    for power in (-1, 1, -2, 2, -3):
        shifted = quantity.number.scaleb(power)
        if band.holds(quantity.unit.to_si(shifted)):
            likely.append(f"{shifted.normalize():f} {quantity.unit.name}")
    low, high = (band.unit.from_si(each) for each in (band.low, band.high))
    where = f"{check} lies between about {low:.4g} and {high:.4g} {band.unit.name}"
    also = f" Did you mean {' or '.join(likely[:2])}?" if likely else " Read it again."
    return Slip(f"{quantity} for {check}: is that right? {where}.{also}", tuple(likely[:2]))


def neighbour_slip(
    case: Case, check: str, condition: Condition, place: str, quantity: Quantity
) -> Slip | None:
    """Ask about a place of a grid that stands far from the places already read."""
    if case.book.sheet.checks[check].method != "grid":
        return None
    values = [
        read.si
        for said in case.state.readings.get((check, condition), [])
        for indication in said.fact.indications
        if said.fact.place != place and (read := indication.quantity) is not None
    ]
    if not values or min(abs(quantity.si - each) for each in values) <= NEIGHBOURS_APART:
        return None
    unit = quantity.unit
    low, high = unit.from_si(min(values)), unit.from_si(max(values))
    said = f"the others read {low:.3f} to {high:.3f} {unit.name}"
    likely = _swapped(quantity, min(values), max(values))
    also = f" Did you mean {likely[0]}?" if likely else ""
    return Slip(f"{check} {place} {quantity}: is that right? {said.capitalize()}.{also}", likely)


def _swapped(quantity: Quantity, low: float, high: float) -> tuple[str, ...]:
    """Values one swap of neighbouring digits, or one digit, away that fit the other places."""
    text = str(quantity.number)
    found = []
    for i in range(len(text) - 1):
        pair = text[i : i + 2]
        if pair.isdigit() and pair[0] != pair[1]:
            found.append(text[:i] + pair[::-1] + text[i + 2 :])
    for i, digit in enumerate(text):
        if digit.isdigit():
            found += [text[:i] + other + text[i + 1 :] for other in "0123456789" if other != digit]
    room = NEIGHBOURS_APART / 3
    fits = [
        f"{each} {quantity.unit.name}"
        for each in found
        if low - room
        <= parse_quantity(f"{each} {quantity.unit.name}", comma="decimal").si
        <= high + room
    ]
    return tuple(dict.fromkeys(fits))[:2]


def leaf_slip(gauge: Gauge, quantity: Quantity) -> Slip | None:
    """Ask about a thickness that no leaf of the set, and no sum of up to three, can show."""
    if not gauge.leaves:
        return None
    leaves = [parse_quantity(leaf, "length").si for leaf in gauge.leaves]
    sums = [sum(stack) for n in (1, 2, 3) for stack in combinations(leaves, n)]
    if any(abs(each - quantity.si) <= SAME_LEAF for each in sums):
        return None
    near = sorted(sums, key=lambda each: abs(each - quantity.si))[:1]
    likely = tuple(f"{quantity.unit.from_si(each):.4g} {quantity.unit.name}" for each in near)
    return Slip(
        f"{quantity}: no leaf of {gauge.id}, nor a sum of them, is that thick. Nearest: {likely[0]}.",
        likely,
    )
