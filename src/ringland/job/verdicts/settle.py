"""What would settle an undecided verdict: an undecided never stands alone.

Computed from the gauges on the job's shelf: which one instead of the one that was used, how many
repeats, which temperature, which leaf to try next; where nothing at hand does it, how good a reading
it would take. Each supposes that the value stays where it is; the new reading may move it.
Start with `what_would_settle`.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from math import fsum, inf, sqrt

from ringland.job.book import Book, Norms
from ringland.job.log.entries import Condition
from ringland.job.log.fold import State
from ringland.job.readings.gauging import LIKE, measure_of, number_of
from ringland.job.readings.value import Value
from ringland.job.verdicts.verdict import Limits, Settles, Verdict
from ringland.measure.estimates import Budget, MeasureError, mean_of_repeats
from ringland.measure.gaps import next_thicker, stack_of
from ringland.measure.gauges import HABITS, noise_of
from ringland.measure.gauges import Gauge as Measure
from ringland.measure.settle import Question, Way, needed_u, settled_by
from ringland.quantity import Unit, decimals_for, find_unit, parse_quantity, show_number
from ringland.sheet.model import Check

NUMBERS = {1: "one", 2: "two", 3: "three", 4: "four", 5: "five", 6: "six"}
AT_MOST = 3  # ways that are told; the rest stand in the list
LAST_RESORT = "have a machinist measure it, or treat it as beyond"


@dataclass(frozen=True, slots=True)
class Settling:
    """Ways to settle it, those with least trouble first, and what to do now in words."""

    ways: tuple[Settles, ...]
    todo: str


@dataclass(frozen=True, slots=True)
class _Asked:
    """An undecided verdict with what is at hand."""

    state: State
    norms: Norms
    verdict: Verdict
    check: Check
    base: Check
    base_name: str

    @property
    def value(self) -> Value:
        assert self.verdict.value is not None
        return self.verdict.value

    @property
    def limits(self) -> Limits:
        assert self.verdict.limits is not None
        return self.verdict.limits

    @property
    def unit(self) -> Unit:
        return self.value.unit or find_unit("mm")

    @property
    def present(self) -> Measure:
        """The gauge that was used, or the usual one where none was named."""
        id_ = self.value.gauges[0] if self.value.gauges else ""
        return measure_of(self.state.gauges.get(id_), self.base)


def what_would_settle(book: Book, state: State, verdict: Verdict) -> Settling:
    """Return what would settle a verdict that a number or leaves left undecided."""
    check = book.sheet.checks[verdict.check]
    base_name = check.of[0] if check.of else verdict.check
    asked = _Asked(state, book.norms, verdict, check, book.sheet.checks[base_name], base_name)
    if asked.value.interval is not None and asked.value.estimate is None:
        return Settling((), _next_leaf(asked))
    if asked.value.form is not None and asked.limits.upper is not None:
        ways = list(_finer_for_form(asked))
        return _settling(asked, ways, _told(asked, ways, None))
    question, budget = _question(asked)
    shelf = [each for each in _shelf(asked) if each.label != asked.present.label]
    ways = settled_by(
        question, budget, shelf=shelf, gauge=asked.present.label, scatter=_scatter(asked, budget)
    )
    return _settling(asked, ways, _told(asked, ways, question, budget))


def _settling(asked: _Asked, ways: list[Way], todo: str) -> Settling:
    worded = (Settles(way, way_words(asked.value, way, asked.present)) for way in ways)
    return Settling(tuple(worded), todo)


def _question(asked: _Asked) -> tuple[Question, Budget]:
    """The side that is undecided: the largest against the upper limit, the least against the lower."""
    value, limits, norms = asked.value, asked.limits, asked.norms
    estimate, budget = value.estimate, value.budget
    assert estimate is not None
    assert budget is not None
    both = Question(estimate.value, limits.lower, limits.upper, norms.prove, norms.disprove)
    if value.least is None or value.least_budget is None or limits.lower is None:
        return both, budget
    lower = Question(value.least.value, limits.lower, None, norms.prove, norms.disprove)
    if limits.upper is None:
        return lower, value.least_budget
    upper = Question(estimate.value, None, limits.upper, norms.prove, norms.disprove)
    open_above = upper.verdict_at(estimate.u, estimate.dof) == "undecided"
    return (upper, budget) if open_above else (lower, value.least_budget)


def _shelf(asked: _Asked) -> Iterator[Measure]:
    """The gauges of the job's shelf that serve this check and reach the value."""
    value = asked.value.estimate
    for gauge in asked.state.gauges.values():
        kind = LIKE.get(gauge.kind, gauge.kind)
        if gauge.kind not in asked.base.gauges or kind not in HABITS or value is None:
            continue
        low, high = number_of(gauge.low), number_of(gauge.high)
        at = value.value if not asked.check.of else _size(asked)
        if (low is not None and at < low) or (high is not None and at > high):
            continue
        try:
            made = measure_of(gauge)
            noise_of(made, at)
        except MeasureError:
            continue
        yield made


