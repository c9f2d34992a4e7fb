"""Cross-hatch from spindle speed and stroke, and back; how it changes along the bore.

The angle here is the included angle that the two families of scratches make across the bore: a line
that leans 22.5° up from square to the axis, and its mirror image, make 45°.
Not here: the angle from a photo, roughness. A plated bore is never honed to size.
Start with `crosshatch`.
"""

from math import atan2, isfinite, pi, sqrt, tan
from typing import Literal, NamedTuple

from ringland.engine.refusal import OutOfRange, mm, require_positive
from ringland.quantity.checked import checked

# "even": constant axial speed between reversals; "crank": stroked by a crank, sinusoidal
Motion = Literal["even", "crank"]


@checked
class Honing(NamedTuple):
    """A honing set-up.

    bore : diameter [m]
    stroke : travel of the stones' middle, one way [m]
    spindle : spindle speed [rev/s]
    motion : "even" or "crank"
    """

    bore: float
    stroke: float
    spindle: float
    motion: Motion = "even"

    def check(self) -> None:
        require_positive("bore", self.bore)
        require_positive("stroke", self.stroke)
        _require_rate("spindle", self.spindle)


def crosshatch(honing: Honing, rate: float, *, place: float = 0.0) -> float:
    """Included cross-hatch angle.

    honing : bore, stroke, spindle speed and motion
    rate : double strokes [1/s], above 0 (60 a minute is 1)
    place : distance from the middle of the stroke [m], within half the stroke
    returns : angle [rad]; with "crank" it falls to 0 at the reversals, with "even" it is the same
        all along, but for the reversals themselves
    Raises OutOfRange.

    Source: kinematics, tan(angle/2) = axial speed / (pi d n), the common practice of honing.

    >>> from math import degrees
    >>> round(degrees(crosshatch(Honing(0.054, 0.060, 150 / 60), 60 / 60)), 1)
    31.6
    """
    _require_rate("rate", rate)
    axial = _axial_speed(honing, rate, place)
    return 2 * atan2(axial, pi * honing.bore * honing.spindle)


def _axial_speed(honing: Honing, rate: float, place: float) -> float:
    off = 2 * place / honing.stroke
    if not -1 <= off <= 1:
        raise OutOfRange(
            "place",
            f"{mm(place)} from the middle is past the end of the stroke: within "
            f"±{mm(honing.stroke / 2)}",
        )
    if honing.motion == "even":
        return 2 * honing.stroke * rate
    return pi * honing.stroke * rate * sqrt(1 - off * off)


def rate_for(honing: Honing, angle: float) -> float:
    """Double strokes for a wanted angle, at the middle of the stroke.

    honing : bore, stroke, spindle speed and motion
    angle : included angle [rad], above 0 and below pi
    returns : double strokes [1/s]
    Raises OutOfRange.

    >>> from math import radians
    >>> round(rate_for(Honing(0.054, 0.060, 150 / 60), radians(45)) * 60, 1)
    87.8
    """
    if not 0 < angle < pi:
        raise OutOfRange(
            "angle",
            f"a cross-hatch of {angle * 180 / pi:g}° is none: above 0° and below 180°; common "
            "practice is 30° to 60°",
        )
    per_rate = _axial_speed(honing, 1.0, 0.0)
    return tan(angle / 2) * pi * honing.bore * honing.spindle / per_rate


def profile(honing: Honing, rate: float, count: int = 9) -> list[tuple[float, float]]:
    """Angle at evenly spaced places along the stroke.

    honing, rate : as of `crosshatch`
    count : places, 2 or more
    returns : pairs of distance from the middle of the stroke [m] and angle [rad]

    >>> [round(angle * 180 / pi) for _, angle in profile(Honing(0.054, 0.06, 2.5, "crank"), 1.0, 5)]
    [0, 42, 48, 42, 0]
    """
    step = honing.stroke / (count - 1)
    places = [-honing.stroke / 2 + step * number for number in range(count - 1)]
    places.append(honing.stroke / 2)  # exactly, whatever the steps sum to
    return [(place, crosshatch(honing, rate, place=place)) for place in places]


def _require_rate(name: str, rate: float) -> None:
    if not (isfinite(rate) and rate > 0):
        raise OutOfRange(name, f"{name} is {rate * 60:g} a minute: give more than 0")
