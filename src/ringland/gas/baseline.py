"""A machine's own baseline: its compression readings over hours, made comparable.

Here: correcting a gauge reading to one air pressure, whether two readings may be compared at all,
percent of baseline with its doubt, and the shop's levels. Not here: what the reading says about a
leak (`reading`). Start with `against_baseline`.

A cranking engine multiplies the absolute pressure of the air it takes in, so that the gauge reading
follows the *pressure* of the air, not its density: a table by density circulates and is wrong.
Air temperature cancels from the ratio but for heat passed to the walls.
"""

from collections.abc import Sequence
from math import erf, hypot, isfinite, sqrt
from typing import NamedTuple

from ringland.gas.air import P0, check_ambient
from ringland.quantity import Estimate
from ringland.quantity.checked import checked

READINGS = (20_000.0, 2_500_000.0)  # Pa gauge: what a cranking gauge can show
REPEAT = 0.03  # relative standard deviation of one careful cranking reading, common practice
WEATHER = 0.010  # relative standard deviation of air pressure about the standard atmosphere
# Relative change of a gauge reading per kelvin of air temperature with the engine as warm as
# before: computed with the model in `cranking`, where a test holds it.
PER_KELVIN = 0.0005
ROUNDING = 1e-9  # so that a drop of exactly a level counts as reaching it
SURE = 0.95  # probability needed to say that a level is reached, ISO 14253-1 default


@checked
class CrankingReading(NamedTuple):
    """One compression reading as taken.

    pressure : what the gauge shows [Pa gauge]
    gauge : name of the gauge with its hose and adapter; None when not noted
    ambient : absolute air pressure where it was taken [Pa]; None when not known
    ambient_measured : False when `ambient` comes from the altitude alone
    air_temperature : [K], None when not noted
    warm : engine warm, cold or not noted
    throttle_open, valve : None when not noted; valve is the power valve's position in words
    method : how it was cranked, such as "kick" or "starter"; None when not noted
    hours : of the machine [h]
    resolution : smallest step read off the gauge [Pa]
    """

    pressure: float
    gauge: str | None
    ambient: float | None
    ambient_measured: bool = True
    air_temperature: float | None = None
    warm: bool | None = None
    throttle_open: bool | None = None
    valve: str | None = None
    method: str | None = None
    hours: float | None = None
    resolution: float = 0.0

    def check(self) -> None:
        if not (isfinite(self.pressure) and READINGS[0] <= self.pressure <= READINGS[1]):
            raise ValueError(
                f"a compression of {self.pressure / 1e5:.2f} bar is outside"
                f" {READINGS[0] / 1e5:.1f} to {READINGS[1] / 1e5:.0f} bar gauge: check the unit"
            )
        if self.ambient is not None:
            check_ambient(self.ambient)
        if self.hours is not None and not self.hours >= 0:
            raise ValueError(f"hours are not negative, as {self.hours:g} h is")


@checked
class DropLevels(NamedTuple):
    """From which drop below baseline the shop notes, plans or stops (shares of 1, rising)."""

    note: float = 0.10
    plan: float = 0.15
    stop: float = 0.25
    source: str = "common practice"

    def check(self) -> None:
        if not 0.0 < self.note < self.plan < self.stop < 1.0:
            raise ValueError(
                f"levels rise from note to plan to stop between 0 and 100 %:"
                f" {self.note * 100:g}, {self.plan * 100:g}, {self.stop * 100:g} %"
            )


class Comparison(NamedTuple):
    """A reading set against the machine's own baseline.

    comparable : False when something that moves the needle differs or is not noted
    reasons : why not comparable, or what is taken on trust; in words
    share : of baseline [-] with its standard uncertainty; None when not comparable
    level : "none", "note", "plan" or "stop", by the value; None when not comparable
    at_least : probability that the true drop is at least note, plan, stop
    sure : whether the level named holds with 95 %, and the next one with at most 5 %
    """

    comparable: bool
    reasons: tuple[str, ...]
    share: Estimate | None = None
    level: str | None = None
    at_least: tuple[float, float, float] | None = None
    sure: bool = False


def to_air_pressure(pressure: float, *, ambient: float, reference: float = P0) -> float:
    """Return what the gauge would have shown under another air pressure.

    pressure : gauge reading [Pa gauge]
    ambient : absolute air pressure when it was taken [Pa]
    reference : absolute air pressure to correct to [Pa]
    returns : [Pa gauge]

    Source: the compression multiplies absolute pressure, p2 = k p1, so p2 − p1 = (k − 1) p1.

    >>> round(to_air_pressure(10.4e5, ambient=84556.0) / 1e5, 2)
    12.46
    """
    check_ambient(ambient)
    check_ambient(reference)
    return pressure * reference / ambient


def corrected(
    reading: CrankingReading, *, reference: float = P0, repeat: float = REPEAT
) -> Estimate:
    """Return a reading at one air pressure, with what a repeat of it would scatter [Pa gauge].

    reading : with its ambient pressure noted
    reference : absolute air pressure to correct to [Pa]
    repeat : relative standard deviation of one reading [-]
    Raises ValueError when the ambient pressure is not noted.

    The gauge's own error is left out: it is the same in all readings of one gauge.
    """
    if reading.ambient is None:
        raise ValueError("the air pressure or altitude of this reading is not noted")
    value = to_air_pressure(reading.pressure, ambient=reading.ambient, reference=reference)
    air = 0.002 if reading.ambient_measured else WEATHER
    step = reading.resolution / sqrt(12.0) / reading.pressure
    return Estimate(value, value * hypot(repeat, air, step))


