"""From the readings of a check to one value with its doubt.

Each method of the sheet has one function in `METHODS`; a derived check is worked out from the
values of others. A method returns None where nothing was read.
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field, replace
from math import hypot, sqrt

from ringland.job.book import Book
from ringland.job.entries import Condition, Evidence, Gauge, Indication, ReadingTaken
from ringland.job.fold import Said, State
from ringland.measure import conformance, gaps
from ringland.measure.estimates import MeasureError
from ringland.measure.gauges import HABITS, estimate_of_readings, noise_of
from ringland.measure.gauges import Gauge as Measure
from ringland.quantity import Estimate, Unit, parse_quantity
from ringland.sheet.model import Check

Interval = conformance.Interval
CONDITIONS: tuple[Condition, ...] = ("as found", "as fitted")


@dataclass(frozen=True, slots=True)
class Value:
    """What the readings of a check come to, in SI.

    estimate : the value that is judged against an upper limit, or against both
    least : where readings of several places differ, the value judged against a lower limit
    interval : instead of an estimate, what leaves prove
    said : evidence without a number ("good", "bad", "not sure", "not taken")
    doubt : why the readings give no value that can be judged, and what to do
    not_comparable : the doubt is that the reading cannot be compared
    places : what was read at each place, in the order of the sheet
    unit : the unit it is printed in
    shown : what was read, in words, where a rule of its own judges it
    """

    estimate: Estimate | None = None
    least: Estimate | None = None
    interval: Interval | None = None
    said: Evidence | None = None
    doubt: str = ""
    not_comparable: bool = False
    place: str = ""
    places: dict[str, "Value"] = field(default_factory=dict)
    unit: Unit | None = None
    gauges: tuple[str, ...] = ()
    entries: tuple[str, ...] = ()
    remark: str = ""
    shown: str = ""


Readings = Sequence[Said[ReadingTaken]]
Method = Callable[["Source", str, Condition], Value | None]


@dataclass(frozen=True, slots=True)
class Source:
    """Sheet and state, and the values worked out so far."""

    book: Book
    state: State
    values: dict[tuple[str, Condition], Value]
    work: "Work"

    def readings(self, check: str, condition: Condition) -> Readings:
        """Return the readings of a check that describe the part as it is now, in their order.

        What was read before work on the part was done tells of a part that is no more so.
        """
        taken = self.state.readings.get((check, condition), [])
        last = {said.fact.place: self.work.before(said.entry, condition) for said in taken}
        return [s for s in taken if self.work.before(s.entry, condition) == last[s.fact.place]]

    def value(self, check: str, condition: Condition) -> Value | None:
        """Return a value worked out before; what is only read as found counts so when fitted."""
        if self.book.sheet.checks[check].taken == "as found":
            condition = "as found"
        return self.values.get((check, condition))


def conditions_of(check: Check) -> tuple[Condition, ...]:
    """Return the conditions in which a check is taken."""
    if check.taken == "both":
        return ("as found", "as fitted")
    return (check.taken,)


@dataclass(frozen=True, slots=True)
class Work:
    """Where in the log work changed parts: repairs always, new parts for what is fitted."""

    order: dict[str, int]
    repairs: tuple[int, ...]
    renewals: tuple[int, ...]

    def before(self, entry: str, condition: Condition) -> int:
        """Return how many changes came before an entry."""
        changes = self.repairs + (self.renewals if condition == "as fitted" else ())
        return sum(change < self.order[entry] for change in changes)


def _work(book: Book, state: State) -> Work:
    order = {entry.id: index for index, entry in enumerate(state.entries)}
    steps = book.sheet.steps
    repairs = [
        order[said.entry]
        for name, ticks in state.done.items()
        for said in ticks
        if name in steps and steps[name].only_when_added
    ]
    renewals = [order[said.entry] for renewed in state.renewed.values() for said in renewed]
    return Work(order, tuple(repairs), tuple(renewals))


def values_of(book: Book, state: State) -> dict[tuple[str, Condition], Value]:
    """Return the value of each check that was read, or can be worked out, in each condition."""
    source = Source(book, state, {}, _work(book, state))
    checks = book.sheet.checks
    direct = [name for name, check in checks.items() if not check.of]
    derived = [name for name, check in checks.items() if check.of]
    for name in (*direct, *derived):
        method = METHODS[checks[name].method]
        # a person may read any check again on the new build; what is worked out follows its own
        for condition in CONDITIONS if not checks[name].of else conditions_of(checks[name]):
            value = method(source, name, condition)
            if value is not None:
                source.values[name, condition] = value
    return source.values


# -- one place ---------------------------------------------------------------------------------


def one_place(source: Source, check: str, readings: Readings) -> Value:
    """Return the value of readings taken at one place (or of a check without places)."""
    last = readings[-1].fact
    same = [said for said in readings if said.fact.gauge == last.gauge]
    indications = [each for said in same for each in said.fact.indications]
    gauge = source.state.gauges.get(last.gauge)
    entries = tuple(said.entry for said in same)
    found = _of_indications(source.book.sheet.checks[check], indications, gauge, source)
    return replace(
        found, entries=entries, gauges=(last.gauge,) if last.gauge else (), remark=last.remark
    )


def _of_indications(
    check: Check, indications: Sequence[Indication], gauge: Gauge | None, source: Source
) -> Value:
    spoken = [each.evidence for each in indications if each.evidence in _SPOKEN]
    if "bad" in spoken:  # a click that is felt outranks a number
        return Value(said="bad")
    numbers = [each for each in indications if each.quantity is not None]
    if not numbers:
        return Value(said=spoken[-1]) if spoken else Value(said="not taken")
    quantity = numbers[-1].quantity
    assert quantity is not None
    goes = [_si(each) for each in numbers if each.evidence == "goes"]
    stops = [_si(each) for each in numbers if each.evidence == "stops"]
    if goes or stops:
        try:
            return Value(interval=gaps.leaf_interval(goes, stops), unit=quantity.unit)
        except ValueError as error:
            return Value(doubt=str(error), unit=quantity.unit)
    measured = [_si(each) for each in numbers if each.evidence == "value"]
    try:
        worth = estimate_of_readings(
            measured, measure_of(gauge, check), setting=_setting(gauge, source)
        )
    except MeasureError as error:
        return Value(doubt=str(error), unit=quantity.unit)
    if worth.budget is None:
        step = quantity.unit.step_from_si
        doubt = (
            f"{len(measured)} readings spread by {step(worth.spread):.3g} {quantity.unit.name}; the gauge "
            f"allows {step(worth.allowed):.3g}. That is technique, not the part: take them again"
        )
        return Value(doubt=doubt, unit=quantity.unit)
    return Value(worth.budget.estimate, unit=quantity.unit)


_SPOKEN = ("good", "bad", "not sure", "not taken", "not measurable")


def _si(indication: Indication) -> float:
    quantity = indication.quantity
    assert quantity is not None
    return quantity.si


def measure_of(gauge: Gauge | None, check: Check | None = None) -> Measure:
    """Return what the measuring room knows of a gauge; without one, the habit of the usual kind."""
    if gauge is None:
        usual = next(
            (kind for kind in (check.gauges if check else ()) if kind in HABITS), "caliper"
        )
        return Measure(usual)
    return Measure(
        gauge.kind,
        gauge.id,
        _number(gauge.low),
        _number(gauge.high),
        _number(gauge.resolution),
        _number(gauge.permissible_error),
        set_with=gauge.set_with,
    )


def _number(text: str) -> float | None:
    return parse_quantity(text).si if text else None


def _setting(gauge: Gauge | None, source: Source) -> Measure | None:
    if gauge is None or gauge.set_with not in source.state.gauges:
        return None
    return measure_of(source.state.gauges[gauge.set_with])


# -- methods -----------------------------------------------------------------------------------


def single(source: Source, check: str, condition: Condition) -> Value | None:
    """One value, or one at each of several places: the largest is judged, and the least."""
    readings = source.readings(check, condition)
    if not readings:
        return None
    by_place: dict[str, list[Said[ReadingTaken]]] = {}
    for said in readings:
        by_place.setdefault(said.fact.place, []).append(said)
    places = {place: one_place(source, check, each) for place, each in by_place.items()}
    if len(places) == 1:
        return replace(next(iter(places.values())), places=places, place=next(iter(places)))
    return _extremes(places)


def _extremes(places: dict[str, Value]) -> Value:
    """Return the value of several places: largest to be judged from above, least from below."""
    entries = tuple(entry for value in places.values() for entry in value.entries)
    gauges = tuple(dict.fromkeys(gauge for value in places.values() for gauge in value.gauges))
    unit = next((value.unit for value in places.values() if value.unit), None)
    whole = Value(places=places, entries=entries, gauges=gauges, unit=unit)
    doubtful = [(place, value) for place, value in places.items() if value.doubt]
    if doubtful:
        place, value = doubtful[0]
        return replace(whole, doubt=f"{place}: {value.doubt}", place=place)
    if any(value.said == "bad" for value in places.values()):
        return replace(whole, said="bad")
    intervals = [value.interval for value in places.values() if value.interval]
    if intervals:
        return replace(whole, interval=gaps.largest_of(intervals))
    estimates = {place: value.estimate for place, value in places.items() if value.estimate}
    if not estimates:
        return replace(whole, said=next(iter(places.values())).said)
    largest = max(estimates, key=lambda place: estimates[place].value)
    smallest = min(estimates, key=lambda place: estimates[place].value)
    return replace(whole, estimate=estimates[largest], least=estimates[smallest], place=largest)


def four_points(source: Source, check: str, condition: Condition) -> Value | None:
    """Squish at EX, IN, IGN, CL: EX and IN are averaged, because the piston rocks on its pin."""
    found = single(source, check, condition)
    if found is None or found.doubt or not {"EX", "IN"} <= set(found.places):
        return found
    sides = {place: value.estimate for place, value in found.places.items() if value.estimate}
    if not {"EX", "IN"} <= set(sides):
        return found
    exhaust, intake = sides.pop("EX"), sides.pop("IN")
    rocked = Estimate((exhaust.value + intake.value) / 2, hypot(exhaust.u, intake.u) / 2)
    all_round = [rocked, *(sides[place] for place in ("IGN", "CL") if place in sides)]
    mean = sum(each.value for each in all_round) / len(all_round)
    # errors of one person, one solder and one micrometer are common: averaging does not shrink them
    return replace(found, estimate=Estimate(mean, exhaust.u), least=None, place="")


def spread(source: Source, check: str, condition: Condition) -> Value | None:
    """Difference between IGN and CL of the check it is worked out from."""
    base = source.value(source.book.sheet.checks[check].of[0], condition)
    if base is None:
        return None
    ends = [value.estimate for place, value in base.places.items() if place in ("IGN", "CL")]
    if len(ends) != 2 or ends[0] is None or ends[1] is None:
        return None
    return _derived(
        [base], Estimate(abs(ends[0].value - ends[1].value), hypot(ends[0].u, ends[1].u))
    )


def largest(source: Source, check: str, condition: Condition) -> Value | None:
    """The largest of the places of the check it is worked out from."""
    base = source.value(source.book.sheet.checks[check].of[0], condition)
    return base and _derived([base], base.estimate, place=base.place)


def smallest(source: Source, check: str, condition: Condition) -> Value | None:
    """The smallest of the places of the check it is worked out from."""
    base = source.value(source.book.sheet.checks[check].of[0], condition)
    return base and _derived([base], base.least or base.estimate)


def out_of_round(source: Source, check: str, condition: Condition) -> Value | None:
    """The largest difference of two axes at one height."""
    return _form(source, check, condition, by="height")


def taper(source: Source, check: str, condition: Condition) -> Value | None:
    """The largest range over the heights along one axis."""
    return _form(source, check, condition, by="axis")


def _form(source: Source, check: str, condition: Condition, *, by: str) -> Value | None:
    base = source.value(source.book.sheet.checks[check].of[0], condition)
    if base is None:
        return None
    columns: dict[str, list[tuple[str, Estimate]]] = {}
    for place, value in base.places.items():
        height, _, axis = place.partition("-")
        if value.estimate is not None and axis:
            columns.setdefault(height if by == "height" else axis, []).append(
                (place, value.estimate)
            )
    ranges = {
        name: max(e.value for _, e in found) - min(e.value for _, e in found)
        for name, found in columns.items()
        if len(found) > 1
    }
    if not ranges:
        return None
    worst = max(ranges, key=lambda name: ranges[name])
    # the gauge's zero is common to both ends: only what differs from one reading to the next counts
    noise = repeat_of(source, base)
    return _derived([base], Estimate(ranges[worst], noise * sqrt(2)), place=worst)


def repeat_of(source: Source, value: Value) -> float:
    """Return the doubt between two readings with one gauge on one zero: half its habit."""
    gauge = source.state.gauges.get(value.gauges[0]) if value.gauges else None
    estimate = value.estimate
    assert estimate is not None
    try:
        return noise_of(measure_of(gauge), estimate.value)
    except MeasureError:
        return estimate.u


def clearance(source: Source, check: str, condition: Condition) -> Value | None:
    """Bore minus skirt: the largest bore for wear, the smallest for seizure."""
    bore_name, skirt_name = source.book.sheet.checks[check].of
    bore = source.value(bore_name, condition)
    skirt = source.value(skirt_name, condition)
    if bore is None or skirt is None:
        return None
    for value in (bore, skirt):
        if value.doubt:
            return Value(doubt=value.doubt, not_comparable=value.not_comparable)
    if bore.estimate is None or skirt.estimate is None:
        return None
    small = bore.least or bore.estimate
    u = _shared(source, bore, skirt)
    wide = Estimate(bore.estimate.value - skirt.estimate.value, u)
    narrow = Estimate(small.value - skirt.estimate.value, u)
    return replace(_derived([bore, skirt], wide, place=bore.place), least=narrow)


def _shared(source: Source, bore: Value, skirt: Value) -> float:
    """Doubt of a clearance; a bore gauge set with the skirt's micrometer shares its error."""
    assert bore.estimate is not None
    assert skirt.estimate is not None
    gauges = source.state.gauges
    setting = gauges[bore.gauges[0]].set_with if bore.gauges and bore.gauges[0] in gauges else ""
    if setting and setting in skirt.gauges:
        # the micrometer's own error cancels: the bore gauge's part of its doubt is left
        return sqrt(max(bore.estimate.u**2 - skirt.estimate.u**2, 0.0)) or bore.estimate.u
    return hypot(bore.estimate.u, skirt.estimate.u)


