"""What a job adds to the life of its machine: readings by hours, with what they were held against."""

from collections.abc import Iterator
from dataclasses import dataclass

from ringland.job.case import Case
from ringland.job.due import hours_in
from ringland.job.verdicts.verdict import Verdict
from ringland.measure.estimates import coverage_factor
from ringland.quantity import parse_quantity

BY_BASELINE = "percent of baseline"  # method of a check held against the own baseline


@dataclass(frozen=True, slots=True)
class Point:
    """A reading of a machine's life: a check at so many hours.

    hours : of the machine [h]; value, half : the reading and its ± at 95 %, in `unit`
    limit : what it was held against then, upper one first; None where there is none
    below : the limit is a least value; job : whose reading it is, or "baseline"
    """

    check: str
    hours: float
    value: float
    half: float | None
    unit: str
    limit: float | None
    below: bool
    job: str


def life_of(case: Case, job: str) -> Iterator[Point]:
    """Yield the baseline a job began with, then its readings; nothing where no hours are known."""
    opened = case.state.opened
    if opened is None:
        return
    baseline = opened.baseline
    if baseline is not None and (at := hours_in(baseline.hours)) is not None:
        value = parse_quantity(baseline.value, "pressure")
        name = next((n for n, c in case.book.sheet.checks.items() if c.method == BY_BASELINE), "")
        if name:
            number = float(value.number)
            yield Point(name, at, number, None, value.unit.name, None, True, "baseline")
    hours = hours_in(opened.hours)
    if hours is not None:
        for verdict in case.verdicts.values():
            yield from points_of(case, verdict, hours, job)


def points_of(case: Case, verdict: Verdict, hours: float, job: str) -> Iterator[Point]:
    """Yield what a verdict adds to the life of its machine: nothing where there is no number."""
    value, check = verdict.value, verdict.check
    if value is None or value.unit is None:
        return
    if case.book.sheet.checks[check].method == BY_BASELINE:
        yield from _compression(case, verdict, hours, job)
    if value.estimate is None:
        return
    unit, limits = value.unit, verdict.limits
    upper = limits.upper if limits else None
    limit = upper if upper is not None else limits.lower if limits else None
    shown = None if limit is None else float(unit.from_si(limit))
    half = float(unit.step_from_si(coverage_factor(0.95, value.estimate.dof) * value.estimate.u))
    at = float(unit.from_si(value.estimate.value))
    yield Point(check, hours, at, half, unit.name, shown, upper is None, job)


def _compression(case: Case, verdict: Verdict, hours: float, job: str) -> Iterator[Point]:
    """The pressure read, and the share of the own baseline at which the shop stops riding."""
    said = case.state.readings[verdict.check, verdict.condition][-1]
    found = [each.quantity for each in said.fact.indications]
    read = [q for q in found if q is not None and q.unit.kind == "pressure"]
    baseline = case.state.opened.baseline if case.state.opened else None
    if not read:
        return
    unit, least = read[-1].unit, None
    if baseline is not None:
        stop = parse_quantity(baseline.value, "pressure").si * (1 - case.book.norms.stop)
        least = float(unit.from_si(stop))
    yield Point(verdict.check, hours, float(read[-1].number), None, unit.name, least, True, job)
