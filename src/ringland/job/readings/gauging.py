"""One place read with one gauge: from indications to a value with its budget.

Here: what the measuring room knows of a gauge on the job's shelf, repeats and when they question the
technique, leaves, what eye and finger said, calibration that is overdue.
Not here: temperature (`warmth`), several places (`values`).
Start with `one_place`.
"""

import re
from collections.abc import Sequence
from dataclasses import replace
from datetime import date
from functools import lru_cache

from ringland.job.log.entries import Evidence, Gauge, Indication
from ringland.job.readings.value import Readings, Source, Value
from ringland.job.readings.warmth import at_reference
from ringland.measure import gaps
from ringland.measure.estimates import Budget, Contribution, MeasureError, add_up, resolution
from ringland.measure.gauges import HABITS, ErrorStep, Worth, estimate_of_readings
from ringland.measure.gauges import Gauge as Measure
from ringland.quantity import Quantity, QuantityError, Unit, parse_quantity
from ringland.sheet.model import Check

LIKE = {"cap tester": "low-pressure gauge"}  # kinds without a habit of their own
# the worst that was said of one thing counts: the order in which it does
SPOKEN: tuple[Evidence, ...] = ("bad", "not sure", "good", "not measurable", "not taken")
_STEP = re.compile(r"(?P<error>.+?)\s+(?:up\s+)?to\s+(?P<end>.+)$", re.IGNORECASE)


def one_place(source: Source, check: str, readings: Readings) -> Value:
    """Return the value of readings taken at one place (or of a check without places).

    Readings with the gauge of the last one, at its temperature, are repeats of each other.
    """
    last = readings[-1]
    alike = (last.fact.gauge, last.fact.temperature, last.fact.gauge_temperature)
    same = [
        said
        for said in readings
        if (said.fact.gauge, said.fact.temperature, said.fact.gauge_temperature) == alike
    ]
    gauge = source.state.gauges.get(last.fact.gauge)
    content = source.book.sheet.checks[check]
    found = _of_indications(source, content, [said.fact.indications for said in same], gauge)
    found = replace(
        found,
        entries=tuple(said.entry for said in same),
        gauges=(last.fact.gauge,) if last.fact.gauge else (),
        day=last.at[:10],
        remark=last.fact.remark,
        notes=(*found.notes, *_calibration_notes(source, gauge, last.at)),
    )
    return at_reference(source.book, content, last.fact, found)


def _of_indications(
    source: Source, check: Check, acts: Sequence[Sequence[Indication]], gauge: Gauge | None
) -> Value:
    """acts : the indications of each entry, oldest first."""
    indications = [each for act in acts for each in act]
    spoken = [each.evidence for each in indications if each.evidence in SPOKEN]
    if "bad" in spoken:  # a click that is felt outranks a number
        return Value(said="bad")
    numbers = [each for each in indications if each.quantity is not None]
    if not numbers:
        return Value(said=spoken[-1] if spoken else "not taken")
    quantity = _quantity(numbers[-1])
    goes = [_quantity(each).si for each in numbers if each.evidence == "goes"]
    stops = [_quantity(each).si for each in numbers if each.evidence == "stops"]
    if goes or stops:
        try:
            return Value(interval=gaps.leaf_interval(goes, stops), unit=quantity.unit)
        except ValueError:
            shown = quantity.unit.from_si(max(goes))
            doubt = (
                f"{shown:g} {quantity.unit.name} went in and did not go in: try both leaves again"
            )
            return Value(doubt=doubt, unit=quantity.unit)
    runs = [[_quantity(i).si for i in act if i.evidence == "value"] for act in acts]
    if outside := _outside(gauge, quantity.unit, [each for run in runs for each in run]):
        return Value(doubt=outside, unit=quantity.unit)
    try:
        return _of_values(source, check, [run for run in runs if run], gauge, quantity)
    except MeasureError as error:
        return Value(doubt=str(error), unit=quantity.unit)


def _of_values(
    source: Source, check: Check, runs: list[list[float]], gauge: Gauge | None, last: Quantity
) -> Value:
    measured = [each for run in runs for each in run]
    kind = _usual_kind(check)
    if gauge is None and kind is None:  # an angle, say: no habit is known, only the digits
        digit = float(last.unit.factor.scaleb(int(last.number.as_tuple().exponent)))
        line = Contribution("last digit read", resolution(digit))
        return _valued(add_up(measured[-1], [line]), last.unit)
    measure, setting = measure_of(gauge, check), _setting(source, gauge)
    worth = estimate_of_readings(measured, measure, setting=setting)
    if worth.budget is not None:
        return _valued(worth.budget, last.unit)
    for first in range(1, len(runs)):  # taken again, and the later ones agree: they stand
        later = [each for run in runs[first:] for each in run]
        again = estimate_of_readings(later, measure, setting=setting)
        if again.budget is not None and len(later) > len(measured) - len(later):
            aside = f"{len(measured) - len(later)} earlier reading set aside: the repeats agree"
            return replace(_valued(again.budget, last.unit), notes=(aside,))
    return Value(doubt=_technique(worth, len(measured), last.unit), unit=last.unit)


