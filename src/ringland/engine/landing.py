"""How probable it is that a piston picked from a size class lands in a window of clearance.

Not here: the distribution of one estimate (`ringland.quantity.probability`), verdicts and their
percentages (`ringland.job`). Start with `probability_class_lands`.
"""

from math import exp, inf, isinf, lgamma, log, log1p, pi, sqrt

from ringland.quantity import Estimate
from ringland.quantity.probability import probability_within, standard_below

# A class narrower than this many u is one size: the error is its square over 24, while the exact
# form would divide a difference of rounded numbers by the width.
ONE_SIZE = 1e-3


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
        sign * _integral_ofstandard_below((at - bore.value) / bore.u, bore.dof)
        for at, sign in corners
    )
    # only rounding leaves the span from none to all
    return min(1.0, max(0.0, total * bore.u / (large - small)))


def _density(z: float, dof: float) -> float:
    if isinf(dof):
        return exp(-z * z / 2) / sqrt(2 * pi)
    scale = lgamma((dof + 1) / 2) - lgamma(dof / 2) - log(dof * pi) / 2
    return exp(scale - (dof + 1) / 2 * log1p(z * z / dof))


def _integral_ofstandard_below(z: float, dof: float) -> float:
    """An antiderivative of the distribution function: z F(z) minus that of z f(z)."""
    if dof == inf:
        return z * standard_below(z, dof) + _density(z, dof)
    if abs(dof - 1) < 1e-6:  # the general form divides by dof - 1
        return z * standard_below(z, 1.0) - log1p(z * z) / (2 * pi)
    return z * standard_below(z, dof) + (dof + z * z) / (dof - 1) * _density(z, dof)
