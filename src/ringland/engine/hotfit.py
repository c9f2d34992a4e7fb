"""Fits from cold to hot: piston clearance, ring end gap, the cold gap at which the ends just touch.

Here: plain growth of round parts, each at one temperature, with the doubt that materials and
temperatures bring. A hot piston in a cold bore is one of the conditions.
Not here: the ground shape of a piston, distortion of a barrel, oil film. So no figure here is a
permission: the maker's minimum stands, and a computed gap is shown beside it.
Start with `hot_clearance` and `hot_gap`; assumed temperatures are in `CONDITIONS`.
"""

from math import pi, sqrt
from typing import NamedTuple

from ringland.engine.expansion import ZERO_CELSIUS, Part, require_temperature
from ringland.engine.refusal import OutOfRange, mm, require_positive
from ringland.quantity import Estimate

COLD = 20.0 + ZERO_CELSIUS  # K, reference temperature, ISO 1:2016


class Condition(NamedTuple):
    """Temperatures of a way of running [K]: bore wall, piston skirt, ring."""

    name: str
    bore: float
    skirt: float
    ring: float


# Assumed here for comparison, not measured on this engine. A wall 20 to 30 K above its coolant, 120
# to 140 °C at full load, is measured practice; skirt and ring are common practice.
CONDITIONS = (
    Condition("warm, steady", 120 + ZERO_CELSIUS, 150 + ZERO_CELSIUS, 180 + ZERO_CELSIUS),
    Condition("hard, well cooled", 110 + ZERO_CELSIUS, 170 + ZERO_CELSIUS, 230 + ZERO_CELSIUS),
    Condition("hot piston, cold bore", COLD, 100 + ZERO_CELSIUS, 200 + ZERO_CELSIUS),
)
ASSUMED_HALF_WIDTH = 20.0  # K, how far an assumed temperature may be off


def hot_clearance(
    bore: float, clearance: Estimate, *, cylinder: Part, piston: Part, cold: float = COLD
) -> Estimate:
    """Clearance of the skirt when bore and piston are at their temperatures.

    bore : diameter cold [m]
    clearance : measured cold, bore less piston [m]
    cylinder, piston : expansion and temperature of each
    cold : temperature of both when measured [K]
    returns : clearance [m]; negative where plain growth has used it up. A round and uniformly hot
        piston is a worst case: skirts are ground so as to leave room, and close fits in places
        are measured in normal running too (Murakami & Ishihara, Bulletin of JSME 26 (1983) 1914)
    Raises OutOfRange.

    Source: linear expansion, B(1 + a_c dT_c) - P(1 + a_p dT_p); JCGM 100:2008, 5.1.2.

    >>> from ringland.engine.expansion import part_of
    >>> found = hot_clearance(
    ...     0.054, Estimate(50e-6, 2e-6),
    ...     cylinder=part_of("cast aluminium", 393.15), piston=part_of("Al-12Si", 423.15),
    ... )
    >>> round(found.value * 1e6, 1)
    18.8
    """
    diameter = _piston(bore, clearance)
    wall, skirt = _strains(cylinder, piston, cold)
    value = clearance.value + bore * wall.value - diameter * skirt.value
    parts = ((1 + skirt.value) * clearance.u, bore * wall.u, diameter * skirt.u)
    return Estimate(value, _root_sum(*parts))


def touching_skirt_temperature(
    bore: float, clearance: Estimate, *, cylinder: Part, piston: Part, cold: float = COLD
) -> Estimate:
    """Skirt temperature at which plain growth uses the clearance up.

    bore, clearance, cylinder, cold : as of `hot_clearance`
    piston : its expansion counts, its temperature does not
    returns : temperature [K]

    Source: `hot_clearance` set to zero.

    >>> from ringland.engine.expansion import part_of
    >>> found = touching_skirt_temperature(
    ...     0.054, Estimate(50e-6, 2e-6),
    ...     cylinder=part_of("cast aluminium", 293.15), piston=part_of("Al-12Si", 293.15),
    ... )
    >>> round(found.value - 273.15, 1)
    64.1
    """
    diameter = _piston(bore, clearance)
    wall = cylinder.strain(cold)
    grown = (clearance.value + bore * wall.value) / diameter
    rise = grown / piston.expansion.value
    parts = (
        (1 + grown) / diameter * clearance.u / piston.expansion.value,
        bore / diameter * wall.u / piston.expansion.value,
        rise * piston.expansion.u / piston.expansion.value,
    )
    return Estimate(cold + rise, _root_sum(*parts))