def _derived(bases: Sequence[Value], estimate: Estimate | None, place: str = "") -> Value:
    return Value(
        estimate,
        place=place,
        unit=bases[0].unit,
        gauges=tuple(dict.fromkeys(gauge for base in bases for gauge in base.gauges)),
        entries=tuple(entry for base in bases for entry in base.entries),
        doubt=next((base.doubt for base in bases if base.doubt), ""),
    )


def as_read(source: Source, check: str, condition: Condition) -> Value | None:
    """Readings that a test's own judgement takes as they are: fall, percent of baseline."""
    readings = source.readings(check, condition)
    if not readings:
        return None
    last = readings[-1]
    read = [i.quantity for i in last.fact.indications if i.quantity]
    spoken = next((i.evidence for i in last.fact.indications if i.evidence in _SPOKEN), None)
    return Value(
        said=spoken,
        unit=read[0].unit if read else None,
        gauges=(last.fact.gauge,) if last.fact.gauge else (),
        entries=(last.entry,),
        remark=last.fact.remark,
        shown=", ".join(map(str, read)),
    )


METHODS: dict[str, Method] = {
    "single": single,
    "range": single,
    "leaf": single,
    "grid": single,
    "feel": single,
    "count": single,
    "four points": four_points,
    "spread": spread,
    "largest": largest,
    "smallest": smallest,
    "out-of-round": out_of_round,
    "taper": taper,
    "clearance": clearance,
    "fall": as_read,
    "percent of baseline": as_read,
}
