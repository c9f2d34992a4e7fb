"""What a change of air asks of jets, and what it does to power.

Here: direction and size of a mixture change by venturi theory, power correction factors with their
range. Not here: any jet number that is safe. A leaner step is never advised without the maker's
word and a plug check; a plug can stop a job and never clears one.
Start with `mixture_change`.
"""

from math import sqrt
from typing import NamedTuple

from ringland.gas.air import Air

NUMBERED = ("diameter", "area")  # what a jet number counts: a bore, or a flow (as its area)
SMALL = 0.003  # share of a jet's area below which no step exists to follow it


class MixtureChange(NamedTuple):
    """What the air of another place or day asks of a jet that was right.

    area : jet area needed over the present one [-]
    diameter : jet diameter needed over the present one [-]
    density : density of the air over that of before [-]
    oxygen : dry air per volume over that of before [-]: what power follows
    direction : "richer", "leaner" or "none"
    """

    area: float
    diameter: float
    density: float
    oxygen: float
    direction: str


def mixture_change(before: Air, now: Air) -> MixtureChange:
    """Return how a jet must change to keep the same share of fuel to dry air.

    before : the air in which the jet was right
    now : the air of this place and day
    returns : ratios; the jet's area goes with ρ_dry/√ρ, which is √ρ for dry air, and its diameter
        with the root of that, ρ^¼

    In a venturi air flows with A √(ρ Δp) and fuel with A_j √(ρ_f Δp), Δp ~ ρ v²; the float bowl's
    fuel is taken unchanged. Source: venturi theory (Bernoulli), exact in its terms.

    >>> from ringland.gas.air import standard_atmosphere
    >>> change = mixture_change(standard_atmosphere(0.0), standard_atmosphere(1500.0))
    >>> change.direction, round(change.area, 3), round(change.diameter, 3)
    ('leaner', 0.929, 0.964)
    """
    area = now.dry_density / before.dry_density / sqrt(now.density / before.density)
    direction = "none" if abs(area - 1.0) < SMALL else "richer" if area > 1.0 else "leaner"
    return MixtureChange(
        area,
        sqrt(area),
        now.density / before.density,
        now.dry_density / before.dry_density,
        direction,
    )


def jet_number(number: float, change: MixtureChange, *, numbered_by: str) -> float:
    """Return the jet number that venturi theory asks for.

    number : of the present jet, above zero
    numbered_by : "diameter" where the number is a bore (1/100 mm), "area" where it is a flow
    returns : not rounded to any jet that is sold

    >>> change = MixtureChange(0.93, 0.93**0.5, 0.865, 0.865, "leaner")
    >>> round(jet_number(160, change, numbered_by="diameter"), 1)
    154.3
    """
    if not number > 0.0:
        raise ValueError(f"a jet number is above zero, not {number:g}")
    if numbered_by not in NUMBERED:
        raise ValueError(f"a jet is numbered by {' or '.join(NUMBERED)}, not {numbered_by!r}")
    return number * (change.diameter if numbered_by == "diameter" else change.area)


class PowerFactor(NamedTuple):
    """A power correction: corrected = factor × measured.

    name : of the rule, with its reference air
    factor : [-]
    valid : whether air and factor lie within the rule's own range
    remark : its range and how it is known
    """

    name: str
    factor: float
    valid: bool
    remark: str


def power_factors(air: Air) -> tuple[PowerFactor, ...]:
    """Return the common power correction factors in this air.

    air : of the test
    returns : each with whether its own range holds. All were made for four-stroke engines without
        a tuned pipe; none is proven for a two-stroke

    Source: ISO 1585 and SAE J1349, from memory.

    >>> from ringland.gas.air import moist_air
    >>> [round(f.factor, 3) for f in power_factors(moist_air(99e3, 298.15, 0.0))]
    [1.0, 1.0]
    """
    dry = (air.pressure - air.vapour_pressure) / 1000.0
    T = air.temperature
    iso = (99.0 / dry) ** 1.2 * (T / 298.15) ** 0.6
    sae = 1.18 * (99.0 / dry) * sqrt(T / 298.15) - 0.18
    iso_air = 80.0 <= dry <= 110.0 and 288.15 <= T <= 308.15
    sae_air = 90.0 <= dry <= 105.0 and 288.15 <= T <= 316.15
    return (
        PowerFactor(
            "ISO 1585, 99 kPa dry, 25 °C",
            iso,
            iso_air and 0.93 <= iso <= 1.07,
            "15 to 35 °C, 80 to 110 kPa dry, factor 0.93 to 1.07; from memory",
        ),
        PowerFactor(
            "SAE J1349, 99 kPa dry, 25 °C",
            sae,
            sae_air and 0.93 <= sae <= 1.07,
            "15 to 43 °C, 90 to 105 kPa dry, factor 0.93 to 1.07; from memory",
        ),
    )
