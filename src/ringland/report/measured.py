"""What a value is worth, in numbers: for `verdicts --json` and, worded, for `verdicts -a`.

Numbers stand in the unit that the value is printed in. Field names only grow:

    number, unit            the value that is judged (of several places, the largest)
    u, dof                  standard uncertainty and its degrees of freedom; dof null: taken as known
    interval                95 % coverage interval, two ends
    least, least_u          of several places, the least value, held against a lower limit
    between, least_between  what leaves prove: two ends, null where one was not tried
    budget, least_budget    lines of u: name, u, share of u², dof, shared, sensitivity
    lower, upper, new_end   limits, and the end of new from which wear counts
    probability             that the part conforms; null for feel, leaves and counts
    settled_by              ways to settle it: kind, what, readings in all, u, verdict, words
    temperature             of the part [°C]; at_reference: whether the value is good for 20 °C
    notes                   what is said beside it: correction, calibration, convention
    share, share_u          of a compression, part of the machine's own baseline; null without one

A compression's number is the pressure read, its lower limit the pressure in this air at which the
shop stops riding; it is judged by `share`, in which the gauge's own error cancels. A leak test has
no number here. What a setting prints is told in the same words by `SettingNumber`.
"""

from dataclasses import dataclass
from math import isinf

from ringland.job.settings.number import Number
from ringland.job.verdicts.verdict import Tested, Verdict
from ringland.measure.conformance import Interval
from ringland.measure.estimates import Budget, coverage_interval
from ringland.quantity import Estimate, Quantity, Unit, find_unit, show_number

# names of a correction's lines, as the measuring room has them, in the words of the bench
LINES = {
    "gauge_temperature": "temperature of the gauge",
    "part_excess": "part against gauge temperature",
    "part_expansion": "expansion of the part",
    "gauge_expansion": "expansion of the gauge",
}
CELSIUS = 273.15  # K at 0 °C
DIGITS = 9  # of a number in a printed unit: past what any gauge reads
SMALL = 0.005  # share of u² below which a line is not worth a line of text


@dataclass(frozen=True, slots=True)
class LineOfBudget:
    """One line of a budget, in the unit printed."""

    name: str
    u: float
    share: float
    dof: float | None
    shared: str
    sensitivity: float


@dataclass(frozen=True, slots=True)
class SettledBy:
    """One way to settle an undecided verdict; `verdict` is what it would be then."""

    kind: str
    what: str
    readings: int
    u: float
    verdict: str
    words: str


@dataclass(frozen=True, slots=True)
class Measured:
    """A value and its limits as numbers; the fields stand in the module's docstring."""

    number: float | None
    unit: str
    u: float | None
    dof: float | None
    interval: tuple[float, float] | None
    least: float | None
    least_u: float | None
    between: tuple[float | None, float | None] | None
    least_between: tuple[float | None, float | None] | None
    budget: tuple[LineOfBudget, ...]
    least_budget: tuple[LineOfBudget, ...]
    lower: float | None
    upper: float | None
    new_end: float | None
    probability: float | None
    settled_by: tuple[SettledBy, ...]
    temperature: float | None
    at_reference: bool
    notes: tuple[str, ...]
    share: float | None = None
    share_u: float | None = None


@dataclass(frozen=True, slots=True)
class SettingNumber:
    """One number that a setting prints, in the unit it is printed in; null is not given, never 0.

    what : which number it is, such as "squish", "set", "trapped from exhaust"
    number, u : the value with its standard uncertainty; u null where none is worked out
    low, high : ends of a range: sizes within a class, the nut's torque within the wrench's deviation
    lower, upper : limits it is held to, a maker's window
    probability : that the true value lies within the limits
    source : page, leaflet, formula or gauge it comes from
    """

    what: str
    number: float | None
    unit: str
    u: float | None
    low: float | None
    high: float | None
    lower: float | None
    upper: float | None
    probability: float | None
    source: str


def setting_number(found: Number, source: str) -> SettingNumber:
    """Return a number of a setting for a program; `source` is its setting's, where it has no own."""
    unit, limits = found.unit, found.limits

    def step(si: float | None) -> float | None:
        return None if si is None else _tidy(unit.step_from_si(si))

    def end(of: Quantity | None) -> float | None:
        return None if of is None else _tidy(float(of.number))

    return SettingNumber(
        found.what,
        None if found.value is None else _tidy(unit.from_si(found.value)),
        unit.name,
        step(found.u),
        step(found.low),
        step(found.high),
        end(limits.low) if limits else None,
        end(limits.high) if limits else None,
        found.probability,
        found.source or source,
    )


