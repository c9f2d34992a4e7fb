"""What each source of doubt is worth, and how they add up.

Here: standard uncertainties from what is known of an error (type B), from repeats (type A), and the
budget that adds contributions up with their degrees of freedom.
Not here: sensitivities of a model (`propagation`), sampling (`sampling`), gauges (`gauges`).
Start with `Budget`. No arrays, so that a command starts quickly.
"""

from collections.abc import Sequence
from math import erfc, fsum, inf, isfinite, sqrt
from typing import NamedTuple

from ringland.quantity.checked import checked
from ringland.quantity.estimate import Estimate


class MeasureError(ValueError):
    """A reading or a gauge that no estimate can be made from, and what to do about it."""


def rectangular(half_width: float) -> float:
    """Standard uncertainty of an error anywhere within ± half_width, equally likely.

    half_width : a, in any unit, 0 or more
    returns : a/√3. Source: JCGM 100:2008, 4.3.7.

    >>> round(rectangular(3.0), 4)
    1.7321
    """
    return _width(half_width) / sqrt(3)


def triangular(half_width: float) -> float:
    """Standard uncertainty of an error within ± half_width, likeliest in the middle.

    half_width : a, in any unit, 0 or more
    returns : a/√6. Source: JCGM 100:2008, 4.3.9.

    >>> round(triangular(3.0), 4)
    1.2247
    """
    return _width(half_width) / sqrt(6)


def arcsine(half_width: float) -> float:
    """Standard uncertainty of something that swings like a sine within ± half_width.

    half_width : a, in any unit, 0 or more: a thermostat's swing is the usual case
    returns : a/√2. Source: JCGM 101:2008, 6.4.6.

    >>> round(arcsine(3.0), 4)
    2.1213
    """
    return _width(half_width) / sqrt(2)


def resolution(step: float) -> float:
    """Standard uncertainty of a display that moves in steps.

    step : the smallest step δ, in any unit, 0 or more
    returns : δ/√12. Source: JCGM 100:2008, F.2.2.1.

    >>> round(resolution(0.01), 5)
    0.00289
    """
    return _width(step) / sqrt(12)


def between(low: float, high: float) -> Estimate:
    """Estimate of a value that lies anywhere between two others, equally likely.

    low, high : ends in one unit, low below high
    returns : the middle, with u = width/√12. Source: JCGM 100:2008, 4.3.7.

    >>> between(0.35, 0.40).value
    0.375
    """
    if not low < high:
        raise MeasureError(f"the low end {low} is not below the high end {high}")
    return Estimate((low + high) / 2, resolution(high - low))


def mean_of_repeats(readings: Sequence[float]) -> Estimate:
    """Mean of repeated readings, with the standard uncertainty of the mean (type A).

    readings : two or more, in one unit
    returns : mean, s/√n, with n − 1 degrees of freedom. Source: JCGM 100:2008, 4.2.

    >>> mean = mean_of_repeats([1.0, 2.0, 3.0])
    >>> mean.value, round(mean.u, 4), mean.dof
    (2.0, 0.5774, 2)
    """
    count = len(readings)
    if count < 2:
        raise MeasureError(f"{count} reading has no spread: repeat it, two or more are needed")
    check_readings(readings)
    mean = fsum(readings) / count
    s_squared = fsum((each - mean) ** 2 for each in readings) / (count - 1)
    return Estimate(mean, sqrt(s_squared / count), count - 1)


def check_readings(readings: Sequence[float]) -> None:
    """Refuse readings that are none: an empty list, NaN, infinity.

    readings : numbers in one unit
    Raises MeasureError that names the place, from 1, of each bad one.
    """
    if not readings:
        raise MeasureError("no reading is given: a blank is not zero, take one")
    bad = [(at, each) for at, each in enumerate(readings, 1) if not isfinite(each)]
    if bad:
        places = ", ".join(f"reading {at} is {each}" for at, each in bad[:5])
        more = f" and {len(bad) - 5} more" if len(bad) > 5 else ""
        raise MeasureError(f"{places}{more}: leave out what was not measured")


def _width(width: float) -> float:
    if not (isfinite(width) and width >= 0):
        raise MeasureError(f"a width of error is 0 or more, not {width}")
    return width


