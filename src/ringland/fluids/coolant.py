"""Coolant by volume: where it freezes, how to mix it, how much to drain and refill.

Here: freeze points of glycol in water by volume, mixing, drain-and-refill algebra.
Not here: which coolant the maker asks for. Shares are volume shares of glycol, 0 to 1, as mixed.
Start with `freeze_point`.

A coolant is more than pure glycol: inhibitors shift the freeze point by a degree or two, and the
bottle's own table comes first. Nothing is read past the end of a table: more glycol than about
60 % protects *less* again and cools worse.
"""

from collections.abc import Mapping
from itertools import pairwise
from math import ceil, isfinite, log
from typing import NamedTuple

ZERO_CELSIUS = 273.15  # K
# share of glycol by volume [%] -> freeze point [degC]
FREEZE: Mapping[str, tuple[tuple[float, float], ...]] = {
    # Lange's Handbook of Chemistry, 15th ed., Table 5.13; water added as the exact first row
    "propylene": (
        (0, 0.0),
        (5, -1.1),
        (10, -2.2),
        (15, -3.9),
        (20, -6.7),
        (25, -8.9),
        (30, -12.8),
        (35, -16.1),
        (40, -20.6),
        (45, -26.7),
        (50, -33.3),
    ),
    # 40, 50, 60 %: an equipment operator's manual; 10 to 30 %: ASHRAE Handbook, Fundamentals, by
    # volume, as carried by the property library CoolProp 8.0; water added
    "ethylene": (
        (0, 0.0),
        (10, -3.6),
        (20, -9.0),
        (30, -15.7),
        (40, -24.0),
        (50, -37.0),
        (60, -52.0),
    ),
}
TABLES_DIFFER = 2.0  # K: how far published tables of pure glycol lie apart between 10 % and 60 %
CORROSION_FROM = 0.40  # share: below it the inhibitors of a concentrate are thin; common practice


class CoolantError(ValueError):
    """A coolant that has no answer here."""


class Exchange(NamedTuple):
    """A drain and refill [m^3].

    drain : to let out
    refill : to fill in, as much
    """

    drain: float
    refill: float


def table(glycol: str) -> tuple[tuple[float, float], ...]:
    """The freeze table of a glycol: share [%] and freeze point [degC].

    Raises CoolantError.

    >>> table("propylene")[-1]
    (50, -33.3)
    """
    if glycol not in FREEZE:
        raise CoolantError(
            f"{glycol!r} is no glycol known here: it is {' or '.join(FREEZE)}; read the bottle"
        )
    return FREEZE[glycol]


def freeze_point(glycol: str, share: float) -> float:
    """Where ice begins to form in a mix of pure glycol and water.

    glycol : "ethylene" or "propylene"
    share : volume of glycol over volume of the mix [1], 0 to 0.60 (0.50 for propylene, where its
        table ends)
    returns : temperature [K], straight between the rows of the table
    Raises CoolantError outside the table.

    Source: Lange's Handbook of Chemistry, 15th ed., Table 5.13; ASHRAE; see `FREEZE`.

    >>> round(freeze_point("propylene", 0.40) - 273.15, 1)
    -20.6
    """
    rows, percent = table(glycol), _share(share, "share of glycol") * 100
    last = rows[-1][0]
    if percent > last + 1e-9:
        raise CoolantError(
            f"a share of {percent:g} % lies past the end of the {glycol} table ({last:g} %), and nothing "
            "is guessed there: more glycol than 60 % freezes earlier again. Mix 40 to 50 %, or go by "
            "the bottle's own table"
        )
    for (low, warm), (high, cold) in pairwise(rows):
        if percent <= high:
            return ZERO_CELSIUS + warm + (percent - low) / (high - low) * (cold - warm)
    return ZERO_CELSIUS + rows[-1][1]


def share_for(glycol: str, temperature: float) -> float:
    """The share of glycol that freezes at a temperature: the inverse of `freeze_point`.

    temperature : wanted freeze point [K], from 273.15 down to the end of the table
    returns : volume share [1]
    Raises CoolantError.

    >>> round(share_for("propylene", 273.15 - 20.6), 3)
    0.4
    """
    rows, wanted = table(glycol), temperature - ZERO_CELSIUS
    if not rows[-1][1] - 1e-9 <= wanted <= 0:
        raise CoolantError(
            f"{wanted:.1f} °C is not reached in the {glycol} table: it runs from 0 to {rows[-1][1]:g} °C "
            f"at {rows[-1][0]:g} %. For more, use a coolant made for it, by its own table"
        )
    for (low, warm), (high, cold) in pairwise(rows):
        if wanted >= cold:
            return (low + (warm - wanted) / (warm - cold) * (high - low)) / 100
    return rows[-1][0] / 100


