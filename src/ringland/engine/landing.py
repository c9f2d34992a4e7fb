"""How probable it is that a value with its doubt lies inside a window.

Here: the distribution function of an estimate (normal, or scaled and shifted t where its degrees of
freedom are few) and what follows for a window and for a part picked from a size class.
Not here: verdicts and their percentages (`ringland.job`).
Start with `probability_within`.
"""

from math import erfc, exp, inf, isinf, lgamma, log, log1p, pi, sqrt

from ringland.quantity import Estimate

# A class narrower than this many u is one size: the error is its square over 24, while the exact
# form would divide a difference of rounded numbers by the width.
ONE_SIZE = 1e-3


def probability_below(estimate: Estimate, limit: float) -> float:
    """Probability that the true value is at most a limit.

    estimate : value with its standard uncertainty, any unit
    limit : same unit; may be infinite
    returns : 0 to 1. With u = 0 it is 1 at the limit itself.

    Source: JCGM 106:2012, 7.3 (normal); JCGM 101:2008, 6.4.9 (t where dof is finite).

    >>> from ringland.quantity import Estimate
    >>> round(probability_below(Estimate(-5.47, 0.05), -5.40), 3)
    0.919
    """
    if isinf(limit):
        return 1.0 if limit > 0 else 0.0
    if estimate.u == 0:
        return 1.0 if estimate.value <= limit else 0.0
    return _cdf((limit - estimate.value) / estimate.u, estimate.dof)


def probability_within(estimate: Estimate, low: float, high: float) -> float:
    """Probability that the true value lies from low to high.

    estimate : value with its standard uncertainty, any unit
    low, high : same unit, low at most high; -inf and inf leave a side open
    returns : 0 to 1

    Source: JCGM 106:2012, 7.4.

    >>> from ringland.quantity import Estimate
    >>> round(probability_within(Estimate(13.6, 1.8), 12.5, 16.3), 4)
    0.6626
    """
    if estimate.u == 0:
        return 1.0 if low <= estimate.value <= high else 0.0
    to_low = (low - estimate.value) / estimate.u
    to_high = (high - estimate.value) / estimate.u
    dof = estimate.dof
    if to_high < 0:  # of two numbers near one, subtract their small complements instead
        return _cdf(to_high, dof) - _cdf(to_low, dof)
    if to_low > 0:
        return _cdf(-to_low, dof) - _cdf(-to_high, dof)
    return 1.0 - _cdf(to_low, dof) - _cdf(-to_high, dof)


def probability_class_lands(
    bore: Estimate, sizes: tuple[float, float], window: tuple[float, float]
) -> float:
    """Probability that bore minus a piston taken from a size class lies in a window.

    The piston is as likely to be one size of its class as another (rectangular, JCGM 100, 4.3.7);
    the bore is known by its estimate. Exact: the integral of the distribution function.

    bore : diameter [m] with its doubt
    sizes : smallest and largest piston of the class [m]; may be equal
    window : smallest and largest clearance wanted [m]
    returns : 0 to 1
    """
    (small, large), (low, high) = sizes, window
    if large - small <= ONE_SIZE * bore.u:
        middle = (small + large) / 2
        return probability_within(Estimate(bore.value - middle, bore.u, bore.dof), low, high)
    if bore.u == 0:  # the share of the class that lands
        overlap = min(large, bore.value - low) - max(small, bore.value - high)
        return overlap / (large - small) if overlap > 0 else 0.0
    # P = 1/(large - small) * integral over the class of F(high + p) - F(low + p)
    corners = [(high + large, 1), (high + small, -1), (low + large, -1), (low + small, 1)]
    total = sum(
        sign * _integral_of_cdf((at - bore.value) / bore.u, bore.dof) for at, sign in corners
    )
    # only rounding leaves the span from none to all
    return min(1.0, max(0.0, total * bore.u / (large - small)))


def _cdf(z: float, dof: float) -> float:
    if isinf(dof):
        return erfc(-z / sqrt(2)) / 2
    # imported here: few estimates have few degrees of freedom, and SciPy is slow to start
    from scipy.special import stdtr

    return float(stdtr(dof, z))


def _density(z: float, dof: float) -> float:
    if isinf(dof):
        return exp(-z * z / 2) / sqrt(2 * pi)
    scale = lgamma((dof + 1) / 2) - lgamma(dof / 2) - log(dof * pi) / 2
    return exp(scale - (dof + 1) / 2 * log1p(z * z / dof))


def _integral_of_cdf(z: float, dof: float) -> float:
    """An antiderivative of the distribution function: z F(z) minus that of z f(z)."""
    if dof == inf:
        return z * _cdf(z, dof) + _density(z, dof)
    if abs(dof - 1) < 1e-6:  # the general form divides by dof - 1
        return z * _cdf(z, 1.0) - log1p(z * z) / (2 * pi)
    return z * _cdf(z, dof) + (dof + z * z) / (dof - 1) * _density(z, dof)
