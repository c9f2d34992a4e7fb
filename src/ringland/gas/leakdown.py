"""Cylinder leak-down: a tester with an orifice of its own in front of the cylinder.

Here: from supply and cylinder pressure to the leak's effective area and flow, and what the same
leak shows on another tester. Not here: a case or cooling system that is pumped up and left
(`pressure_test`). Start with `leak_down`.

A percentage belongs to the tester: its orifice decides it as much as the leak does.
"""

from collections.abc import Callable
from math import hypot, isfinite, log, pi, sqrt
from typing import NamedTuple

from ringland.gas.air import R_AIR, check_ambient
from ringland.gas.flow import mass_flow, pressure_between, second_area
from ringland.quantity import Estimate
from ringland.quantity.checked import checked

INCH = 0.0254  # m, exact
COMMON_ORIFICE = 0.040 * INCH  # m, for bores below 5 in: FAA AC 43.13-1B, 8-14
DISCHARGE = 0.75  # of a tester's orifice, sharp-edged, between slow and choked; from memory
U_DISCHARGE = 0.08  # relative standard uncertainty of it
SUPPLY_LIMIT = 700_000.0  # Pa gauge, common practice

CAUTIONS = (
    "The pressure turns the crank with force: hold it, and keep hands and spanners off the kick.",
    "Ring above the exhaust port, at top dead centre; glasses on for the air line.",
    "Ignition killed, lead earthed away from the plug hole.",
)
PLACES = {
    "intake or case": "past the ring into the case: ring, bore or a ring stuck",
    "exhaust": "past the ring at the exhaust port, or the piston is not high enough",
    "radiator": "bubbles in the coolant: head joint or a crack",
    "head joint": "the joint itself: nuts, gasket or O-ring, flatness",
    "plug": "the adapter or plug seat: seal it and repeat",
}


class LeakDown(NamedTuple):
    """What a leak-down test says.

    share : supply pressure lost in the tester [-]: the percentage that testers show
    area : effective area of the leak [m^2]; None where nothing can be told from the gauges
    flow : as volume of outside air [m^3/s]
    u_log : standard uncertainty of the area's logarithm [-]
    """

    share: float
    area: Estimate | None
    flow: float
    u_log: float


@checked
class FlowTester(NamedTuple):
    """A tester and the air it stands in.

    orifice : diameter [m]; discharge : its coefficient [-]
    ambient : absolute air pressure [Pa]; temperature : of the air line [K]
    u_pressure : standard uncertainty of one gauge [Pa]
    """

    orifice: float = COMMON_ORIFICE
    discharge: float = DISCHARGE
    ambient: float = 101_325.0
    temperature: float = 293.15
    u_pressure: float = 3_000.0

    def check(self) -> None:
        if not 0.1e-3 <= self.orifice <= 5e-3:
            raise ValueError(f"an orifice of {self.orifice * 1e3:g} mm is outside 0.1 to 5 mm")
        if not 0.4 <= self.discharge <= 1.0:
            raise ValueError(f"a discharge coefficient of {self.discharge:g} is not 0.4 to 1")
        check_ambient(self.ambient)

    @property
    def area(self) -> float:
        """Effective area of the orifice [m^2]."""
        return self.discharge * 0.25 * pi * self.orifice**2


