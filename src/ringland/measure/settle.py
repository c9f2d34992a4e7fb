"""What would settle an undecided verdict: another gauge, more repeats, one temperature.

Each answer supposes that the value stays where it is; the new reading may of course move it.
Here: how small the doubt must be, which gauge on the shelf reaches that, how many repeats, which
line of the budget would have to go.
Not here: the verdict itself (`conformance`), words for the person (`ringland.report`).
Start with `settled_by`. No arrays.
"""

from collections.abc import Sequence
from math import inf, sqrt
from typing import Literal, NamedTuple

from ringland.measure.conformance import DISPROVE, PROVE, Verdict, check_limits, judge
from ringland.measure.estimates import Budget, Contribution, MeasureError, add_up
from ringland.measure.gauges import Gauge, contributions_of
from ringland.quantity.estimate import Estimate

MOST_REPEATS = 10  # common practice: nobody repeats a reading more often, and drift sets in
TEMPERATURE_LINES = ("gauge_temperature", "part_excess", "part_expansion", "gauge_expansion")


class Question(NamedTuple):
    """A value held against its limits by a norm; lengths in one unit."""

    value: float
    lower: float | None
    upper: float | None
    prove: float = PROVE
    disprove: float = DISPROVE

    def verdict_at(self, u: float, dof: float = inf) -> Verdict:
        """The verdict if the value had this doubt."""
        return judge(
            Estimate(self.value, u, dof),
            lower=self.lower,
            upper=self.upper,
            prove=self.prove,
            disprove=self.disprove,
        )


def needed_u(question: Question, dof: float = inf) -> float | None:
    """Largest standard uncertainty at which the value would be decided.

    question : value, limits and norm
    dof : degrees of freedom that this uncertainty would have [1], above 0; infinite where known
    returns : u in the value's unit; None where the value stands on a limit, so that none would do;
        infinite where the norm asks for no proof

    Source: JCGM 106:2012, 7, solved for u by halving.

    >>> round(needed_u(Question(54.032, None, 54.040)), 5)
    0.00486
    >>> round(needed_u(Question(54.032, None, 54.040), dof=2), 5)  # 8 / 2.920, Student's t
    0.00274
    """
    check_limits(question.lower, question.upper)
    limits = [each for each in (question.lower, question.upper) if each is not None]
    distance = min(abs(question.value - limit) for limit in limits)
    if distance == 0:
        return None
    low, high = 0.0, 1000 * distance
    if question.verdict_at(high, dof) != "undecided":
        return inf
    for _ in range(40):  # to 1e-9 of the distance
        middle = (low + high) / 2
        open_still = question.verdict_at(middle, dof) == "undecided"
        low, high = (low, middle) if open_still else (middle, high)
    return low


class Way(NamedTuple):
    """One way to settle it.

    kind : "gauge", "repeats" or "temperature"; what : the gauge's label, or empty
    times : readings in all, 1 for the others; u : doubt that it would leave; verdict : what then
    """

    kind: Literal["gauge", "repeats", "temperature"]
    what: str
    times: int
    u: float
    verdict: Verdict


def settled_by(
    question: Question,
    budget: Budget,
    *,
    shelf: Sequence[Gauge] = (),
    gauge: str = "",
    scatter: float = 0.0,
) -> list[Way]:
    """Ways to settle an undecided verdict, those with least trouble first.

    question : value, limits and norm; budget : what the value's doubt is made of now
    shelf : gauges at hand that read this kind of quantity
    gauge : name of the line that the present gauge has in the budget, replaced by each other one
    scatter : standard deviation of one reading to the next, which repeats average [value's unit]
    returns : temperature first, then repeats, then gauges from the coarsest that does it; empty
        where nothing at hand would do (or it is decided already)

    >>> budget = add_up(54.032e-3, [Contribution("B1", 6e-6)])
    >>> fine = Gauge("bore gauge", name="B2", permissible_error=2e-6)
    >>> ways = settled_by(Question(54.032e-3, None, 54.040e-3), budget, shelf=[fine], gauge="B1")
    >>> [(way.kind, way.what, way.verdict) for way in ways]
    [('gauge', 'B2', 'within')]
    """
    if question.verdict_at(budget.estimate.u, budget.estimate.dof) != "undecided":
        return []
    ways = _by_temperature(question, budget)
    ways += _by_repeats(question, budget, scatter)
    return ways + _by_gauges(question, budget, shelf, gauge)


def _by_temperature(question: Question, budget: Budget) -> list[Way]:
    rest = [line for line in budget.contributions if line.name not in TEMPERATURE_LINES]
    if len(rest) == len(budget.contributions):
        return []
    return _if_settled(question, "temperature", "", rest)


def _by_repeats(question: Question, budget: Budget, scatter: float) -> list[Way]:
    if scatter < 0:
        raise MeasureError(f"a scatter is 0 or more, not {scatter}")
    repeats = [line for line in budget.contributions if line.name.endswith(" repeats")]
    left = budget.estimate.u**2 - (sum(line.u**2 for line in repeats) if repeats else scatter**2)
    if scatter == 0 or left < 0:
        return []
    for count in range(2, MOST_REPEATS + 1):
        u = sqrt(left + scatter**2 / count)
        verdict = question.verdict_at(u)
        if verdict != "undecided":
            return [Way("repeats", "", count, u, verdict)]
    return []


def _by_gauges(question: Question, budget: Budget, shelf: Sequence[Gauge], gauge: str) -> list[Way]:
    rest = [line for line in budget.contributions if line.name not in (gauge, "resolution")]
    found: list[Way] = []
    for other in shelf:
        if other.label == gauge:
            continue
        lines = rest + contributions_of(other, question.value)
        found += _if_settled(question, "gauge", other.label, lines)
    return sorted(found, key=lambda way: -way.u)


def _if_settled(
    question: Question,
    kind: Literal["gauge", "temperature"],
    what: str,
    lines: list[Contribution],
) -> list[Way]:
    after = add_up(question.value, lines).estimate
    verdict = question.verdict_at(after.u, after.dof)
    return [] if verdict == "undecided" else [Way(kind, what, 1, after.u, verdict)]
