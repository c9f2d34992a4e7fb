"""Port windows from heights: when each port opens and closes, blowdown, what a gasket changes.

A height is given as the travel of the piston, from top dead centre, at which the edge that governs
the port passes it: the roof of an exhaust, transfer or boost port and the crown's edge; the floor
of a skirt-controlled intake and the skirt's lower edge. The two heights of an exhaust with a power
valve are two ports here.
Not here: areas and time-areas, reed or disc valves (no piston edge governs them).
Start with `Port` and `window`.
"""

from collections.abc import Sequence
from math import pi
from typing import Literal, NamedTuple

from ringland.engine.refusal import OutOfRange, mm
from ringland.engine.slider_crank import (
    Crank,
    angle_going_down,
    angle_going_up,
    piston_travel,
)

Role = Literal["exhaust", "transfer", "intake"]


class Port(NamedTuple):
    """A port and its governing edge.

    name : as on the sheet, such as "exhaust, valve closed"
    travel : piston below top dead centre where the edge is passed [m]
    role : "exhaust", "transfer" (boost ports too) or "intake" (by the skirt, open around top dead
        centre; the two others are open around bottom dead centre)
    """

    name: str
    travel: float
    role: Role


class Window(NamedTuple):
    """When a port is open. Angles in rad after top dead centre; an intake opens before it,
    and closes after it, so that its `opens` is negative."""

    port: Port
    opens: float
    closes: float

    @property
    def duration(self) -> float:
        """Crank angle for which the port is open [rad]."""
        return self.closes - self.opens


class Blowdown(NamedTuple):
    """Lead of an exhaust over the transfer that opens first [rad]; negative where it lags."""

    exhaust: str
    transfer: str
    angle: float


def window(crank: Crank, port: Port) -> Window:
    """When a port opens and closes.

    crank : stroke, rod and offset
    port : its governing edge; travel above 0 and below the stroke
    returns : the window, angles in rad after top dead centre
    Raises OutOfRange for an edge at or past either dead centre.

    Source: geometry, `slider_crank`.

    >>> from math import degrees
    >>> round(degrees(window(Crank(0.056, 0.105), Port("exhaust", 0.0275, "exhaust")).duration), 1)
    197.3
    """
    if not 0 < port.travel < crank.stroke:
        raise OutOfRange(
            port.name,
            f"{port.name} opens {mm(port.travel)} below top dead centre, outside the stroke: "
            f"above 0 mm, below {mm(crank.stroke)} (bottom dead centre). Measure from the crown's "
            "edge at top dead centre to the port's edge, or say how far the crown stands below the "
            "barrel's top face",
        )
    down, up = angle_going_down(crank, port.travel), angle_going_up(crank, port.travel)
    if port.role == "intake":
        return Window(port, up - 2 * pi, down)
    return Window(port, down, up)


def travel_for_duration(crank: Crank, duration: float, role: Role) -> float:
    """Height at which a port has a wanted duration, the inverse of `window`.

    crank : stroke, rod and offset
    duration : crank angle for which the port is open [rad], above 0 and below a full turn
    role : as of `Port`
    returns : piston below top dead centre [m]
    Raises OutOfRange.

    Source: geometry; without offset the edge stands half the duration from its dead centre, with
    it the height is found by halving.

    >>> from math import radians
    >>> round(travel_for_duration(Crank(0.056, 0.105), radians(196), "exhaust") * 1e3, 3)
    27.83
    """
    if not 0 < duration < 2 * pi:
        raise OutOfRange(
            "duration",
            f"a duration of {duration * 180 / pi:g}° is none: above 0° and below 360° of crank",
        )
    closed = duration if role == "intake" else 2 * pi - duration
    if crank.offset == 0:
        return piston_travel(crank, closed / 2)
    low, high = 0.0, crank.stroke
    for _ in range(60):  # below one unit in the last place of any stroke
        middle = (low + high) / 2
        around_top = angle_going_down(crank, middle) + 2 * pi - angle_going_up(crank, middle)
        low, high = (middle, high) if around_top < closed else (low, middle)
    return low


def blowdown(exhaust: Window, transfers: Sequence[Window]) -> Blowdown:
    """Crank angle from the exhaust's opening to that of the first transfer or boost port.

    exhaust : window of an exhaust port
    transfers : windows of transfer and boost ports, at least one
    returns : the lead [rad] with the name of the port that ends it

    >>> crank = Crank(0.056, 0.105)
    >>> lead = blowdown(
    ...     window(crank, Port("exhaust", 0.0275, "exhaust")),
    ...     [window(crank, Port("transfer", 0.0415, "transfer"))],
    ... )
    >>> round(lead.angle * 180 / pi, 1)
    30.0
    """
    if not transfers:
        raise OutOfRange("transfer", "no transfer port given: blowdown ends where one opens")
    first = min(transfers, key=lambda each: each.opens)
    return Blowdown(exhaust.port.name, first.port.name, first.opens - exhaust.opens)


def raised(port: Port, base_change: float) -> Port:
    """The same port after the base gasket became thicker by `base_change` [m] (or thinner, < 0).

    The barrel and every edge in it go up by the change, so that the crown passes earlier.

    >>> round(raised(Port("transfer", 0.0415, "transfer"), 0.0001).travel * 1e3, 4)
    41.4
    """
    return Port(port.name, port.travel - base_change, port.role)


def open_time(duration: float, rotation: float) -> float:
    """How long a port is open.

    duration : crank angle [rad]
    rotation : crank speed [rev/s], above 0
    returns : time [s]

    Source: t = U/(6 N), Jennings, Two-Stroke Tuner's Handbook (1973), in degrees and rpm.

    >>> from math import radians
    >>> round(open_time(radians(172), 7000 / 60), 4)
    0.0041
    """
    if not rotation > 0:
        raise OutOfRange("speed", f"speed is {rotation * 60:g} rpm: give more than 0 rpm")
    return duration / (2 * pi * rotation)
