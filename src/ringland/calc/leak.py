"""`calc leak`: a crankcase or cooling leak test by its rule, with drift of temperature apart."""

from typing import TYPE_CHECKING

from ringland.calc.air import read_pressure
from ringland.calc.calculator import Answer, BadInputs, Calculator, Field, Inputs, Row
from ringland.calc.refusing import blaming
from ringland.calc.shown import Told, told
from ringland.gas.leak_profile import PROFILES, LeakProfile, cooling_profile
from ringland.gas.leakdown import equivalent_diameter
from ringland.gas.pressure_test import (
    BUBBLES,
    LeakResult,
    LeakTest,
    fall_by_volume,
    judge_leak_test,
)
from ringland.quantity import Estimate, decimals_for, show_number

if TYPE_CHECKING:
    from ringland.calc.pressure_log import Log

HEADLINES = {
    "pass": "Passes the rule",
    "fail": "Fails the rule",
    "undecided": "Undecided, so read temperatures, wait for rest and test again",
    "repeat": "Repeat the test",
    "not to the rule": "It cannot pass by this rule",
}
VOLUMES = (0.5, 1.0, 2.0)  # of the volume given, to show what a rule "per minute" means


def _profile(inputs: Inputs) -> LeakProfile:
    profile = PROFILES[inputs["kind"]]
    cap = inputs.si_or_none("cap")
    if cap is not None:
        if inputs["kind"] != "cooling":
            raise BadInputs([("cap", "belongs to the cooling system")])
        profile = cooling_profile(cap)
    own = [inputs.si_or_none(name) for name in ("rule-pressure", "rule-minutes", "rule-fall")]
    if all(each is None for each in own):
        return profile
    pressure, duration, fall = own
    return profile._replace(
        name=f"{profile.name}, own rule",
        source="as given here",
        pressure=profile.pressure if pressure is None else pressure,
        duration=profile.duration if duration is None else duration,
        allowed_fall=profile.allowed_fall if fall is None else fall,
    )


def _ends(inputs: Inputs, log: "Log | None") -> tuple[float, float, float]:
    """Pressure at the start and at the end [Pa] and the time between [s], typed or from the log."""
    start, end = inputs.si_or_none("start"), inputs.si_or_none("end")
    duration = inputs.si_or_none("minutes")
    if log is not None:
        start = log[1][0] if start is None else start
        if end is None and duration is None:
            end, duration = log[1][-1], log[0][-1] - log[0][0]
    problems = []
    if start is None:
        problems.append(("start", "is needed: gauge pressure at the start, 0.40 bar, or a log"))
    if end is None or duration is None:
        problems.append(("end", "give end and minutes, or a log"))
    elif not duration > 0.0:
        problems.append(("minutes", f"{duration / 60:g} min: the end comes after the start"))
    volume = inputs.si_or_none("volume")
    if volume is not None and not volume > 0.0:
        problems.append(
            ("volume", f"a volume of {inputs['volume']} holds no air: give it or leave it out")
        )
    if problems or start is None or end is None or duration is None:
        raise BadInputs(problems)
    return start, end, duration


def _refuse_above_the_cap(inputs: Inputs, start: float) -> None:
    cap = inputs.si_or_none("cap")
    if cap is not None and start > cap + 2 * inputs.si("gauge-doubt"):
        raise BadInputs(
            [
                (
                    "start",
                    f"{_told(inputs)(start)} is above the {_told(inputs)(cap)} on the cap: let it "
                    "down at once; the cap's mark is the most that the system is pumped to",
                )
            ]
        )


def _test(inputs: Inputs, start: float, end: float, duration: float) -> LeakTest:
    ambient, _ = read_pressure(inputs)
    first, last = inputs.si("temp"), inputs.si_or_none("end-temp")
    return LeakTest(
        start,
        end,
        duration,
        ambient=ambient,
        temperature=first,
        warmed=None if last is None else last - first,
        volume=inputs.si_or_none("volume"),
        u_pressure=inputs.si("gauge-doubt"),
        bubbles=inputs["bubbles"],
    )


def _log(text: str | None) -> "Log | None":
    if text is None:
        return None
    from ringland.calc.pressure_log import read_log  # only a file needs it

    return read_log(text)


