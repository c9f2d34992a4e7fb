"""How probable it is that a value with its doubt lies below a limit or inside a window.

The distribution is normal, or a scaled and shifted t where the degrees of freedom are few. Not
here: verdicts and their percentages (`ringland.measure.conformance`, `ringland.job`).
"""

from math import erfc, isinf, sqrt

from ringland.quantity.estimate import Estimate


def probability_below(estimate: Estimate, limit: float) -> float:
    """Probability that the true value is at most a limit.

    estimate : value with its standard uncertainty, any unit
    limit : same unit; may be infinite
    returns : 0 to 1. With u = 0 it is 1 at the limit itself.

    Source: JCGM 106:2012, 7.3 (normal); JCGM 101:2008, 6.4.9 (t where dof is finite).

    >>> round(probability_below(Estimate(-5.47, 0.05), -5.40), 3)
    0.919
    """
    if isinf(limit):
        return 1.0 if limit > 0 else 0.0
    if estimate.u == 0:
        return 1.0 if estimate.value <= limit else 0.0
    return standard_below((limit - estimate.value) / estimate.u, estimate.dof)


def probability_within(estimate: Estimate, low: float, high: float) -> float:
    """Probability that the true value lies from low to high.

    estimate : value with its standard uncertainty, any unit
    low, high : same unit, low at most high; -inf and inf leave a side open
    returns : 0 to 1

    Source: JCGM 106:2012, 7.4.

    >>> round(probability_within(Estimate(13.6, 1.8), 12.5, 16.3), 4)
    0.6626
    """
    if estimate.u == 0:
        return 1.0 if low <= estimate.value <= high else 0.0
    to_low = (low - estimate.value) / estimate.u
    to_high = (high - estimate.value) / estimate.u
    dof = estimate.dof
    if to_high < 0:  # of two numbers near one, subtract their small complements instead
        return standard_below(to_high, dof) - standard_below(to_low, dof)
    if to_low > 0:
        return standard_below(-to_low, dof) - standard_below(-to_high, dof)
    return 1.0 - standard_below(to_low, dof) - standard_below(-to_high, dof)


def standard_below(z: float, dof: float) -> float:
    """Share of a standard normal (or t) distribution that lies below z.

    z : number of standard uncertainties; dof : degrees of freedom, infinite for the normal

    >>> round(standard_below(1.96, float("inf")), 3)
    0.975
    """
    if isinf(z):
        return 1.0 if z > 0 else 0.0
    if isinf(dof):
        return erfc(-z / sqrt(2)) / 2
    # imported here: few estimates have few degrees of freedom, and SciPy is slow to start
    from scipy.special import stdtr

    return float(stdtr(dof, z))
