"""How values, limits and verdicts are worded and rounded. Everything that is shown goes through here."""

from ringland.job.log.entries import Indication
from ringland.job.readings.values import Value
from ringland.job.verdicts.verdict import Limits, Verdict
from ringland.measure.estimates import coverage_factor
from ringland.quantity import Estimate, Unit, decimals_for, find_unit, show_chance, show_number
from ringland.sheet.figure import split_page
from ringland.sheet.figures import Ruling

SAID = {
    "good": "good",
    "bad": "bad",
    "not sure": "not sure",
    "not taken": "left out",
    "not measurable": "not measurable here",
}
# the fewest decimals a unit is read to, so that a coarse gauge does not round a limit away
LEAST_DECIMALS = {"mm": 2, "in": 4, "bar": 2}
MOST_DECIMALS = {"mm": 3, "in": 5, "thou": 2, "bar": 3}  # of a limit worked out from a rule


def estimate_words(estimate: Estimate, unit: Unit) -> tuple[str, str]:
    """Return the value and its ± at 95 %, rounded alike, in the unit named.

    >>> estimate_words(Estimate(0.053236, 2.5e-6), find_unit("mm"))
    ('53.236', '0.005')
    """
    doubt = unit.step_from_si(coverage_factor(0.95, estimate.dof) * estimate.u)
    decimals = max(decimals_for(doubt), LEAST_DECIMALS.get(unit.name, 0))
    return show_number(unit.from_si(estimate.value), decimals), show_number(doubt, decimals)


def value_words(value: Value | None) -> str:
    """Return what was read: "53.236 mm ± 0.005", "at least 0.29 mm", "not sure"; empty for none."""
    if value is None:
        return ""
    if value.shown:
        return value.shown
    unit = value.unit or find_unit("mm")
    if value.estimate is not None:
        number, doubt = estimate_words(value.estimate, unit)
        if value.least is not None:
            least, _ = estimate_words(value.least, unit)
            number = f"{least} to {number}" if least != number else number
        place = f" at {value.place}" if value.place else ""
        return f"{number} {unit.name} ± {doubt}{place}"
    if value.interval is not None:
        low, high = value.interval.low, value.interval.high
        shown = [None if end is None else _leaf(end, unit) for end in (low, high)]
        if shown[0] and shown[1]:
            return f"{shown[0]} to {shown[1]} {unit.name}"
        return f"at least {shown[0]} {unit.name}" if shown[0] else f"under {shown[1]} {unit.name}"
    return SAID.get(value.said or "", "")


def indication_words(indication: Indication) -> str:
    """Return one indication: its number with its unit, or the word that stands for it."""
    quantity = indication.quantity
    if quantity is None:
        return indication.typed or SAID.get(indication.evidence, indication.evidence)
    leaf = f" {indication.evidence}" if indication.evidence in ("goes", "stops") else ""
    return f"{quantity.number} {quantity.unit.name}{leaf}"


def _leaf(thickness: float, unit: Unit) -> str:
    """Return a limit or leaf as a sheet prints it: no doubt of its own, so all its digits."""
    text = f"{round(unit.from_si(thickness), MOST_DECIMALS.get(unit.name, 4)):g}"
    short = LEAST_DECIMALS.get(unit.name, 0) - len(text.partition(".")[2])
    return show_number(unit.from_si(thickness), LEAST_DECIMALS[unit.name]) if short > 0 else text


def limit_words(limits: Limits | None, unit: Unit | None) -> str:
    """Return the limits: "max 0.60 mm", "0.30 to 0.38 mm"."""
    if limits is None or unit is None:
        return ""
    low = None if limits.lower is None else _leaf(limits.lower, unit)
    high = None if limits.upper is None else _leaf(limits.upper, unit)
    if low and high:
        return f"{low} to {high} {unit.name}"
    return f"max {high} {unit.name}" if high else f"min {low} {unit.name}"


def ruling_words(ruling: Ruling | None) -> str:
    """Return whose figure ruled, where it stands, and what it outranked."""
    if ruling is None:
        return ""
    page = f", {ruling.figure.page}" if ruling.figure.page else ""
    return f"{ruling.source}{page}: {split_page(ruling.figure.typed)[0]}{outranked_words(ruling)}"


def outranked_words(ruling: Ruling) -> str:
    """Return the figure that a leaflet's outranks, as it follows in a sentence; empty for none."""
    own = ruling.outranked
    return f", {ruling.outranks(split_page(own.typed)[0])}" if own else ""


def ended_words(handed_over: str) -> str:
    """Return how a job ended.

    handed_over : "started" or "unstarted"
    """
    return f"handed over, {'running' if handed_over == 'started' else 'not started'}"


def chance_words(verdict: Verdict) -> str:
    """Return the probability that the part conforms."""
    if verdict.p is None:
        return ""
    return show_chance(verdict.p)


def overruled_words(verdict: Verdict) -> str:
    """Return who decided otherwise and why."""
    if verdict.overruled is None:
        return ""
    fact = verdict.overruled.fact
    return f"overruled by {verdict.overruled.by}: {fact.decision}, because {fact.reason}"