def _compute(inputs: Inputs) -> Answer:
    log = _log(inputs["log"])
    readings = _ends(inputs, log)
    with blaming("rule-pressure", inputs):
        profile = _profile(inputs)
    _refuse_above_the_cap(inputs, readings[0])
    say = _told(inputs)
    with blaming("start", inputs):
        test = _test(inputs, *readings)
        found = judge_leak_test(test, profile, words=lambda each: _words(each, say))
    rows = [*_rows(inputs, test, found), *_volume_rows(test, found, say)]
    if log is not None:
        rows += _log_rows(inputs, test, log)
    return Answer(
        f"{HEADLINES[found.verdict]}: {found.reasons[0]}.",
        tuple(rows),
        notes=(_rule(profile, say), *found.reasons[1:], *_fineness(test, profile)),
        cautions=profile.cautions,
        fields=_fields(found, profile),
        svg=None if log is None else lambda: _draw(test, profile, log, say.alone),
    )


def _told(inputs: Inputs) -> Told:
    return told(inputs, "pressure", "start", "end", "log", "cap", "rule-pressure")


def _words(pressure: Estimate, say: Told) -> str:
    return say.doubt(pressure, 3) if pressure.u else say(pressure.value, 3)


def _rows(inputs: Inputs, test: LeakTest, found: LeakResult) -> list[Row]:
    say, warmer = _told(inputs), told(inputs, "temperature", "end-temp", "temp")
    rows = [
        Row("fall as read", say.doubt(found.fall, 3), f"in {test.duration / 60:g} min"),
        Row("drift", say.doubt(found.drift, 3), "what temperature and weather explain"),
        Row("fall by leak", say.doubt(found.leak_fall, 3), "± is 2 u"),
        Row(
            "or explained by",
            warmer.change(found.explained_by, 1),
            "change of temperature that alone would give this fall",
        ),
    ]
    if found.flow is not None and found.area is not None:
        area, margin = found.area.value * 1e6, 2 * found.area.u * 1e6
        places = decimals_for(margin, 2)
        hole = equivalent_diameter(max(found.area.value, 0.0)) * 1e6
        flow = f"{show_number(found.flow.value * 60e6, 2)} ± {show_number(found.flow.u * 120e6, 2)}"
        rows += [
            Row("leak rate", f"{flow} mL/min", "as outside air"),
            Row(
                "effective area",
                f"{show_number(area, places)} ± {show_number(margin, places)} mm²",
                f"a clean hole of {hole:.0f} µm",
            ),
        ]
    return rows


def _volume_rows(test: LeakTest, found: LeakResult, say: Told) -> list[Row]:
    if test.volume is None or found.area is None or found.area.value <= 0.0:
        return []
    volumes = [test.volume * share for share in VOLUMES]
    falls = fall_by_volume(found.area.value, test, volumes)
    text = "; ".join(
        f"{volume * 1e6:.0f} mL {say(fall, 4)}" for volume, fall in zip(volumes, falls, strict=True)
    )
    return [Row("per minute", text, "the same leak: a rule per minute belongs to its volume")]


def _log_rows(inputs: Inputs, test: LeakTest, log: "Log") -> list[Row]:
    from ringland.gas.decay import fit_decay

    try:
        fit = fit_decay(
            *log,
            u_pressure=inputs.si("gauge-doubt"),
            ambient=test.ambient,
            temperature=test.temperature,
            volume=test.volume,
        )
    except ValueError as error:
        raise BadInputs([("log", str(error))]) from None
    ratio = "not reached" if fit.half_ratio is None else f"{fit.half_ratio:.2f}"
    told = {"cannot tell": "cannot tell a hole from a narrow path: log longer, or lower"}
    return [
        Row("half-time ratio", ratio, "0.71 a hole, 1.00 a narrow path such as a seal's lip"),
        Row("kind of leak", fit.kind, told.get(fit.kind, "by the fit of the log")),
        Row(
            "early rate",
            _told(inputs).doubt(Estimate(float(fit.rate.value) * 60, float(fit.rate.u) * 60), 4),
            "a minute, from the fit",
        ),
    ]