def glycol_in(volume: float, share: float, *, bottle: float = 1.0) -> tuple[float, float]:
    """Coolant from the bottle and water for a mix.

    volume : of the mix [m^3], above 0
    share : wanted share of glycol [1]
    bottle : share of glycol in what is poured [1]: 1 for concentrate, 0.5 for ready-mixed half
    returns : from the bottle, water [m^3]; measured apart, before mixing
    Raises CoolantError.

    >>> [round(each * 1e3, 3) for each in glycol_in(0.001, 0.40)]
    [0.4, 0.6]
    """
    _share(share, "share wanted")
    _share(bottle, "share in the bottle")
    _volume(volume)
    if share > bottle:
        raise CoolantError(
            f"{share:.0%} is not made from a bottle that holds {bottle:.0%}: take a concentrate"
        )
    poured = volume * share / bottle if share else 0.0
    return poured, volume - poured


def exchange(volume: float, now: float, wanted: float, *, refill: float = 1.0) -> Exchange:
    """How much to drain and refill so that a full system comes to a wanted share.

    volume : the whole system holds [m^3], above 0
    now, wanted : share of glycol before and after [1]
    refill : share of glycol in what is filled in [1]: 1 concentrate, 0.5 ready-mixed half, 0 water
    Raises CoolantError where no exchange reaches it.

    Source: what stays plus what comes: now (V - d) + refill d = wanted V, so
    d = V (wanted - now) / (refill - now).

    >>> round(exchange(0.0012, 0.30, 0.50).drain * 1e3, 4)  # L
    0.3429
    """
    for name, share in (("share now", now), ("share wanted", wanted), ("share refilled", refill)):
        _share(share, name)
    _volume(volume)
    if wanted == now:
        return Exchange(0.0, 0.0)
    between = min(now, refill) <= wanted <= max(now, refill)
    if not between or refill == now:
        raise CoolantError(
            f"filling in {refill * 100:.0f} % never brings {now * 100:.0f} % to {wanted * 100:.0f} %: the share wanted "
            "lies between the two. Fill in concentrate (100 %) to go up, water (0 %) to go down"
        )
    drain = volume * (wanted - now) / (refill - now)
    return Exchange(drain, drain)


def after_exchanges(
    volume: float, now: float, drained: float, *, refill: float, times: int = 1
) -> float:
    """Share of glycol after draining and refilling the same part, mixed in between.

    volume, drained : the whole system; what runs out each time [m^3]
    now, refill : share before; share in what is filled in [1]
    times : 0 or more
    Raises CoolantError.

    Source: s_n = r + (s_0 - r) (1 - d/V)^n.

    >>> round(after_exchanges(0.0012, 0.50, 0.0009, refill=0.0, times=2), 5)
    0.03125
    """
    _share(now, "share now")
    _share(refill, "share refilled")
    if not 0 <= _volume(drained) <= _volume(volume) or times < 0:
        raise CoolantError(
            f"{drained * 1e3:g} L cannot run out of {volume * 1e3:g} L: drain between nothing and all"
        )
    return refill + (now - refill) * (1 - drained / volume) ** times


def exchanges_needed(
    volume: float, now: float, drained: float, *, refill: float, wanted: float
) -> int:
    """How many drains and refills of the same part bring the share to the wanted one, or past it.

    volume, drained : the whole system; what runs out each time [m^3]
    now, refill, wanted : shares [1]
    Raises CoolantError where it is never reached.

    >>> exchanges_needed(0.0012, 0.50, 0.0009, refill=0.0, wanted=0.05)
    2
    """
    step = after_exchanges(volume, now, drained, refill=refill)
    if wanted == now:
        return 0
    if drained == volume and wanted == refill:
        return 1
    if not min(now, refill) <= wanted <= max(now, refill) or wanted == refill or step == now:
        raise CoolantError(
            f"draining {drained * 1e3:g} L at a time never quite brings {now:.0%} to {wanted:.0%}: "
            "drain all of it, or settle for a share between"
        )
    if drained == volume:
        return 1
    return ceil(log((wanted - refill) / (now - refill)) / log(1 - drained / volume) - 1e-9)


def _share(value: float, what: str) -> float:
    if not (isfinite(value) and 0 <= value <= 1):
        raise CoolantError(f"a {what} of {value * 100:g} % is none: it runs from 0 to 100 %")
    return value


def _volume(value: float) -> float:
    if not (isfinite(value) and value > 0):
        raise CoolantError(f"a volume of {value * 1e3:g} L is none: it is above 0")
    return value
