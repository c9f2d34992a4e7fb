"""The ring: gap by the part sheet's rule, how much to file, flutter.

Here: the rule of a ring maker's leaflet (so much per bore), the room left between a gap and its
limits, piston acceleration against the ring-flutter table.
Not here: what a feeler reading is worth (`ringland.measure`), the gap when hot (`hotfit`).
Start with `gap_limits_by_rule`; flutter with `flutter`.
"""

from math import isfinite
from typing import NamedTuple

from ringland.engine.refusal import OutOfRange, mm, require_positive, require_window
from ringland.engine.slider_crank import Crank, piston_acceleration
from ringland.quantity import Estimate

INCH = 0.0254  # m, exact
FOOT = 0.3048  # m, exact

# Ring height -> piston acceleration at which the ring begins to flutter.
# Jennings, Two-Stroke Tuner's Handbook (1973), "Piston acceleration", printed in inch and ft/s².
FLUTTER_TABLE = (
    (0.039 * INCH, 138_000 * FOOT),
    (0.047 * INCH, 106_000 * FOOT),
    (0.063 * INCH, 80_000 * FOOT),
    (0.094 * INCH, 53_000 * FOOT),
    (0.125 * INCH, 40_000 * FOOT),
)
HALF_DIGIT = 0.0005 * INCH  # the table prints its heights to a thousandth of an inch


def gap_limits_by_rule(bore: float, low: float, high: float) -> tuple[float, float]:
    """Gap that a part sheet's rule gives for this bore.

    bore : diameter [m]
    low, high : gap per bore, such as 0.004 and 0.0065 (inch per inch, mm per mm)
    returns : smallest and largest gap [m]
    Raises OutOfRange.

    The ring's part sheet outranks the engine sheet: it is this ring's. Show both.

    >>> [round(gap * 1e3, 3) for gap in gap_limits_by_rule(0.054, 0.0040, 0.0065)]
    [0.216, 0.351]
    """
    require_positive("bore", bore)
    if not (isfinite(high) and 0 < low <= high < 0.05):
        raise OutOfRange(
            "rule",
            f"a gap of {low:g} to {high:g} per bore: above 0, below 0.05, smaller first; a rule "
            "in per cent is divided by 100",
        )
    return bore * low, bore * high


class Filing(NamedTuple):
    """What may come off a ring's end.

    least : to reach the smallest gap [m]; 0 or less: nothing has to come off
    most : until the largest gap [m]; negative: the gap is past it and nothing brings it back
    aim : what to take off for the wanted gap [m]; None where that is nothing or less
    """

    least: float
    most: float
    aim: float | None


def filing(gap: Estimate, limits: tuple[float, float], *, coverage: float = 2.0) -> Filing:
    """How much to file: a little at a time, one end only, measured again.

    gap : as read in the bore, ring square [m]
    limits : smallest and largest gap [m]
    coverage : standard uncertainties by which the aim keeps off the smallest gap (2: about 98 %)
    returns : least, most and the aim: the smallest gap plus coverage × u, what removes least metal
        and is still surely enough; no further than the largest gap
    Raises OutOfRange.

    >>> found = filing(Estimate(0.20e-3, 0.01e-3), (0.25e-3, 0.45e-3))
    >>> round(found.least * 1e3, 3), round(found.aim * 1e3, 3), round(found.most * 1e3, 3)
    (0.05, 0.07, 0.25)
    """
    require_window("gap limits", limits)
    low, high = limits
    if gap.value < 0:
        raise OutOfRange("gap", f"gap is {mm(gap.value)}: give 0 mm or more (0: ends touch)")
    aim = min(low + coverage * gap.u, high) - gap.value
    return Filing(low - gap.value, high - gap.value, aim if aim > 0 else None)


class Flutter(NamedTuple):
    """Piston acceleration at top dead centre against what the ring stands.

    acceleration : [m/s²]
    limit : of the table, for this ring height [m/s²]
    limit_rotation : crank speed at which the limit is reached [rev/s]
    """

    acceleration: float
    limit: float
    limit_rotation: float

    @property
    def is_beyond(self) -> bool:
        """Whether the acceleration exceeds the table's limit."""
        return self.acceleration > self.limit


def flutter_limit(height: float) -> float:
    """Greatest acceleration for a ring of this height.

    height : axial height of the ring [m], inside the table: 0.99 to 3.18 mm
    returns : [m/s²], straight between the table's rows
    Raises OutOfRange outside the table, where it says nothing.

    Source: Jennings (1973), ring-flutter table, which may be interpolated.

    >>> round(flutter_limit(0.0012))
    32188
    """
    rows = FLUTTER_TABLE
    if not rows[0][0] - HALF_DIGIT <= height <= rows[-1][0] + HALF_DIGIT:
        raise OutOfRange(
            "height",
            f"ring height is {mm(height)}: the flutter table holds 0.99 to 3.18 mm (.039 to .125 "
            "in) and says nothing beyond; ask the ring's maker",
        )
    at = sum(height > row[0] for row in rows[1:-1])
    below, above = rows[at], rows[at + 1]
    share = (height - below[0]) / (above[0] - below[0])
    return below[1] + share * (above[1] - below[1])


def flutter(crank: Crank, height: float, rotation: float) -> Flutter:
    """Piston acceleration at top dead centre against the flutter table.

    crank : stroke, rod and offset
    height : axial height of the ring [m]
    rotation : greatest crank speed [rev/s], over-revs included
    Raises OutOfRange.

    Source: exact acceleration of the slider-crank; table of Jennings (1973).

    >>> found = flutter(Crank(0.050, 0.100), 0.0010, 11000 / 60)
    >>> round(found.acceleration / FOOT, -2), found.is_beyond
    (136000.0, False)
    """
    limit = flutter_limit(height)
    per_square = piston_acceleration(crank, 0.0, 1.0)
    return Flutter(piston_acceleration(crank, 0.0, rotation), limit, (limit / per_square) ** 0.5)
