"""Leak tests that watch a pressure: crankcase pressure and vacuum, cooling system.

Here: from two pressures, a time, temperatures and a volume to fall, drift, leak rate and effective
area with their doubt, and the judgement by a named profile. Not here: the profiles
(`leak_profile`), the hole behind a
fall (`closed_volume`), a running log of pressure (`decay`), a cylinder on a flow tester (`leakdown`).
Start with `judge_leak_test`.

A closed volume that cools loses pressure without any leak: at 1.4 bar absolute some 480 Pa for each
kelvin. A rule "so much per minute" means another hole for another volume: see `fall_by_volume`.
"""

from collections.abc import Callable, Sequence
from math import erf, hypot, isfinite, sqrt
from typing import NamedTuple

from ringland.gas.air import check_ambient
from ringland.gas.closed_volume import fall_of, leak_area
from ringland.gas.leak_profile import LeakProfile
from ringland.quantity import Estimate
from ringland.quantity.checked import checked

SURE = 0.95  # probability needed to pass or fail, ISO 14253-1 default
UNKNOWN_TEMPERATURE = 2.0  # K, standard uncertainty of a change nobody read, common practice
VOLUME_DOUBT = 0.15  # relative standard uncertainty of a case volume worked out by hand
NEAR = 0.10  # a start within this share of the profile's pressure counts as that pressure

BUBBLES = ("none", "seal or joint", "test plug", "not looked for")


@checked
class LeakTest(NamedTuple):
    """What was read in one leak test.

    start, end : gauge pressures [Pa gauge], negative under vacuum
    duration : between them, after settling [s]
    ambient : absolute air pressure [Pa]
    temperature : of the gas at the start [K]
    warmed : change of the gas temperature during the test [K]; None when nobody read it
    u_warmed : its standard uncertainty [K]
    volume : enclosed, hoses included [m^3]; None when not known
    u_pressure : standard uncertainty of one pressure reading against the other [Pa]
    ambient_change : change of the air pressure during the test [Pa]
    bubbles : one of `BUBBLES`
    """

    start: float
    end: float
    duration: float
    ambient: float = 101_325.0
    temperature: float = 293.15
    warmed: float | None = None
    u_warmed: float = 0.5
    volume: float | None = None
    u_pressure: float = 600.0
    ambient_change: float = 0.0
    bubbles: str = "not looked for"

    def check(self) -> None:
        problems = _problems(self)
        if problems:
            raise ValueError("; ".join(problems))


class LeakResult(NamedTuple):
    """What a leak test says.

    fall : pressure lost towards the air, as read [Pa]
    drift : part of it that temperature and weather explain [Pa]
    leak_fall : the rest [Pa]
    flow : leak at the mean test pressure, as volume of outside air [m^3/s]; None without volume
    area : effective leak area, coefficient times area [m^2]; None without volume
    explained_by : temperature change that alone would give this fall [K], negative is cooling
    verdict : "pass", "fail", "undecided", "repeat" or "not to the rule"
    reasons : in words, the deciding one first
    """

    fall: Estimate
    drift: Estimate
    leak_fall: Estimate
    flow: Estimate | None
    area: Estimate | None
    explained_by: float
    verdict: str
    reasons: tuple[str, ...]


def _problems(test: LeakTest) -> list[str]:
    found = []
    if not test.duration > 0.0:
        found.append(f"{test.duration / 60:g} min: the end comes after the start")
    if test.volume is not None and not test.volume > 0.0:
        found.append(f"a volume of {test.volume * 1e6:g} mL holds no air: give it or leave it out")
    if test.start == 0.0 or not isfinite(test.start):
        found.append("the test starts at no pressure: pump up first")
    elif test.start * test.end < 0.0 or not isfinite(test.end):
        found.append("start and end lie on opposite sides of the air pressure: gauge or absolute?")
    if test.bubbles not in BUBBLES:
        found.append(f"bubbles {test.bubbles!r}: say one of {', '.join(BUBBLES)}")
    if not 200.0 < test.temperature < 400.0:
        found.append(f"a gas at {test.temperature:g} K: give its temperature in K")
    try:
        check_ambient(test.ambient)
    except ValueError as error:
        found.append(str(error))
    return found