def _size(asked: _Asked) -> float:
    """What the gauge of a derived check reads: a bore, not the clearance."""
    readings = asked.state.readings.get((asked.base_name, asked.verdict.condition)) or []
    readings = readings or asked.state.readings.get((asked.base_name, "as found"), [])
    found = [i.quantity.si for said in readings for i in said.fact.indications if i.quantity]
    return found[-1] if found else 0.0


def _scatter(asked: _Asked, budget: Budget) -> float:
    """Standard deviation from one reading to the next, where repeats have shown it.

    Repeats shrink only what differs between them: nothing of a stated permissible error.
    """
    if asked.present.permissible_error is not None and not _has_repeats(budget):
        return 0.0
    taken: dict[tuple[str, Condition], list[float]] = {}
    for condition in ("as found", "as fitted"):
        for said in asked.state.readings.get((asked.base_name, condition), []):
            if said.fact.gauge == (asked.value.gauges[0] if asked.value.gauges else ""):
                each = taken.setdefault((said.fact.place, condition), [])
                each += [
                    i.quantity.si
                    for i in said.fact.indications
                    if i.quantity and i.evidence == "value"
                ]
    spreads = [mean_of_repeats(each) for each in taken.values() if len(each) > 1]
    dof = fsum(each.dof for each in spreads)
    return sqrt(fsum(m.dof * m.u**2 * (m.dof + 1) for m in spreads) / dof) if dof else 0.0


def _has_repeats(budget: Budget) -> bool:
    return any(line.name.endswith(" repeats") for line in budget.contributions)


def _finer_for_form(asked: _Asked) -> Iterator[Way]:
    form, upper = asked.value.form, asked.limits.upper
    assert form is not None
    assert upper is not None
    at = max((each for group in form.groups for each in group), default=0.0)
    for gauge in _shelf(asked):
        noise = noise_of(gauge, at)
        if noise >= form.noise or gauge.label == asked.present.label:
            continue
        found = form.within(upper, noise)
        word = found.verdict(prove=asked.norms.prove, disprove=asked.norms.disprove)
        if word != "undecided":
            yield Way("gauge", gauge.label, 1, noise * sqrt(2), word)


# -- words -------------------------------------------------------------------------------------


def _told(
    asked: _Asked, ways: list[Way], question: Question | None, budget: Budget | None = None
) -> str:
    said = _ways_told(asked, ways, question, budget)
    if asked.check.method != "four points":
        return f"{said}: {LAST_RESORT}"
    # squish is set, not worn: the sheet says what moves it, which is less trouble than to know it
    return f"{asked.check.beyond.say} To know it better, {said}".strip()