def measured(verdict: Verdict) -> Measured | None:
    """Return the numbers behind a verdict; None where nothing was read."""
    value, limits = verdict.value, verdict.limits
    if value is None:
        return None
    if verdict.tested is not None:
        return _tested(verdict.tested, value.notes)
    unit = value.unit or find_unit("mm")
    estimate, least = value.estimate, value.least

    def of(si: float | None) -> float | None:
        return None if si is None else _tidy(unit.from_si(si))

    return Measured(
        of(estimate.value) if estimate else None,
        unit.name,
        _step(unit, estimate),
        _dof(estimate.dof) if estimate else None,
        _interval(unit, estimate),
        of(least.value) if least else None,
        _step(unit, least),
        _between(unit, value.interval),
        _between(unit, value.least_interval),
        _lines(unit, value.budget),
        _lines(unit, value.least_budget),
        of(limits.lower) if limits else None,
        of(limits.upper) if limits else None,
        of(limits.new_end) if limits else None,
        verdict.p,
        _ways(unit, verdict),
        _tidy(value.warmth.part - CELSIUS) if value.warmth else None,
        value.warmth is not None and value.warmth.at_reference,
        value.notes,
    )


def _tested(found: Tested, notes: tuple[str, ...]) -> Measured:
    """A compression: no interval of leaves, no budget of a least value, no limit but the shop's."""
    unit, estimate, share = found.unit, found.budget.estimate, found.share
    return Measured(
        number=_tidy(unit.from_si(estimate.value)),
        unit=unit.name,
        u=_step(unit, estimate),
        dof=_dof(estimate.dof),
        interval=_interval(unit, estimate),
        least=None,
        least_u=None,
        between=None,
        least_between=None,
        budget=_lines(unit, found.budget),
        least_budget=(),
        lower=None if found.lower is None else _tidy(unit.from_si(found.lower)),
        upper=None,
        new_end=None,
        probability=None,
        settled_by=(),
        temperature=None,
        at_reference=False,
        notes=notes,
        share=_tidy(share.value) if share else None,
        share_u=_tidy(share.u) if share else None,
    )


def _tidy(number: float) -> float:
    return round(number, DIGITS)


def _step(unit: Unit, estimate: Estimate | None) -> float | None:
    return None if estimate is None else _tidy(unit.step_from_si(estimate.u))


def _dof(dof: float) -> float | None:
    """JSON knows no infinity."""
    return None if isinf(dof) else round(dof, 3)


def _interval(unit: Unit, estimate: Estimate | None) -> tuple[float, float] | None:
    if estimate is None:
        return None
    low, high = coverage_interval(estimate)
    return _tidy(unit.from_si(low)), _tidy(unit.from_si(high))


def _between(unit: Unit, leaves: Interval | None) -> tuple[float | None, float | None] | None:
    if leaves is None:
        return None
    low, high = (
        None if end is None else _tidy(unit.from_si(end)) for end in (leaves.low, leaves.high)
    )
    return low, high


def _lines(unit: Unit, budget: Budget | None) -> tuple[LineOfBudget, ...]:
    if budget is None:
        return ()
    return tuple(
        LineOfBudget(
            LINES.get(line.name, line.name),
            _tidy(unit.step_from_si(line.u)),
            round(budget.share(line), 6),
            _dof(line.dof),
            line.shared,
            line.sensitivity,
        )
        for line in budget.contributions
    )


def _ways(unit: Unit, verdict: Verdict) -> tuple[SettledBy, ...]:
    return tuple(
        SettledBy(
            each.way.kind,
            each.way.what,
            each.way.times,
            _tidy(unit.step_from_si(each.way.u)),
            each.way.verdict,
            each.words,
        )
        for each in verdict.settled_by
    )


def budget_words(found: Measured) -> list[str]:
    """Return u with its budget as one line, and what is said beside the value.

    Lines that make up less than half a per cent of u² are left out of the text.
    """
    lines = []
    if found.u is not None:
        kept = [each for each in found.budget if each.share >= SMALL]
        parts = [f"{each.name} {_small(each.u)}" for each in kept]
        dof = f", {found.dof:g} degrees of freedom" if found.dof is not None else ""
        of = f" from {', '.join(parts)}" if parts else ""
        lines.append(f"u {_small(found.u)} {found.unit}{dof}{of}")
    lines += found.notes
    return lines + [f"{each.words} would settle it: {each.verdict}" for each in found.settled_by]


def _small(u: float) -> str:
    """Two figures of an uncertainty."""
    if u == 0:
        return "0"
    decimals = max(0, 1 - int(f"{u:e}".partition("e")[2]))
    return show_number(u, decimals)
