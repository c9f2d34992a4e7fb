"""Oil in the fuel of a two-stroke: any ratio, and putting a wrongly mixed can right.

Here: oil for fuel or for a full can, what is in a can, what to add. A ratio is parts of fuel to one
part of oil by volume. Not here: units (`ringland.quantity`), which ratio is right (the maker's).
Start with `read_ratio` and `oil_for`.
"""

import re
from math import isfinite
from typing import NamedTuple

RICHEST, LEANEST = (
    10.0,
    200.0,
)  # parts of fuel to one of oil: beyond these it is a slip, common sense
USUAL = (20.0, 100.0)  # common practice; most engines of the trade 25:1 to 60:1


class MixError(ValueError):
    """A mix that cannot be."""


class AmbiguousRatio(MixError):
    """A ratio that two people read in two ways; `readings` holds both as parts of fuel to one."""

    def __init__(self, message: str, readings: tuple[float, float]) -> None:
        super().__init__(message)
        self.readings = readings


class Can(NamedTuple):
    """What is in a can of premix [m^3]."""

    fuel: float
    oil: float

    @property
    def volume(self) -> float:
        """Fuel and oil together [m^3]; the small shrinkage of mixing is left out."""
        return self.fuel + self.oil

    @property
    def ratio(self) -> float:
        """Parts of fuel to one part of oil [1]; infinite without oil."""
        return self.fuel / self.oil if self.oil > 0 else float("inf")


class Correction(NamedTuple):
    """What to pour into a can, and what it then holds [m^3]. One of the two is 0."""

    add_oil: float
    add_fuel: float
    result: Can


def read_ratio(text: str) -> float:
    """Read a ratio as people write it: "32", "32:1", "1:32", "32 to 1", "4 % of the fuel".

    returns : parts of fuel to one part of oil [1]
    Raises AmbiguousRatio for a bare percentage; MixError for anything else.

    >>> read_ratio("32"), read_ratio("1:40"), read_ratio("4 % of the fuel"), read_ratio("4% of mix")
    (32.0, 40.0, 25.0, 24.0)
    """
    plain = text.strip().lower().replace(",", ".")
    number = r"(\d+(?:\.\d+)?)"
    if found := re.fullmatch(rf"{number}\s*(?:%|per ?cent)\s*(.*)", plain):
        return _from_percent(float(found[1]), found[2], text.strip())
    if found := re.fullmatch(rf"{number}(?:\s*(?::|/|to)\s*{number})?", plain):
        one, other = float(found[1]), float(found[2] or 1)
        if other > one:
            one, other = other, one
        if other == 0:
            raise MixError(f"{text.strip()!r} divides by zero: write a ratio as in 32:1")
        return checked_ratio(one / other)
    raise MixError(
        f"{text.strip()!r} is not a ratio: write parts of fuel to one of oil, as in 32:1"
    )


def _from_percent(percent: float, of: str, typed: str) -> float:
    if not 0 < percent < 100:
        raise MixError(f"{typed!r} is no share of oil: write a ratio as in 32:1")
    of_fuel, of_mix = 100 / percent, 100 / percent - 1
    if re.fullmatch(r"(of|in|on)?\s*(the)?\s*fuel", of):
        return checked_ratio(of_fuel)
    if re.fullmatch(r"(of|in)?\s*(the)?\s*mix(ture)?", of):
        return checked_ratio(of_mix)
    if of:
        raise MixError(f"{typed!r}: write a share '% of the fuel' or '% of the mix'")
    hint = f" or did you mean {percent:g}:1?" if USUAL[0] <= percent <= USUAL[1] else ""
    raise AmbiguousRatio(
        f"{percent:g} % can be {percent:g} % of the fuel ({of_fuel:g}:1) or {percent:g} % of the mix "
        f"({of_mix:g}:1): write one of these,{hint or ' or a ratio'}",
        (of_fuel, of_mix),
    )


def checked_ratio(ratio: float) -> float:
    """Return a ratio of fuel to one of oil, or raise MixError where it must be a slip.

    >>> checked_ratio(32.0)
    32.0
    """
    if not (isfinite(ratio) and RICHEST <= ratio <= LEANEST):
        raise MixError(
            f"{ratio:g}:1 is no premix: {RICHEST:g}:1 to {LEANEST:g}:1 is taken, and most engines ask "
            "for 25:1 to 60:1. Look at the maker's figure and write parts of fuel to one of oil"
        )
    return ratio


def oil_for(fuel: float, ratio: float) -> float:
    """Oil to pour into so much fuel [m^3].

    fuel : volume of fuel alone [m^3], above 0
    ratio : parts of fuel to one part of oil [1]
    Raises MixError.

    Source: arithmetic, by volume.

    >>> round(oil_for(0.005, 32) * 1e6, 2)  # mL in 5 L
    156.25
    """
    return _volume(fuel, "fuel") / checked_ratio(ratio)


def fill_can(volume: float, ratio: float) -> Can:
    """Fuel and oil that together fill a can.

    volume : of the finished mix [m^3], above 0
    ratio : parts of fuel to one part of oil [1]
    Raises MixError.

    >>> can = fill_can(0.005, 40)
    >>> round(can.oil * 1e6, 1), round(can.fuel * 1e3, 3)
    (122.0, 4.878)
    """
    oil = _volume(volume, "mix") / (checked_ratio(ratio) + 1)
    return Can(volume - oil, oil)


def correct(can: Can, wanted: float) -> Correction:
    """What to add so that a can comes to the wanted ratio.

    can : what it holds now; without any oil it is plain fuel
    wanted : parts of fuel to one part of oil [1]
    returns : oil to add where there is too little, fuel where there is too much
    Raises MixError.

    >>> fixed = correct(fill_can(0.005, 50), 32)
    >>> round(fixed.add_oil * 1e6, 1), fixed.add_fuel, round(fixed.result.ratio, 6)
    (55.1, 0.0, 32.0)
    """
    checked_ratio(wanted)
    if not (isfinite(can.fuel) and isfinite(can.oil) and can.fuel > 0 and can.oil >= 0):
        raise MixError("a can to be put right holds some fuel, and no less than nothing of oil")
    oil = max(can.fuel / wanted - can.oil, 0.0)
    fuel = max(can.oil * wanted - can.fuel, 0.0) if oil == 0.0 else 0.0
    return Correction(oil, fuel, Can(can.fuel + fuel, can.oil + oil))


def mixed(one: Can, other: Can) -> Can:
    """Two cans poured together.

    >>> round(mixed(fill_can(0.005, 50), fill_can(0.005, 32)).ratio, 2)
    39.07
    """
    return Can(one.fuel + other.fuel, one.oil + other.oil)


def _volume(value: float, what: str) -> float:
    if not (isfinite(value) and value > 0):
        raise MixError(f"a volume of {value * 1e3:g} L of {what} is none: it is above 0")
    return value
