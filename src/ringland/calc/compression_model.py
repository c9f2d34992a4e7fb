"""The model's part of `calc compression`: needs the engine's geometry, and numpy.

Here: from fields to the cranking model and back to words. Not here: the baseline (`compression`).
"""

from collections.abc import Callable
from dataclasses import dataclass
from math import exp

from ringland.calc.calculator import BadInputs, Inputs, Row
from ringland.calc.refusing import blaming
from ringland.calc.shown import Told, told
from ringland.gas.band import Band, pump_up_band
from ringland.gas.baseline import CrankingReading
from ringland.gas.cranking import Cranking
from ringland.gas.next_reading import STATIC, Candidate, best_readings
from ringland.gas.reading import CLAIM, LeakDown, LeakReading, Run, read_leak, rise_by_oil

NEAR = 0.15  # of the doubt left: a candidate that close to the best is as good
BELOW, ABOVE = 0.025, 0.975  # of sound engines: outside them a reading is not one of theirs
SEED = 1  # the same band for the same inputs


@dataclass(frozen=True, slots=True)
class ModelAnswer:
    """What the model adds to the answer."""

    headline: str
    rows: tuple[Row, ...]
    notes: tuple[str, ...]
    fields: dict[str, object]
    svg: Callable[[], str]


def answer_by_model(inputs: Inputs, readings: list[float], now: CrankingReading) -> ModelAnswer:
    """Return what the geometry and the readings say together."""
    with blaming("bore", inputs):
        setting = _setting(inputs, now)
    with blaming("reading", inputs):
        runs = _runs(inputs, readings)
    static = inputs.si_or_none("leak-area")
    with blaming("leak-area", inputs):
        leak_down = None if static is None else LeakDown(static)
    with blaming("strokes", inputs):
        band = pump_up_band(setting, strokes=max(runs[0].readings[-1][0], 8), seed=SEED)
    with blaming("bore", inputs):
        found = read_leak(setting, runs, leak_down=leak_down)
        middle = max(exp(found.log_area.value), CLAIM)
        advice = _not_yet_done(best_readings(setting, runs, area=middle), leak_down)
    with blaming("oil", inputs):
        wet = _wet_row(inputs, setting, readings[-1])
    return ModelAnswer(
        _headline(found, advice),
        (*_rows(found, _sound(band, runs[0], told(inputs, "pressure", "reading")), advice), *wet),
        (
            "Model: compression with temperature-dependent heats, Hohenberg's heat loss, leak and"
            " gauge volume; its doubts are common practice and wide. Effective area is coefficient"
            " times area. The area is taken as equally likely from 0.01 to 20 mm² beforehand.",
            "Wet readings only hint: oil fills the squish as well.",
        ),
        _fields(found, band, advice),
        lambda: _draw(band, runs[0], told(inputs, "pressure", "reading").alone),
    )


def _not_yet_done(
    advice: tuple[Candidate, ...], leak_down: LeakDown | None
) -> tuple[Candidate, ...]:
    return tuple(each for each in advice if leak_down is None or each.name != STATIC)


def _setting(inputs: Inputs, now: CrankingReading) -> Cranking:
    stroke = inputs.si("stroke")
    rod = inputs.si_or_none("rod")
    assert now.ambient is not None
    return Cranking(
        bore=inputs.si("bore"),
        stroke=stroke,
        rod=1.9 * stroke if rod is None else rod,
        clearance=inputs.si("clearance"),
        closing=inputs.si("closing"),
        speed=inputs.si("speed"),
        ambient=now.ambient,
        air=inputs.si("temp"),
        wall=inputs.si("wall"),
        dead=inputs.si("hose"),
        gauge=inputs.si("gauge-volume"),
    )


def refuse_a_fall(inputs: Inputs, readings: list[float]) -> None:
    """Refuse readings stroke by stroke that fall, or cannot be, as a problem of `reading`."""
    with blaming("reading", inputs):
        Run(tuple(enumerate(readings, 1)), 1.0)


def _runs(inputs: Inputs, readings: list[float]) -> list[Run]:
    count = int(inputs["strokes"])
    told = (
        ((count, readings[0]),)
        if len(readings) == 1
        else tuple((i + 1, value) for i, value in enumerate(readings))
    )
    runs = [Run(told, inputs.si("speed"))]
    slow, speed = inputs.si_or_none("slow"), inputs.si_or_none("slow-speed")
    if (slow is None) != (speed is None):
        raise BadInputs([("slow-speed", "give the slow reading and its speed together")])
    if slow is not None and speed is not None:
        runs.append(Run(((told[-1][0], slow),), speed))
    return runs