def temperature_drift(test: LeakTest) -> Estimate:
    """Return the fall that the gas's change of temperature and of weather explain [Pa].

    test : as read; without `warmed` the value is that of no change, with the doubt of 2 K
    returns : positive towards the air pressure, as a leak would be

    Source: ideal gas at constant volume, Δp = p ΔT/T with p absolute.

    >>> from ringland.quantity.units import PSI
    >>> p = 6 * float(PSI)
    >>> test = LeakTest(p, p, 60.0, temperature=293.15, warmed=-1.0, u_warmed=0.0)
    >>> round(temperature_drift(test).value / float(PSI), 4)
    0.0706
    """
    absolute = test.ambient + test.start
    sign = 1.0 if test.start > 0.0 else -1.0
    per_kelvin = absolute / test.temperature
    warmed, doubt = (
        (0.0, UNKNOWN_TEMPERATURE) if test.warmed is None else (test.warmed, test.u_warmed)
    )
    value = -sign * per_kelvin * warmed + sign * test.ambient_change
    return Estimate(value, per_kelvin * doubt)


def fall_by_volume(
    area: float, test: LeakTest, volumes: Sequence[float], *, duration: float = 60.0
) -> tuple[float, ...]:
    """Return what one and the same leak does to the pressure in other volumes [Pa].

    area : effective [m^2]
    volumes : [m^3], each above zero
    duration : [s]; a minute when left out, to show what a rule "per minute" means
    """
    absolute = test.ambient + test.start
    return tuple(
        fall_of(
            area,
            absolute,
            duration=duration,
            volume=volume,
            ambient=test.ambient,
            temperature=test.temperature,
        )
        for volume in volumes
    )


def in_bar(pressure: Estimate) -> str:
    """Return a pressure [Pa] in bar, with its ± of 2 u where it has a doubt.

    >>> in_bar(Estimate(3400.0, 1300.0)), in_bar(Estimate(5000.0, 0.0))
    ('0.034 ± 0.026 bar', '0.050 bar')
    """
    margin = f" ± {2 * pressure.u / 1e5:.3f}" if pressure.u else ""
    return f"{pressure.value / 1e5:.3f}{margin} bar"


def judge_leak_test(
    test: LeakTest, profile: LeakProfile, *, words: Callable[[Estimate], str] = in_bar
) -> LeakResult:
    """Judge a leak test by a named profile.

    test : what was read
    profile : the rule
    words : how a pressure [Pa] is told in the reasons
    Raises ValueError when the pressure is beyond the profile's safe limit.

    Any bubble at a seal or joint fails, whatever the fall. A bubble at the test plug, or a pressure
    that moves away from the air's, asks for a repeat. Otherwise the fall without its drift is held
    against the allowed one: pass and fail need 95 %.

    >>> from ringland.gas.leak_profile import CRANKCASE
    >>> judge_leak_test(LeakTest(40e3, 22e3, 360.0), CRANKCASE).verdict
    'fail'
    """
    if test.start * profile.limit < 0:
        raise ValueError(
            f"{profile.name} and a start of {test.start / 1e5:.2f} bar do not match: it takes gauge"
            f" pressures {'below' if profile.limit < 0 else 'above'} 0; or choose the other kind"
        )
    if abs(test.start) > abs(profile.limit):
        raise ValueError(
            f"{test.start / 1e5:.2f} bar is beyond the safe limit of {profile.limit / 1e5:.2f} bar"
            " gauge: let it down at once, or take off the air pressure if this is absolute"
        )
    sign = 1.0 if test.start > 0.0 else -1.0
    fall = Estimate(sign * (test.start - test.end), test.u_pressure * sqrt(2.0))
    drift = temperature_drift(test)
    leak = Estimate(fall.value - drift.value, hypot(fall.u, drift.u))
    area = _area(test, leak)
    verdict, reasons = _verdict(test, profile, leak, words)
    absolute = test.ambient + test.start
    return LeakResult(
        fall,
        drift,
        leak,
        _flow(test, leak),
        area,
        -sign * fall.value * test.temperature / absolute,
        verdict,
        reasons,
    )


def _flow(test: LeakTest, leak: Estimate) -> Estimate | None:
    if test.volume is None:
        return None
    value = test.volume * leak.value / test.duration / test.ambient
    u = test.volume / test.duration / test.ambient * leak.u
    return Estimate(value, hypot(u, value * VOLUME_DOUBT))


