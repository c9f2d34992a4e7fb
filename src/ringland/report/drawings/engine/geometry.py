"""The figures that the cutaway needs, and where they put pin and rod. All lengths in mm.

The slider-crank itself stands in `ringland.engine.slider_crank`.
"""

from collections.abc import Callable
from dataclasses import dataclass
from math import asin, cos, degrees, radians, sin, tan

from ringland.engine.slider_crank import Crank, piston_travel

MM = 1e-3


@dataclass(frozen=True, slots=True)
class Geometry:
    """What is drawn to scale: bore, stroke, rod, deck, port roofs. The rest keeps its proportions.

    deck_clearance : crown edge below the top face at top dead centre
    dome : rise of the crown above its edge; compression_height : pin axis to crown edge
    exhaust_roof, transfer_roof : piston travel at which the port opens
    valve_travel : how far the blade lowers the exhaust's roof; valve_slope : degrees
    """

    bore: float = 53.2
    stroke: float = 56.0
    rod: float = 110.0
    deck_clearance: float = 0.5
    dome: float = 3.0
    compression_height: float = 27.0
    skirt: float = 59.0
    pin: float = 15.0
    barrel: float = 85.6
    exhaust_roof: float = 28.2
    transfer_roof: float = 42.8
    valve_travel: float = 5.2
    valve_slope: float = 25.0


def travel(g: Geometry, angle: float) -> float:
    """Return how far the piston stands below top dead centre [mm] at an angle [degrees].

    >>> round(travel(Geometry(rod=106.0), 90.0), 3)  # not half the stroke: the rod leans
    31.765
    """
    return piston_travel(Crank(g.stroke * MM, g.rod * MM), radians(angle)) / MM


def rod_angle(g: Geometry, angle: float) -> float:
    """Return how far the rod leans from the bore axis [degrees]."""
    return degrees(asin(g.stroke / 2 * sin(radians(angle)) / g.rod))


def slot(g: Geometry, roof: float) -> tuple[Callable[[float], float], float]:
    """Return the upper line of the valve's slot (y at x) and its height along y."""
    slope, thick = tan(radians(g.valve_slope)), 5.0 / cos(radians(g.valve_slope))
    return (lambda x: roof + (-g.bore / 2 - x) * slope), thick