def gap_closing(bore: float, *, cylinder: Part, ring: Part, cold: float = COLD) -> Estimate:
    """How much a ring's ends close from cold to hot; negative where they open.

    bore : diameter cold [m]
    cylinder, ring : expansion and temperature of each
    cold : temperature of both when measured [K]
    returns : closing [m], for a ring that fills the circle

    Source: pi B (a_r dT_r - a_c dT_c).

    >>> from ringland.engine.expansion import part_of
    >>> found = gap_closing(
    ...     0.054,
    ...     cylinder=part_of("cast aluminium", 293.15), ring=part_of("grey iron", 473.15),
    ... )
    >>> round(found.value * 1e3, 3)
    0.348
    """
    require_positive("bore", bore)
    wall, grown = _strains(cylinder, ring, cold)
    return Estimate(pi * bore * (grown.value - wall.value), pi * bore * _root_sum(grown.u, wall.u))


def hot_gap(
    bore: float, gap: Estimate, *, cylinder: Part, ring: Part, cold: float = COLD
) -> Estimate:
    """End gap of a ring in its bore when both are at their temperatures.

    bore : diameter cold, where the gap was read [m]
    gap : measured cold, ring square in the bore [m], 0 or more
    cylinder, ring, cold : as of `gap_closing`
    returns : gap [m]; negative where the ends have met and the ring is pressed
    Raises OutOfRange.

    Source: circle less ring, pi B (1 + a_c dT_c) - (pi B - g)(1 + a_r dT_r).

    >>> from ringland.engine.expansion import part_of
    >>> found = hot_gap(
    ...     0.054, Estimate(0.30e-3, 0.01e-3),
    ...     cylinder=part_of("cast aluminium", 393.15), ring=part_of("grey iron", 453.15),
    ... )
    >>> round(found.value * 1e3, 3)
    0.356
    """
    require_positive("bore", bore)
    if not 0 <= gap.value < pi * bore:
        raise OutOfRange("gap", f"gap is {mm(gap.value)}: 0 mm or more, less than the ring's round")
    wall, grown = _strains(cylinder, ring, cold)
    circle, length = pi * bore, pi * bore - gap.value
    value = gap.value + circle * wall.value - length * grown.value
    parts = ((1 + grown.value) * gap.u, circle * wall.u, length * grown.u)
    return Estimate(value, _root_sum(*parts))


def touching_gap(bore: float, *, cylinder: Part, ring: Part, cold: float = COLD) -> Estimate:
    """Cold gap at which the ends would just touch when hot: `hot_gap` is zero.

    bore, cylinder, ring, cold : as of `gap_closing`
    returns : cold gap [m]; zero or less where the ends open in this condition

    It is a figure to compare with, never a gap to fit: the maker's minimum stands, because it also
    holds for temperatures and bores that were not thought of here.

    Source: `hot_gap` solved for the gap.

    >>> from ringland.engine.expansion import part_of
    >>> found = touching_gap(
    ...     0.054,
    ...     cylinder=part_of("cast aluminium", 293.15), ring=part_of("grey iron", 473.15),
    ... )
    >>> round(found.value * 1e3, 3), round(found.u * 1e3, 3)
    (0.347, 0.01)
    """
    require_positive("bore", bore)
    wall, grown = _strains(cylinder, ring, cold)
    length = 1 + grown.value
    value = pi * bore * (grown.value - wall.value) / length
    parts = (wall.u / length, grown.u * (1 + wall.value) / length**2)
    return Estimate(value, pi * bore * _root_sum(*parts))


def _piston(bore: float, clearance: Estimate) -> float:
    require_positive("bore", bore)
    diameter = bore - clearance.value
    if not abs(clearance.value) < bore / 20:
        raise OutOfRange(
            "clearance",
            f"clearance is {mm(clearance.value)} in a bore of {mm(bore)}: no piston fits so; "
            "check the unit",
        )
    return diameter


def _strains(outer: Part, inner: Part, cold: float) -> tuple[Estimate, Estimate]:
    require_temperature("cold", cold)
    return outer.strain(cold), inner.strain(cold)


def _root_sum(*parts: float) -> float:
    return sqrt(sum(part * part for part in parts))