def _area(test: LeakTest, leak: Estimate) -> Estimate | None:
    """Effective area with its doubt: from a fall of nothing the doubt alone is left."""
    if test.volume is None:
        return None
    whole = abs(test.start)
    sign = 1.0 if test.start > 0.0 else -1.0

    def of(fall: float) -> float:
        kept = min(max(fall, 0.0), 0.999 * whole)
        return leak_area(
            test.ambient + test.start,
            test.ambient + test.start - sign * kept,
            duration=test.duration,
            volume=test.volume or 0.0,
            ambient=test.ambient,
            temperature=test.temperature,
        )

    value = of(leak.value)
    slope = _slope(of, max(leak.value, 0.0), 0.01 * whole)
    return Estimate(value, hypot(slope * leak.u, value * VOLUME_DOUBT))


def _slope(of: Callable[[float], float], at: float, step: float) -> float:
    low = max(at - step, 0.0)
    return (of(at + step) - of(low)) / (at + step - low)


def _verdict(
    test: LeakTest, profile: LeakProfile, leak: Estimate, words: Callable[[Estimate], str]
) -> tuple[str, tuple[str, ...]]:
    if test.bubbles == "seal or joint":
        return "fail", ("bubbles at a seal or joint fail, whatever the fall",)
    if test.bubbles == "test plug":
        return "repeat", ("bubbles at the test plug: seal it and start the clock again",)
    if leak.value < -2.0 * leak.u:
        return "repeat", (
            "the pressure moved away from the air's and no temperature read explains it:"
            " wait till the parts are at rest, then repeat",
        )
    if abs(test.start) < (1.0 - NEAR) * abs(profile.pressure):
        return "not to the rule", (
            f"it began at {words(Estimate(test.start, 0.0))}; the rule asks for"
            f" {words(Estimate(profile.pressure, 0.0))}",
        )
    return _by_fall(test, profile, leak, words)


def _by_fall(
    test: LeakTest, profile: LeakProfile, leak: Estimate, words: Callable[[Estimate], str]
) -> tuple[str, tuple[str, ...]]:
    seen = _over_rule_time(test, profile, leak)
    said = f"it fell {words(seen)} in {profile.duration / 60:g} min, temperature allowed for"
    untold = _untold(test)
    if profile.allowed_fall == 0.0:
        # no reading proves a fall of exactly nothing: the rule means none that the gauge can show
        beyond = _probability(seen.value, seen.u)
        verdict = "fail" if beyond > SURE else "pass"
    else:
        within = _probability(profile.allowed_fall - seen.value, seen.u)
        verdict = "pass" if within >= SURE else "fail" if within <= 1.0 - SURE else "undecided"
    if test.duration < 0.99 * profile.duration and verdict != "fail":
        short = f"{test.duration / 60:g} min is short of the rule's {profile.duration / 60:g} min"
        return "not to the rule", (short, said, *untold)
    return verdict, (said, *untold)


def _over_rule_time(test: LeakTest, profile: LeakProfile, leak: Estimate) -> Estimate:
    """The fall that the same leak gives in the rule's time; the volume cancels.

    A test broken off early is not stretched: what it has lost it has lost.
    """
    if test.duration <= profile.duration or leak.value <= 0.0:
        return leak
    start, sign = test.ambient + test.start, 1.0 if test.start > 0.0 else -1.0
    fall = min(leak.value, 0.999 * abs(test.start))
    per_volume = leak_area(
        start,
        start - sign * fall,
        duration=test.duration,
        volume=1.0,
        ambient=test.ambient,
        temperature=test.temperature,
    )
    value = fall_of(
        per_volume,
        start,
        duration=profile.duration,
        volume=1.0,
        ambient=test.ambient,
        temperature=test.temperature,
    )
    return Estimate(value, leak.u)


def _untold(test: LeakTest) -> tuple[str, ...]:
    found = []
    if test.warmed is None:
        found.append("no temperatures read: a change of 2 K either way is allowed for")
    if test.bubbles == "not looked for":
        found.append("nobody looked for bubbles: a small leak at a seal can hide within the fall")
    return tuple(found)


def _probability(margin: float, u: float) -> float:
    return float(margin >= 0.0) if u == 0.0 else 0.5 * (1.0 + erf(margin / u / sqrt(2.0)))
