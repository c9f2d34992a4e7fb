"""The slider-crank, exact both ways: crank angle <-> piston travel, speed, acceleration.

Angles are in radian after top dead centre, where the degree wheel is zeroed; travel is in metre
down from top dead centre. With an offset between pin path and crank centre, bottom dead centre no
longer stands half a turn later, and down and up stroke differ.
Not here: ports (`ports`), forces, the two-term series (it is a tenth of a millimetre out near 90°).
Start with `Crank`, then `piston_travel` and its inverses `angle_going_down`, `angle_going_up`.
"""

from math import asin, atan2, cos, pi, sin, sqrt
from typing import NamedTuple

from ringland.engine.refusal import OutOfRange, mm, require_positive
from ringland.quantity.checked import checked

FASTEST = 1000.0  # rev/s, 60 000 rpm: no crank of this trade comes near it; more is a slip of unit


@checked
class Crank(NamedTuple):
    """One cylinder's crank train.

    stroke : travel from top to bottom dead centre [m]
    rod : length between the centres of the eyes [m]
    offset : how far the pin's path runs beside the crank's centre [m], positive towards the side
        to which the crank moves from top dead centre (a bore set over to the thrust side, or the
        same by a set-over pin)
    Raises OutOfRange where such a crank cannot turn.
    """

    stroke: float
    rod: float
    offset: float = 0.0

    def check(self) -> None:
        require_positive("stroke", self.stroke)
        require_positive("rod", self.rod)
        reach = self.stroke / 2 + abs(self.offset)
        if not self.rod > reach:
            raise OutOfRange(
                "rod",
                f"rod is {mm(self.rod)}, but half the stroke with the offset is {mm(reach)}: "
                f"a rod is longer than that (commonly 1.7 to 2.1 × the stroke); measure it "
                "between the centres of its eyes",
            )
        if not self.rod - self.throw > abs(self.offset):
            raise OutOfRange(
                "offset", f"offset is {mm(self.offset)}: the crank cannot pass bottom dead centre"
            )

    @property
    def throw(self) -> float:
        """Crank radius [m]; half the stroke only where the offset is zero."""
        S, L, e = self.stroke, self.rod, self.offset
        return S / 2 * sqrt((4 * (L * L - e * e) - S * S) / (4 * L * L - S * S))

    @property
    def _top(self) -> float:
        """Angle of the throw at top dead centre, from the direction of the pin's path."""
        return asin(self.offset / (self.rod + self.throw))


def bottom_dead_centre(crank: Crank) -> float:
    """Angle of bottom dead centre [rad after top dead centre]; pi where the offset is zero.

    Source: throw and rod in one line.

    >>> round(bottom_dead_centre(Crank(0.056, 0.105)), 12) == round(pi, 12)
    True
    """
    return pi + asin(crank.offset / (crank.rod - crank.throw)) - crank._top


def piston_travel(crank: Crank, angle: float) -> float:
    """How far the piston stands below top dead centre.

    crank : stroke, rod and offset
    angle : crank angle [rad] after top dead centre, any number of turns
    returns : travel [m], 0 to the stroke

    Source: x = r (cos t - cos p) + sqrt(L² - s_t²) - sqrt(L² - s_p²) with s = r sin - e at top (t)
    and here (p); without offset x = r (1 - cos) + L - sqrt(L² - r² sin²). Written with half angles,
    so that no digits are lost near top dead centre.

    >>> round(piston_travel(Crank(0.056, 0.105), pi / 2) * 1e3, 3)
    31.802
    """
    r, L, e, t = crank.throw, crank.rod, crank.offset, crank._top
    half = sin(angle / 2)
    s_t, s = r * sin(t) - e, r * sin(t + angle) - e
    level = 2 * r * sin(t + angle / 2) * half
    lean = 2 * r * cos(t + angle / 2) * half * (s + s_t)
    return level + lean / (sqrt(L * L - s * s) + sqrt(L * L - s_t * s_t))


def angle_going_down(crank: Crank, travel: float) -> float:
    """Crank angle at which the piston passes a height on its way down.

    crank : stroke, rod and offset
    travel : piston below top dead centre [m], 0 to the stroke
    returns : angle [rad after top dead centre], 0 to bottom dead centre
    Raises OutOfRange outside the stroke.

    Source: law of cosines in the triangle of throw, rod and pin height, in its half-angle form.

    >>> from math import degrees
    >>> round(degrees(angle_going_down(Crank(0.056, 0.105), 0.0318022)), 2)
    90.0
    """
    lean, between = _triangle(crank, travel)
    return lean + between - crank._top


