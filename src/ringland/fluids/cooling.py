"""How long an engine needs to cool between break-in heat cycles.

Here: the time constant from two readings while it cools, and the time to a temperature.
Not here: how many cycles and how long each (the maker's; common practice is three).
Start with `cooling_from`.

An engine left to itself cools as its distance from the air halves in equal times. It holds while
nothing changes: same wind, same fan, no water run through. The first minutes after the stop are
uneven (hot metal, cooler coolant): take both readings at one place, the first a few minutes in.
"""

from math import exp, inf, isfinite, log, sqrt
from typing import NamedTuple

from ringland.quantity import Estimate


class CoolingError(ValueError):
    """Readings that describe no cooling."""


class Cooling(NamedTuple):
    """An engine on its way to the temperature of the air.

    first, second : the two readings at one place [K]
    between : time from the first to the second [s]
    ambient : temperature of the air [K]
    time_constant : in which the distance to the air falls to 37 % [s], with its uncertainty
    """

    first: Estimate
    second: Estimate
    between: float
    ambient: Estimate
    time_constant: Estimate

    def at(self, time: float) -> float:
        """Temperature [K] so long after the first reading [s]."""
        above = self.first.value - self.ambient.value
        return self.ambient.value + above * exp(-time / self.time_constant.value)

    def time_to(self, temperature: float) -> Estimate:
        """Time from the first reading until a temperature is reached [s], with its uncertainty.

        temperature : above that of the air, at most the first reading [K]; exact, as it is asked for
        Raises CoolingError.

        Source: t = tau ln((T1 - Ta)/(T - Ta)); tau hangs on the same three temperatures, so the
        slopes are those of the whole: JCGM 100:2008, 5.1.2.

        >>> readings = (Estimate(353.15, 1), Estimate(333.15, 1), 600, Estimate(293.15, 1))
        >>> found = cooling_from(*readings).time_to(313.15)
        >>> round(found.value / 60, 1), round(found.u / 60, 1)
        (27.1, 1.8)
        """
        start, ambient = self.first.value, self.ambient.value
        if not ambient < temperature <= start:
            raise CoolingError(
                f"{temperature - 273.15:.1f} °C is not passed on the way from "
                f"{start - 273.15:.1f} °C down to the air at {ambient - 273.15:.1f} °C: "
                "ask for a temperature between them"
            )
        above, later, left = start - ambient, self.second.value - ambient, temperature - ambient
        tau, whole = self.time_constant.value, log(above / left)
        ratio = tau * whole / self.between  # of the times: 1 where the second reading is asked for
        slopes = (
            tau / above * (1 - ratio),
            tau / later * ratio,
            tau * (1 / left - 1 / above - ratio * (1 / later - 1 / above)),
        )
        return _combined(tau * whole, slopes, (self.first, self.second, self.ambient))


def cooling_from(first: Estimate, second: Estimate, between: float, ambient: Estimate) -> Cooling:
    """The cooling that two readings at one place describe.

    first, second : the two readings, falling [K]
    between : time from the first to the second [s], above 0
    ambient : the air [K], below both
    returns : cooling with its time constant and that one's uncertainty (inputs independent)
    Raises CoolingError.

    Source: Newton's law of cooling, tau = t / ln((T1 - Ta)/(T2 - Ta)); JCGM 100:2008, 5.1.2.

    >>> kelvin = 0.5
    >>> cooling = cooling_from(
    ...     Estimate(353.15, kelvin), Estimate(333.15, kelvin), 600, Estimate(293.15, kelvin))
    >>> round(cooling.time_constant.value / 60, 1), round(cooling.time_constant.u / 60, 1)
    (24.7, 0.9)
    """
    if not (isfinite(between) and between > 0):
        raise CoolingError(f"the readings lie {between:g} s apart: it is a time above 0")
    above, later = first.value - ambient.value, second.value - ambient.value
    if not above > later > 0:
        raise CoolingError(
            f"{first.value - 273.15:.1f} °C, then {second.value - 273.15:.1f} °C with the air at "
            f"{ambient.value - 273.15:.1f} °C is no cooling down: the second reading lies below the "
            "first and above the air"
        )
    tau = between / log(above / later)
    slope = tau**2 / between
    slopes = (-slope / above, slope / later, slope * (1 / above - 1 / later))
    time_constant = _combined(tau, slopes, (first, second, ambient))
    return Cooling(first, second, between, ambient, time_constant)


def _combined(value: float, slopes: tuple[float, ...], readings: tuple[Estimate, ...]) -> Estimate:
    """A value with the uncertainty that independent readings give it (JCGM 100:2008, G.4.1)."""
    parts = [slope * each.u for slope, each in zip(slopes, readings, strict=True)]
    u = sqrt(sum(part**2 for part in parts))
    doubt = sum(part**4 / each.dof for part, each in zip(parts, readings, strict=True))
    return Estimate(value, u, u**4 / doubt if doubt > 0 else inf)