def _draw(test: LeakTest, profile: LeakProfile, log: "Log", say: Told) -> str:
    import numpy as np

    from ringland.charts.curve import Line, Points, Wall, curve_chart
    from ringland.charts.style import Words
    from ringland.gas.decay import fit_decay

    fit = fit_decay(
        *log, u_pressure=test.u_pressure, ambient=test.ambient, temperature=test.temperature
    )
    per, last = say.lead.step_from_si(1.0), log[0][-1]
    minutes, read = np.array(log[0]) / 60.0, np.array(log[1]) * per
    # the fitted line meets the first pressure a little before it, and the last before or after it
    drawn = (fit.times >= log[0][0]) & (fit.times < last)
    slope = (fit.fitted[-1] - fit.fitted[-2]) / (fit.times[-1] - fit.times[-2])
    times = np.append(fit.times[drawn], last)
    fitted = np.append(fit.fitted[drawn], fit.fitted[-1] + slope * (last - fit.times[-1]))
    name = "hole" if fit.chi_orifice <= fit.chi_capillary else "narrow path"
    limit = (test.start - profile.allowed_fall) * per
    return curve_chart(
        Words(
            f"Pressure in the {profile.name} test over time",
            f"It fell from {say(log[1][0], 3)} to {say(log[1][-1], 3)} in"
            f" {minutes[-1] - minutes[0]:g} min; the rule allows {say(profile.allowed_fall, 3)} in"
            f" {profile.duration / 60:g} min."
            f" The better fit is a {name}.",
            "time, minutes",
            f"gauge pressure, {say.lead.name}",
        ),
        lines=[Line(times / 60.0, fitted * per, f"fit: {name}")],
        points=Points(minutes, read, "read", np.full(minutes.size, 2 * test.u_pressure * per)),
        walls=[Wall(limit, f"rule, {profile.duration / 60:g} min", below=True)],
    )


def _rule(profile: LeakProfile, say: Told) -> str:
    return (
        f"Rule: {profile.name}, {say(profile.pressure)}, wait"
        f" {profile.settle / 60:g} min, {profile.duration / 60:g} min,"
        f" fall at most {say(profile.allowed_fall, 3)}, no bubble at any seal or joint;"
        f" never beyond {say(profile.limit)}; {profile.source}. The maker's rule comes"
        " first."
    )


def _fineness(test: LeakTest, profile: LeakProfile) -> tuple[str, ...]:
    if profile.allowed_fall and test.u_pressure * 4.0 > profile.allowed_fall:
        return (
            "This gauge is coarse for the rule: a quarter of the allowed fall is wanted"
            " (ASTM E2930-13, as summarised in its abstract).",
        )
    return ()


def _fields(found: LeakResult, profile: LeakProfile) -> dict[str, object]:
    return {
        "verdict": found.verdict,
        "fall_Pa": found.fall.value,
        "drift_Pa": found.drift.value,
        "leak_fall_Pa": found.leak_fall.value,
        "leak_fall_u_Pa": found.leak_fall.u,
        "flow_m3_s": None if found.flow is None else found.flow.value,
        "area_m2": None if found.area is None else found.area.value,
        "area_u_m2": None if found.area is None else found.area.u,
        "explained_by_K": found.explained_by,
        "rule": profile.name,
        "rule_pressure_Pa": profile.pressure,
        "rule_duration_s": profile.duration,
        "rule_fall_Pa": profile.allowed_fall,
        "reasons": list(found.reasons),
    }


CALCULATOR = Calculator(
    "leak",
    "Crankcase and cooling leak tests: rate, area, drift of temperature.",
    (
        Field("kind", "choice", "what is tested", "crankcase", choices=tuple(PROFILES)),
        Field("start", "pressure", "gauge pressure at the start, 0.40 bar"),
        Field("end", "pressure", "gauge pressure at the end, 0.37 bar"),
        Field("minutes", "time", "between them, after settling, 6 min", unit="min"),
        Field("bubbles", "choice", "where bubbles show", "not looked for", choices=BUBBLES),
        Field("temp", "temperature", "of the parts at the start, 20 °C", "20 °C"),
        Field("end-temp", "temperature", "of the parts at the end, 19 °C"),
        Field("volume", "volume", "enclosed, hoses included, 450 mL"),
        Field(
            "gauge-doubt",
            "pressure",
            "standard uncertainty of one reading, 0.006 bar",
            "600 Pa",
            doubt=True,
        ),
        Field("cap", "pressure", "mark on the cap, for the cooling system, 1.1 bar"),
        Field("rule-pressure", "pressure", "the maker's or shop's rule: pressure, 0.35 bar"),
        Field("rule-minutes", "time", "the rule's time, 5 min", unit="min"),
        Field("rule-fall", "pressure", "the rule's allowed fall, 0.03 bar"),
        Field("log", "csv", "file of readings: minutes, bar (gauge); other units in its heading"),
        Field("pressure", "pressure", "absolute air pressure on the spot, 1013 hPa"),
        Field("altitude", "length", "altitude when the pressure is not known, 800 m"),
        Field("report", "pressure", "weather report's pressure at sea level, 1020 hPa"),
    ),
    _compute,
    'leak --start "0.40 bar" --end "0.37 bar" --minutes "6 min" --bubbles none',
)