@checked
class Contribution(NamedTuple):
    """One line of a budget: where doubt comes from and what it adds to the result.

    name : the source, in the words of the bench
    u : standard uncertainty it adds to the result (|sensitivity| times its own), result's unit
    dof : degrees of freedom
    shared : name of the error where another reading has the very same one (the micrometer that set
        the bore gauge); empty where it is this reading's own
    sensitivity : change of the result for a change of the source, signed
    """

    name: str
    u: float
    dof: float = inf
    shared: str = ""
    sensitivity: float = 1.0

    def check(self) -> None:
        if not (isfinite(self.u) and self.u >= 0):
            raise MeasureError(f"{self.name}: a contribution is 0 or more, not {self.u}")


class Budget(NamedTuple):
    """A result with the list of what its doubt is made of.

    estimate : the result; contributions : its lines, in the order given
    correlation : what correlated inputs add to u², in the result's unit squared; may be negative
    """

    estimate: Estimate
    contributions: tuple[Contribution, ...] = ()
    correlation: float = 0.0

    def share(self, contribution: Contribution) -> float:
        """Share of u² that one line makes up; with correlation the lines do not sum to 1."""
        return (contribution.u / self.estimate.u) ** 2 if self.estimate.u else 0.0

    def interval(self, probability: float = 0.95) -> tuple[float, float]:
        """Coverage interval around the value, by Student's t at the degrees of freedom."""
        return coverage_interval(self.estimate, probability)


def add_up(value: float, contributions: Sequence[Contribution]) -> Budget:
    """Add independent contributions to a budget, with effective degrees of freedom.

    value : the result; contributions : each already in the result's unit
    returns : u = √Σu², dof by Welch-Satterthwaite. Source: JCGM 100:2008, 5.1.2 and G.4.1.

    >>> add_up(1.0, [Contribution("a", 3.0), Contribution("b", 4.0)]).estimate.u
    5.0
    """
    variance = fsum(each.u**2 for each in contributions)
    dof = effective_dof(variance, contributions)
    return Budget(Estimate(value, sqrt(variance), dof), tuple(contributions))


def effective_dof(variance: float, contributions: Sequence[Contribution]) -> float:
    """Effective degrees of freedom of a sum of independent contributions.

    variance : u² of the result; contributions : its lines in the result's unit
    returns : infinite where every line is taken as known. Source: JCGM 100:2008, G.4.1.

    >>> effective_dof(2.0, [Contribution("a", 1.0, 4), Contribution("b", 1.0, 4)])
    8.0
    """
    below = fsum(each.u**4 / each.dof for each in contributions if each.u and each.dof < inf)
    return variance**2 / below if below > 0 else inf


def coverage_factor(probability: float, dof: float = inf) -> float:
    """Factor k that turns u into the half-width of a two-sided interval.

    probability : 0 to 1, both ends excluded; dof : degrees of freedom, infinite for the normal
    returns : Student's t at (1 + p)/2. Source: JCGM 100:2008, G.3.

    >>> round(coverage_factor(0.95, 4), 5)
    2.77645
    """
    if not 0 < probability < 1:
        raise MeasureError(f"a coverage probability lies between 0 and 1, not {probability}")
    if dof == inf:
        return _normal_factor(probability)
    from scipy.special import stdtrit

    return float(stdtrit(dof, (1 + probability) / 2))


def _normal_factor(probability: float) -> float:
    """The k with erf(k/√2) = probability, by halving: it spares a command the import of SciPy."""
    low, high = 0.0, 40.0
    for _ in range(60):
        middle = (low + high) / 2
        low, high = (middle, high) if erfc(middle / sqrt(2)) > 1 - probability else (low, middle)
    return (low + high) / 2


def coverage_interval(estimate: Estimate, probability: float = 0.95) -> tuple[float, float]:
    """Interval that holds the true value with the probability named.

    estimate : value, u and degrees of freedom; probability : 0 to 1, both ends excluded
    returns : low and high end, in the value's unit

    >>> tuple(round(end, 2) for end in coverage_interval(Estimate(10.0, 1.0)))
    (8.04, 11.96)
    """
    half = coverage_factor(probability, estimate.dof) * estimate.u
    return estimate.value - half, estimate.value + half