def angle_going_up(crank: Crank, travel: float) -> float:
    """Crank angle at which the piston passes a height on its way up.

    crank : stroke, rod and offset
    travel : piston below top dead centre [m], 0 to the stroke
    returns : angle [rad after top dead centre], bottom dead centre to a full turn
    Raises OutOfRange outside the stroke.

    Source: as `angle_going_down`, the other of the two triangles.

    >>> from math import degrees
    >>> round(degrees(angle_going_up(Crank(0.056, 0.105), 0.0318022)), 2)
    270.0
    """
    lean, between = _triangle(crank, travel)
    return 2 * pi + lean - between - crank._top


def _triangle(crank: Crank, travel: float) -> tuple[float, float]:
    """Angles at the crank's centre: from the pin's path to the pin, and from the pin to the throw."""
    r, L, e = crank.throw, crank.rod, crank.offset
    if not 0 <= travel <= crank.stroke:
        raise OutOfRange(
            "travel",
            f"{mm(travel)} below top dead centre is outside the stroke: 0 mm to {mm(crank.stroke)}",
        )
    height = sqrt((L + r) ** 2 - e * e) - travel
    d = sqrt(e * e + height * height)
    # (L + r)² - d² and d² - (l - r)² from travel itself: their differences would lose digits
    from_top = travel * (2 * height + travel)
    left = crank.stroke - travel
    from_bottom = left * (2 * height - left)
    between = 2 * atan2(sqrt(from_top) * (d + L - r), sqrt(from_bottom) * (d + L + r))
    return atan2(e, height), between


def piston_speed(crank: Crank, angle: float, rotation: float) -> float:
    """Speed of the piston, positive downward.

    crank : stroke, rod and offset
    angle : crank angle [rad after top dead centre]
    rotation : crank speed [rev/s], not negative
    returns : speed [m/s]

    Source: first derivative of `piston_travel`.

    >>> round(piston_speed(Crank(0.050, 0.100), pi / 2, 11000 / 60), 2)
    28.8
    """
    r, L, p = crank.throw, crank.rod, crank._top + angle
    s = r * sin(p) - crank.offset
    q = sqrt(L * L - s * s)
    return _omega(rotation) * (r * sin(p) + s * r * cos(p) / q)


def piston_acceleration(crank: Crank, angle: float, rotation: float) -> float:
    """Acceleration of the piston, positive downward.

    crank : stroke, rod and offset
    angle : crank angle [rad after top dead centre]
    rotation : crank speed [rev/s], not negative
    returns : acceleration [m/s²]; greatest at top dead centre, where without offset it is
        r w² (1 + r/L)

    Source: second derivative of `piston_travel`.

    >>> round(piston_acceleration(Crank(0.050, 0.100), 0.0, 11000 / 60))
    41466
    """
    r, L, p = crank.throw, crank.rod, crank._top + angle
    s, c = r * sin(p) - crank.offset, r * cos(p)
    q = sqrt(L * L - s * s)
    return _omega(rotation) ** 2 * (c + (c * c - s * r * sin(p)) / q + (s * c) ** 2 / q**3)


def mean_piston_speed(stroke: float, rotation: float) -> float:
    """Mean speed of the piston, 2 S n.

    stroke : [m]
    rotation : crank speed [rev/s]
    returns : speed [m/s]

    >>> round(mean_piston_speed(0.056, 11000 / 60), 2)
    20.53
    """
    require_positive("stroke", stroke)
    _omega(rotation)
    return 2 * stroke * rotation


def greatest_piston_speed(crank: Crank, rotation: float) -> tuple[float, float]:
    """Greatest speed on the way down, and where.

    crank : stroke, rod and offset
    rotation : crank speed [rev/s]
    returns : speed [m/s], angle [rad after top dead centre]

    Source: where the acceleration changes sign, found by halving.

    >>> speed, angle = greatest_piston_speed(Crank(0.050, 0.100), 11000 / 60)
    >>> round(speed, 2), round(angle * 180 / pi, 1)
    (29.69, 76.7)
    """
    low, high = 0.0, bottom_dead_centre(crank)
    for _ in range(60):  # 3.2 rad halved 60 times is below one unit in the last place
        middle = (low + high) / 2
        low, high = (middle, high) if piston_acceleration(crank, middle, 1.0) > 0 else (low, middle)
    return piston_speed(crank, low, rotation), low


def _omega(rotation: float) -> float:
    if not 0 <= rotation <= FASTEST:
        raise OutOfRange(
            "speed",
            f"speed is {rotation * 60:g} rpm: from 0 to {FASTEST * 60:g} rpm is taken; check the unit",
        )
    return 2 * pi * rotation