def _ways_told(
    asked: _Asked, ways: list[Way], question: Question | None, budget: Budget | None
) -> str:
    if ways:
        told = ways[:AT_MOST]
        gauges = [way.what for way in told if way.kind == "gauge"]
        words = [way_words(asked.value, way, asked.present) for way in told if way.kind != "gauge"]
        words += [f"{' or '.join(gauges)} instead of {asked.present.label}"] if gauges else []
        return f"{' or '.join(words)} would settle it, if it shows the same; otherwise"
    if borrowed := _borrowed(asked, question, budget):
        return f"nothing on the shelf settles it, a {borrowed} would; otherwise"
    dof = budget.estimate.dof if budget else inf
    needed = needed_u(question, dof=dof) if question else None
    if question is not None and not needed:
        return "it reads the limit itself, which no gauge decides"
    if needed:
        good = asked.unit.step_from_si(2 * needed)
        good_words = f"{show_number(good, decimals_for(good, 2))} {asked.unit.name}"
        return f"it takes better than ± {good_words}, and nothing on the shelf reads that well"
    return "nothing on the shelf decides it"


def way_words(value: Value, way: Way, present: Measure) -> str:
    """Return one way in words: "two more readings at H1-Y with BG-2", "BG-2 instead of TG-1"."""
    match way.kind:
        case "repeats":
            more = way.times - _count(value)
            at = f" at {value.place}" if value.place else ""
            reading = "reading" if more == 1 else "readings"
            return f"{NUMBERS.get(more, str(more))} more {reading}{at} with {present.label}"
        case "temperature":
            return "part and gauge at 20 °C"
        case "gauge":
            return f"{way.what} instead of {present.label}"


def _count(value: Value) -> int:
    lines = value.budget.contributions if value.budget else ()
    return next((int(line.name.split()[0]) for line in lines if line.name.endswith(" repeats")), 1)


def _borrowed(asked: _Asked, question: Question | None, budget: Budget | None) -> str:
    """The usual kind of gauge, none of which is on the shelf, that would settle it."""
    if question is None or budget is None:
        return ""
    here = {LIKE.get(gauge.kind, gauge.kind) for gauge in asked.state.gauges.values()}
    kinds = [k for k in asked.base.gauges if k in HABITS and k not in here | {asked.present.kind}]
    shelf = [Measure(kind) for kind in kinds if HABITS[kind].quantity == asked.base.unit]
    found = settled_by(question, budget, shelf=shelf, gauge=asked.present.label)
    return next((way.what for way in found if way.kind == "gauge"), "")


# -- leaves ------------------------------------------------------------------------------------


def _next_leaf(asked: _Asked) -> str:
    """The leaf to try: the limit's own one first, since it decides; else the next between."""
    interval, limits = asked.value.interval, asked.limits
    assert interval is not None
    least = asked.value.least_interval or interval
    leaves = _leaves(asked)
    below, above = _own_leaf(limits.lower, leaves), _own_leaf(limits.upper, leaves)
    shown = limits.lower is None or (least.low is not None and least.low >= limits.lower)
    if not shown and below is not None and least.low is None:
        return f"try the {_thick(asked, below)} leaf: if it goes in, the minimum is shown"
    if limits.upper is not None and interval.high is None and above is not None:
        return f"try the {_thick(asked, above)} leaf: if it goes in, it is beyond"
    between = next_thicker(interval.low, leaves) if interval.low is not None and leaves else None
    if between is not None and (interval.high is None or between < interval.high):
        return f"try the {_thick(asked, between)} leaf"
    untried = "thinner" if interval.low is None else "thicker"
    if interval.low is None or interval.high is None:
        return f"try the next {untried} leaf"
    if not leaves:
        return "try a leaf between these two, or a stack of thin ones"
    return f"no leaf of the set lies between: {LAST_RESORT}"


def _leaves(asked: _Asked) -> list[float]:
    used = [asked.state.gauges[g] for g in asked.value.gauges if g in asked.state.gauges]
    return [parse_quantity(leaf, "length").si for gauge in used for leaf in gauge.leaves]


def _own_leaf(limit: float | None, leaves: list[float]) -> float | None:
    """The limit's own thickness, where the set can show it or nobody listed its leaves."""
    if limit is None or not limit > 0:
        return None
    return limit if not leaves or stack_of(limit, leaves) else None


def _thick(asked: _Asked, leaf: float) -> str:
    number = round(asked.unit.from_si(leaf), 4)
    shown = f"{number:.2f}" if number == round(number, 2) else f"{number:g}"
    return f"{shown} {asked.unit.name}"
