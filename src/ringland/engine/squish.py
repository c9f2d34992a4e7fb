"""Squish from solder at four points, from deck and gasket, and the speed of the squished charge.

The piston rocks about its pin, so that the exhaust and intake points read one high and one low:
each pair of opposite points is averaged. Ignition and clutch side lie on the pin's axis, where the
piston cannot rock: their difference is judged.
Not here: which gasket to fit (`stack`), limits (`ringland.sheet`).
Start with `squish_from_solder`.
"""

from collections.abc import Mapping
from math import inf, pi, sqrt
from typing import NamedTuple

from ringland.engine.refusal import OutOfRange, mm, require_positive
from ringland.engine.slider_crank import Crank, piston_speed, piston_travel
from ringland.engine.volumes import bore_area
from ringland.quantity import Estimate
from ringland.quantity.checked import checked

# opposite points: across the pin's axis (the piston rocks), along it (it cannot)
PAIRS = (("EX", "IN"), ("IGN", "CL"))


class Squish(NamedTuple):
    """Squish from solder.

    height : mean of the opposite points [m]
    rock : exhaust less intake point [m]: how the piston lay, not a fault
    spread : ignition less clutch point [m]: a tilted head, barrel or rod; None where not taken
    thinnest : least height once the rock is taken out, at the low side of the spread [m]
    """

    height: Estimate
    rock: Estimate | None
    spread: Estimate | None
    thinnest: float


def squish_from_solder(
    points: Mapping[str, Estimate], *, u_shared: float = 0.0, solder: float | None = None
) -> Squish:
    """Squish from solder crushed at opposite points of the band.

    points : thickness left [m] by place: "EX", "IN", "IGN", "CL"; both of a pair, one pair at least
    u_shared : standard uncertainty that all points share, such as the micrometer's setting [m]
    solder : thickness of the fresh solder [m]; a point that was not squeezed is refused
    returns : height, rock and spread, each with its doubt
    Raises OutOfRange.

    Source: JCGM 100:2008, 5.1.2 and G.4.1; averaging across the pin is common practice.

    >>> u = 0.015e-3
    >>> found = squish_from_solder(
    ...     {place: Estimate(read * 1e-3, u)
    ...      for place, read in {"EX": 1.24, "IN": 1.16, "IGN": 1.19, "CL": 1.21}.items()}
    ... )
    >>> round(found.height.value * 1e3, 3), round(found.height.u * 1e3, 4)
    (1.2, 0.0075)
    """
    _check_points(points, solder)
    pairs = [(points[a], points[b]) for a, b in PAIRS if a in points]
    taken = [point for pair in pairs for point in pair]
    value = sum(point.value for point in taken) / len(taken)
    own = _root_sum(taken, 1 / len(taken))
    height = Estimate(value, sqrt(own**2 + u_shared**2), _dof(taken, 1 / len(taken), u_shared))
    rock, spread = (_difference(points, a, b) for a, b in PAIRS)
    lean = abs(spread.value) / 2 if spread else 0.0
    return Squish(height, rock, spread, value - lean)


def _check_points(points: Mapping[str, Estimate], solder: float | None) -> None:
    known = [place for pair in PAIRS for place in pair]
    for place, point in points.items():
        if place not in known:
            raise OutOfRange(place, f"{place!r} is no place of the band: {', '.join(known)}")
        require_positive(place, point.value)
        if solder is not None and point.value >= solder:
            raise OutOfRange(
                place,
                f"{place} reads {mm(point.value)}, but the solder was {mm(solder)} thick: it was "
                "not squeezed there. Take thicker solder",
            )
    for a, b in PAIRS:
        if (a in points) != (b in points):
            there, missing = (a, b) if a in points else (b, a)
            raise OutOfRange(
                missing,
                f"{there} was read, {missing} was not: one side alone says nothing, because the "
                f"piston or the head may lean. Take the {missing} point too",
            )
    if not points:
        raise OutOfRange("points", "no point was read: take EX and IN, and IGN and CL")


def _difference(points: Mapping[str, Estimate], a: str, b: str) -> Estimate | None:
    if a not in points:
        return None
    pair = [points[a], points[b]]
    return Estimate(pair[0].value - pair[1].value, _root_sum(pair, 1.0), _dof(pair, 1.0, 0.0))


def _root_sum(taken: list[Estimate], weight: float) -> float:
    return weight * sqrt(sum(point.u**2 for point in taken))


def _dof(taken: list[Estimate], weight: float, u_shared: float) -> float:
    """Welch-Satterthwaite, JCGM 100, G.4.1; the shared part is taken as known."""
    total = (_root_sum(taken, weight) ** 2 + u_shared**2) ** 2
    parts = sum((weight * point.u) ** 4 / point.dof for point in taken)
    return total / parts if parts else inf


