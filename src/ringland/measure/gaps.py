"""Feeler leaves and gaps: what goes, what does not, and what follows.

Here: which thicknesses a set of leaves can show, the interval from what goes and what does not, its
estimate, the largest of several lines under a straightedge, end gap from a rule per bore and from a
change of bore.
Not here: what an interval proves (`conformance.interval_verdict`), hot gaps (`ringland.engine`).
Start with `leaf_interval`. No arrays.
"""

from collections.abc import Sequence
from itertools import combinations
from math import fsum, isfinite, pi

from ringland.measure.conformance import Interval
from ringland.measure.estimates import Contribution, MeasureError, add_up, between
from ringland.quantity.estimate import Estimate

SAME_LEAF = 1e-9  # m; two thicknesses this close are the same leaf typed in another unit
MOST_STACKED = 3  # common practice: more leaves in one stack trap air and oil


def leaf_interval(goes: Sequence[float], stops: Sequence[float]) -> Interval:
    """Interval of a gap from the leaves (or stacks) that went in and those that did not.

    goes : thicknesses that entered [m]; stops : thicknesses that did not [m]; one of them not empty
    returns : from the thickest that goes (included) to the thinnest that does not (excluded)
    Raises MeasureError for a thickness not above zero; ValueError where a leaf that goes is as
    thick as one that does not.

    >>> leaf_interval([0.00030, 0.00035], [0.00040])
    Interval(low=0.00035, high=0.0004)
    """
    for each in (*goes, *stops):
        if not (isfinite(each) and each > 0):
            raise MeasureError(f"a leaf is thicker than 0, not {each:g} m")
    return Interval(max(goes, default=None), min(stops, default=None))


def estimate_of_interval(interval: Interval, *, feel: float = 0.0) -> Estimate:
    """Estimate of a value that lies between two leaves, every place equally likely.

    interval : closed at both ends; feel : standard uncertainty of leaf and hand [m], 0 for none
    returns : the middle, with u = width/√12 and the feel added
    Raises MeasureError for an open end: nothing says how far it runs.

    Source: JCGM 100:2008, 4.3.7.

    >>> round(estimate_of_interval(Interval(0.35, 0.40)).u, 4)
    0.0144
    """
    if interval.low is None or interval.high is None:
        end = "thicker" if interval.high is None else "thinner"
        raise MeasureError(f"one end is open: try the next {end} leaf")
    step = between(interval.low, interval.high)
    lines = [Contribution("step between leaves", step.u), Contribution("feel", feel)]
    return add_up(step.value, lines).estimate


def stack_of(
    thickness: float, leaves: Sequence[float], *, most: int = MOST_STACKED
) -> tuple[float, ...] | None:
    """The leaf, or the fewest leaves together, that make a thickness.

    thickness : what was read [m]; leaves : thickness of each leaf in the set [m]
    most : leaves in one stack at the most
    returns : the leaves, thinnest first; None where the set cannot show this thickness

    >>> stack_of(0.00055, [0.00005, 0.0002, 0.0003, 0.0005])
    (5e-05, 0.0005)
    """
    for count in range(1, most + 1):
        for stack in combinations(sorted(leaves), count):
            if abs(fsum(stack) - thickness) < SAME_LEAF:
                return stack
    return None


def next_thicker(
    thickness: float, leaves: Sequence[float], *, most: int = MOST_STACKED
) -> float | None:
    """The next thickness above one that goes, which the set can show: the leaf to try next.

    thickness : what went in [m]; leaves : the set [m]; most : leaves in one stack
    returns : thickness [m], None at the end of the set

    >>> next_thicker(0.00030, [0.00005, 0.00030, 0.00040])
    0.00035
    """
    sums = {
        round(fsum(stack), 9)
        for count in range(1, most + 1)
        for stack in combinations(leaves, count)
    }
    return min((each for each in sums if each > thickness + SAME_LEAF), default=None)


def largest_of(lines: Sequence[Interval]) -> Interval:
    """Interval of the largest gap over several lines, as a straightedge on a face gives it.

    lines : one interval per line or place
    returns : the largest low end; the largest high end, open if one line's is
    Raises MeasureError for no line.

    >>> largest_of([Interval(None, 0.03), Interval(0.05, 0.08)])
    Interval(low=0.05, high=0.08)
    """
    if not lines:
        raise MeasureError("no line is given: lay the straightedge along at least one")
    highs = [line.high for line in lines if line.high is not None]
    return Interval(
        max((line.low for line in lines if line.low is not None), default=None),
        max(highs) if len(highs) == len(lines) else None,
    )


def gap_change(bore_change: float) -> float:
    """Change of a ring's end gap between two heights of the bore.

    bore_change : difference of the two diameters [m], signed
    returns : difference of the gaps [m]. Source: circumference, π times the diameter.

    >>> round(gap_change(10e-6), 7)
    3.14e-05
    """
    return pi * bore_change