def _wet_row(inputs: Inputs, setting: Cranking, dry: float) -> tuple[Row, ...]:
    wet, oil = inputs.si_or_none("wet"), inputs.si_or_none("oil")
    if (wet is None) != (oil is None):
        raise BadInputs([("oil", "give the wet reading and the amount of oil together")])
    if wet is None or oil is None:
        return ()
    alone = rise_by_oil(setting, oil)
    told = "a hint at the ring or bore" if wet / dry > 1.1 * alone else "no more than its volume"
    return (
        Row(
            "wet over dry", f"{wet / dry:.2f}", f"the oil's volume alone gives {alone:.2f}: {told}"
        ),
    )


def _headline(found: LeakReading, advice: tuple[Candidate, ...]) -> str:
    if found.sound_share > ABOVE:
        return (
            "Above what a sound engine of this geometry reads here, so no leak follows from it:"
            " carbon, oil, another head, a faster crank, or a sheet that is off."
        )
    low, high = found.low * 1e6, found.high * 1e6
    if found.tells:
        return f"The leak's effective area is {low:.2f} to {high:.2f} mm² (95 %)."
    least = advice[0].left
    good = [each.name for each in advice if each.left <= least * (1.0 + NEAR)]
    return (
        f"This reading cannot tell the leak; it lies under {found.upper * 1e6:.2f} mm² with 95 %."
        f" Take next: {' or '.join(good[:2])}."
    )


def _sound(band: Band, run: Run, say: Told) -> Row:
    last = run.readings[-1][0] - 1
    span = say.span(float(band.low[last]), float(band.high[last]), 1)
    return Row("sound engine reads", span, "here and today, 19 of 20")


def _rows(found: LeakReading, sound: Row, advice: tuple[Candidate, ...]) -> tuple[Row, ...]:
    return (
        sound,
        Row("this one", *_placed(100 * found.sound_share)),
        Row(
            "leak area",
            _area(found),
            f"95 %; standard deviation of its logarithm {found.log_area.u:.2f}"
            f" (a factor of {exp(found.log_area.u):.2f})",
        ),
        Row(
            "next reading",
            advice[0].name,
            "left of the doubt: " + ", ".join(f"{each.name} {each.left:.2f}" for each in advice),
        ),
    )


def _area(found: LeakReading) -> str:
    if found.low < CLAIM and not found.tells:
        return f"under {found.upper * 1e6:.2f} mm²"
    return f"{found.low * 1e6:.2f} to {found.high * 1e6:.2f} mm²"


def _placed(share: float) -> tuple[str, str]:
    if share < 100 * BELOW:
        return "below them", "not consistent with a sound engine of this sheet, or the sheet is off"
    if share > 100 * ABOVE:
        return "above them", "carbon, oil, another head, or the sheet is off"
    return "among them", f"{share:.0f} % of sound engines of this geometry read lower"


def _fields(found: LeakReading, band: Band, advice: tuple[Candidate, ...]) -> dict[str, object]:
    return {
        "tells": found.tells,
        "log_area": found.log_area.value,
        "log_area_u": found.log_area.u,
        "area_low_m2": found.low,
        "area_high_m2": found.high,
        "area_upper_m2": found.upper,
        "sound_share": found.sound_share,
        "sound_low_Pa": [float(each) for each in band.low],
        "sound_middle_Pa": [float(each) for each in band.middle],
        "sound_high_Pa": [float(each) for each in band.high],
        "next": [{"name": each.name, "log_area_u_left": each.left} for each in advice],
    }


def _draw(band: Band, run: Run, say: Told) -> str:
    import numpy as np

    from ringland.charts.curve import Band as Drawn
    from ringland.charts.curve import Line, Points, curve_chart
    from ringland.charts.style import Words

    zero = np.zeros(1)
    strokes = np.arange(band.middle.size + 1.0)
    per = say.lead.step_from_si(1.0)
    low, middle, high = (
        np.concatenate([zero, each]) * per for each in (band.low, band.middle, band.high)
    )
    read_at = np.array([float(stroke) for stroke, _ in run.readings])
    read = np.array([value for _, value in run.readings]) * per
    ends = say.span(float(band.low[-1]), float(band.high[-1]), 1)
    return curve_chart(
        Words(
            "Compression gauge, stroke by stroke",
            f"A sound engine of this geometry ends at {ends}; this one reads"
            f" {say(run.readings[-1][1], 1)} after {read_at[-1]:.0f} strokes.",
            "strokes",
            f"gauge pressure, {say.lead.name}",
        ),
        lines=[Line(strokes, middle, "sound engine")],
        band=Drawn(strokes, low, high, "19 of 20 sound"),
        points=Points(read_at, read, "read"),
    )