def differences(now: CrankingReading, before: CrankingReading) -> tuple[str, ...]:
    """Return in words what keeps two readings from being compared; empty when nothing does."""
    found = []
    if now.gauge is None or before.gauge is None:
        found.append("the gauge is not noted")
    elif now.gauge != before.gauge:
        found.append(f"another gauge or hose: {now.gauge} against {before.gauge}")
    if now.ambient is None or before.ambient is None:
        found.append("the air pressure or altitude is not noted")
    for word, one, other in (
        ("engine warm", now.warm, before.warm),
        ("throttle open", now.throttle_open, before.throttle_open),
        ("power valve", now.valve, before.valve),
        ("cranked by", now.method, before.method),
    ):
        if one is not None and other is not None and one != other:
            found.append(f"{word}: {_said(one)} against {_said(other)}")
    if now.throttle_open is False:
        found.append("the throttle was not open")
    return tuple(dict.fromkeys(found))


def _said(value: bool | str) -> str:
    return {True: "yes", False: "no"}.get(value, str(value)) if isinstance(value, bool) else value


def against_baseline(
    now: CrankingReading,
    baseline: Sequence[CrankingReading],
    *,
    levels: DropLevels | None = None,
    repeat: float = REPEAT,
) -> Comparison:
    """Set a reading against the machine's own baseline, at one air pressure.

    now : the reading in question
    baseline : one or several readings of the same machine when it was good
    levels : the shop's note, plan and stop; common practice (10, 15, 25 %) when None
    repeat : relative standard deviation of one reading [-], 0 to 0.2
    Raises ValueError without a baseline.

    Readings under another gauge, warmth, throttle, valve position or way of cranking are left out;
    when none is left the answer is "not comparable" with the reasons. The share of baseline does
    not depend on the reference pressure, nor on the gauge's scale error.

    >>> def at(bar, ambient):
    ...     return CrankingReading(bar * 1e5, "own gauge", ambient)
    >>> found = against_baseline(at(9.6, 1.0e5), [at(12.4, 1.0e5)])
    >>> found.level, round(found.share.value, 3)
    ('plan', 0.774)
    """
    if not baseline:
        raise ValueError("no baseline yet: this reading can become one, after the first real ride")
    if not 0.0 <= repeat <= 0.2:
        raise ValueError(f"a repeatability of {repeat * 100:g} % is outside 0 to 20 %")
    levels = levels or DropLevels()
    usable = [each for each in baseline if not differences(now, each)]
    if not usable:
        reasons = [why for each in baseline for why in differences(now, each)]
        return Comparison(False, tuple(dict.fromkeys(reasons)))
    share = _share(now, usable, repeat)
    drop = 1.0 - share.value
    steps = (levels.note, levels.plan, levels.stop)
    at_least = tuple(_probability(drop, share.u, step) for step in steps)
    reached = sum(drop >= step - ROUNDING for step in steps)
    sure = (reached == 0 or at_least[reached - 1] >= SURE) and (
        reached == 3 or at_least[reached] <= 1.0 - SURE
    )
    return Comparison(
        True,
        _on_trust(now, usable),
        share,
        ("none", "note", "plan", "stop")[reached],
        (at_least[0], at_least[1], at_least[2]),
        sure,
    )


def _share(now: CrankingReading, usable: list[CrankingReading], repeat: float) -> Estimate:
    top = corrected(now, repeat=repeat)
    below = [corrected(each, repeat=repeat) for each in usable]
    mean = sum(each.value for each in below) / len(below)
    u_mean = hypot(*(each.u for each in below)) / len(below)
    share = top.value / mean
    warmth = _temperature_doubt(now, usable)
    return Estimate(share, share * hypot(top.u / top.value, u_mean / mean, warmth))


def _temperature_doubt(now: CrankingReading, usable: list[CrankingReading]) -> float:
    """Relative doubt from air temperatures that differ; 10 K taken where one is not noted."""
    known = [each.air_temperature for each in usable if each.air_temperature is not None]
    if now.air_temperature is None or not known:
        return PER_KELVIN * 10.0
    return PER_KELVIN * abs(now.air_temperature - sum(known) / len(known))


def _probability(drop: float, u: float, level: float) -> float:
    if u == 0.0:
        return float(drop >= level)
    return 0.5 * (1.0 + erf((drop - level) / u / sqrt(2.0)))


def _on_trust(now: CrankingReading, usable: list[CrankingReading]) -> tuple[str, ...]:
    """What was not noted on one side or the other and is taken to be the same."""
    found = []
    for word, name in (
        ("warm or cold", "warm"),
        ("throttle", "throttle_open"),
        ("power valve's position", "valve"),
        ("way of cranking", "method"),
    ):
        if any(getattr(each, name) is None for each in (now, *usable)):
            found.append(f"{word} not noted everywhere: taken to be the same")
    return tuple(found)