def _technique(worth: Worth, count: int, unit: Unit) -> str:
    spread, allowed = unit.step_from_si(worth.spread), unit.step_from_si(worth.allowed)
    return (
        f"{count} readings spread by {spread:.3g} {unit.name}; the gauge allows {allowed:.3g}. "
        "That is technique, not the part: take it twice more"
    )


def _valued(budget: Budget, unit: Unit) -> Value:
    return Value(budget.estimate, budget=budget, unit=unit)


def _quantity(indication: Indication) -> Quantity:
    quantity = indication.quantity
    assert quantity is not None
    return quantity


def _outside(gauge: Gauge | None, unit: Unit, measured: Sequence[float]) -> str:
    """Say where a reading lies outside its gauge's range, in the unit it was read in."""
    if gauge is None:
        return ""
    low, high = number_of(gauge.low), number_of(gauge.high)
    for each in measured:
        if (low is not None and each < low) or (high is not None and each > high):
            said = f"{unit.from_si(each):g} {unit.name}"
            return f"{said} lies outside what {gauge.id} reads, {range_words(gauge)}: another gauge"
    return ""


def range_words(gauge: Gauge) -> str:
    """Return a gauge's range in words: "50 mm to 75 mm", "up to 20 bar"."""
    if gauge.low and gauge.high:
        return f"{gauge.low} to {gauge.high}"
    return f"up to {gauge.high}" if gauge.high else f"from {gauge.low}"


# -- gauges ------------------------------------------------------------------------------------


def measure_of(gauge: Gauge | None, check: Check | None = None) -> Measure:
    """Return what the measuring room knows of a gauge; without one, the habit of the usual kind."""
    if gauge is None:
        return Measure((_usual_kind(check) if check else None) or "caliper")
    return _known(gauge)


@lru_cache(maxsize=512)
def _known(gauge: Gauge) -> Measure:
    return Measure(
        LIKE.get(gauge.kind, gauge.kind),
        gauge.id,
        number_of(gauge.low),
        number_of(gauge.high),
        number_of(gauge.resolution),
        permissible_error(gauge.permissible_error),
        calibrated=gauge.calibrated,
        set_with=gauge.set_with,
    )


def _usual_kind(check: Check) -> str | None:
    """The first kind of gauge that serves a check and has a habit; else any that reads its unit."""
    fitting = [LIKE.get(kind, kind) for kind in check.gauges]
    known = [kind for kind in fitting if kind in HABITS and HABITS[kind].quantity == check.unit]
    return next(iter([*known, *(k for k, h in HABITS.items() if h.quantity == check.unit)]), None)


def permissible_error(text: str, kind: str | None = None) -> float | tuple[ErrorStep, ...] | None:
    """Read a permissible error: one number, or a table by range.

    kind : of unit that the gauge reads; None takes any
    Raises QuantityError where it is neither.

    >>> permissible_error("2 µm to 25 mm, 3 µm to 50 mm")[1]
    ErrorStep(up_to=0.05, error=3e-06)
    """
    parts = [part.strip(" ±") for part in re.split(r",\s+|;", text) if part.strip(" ±")]
    if not parts:
        return None
    found = [_STEP.match(part) for part in parts]
    if len(parts) == 1 and found[0] is None:
        return parse_quantity(parts[0], kind).si
    steps = [
        ErrorStep(parse_quantity(step["end"], kind).si, parse_quantity(step["error"], kind).si)
        for step in found
        if step is not None
    ]
    if len(steps) < len(parts):
        raise QuantityError(
            f"{text!r}: write one error, or a table as '2 µm to 25 mm, 3 µm to 50 mm'"
        )
    return tuple(steps)


def number_of(text: str) -> float | None:
    """Return a number with unit in SI, None for an empty text."""
    return parse_quantity(text).si if text else None


def _setting(source: Source, gauge: Gauge | None) -> Measure | None:
    if gauge is None or gauge.set_with not in source.state.gauges:
        return None
    return measure_of(source.state.gauges[gauge.set_with])


def _calibration_notes(source: Source, gauge: Gauge | None, at: str) -> list[str]:
    """An overdue calibration widens nothing silently: it is said."""
    if gauge is None:
        return []
    months = source.book.norms.calibration
    chain = [gauge, source.state.gauges.get(gauge.set_with)]
    return [note for each in chain if each and (note := overdue(each, at[:10], months))]


def overdue(gauge: Gauge, today: str, months: float) -> str:
    """Say that a gauge's calibration is overdue, or nothing.

    today : ISO date; months : how long a calibration holds by the shop's norm, 0 for ever

    >>> overdue(Gauge("MIC-1", "fine micrometer", calibrated="2024-02-11"), "2026-05-02", 12)
    'MIC-1 was last calibrated 2024-02-11, due again 2025-02-11: it widens nothing here, have it seen to'
    """
    if not gauge.calibrated or months <= 0:
        return ""
    try:
        last = date.fromisoformat(gauge.calibrated)
    except ValueError:
        return f"{gauge.id} was last calibrated {gauge.calibrated!r}, which is no date"
    count = last.year * 12 + last.month - 1 + round(months)
    due = date(count // 12, count % 12 + 1, min(last.day, 28)).isoformat()
    if not measure_of(gauge)._replace(calibration_due=due).is_overdue(today):
        return ""
    return (
        f"{gauge.id} was last calibrated {gauge.calibrated}, due again {due}: "
        "it widens nothing here, have it seen to"
    )
