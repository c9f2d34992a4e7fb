"""The rule of a leak test: at which pressure, for how long, with what fall, and bubbles.

Here: the rule as a value with its name and source, the usual ones of the trade, the safe limit.
Not here: judging a test by it (`pressure_test`). The maker's or the shop's own rule is a
`LeakProfile` of its own; it is printed with every result.
"""

from typing import NamedTuple

from ringland.quantity.checked import checked

SEAL_LIMIT = 70_000.0  # Pa gauge: above it crank seals can be pushed out, common practice
VACUUM_LIMIT = -60_000.0  # Pa gauge: below it seal lips fold, common practice
COOLING_LIMIT = 250_000.0  # Pa gauge: no cap of this trade is marked higher, common practice

CAUTIONS = (
    "A blanking plug can shoot off: glasses on, stand aside, let the pressure out before touching.",
    "Plug out of the spark lead's reach, ignition killed: the case holds fuel mist.",
)
COOLING_CAUTIONS = (
    "Cold engine only: a hot system scalds when the cap is opened.",
    "Never pump above the mark on the cap.",
)


@checked
class LeakProfile(NamedTuple):
    """A leak-test rule.

    name : printed with the result
    pressure : to pump to [Pa gauge], negative for vacuum
    duration : the clock's time after settling [s]
    allowed_fall : most the pressure may move towards that of the air [Pa]
    settle : to wait before the clock starts [s]
    limit : never beyond this [Pa gauge], negative for vacuum
    source : whose rule it is
    cautions : shown with each test
    """

    name: str
    pressure: float
    duration: float
    allowed_fall: float
    settle: float = 90.0
    limit: float = SEAL_LIMIT
    source: str = "common practice"
    cautions: tuple[str, ...] = CAUTIONS

    def check(self) -> None:
        if not (self.duration > 0.0 and self.settle >= 0.0):
            raise ValueError(f"a leak test takes some minutes, not {self.duration / 60:g} min")
        if self.pressure == 0.0 or abs(self.pressure) > abs(self.limit):
            raise ValueError(
                f"{self.pressure / 1e5:.2f} bar is no test pressure:"
                f" use up to {self.limit / 1e5:.2f} bar gauge"
            )
        if self.pressure * self.limit < 0:
            raise ValueError("test pressure and limit have opposite signs")
        if not 0.0 <= self.allowed_fall < abs(self.pressure):
            raise ValueError(
                f"an allowed fall of {self.allowed_fall / 1e5:.2f} bar is not between 0 and the"
                f" test pressure of {abs(self.pressure) / 1e5:.2f} bar"
            )


CRANKCASE = LeakProfile("crankcase, pressure", 40_000.0, 360.0, 5_000.0)
VACUUM = LeakProfile("crankcase, vacuum", -35_000.0, 300.0, 5_000.0, limit=VACUUM_LIMIT)
COOLING = LeakProfile(
    "cooling system", 110_000.0, 480.0, 0.0, 60.0, COOLING_LIMIT, cautions=COOLING_CAUTIONS
)
PROFILES = {"crankcase": CRANKCASE, "vacuum": VACUUM, "cooling": COOLING}


def cooling_profile(cap_pressure: float) -> LeakProfile:
    """Return the cooling rule for the pressure marked on the cap: eight minutes, no fall.

    cap_pressure : marked on the cap [Pa gauge], 50 to 250 kPa
    Source: common practice; the maker's manual comes first.

    >>> cooling_profile(1.1e5).duration
    480.0
    """
    if not 50_000.0 <= cap_pressure <= COOLING_LIMIT:
        raise ValueError(
            f"a cap of {cap_pressure / 1e5:.2f} bar is outside 0.5 to 2.5 bar: check the mark"
        )
    return COOLING._replace(pressure=cap_pressure)