def leak_down(supply: float, cylinder: float, tester: FlowTester | None = None) -> LeakDown:
    """Return the leak of a cylinder from the two gauges of a tester.

    supply : before the tester's orifice [Pa gauge], up to 700 kPa
    cylinder : behind it [Pa gauge]
    tester : its orifice and the day's air; the common 0.040 in orifice when None
    Raises ValueError for a cylinder above the supply, no supply, or too much.

    Source: two orifices in series (`flow.second_area`); orifice of FAA AC 43.13-1B, 8-14.

    >>> found = leak_down(5.5e5, 5.0e5)
    >>> round(found.share, 3), round(found.area.value * 1e6, 2)
    (0.091, 0.36)
    """
    tester = tester or FlowTester()
    _check(supply, cylinder)
    share = (supply - cylinder) / supply
    p_s, p_c = supply + tester.ambient, cylinder + tester.ambient
    if cylinder == 0.0:
        # an open hole: the tester's own orifice sets the flow, the leak is only known to be large
        return LeakDown(share, None, _flow(p_s, tester.ambient, tester), float("inf"))

    def area_of(up: float, between: float) -> float:
        return second_area(up, between, tester.ambient, first=tester.area)

    area = area_of(p_s, p_c)
    u = _area_doubt(area_of, p_s, p_c, tester.u_pressure)
    u_area = hypot(u, area * U_DISCHARGE)
    u_log = u_area / area if area > 0.0 else float("inf")
    return LeakDown(share, Estimate(area, u_area), _flow(p_s, p_c, tester), u_log)


def _flow(upstream: float, downstream: float, tester: FlowTester) -> float:
    mass = mass_flow(upstream, downstream, temperature=tester.temperature, area=tester.area)
    return mass * R_AIR * tester.temperature / tester.ambient


def _area_doubt(
    area_of: Callable[[float, float], float], p_s: float, p_c: float, u: float
) -> float:
    """From both gauges' doubt; where they nearly agree, half the area that the doubt allows."""
    if p_s - p_c < 2.0 * u:
        return 0.5 * area_of(p_s + u, min(p_c, p_s) - u)
    by_supply = 0.5 * (area_of(p_s + u, p_c) - area_of(p_s - u, p_c))
    by_cylinder = 0.5 * (area_of(p_s, p_c + u) - area_of(p_s, p_c - u))
    return hypot(by_supply, by_cylinder)


def _check(supply: float, cylinder: float) -> None:
    problems = []
    if not (isfinite(supply) and 0.0 < supply <= SUPPLY_LIMIT):
        problems.append(
            f"a supply of {supply / 1e5:.2f} bar is outside 0 to {SUPPLY_LIMIT / 1e5:.0f} bar gauge:"
            " check the unit, and turn the regulator down"
        )
    if cylinder < 0.0:
        problems.append(f"{cylinder / 1e5:.2f} bar in the cylinder: give gauge pressures")
    if cylinder > supply:
        problems.append(
            f"the cylinder's {cylinder / 1e5:.2f} bar is above the supply's {supply / 1e5:.2f} bar:"
            " the gauges are swapped, or one is off its zero"
        )
    if problems:
        raise ValueError("; ".join(problems))


def share_on(area: float, supply: float, tester: FlowTester) -> float:
    """Return the percentage (as a share) that a leak shows on a tester.

    area : effective, of the leak [m^2], above zero
    supply : [Pa gauge]

    >>> small, large = FlowTester(orifice=1.016e-3), FlowTester(orifice=1.524e-3)
    >>> round(share_on(0.36e-6, 5.5e5, small), 2), round(share_on(0.36e-6, 5.5e5, large), 2)
    (0.09, 0.02)
    """
    between = pressure_between(
        supply + tester.ambient, tester.ambient, first=tester.area, second=area
    )
    return (supply + tester.ambient - between) / supply


def equivalent_diameter(area: float, *, discharge: float = 1.0) -> float:
    """Return the diameter of a round hole of an area [m], area effective [m^2].

    >>> round(equivalent_diameter(1e-6) * 1e3, 2)
    1.13
    """
    if area < 0.0 or not 0.0 < discharge <= 1.0:
        raise ValueError(f"an area of {area:g} m² with coefficient {discharge:g} is no hole")
    return sqrt(4.0 * area / (pi * discharge))


def log_area(found: LeakDown) -> Estimate | None:
    """Return ln of the effective area [ln m^2] with its doubt, for `reading.read_leak`."""
    if found.area is None or found.area.value <= 0.0 or not isfinite(found.u_log):
        return None
    return Estimate(log(found.area.value), found.u_log)
