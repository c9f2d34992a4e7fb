"""A value of the wrong size: another unit, a factor of ten, a slip of the fingers.

Here: where a value of a check may lie at all. Not here: what stands beside it (`beside`), what a
gauge can show (`gauge`). Start with `slip_of`.
"""

from dataclasses import dataclass

from ringland.gas.leak_profile import SEAL_LIMIT
from ringland.job.case import Case
from ringland.job.slips.digits import one_slip_away
from ringland.quantity import Quantity, Span, Unit, find_unit, parse_quantity, units_of
from ringland.quantity.meant import meant
from ringland.sheet.figure import Figure
from ringland.sheet.model import Check

# The units that gauges of the bench read in: only these are offered for a number typed without one.
READ_IN = {
    "length": ("mm", "in", "thou", "µm"),
    "pressure": ("bar", "psi", "kPa", "kgf/cm²"),
    "torque": ("N·m", "lbf·ft", "lbf·in", "kgf·m"),
}
# Bands outside which a value is asked about where the sheet gives no figure; common practice.
BANDS = {"cranking compression": ("3 bar", "18 bar")}
LEAK_BAND = (0.0, 2.5e5)  # Pa gauge: from crankcase tests to radiator caps
FLOORS = {"squish": "0.3 mm"}  # common practice: nothing that runs reads less
SHED = (263.15, 318.15)  # K, -10 to 45 °C: where someone measures
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
        return _of_test(case, content)
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
    least = min(values) * ROOM_BELOW if len(values) > 1 else 0.0
    if check in FLOORS:
        least = max(least, parse_quantity(FLOORS[check]).si)
    return Plausible(least, max(values) * ROOM_ABOVE, ends[0].unit)


def _of_test(case: Case, content: Check) -> Plausible | None:
    """A test of seals never sees more than what pushes them out."""
    if content.unit != "pressure":
        return None
    profile = case.book.figures.tests.get(content.profile)
    seals = profile is not None and profile.pressure.si <= SEAL_LIMIT
    return Plausible(LEAK_BAND[0], SEAL_LIMIT if seals else LEAK_BAND[1], find_unit("bar"))


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
    if quantity.si < 0:
        return Slip(f"{check} of {quantity}: it is never below zero. Read the sign again.")
    if quantity.number == 0 and band.low > 0:
        return Slip(f"{check} of {quantity}: a blank is not zero; leave it out if it was not read.")
    readings = meant(quantity, usual_units(quantity.unit.kind), lambda q: band.holds(q.si))
    likely = list(map(str, readings)) or list(one_slip_away(quantity, band.holds))
    low, high = (band.unit.from_si(each) for each in (band.low, band.high))
    where = f"{check} lies between about {low:.4g} and {high:.4g} {band.unit.name}"
    also = f" Did you mean {' or '.join(likely[:2])}?" if likely else " Read it again."
    return Slip(f"{quantity} for {check}: is that right? {where}.{also}", tuple(likely[:2]))


def warmth_slip(quantity: Quantity) -> Slip | None:
    """Ask about a temperature at which nobody measures: Fahrenheit, most likely."""
    low, high = SHED
    if low <= quantity.si <= high:
        return None
    number = quantity.number
    units = [u for u in units_of("temperature") if u != quantity.unit]
    likely = tuple(f"{number} {u.name}" for u in units if low <= u.to_si(number) <= high)
    also = f" Did you mean {likely[0]}?" if likely else " Let the parts reach the room first."
    return Slip(f"{quantity} for the parts: is that right? A shed has −10 to 45 °C.{also}", likely)