def squish_from_deck(deck: Estimate, head_gasket: float, *, recess: float = 0.0) -> Estimate:
    """Squish from the deck height, where no solder is crushed.

    deck : crown's edge below the barrel's top face at top dead centre [m], mean of exhaust and
        intake side; negative where it stands proud
    head_gasket : its thickness when tightened [m]; 0 for an O-ring head
    recess : how far the band lies back from the head's sealing face [m], negative where it stands
        into the bore
    returns : squish [m] with the deck's doubt
    Raises OutOfRange where piston and head would meet.

    Source: addition of heights. It takes the band to be parallel to the crown.

    >>> round(squish_from_deck(Estimate(0.0002, 1e-5), 0.0005, recess=0.0004).value * 1e3, 2)
    1.1
    """
    height = deck.value + head_gasket + recess
    if not height > 0:
        raise OutOfRange(
            "deck",
            f"deck {mm(deck.value)}, gasket {mm(head_gasket)} and recess {mm(recess)} leave "
            f"{mm(height)}: piston and head would meet; check the signs, do not turn the engine",
        )
    return Estimate(height, deck.u, deck.dof)


@checked
class Chamber(NamedTuple):
    """A chamber with a squish band around a bowl in the head.

    bore : diameter [m]
    bowl : diameter of the bowl, where the band ends [m]
    clearance : whole clearance volume [m³]
    squish : height of the band at top dead centre [m]
    """

    bore: float
    bowl: float
    clearance: float
    squish: float

    def check(self) -> None:
        require_positive("bore", self.bore)
        require_positive("squish", self.squish)
        if not 0 < self.bowl < self.bore:
            raise OutOfRange(
                "bowl", f"bowl is {mm(self.bowl)}: above 0 mm and below the bore, {mm(self.bore)}"
            )
        if not self.bowl_volume > 0:
            raise OutOfRange(
                "clearance",
                f"clearance is {self.clearance * 1e6:g} mL, less than the squish over the whole "
                f"bore, {bore_area(self.bore) * self.squish * 1e6:.3g} mL: measure both again",
            )

    @property
    def bowl_volume(self) -> float:
        """Volume of the bowl above the plane of the band [m³]."""
        return self.clearance - bore_area(self.bore) * self.squish


def squish_speed(chamber: Chamber, crank: Crank, angle: float, rotation: float) -> float:
    """Speed at which the charge leaves the band into the bowl.

    chamber : bore, bowl, clearance volume and squish
    crank : stroke, rod and offset
    angle : crank angle [rad after top dead centre], negative before it
    rotation : crank speed [rev/s]
    returns : speed [m/s] at the bowl's edge, positive inward

    Range: exhaust closed, unburnt; equal density everywhere, band flat, no leak and no friction, so
    that it is an upper bound for comparing heads.
    Source: balance of mass, as in Heywood, Internal Combustion Engine Fundamentals (1988), eq.
    (8.36), from memory; derived again here and checked against an integral of the balance.

    >>> from math import radians
    >>> chamber = Chamber(bore=0.0532, bowl=0.0380, clearance=10.4e-6, squish=0.0010)
    >>> round(squish_speed(chamber, Crank(0.056, 0.105), radians(-10), 11000 / 60), 1)
    29.6
    """
    B, D_b, V_b = chamber.bore, chamber.bowl, chamber.bowl_volume
    z = chamber.squish + piston_travel(crank, angle)
    upward = -piston_speed(crank, angle, rotation)
    narrowing = D_b / (4 * z) * ((B / D_b) ** 2 - 1)
    return upward * narrowing * V_b / (bore_area(B) * z + V_b)


def greatest_squish_speed(chamber: Chamber, crank: Crank, rotation: float) -> tuple[float, float]:
    """Greatest speed of the squished charge before top dead centre, and where.

    chamber, crank, rotation : as of `squish_speed`
    returns : speed [m/s], angle [rad after top dead centre], negative

    Source: golden section over the last quarter turn, where the speed has one hump.

    >>> chamber = Chamber(bore=0.0532, bowl=0.0380, clearance=10.4e-6, squish=0.0010)
    >>> speed, angle = greatest_squish_speed(chamber, Crank(0.056, 0.105), 11000 / 60)
    >>> round(speed, 1), round(angle * 180 / pi, 1)
    (29.7, -10.6)
    """
    shrink = (sqrt(5) - 1) / 2
    low, high = -pi / 2, 0.0
    for _ in range(50):  # pi/2 shrunk 50 times is below 1e-10 rad
        a, b = high - shrink * (high - low), low + shrink * (high - low)
        rising = squish_speed(chamber, crank, a, 1.0) < squish_speed(chamber, crank, b, 1.0)
        low, high = (a, high) if rising else (low, b)
    return squish_speed(chamber, crank, low, rotation), low
