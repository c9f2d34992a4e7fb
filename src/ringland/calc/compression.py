"""`calc compression`: what a cranking compression reading says, and what it cannot say."""

from typing import TYPE_CHECKING

from ringland.calc.air import read_pressure
from ringland.calc.calculator import Answer, BadInputs, Calculator, Field, Inputs, Row
from ringland.calc.refusing import as_typed, blaming
from ringland.calc.shown import told
from ringland.gas.baseline import (
    Comparison,
    CrankingReading,
    DropLevels,
    against_baseline,
    to_air_pressure,
)
from ringland.quantity import show_number

if TYPE_CHECKING:
    from ringland.calc.compression_model import ModelAnswer

CAUTIONS = (
    "Kill the ignition and earth the lead away from the plug hole: fuel mist burns.",
    "Throttle open, plug out, gauge in, until the needle stands; nobody's hand near the kick.",
)
CANNOT = (
    "One reading does not show: ring end gap, which part leaks, a leak under about 0.5 mm², wear,"
    " crank seals or reeds, power, or good and bad against another gauge, altitude, speed or"
    " power-valve position. Heat passed to the wall is the great confounder."
)
GEOMETRY = ("bore", "stroke", "rod", "clearance", "closing")


def _reading(inputs: Inputs, pressure: float, prefix: str = "") -> CrankingReading:
    ambient, measured = read_pressure(inputs, prefix)
    gauge = inputs["gauge"] if not prefix else inputs["was-gauge"] or inputs["gauge"]
    return CrankingReading(pressure, gauge or "this gauge", ambient, measured)


def _levels(inputs: Inputs) -> DropLevels:
    levels = DropLevels()
    given = [inputs.si_or_none(name) for name in ("note", "plan", "stop")]
    if all(each is None for each in given):
        return levels
    own = (levels.note, levels.plan, levels.stop)
    note, plan, stop = (o if g is None else g for o, g in zip(own, given, strict=True))
    return DropLevels(note, plan, stop, "as given here")


def _compute(inputs: Inputs) -> Answer:
    readings = [each.si for each in inputs["reading"]]
    if not readings:
        raise BadInputs([("reading", "give what the gauge shows, 11.2 bar")])
    try:
        now = _reading(inputs, readings[-1])
        with blaming("plan", inputs):
            levels = _levels(inputs)
        compared = _compare(inputs, now, levels)
    except BadInputs:
        raise
    except ValueError as error:
        raise BadInputs([("reading", as_typed(inputs, "reading", str(error)))]) from None
    model = _model(inputs, readings, now)
    assert now.ambient is not None
    at_sea = to_air_pressure(now.pressure, ambient=now.ambient)
    say = told(inputs, "pressure", "reading", "was", "slow", "wet")
    rows = [
        Row("reading", say(now.pressure), "gauge"),
        Row(
            "at 1013 hPa it were",
            say(at_sea),
            "by the ratio of air pressures, not of densities",
        ),
        *([] if compared is None else _baseline_rows(compared, levels)),
        *([] if model is None else model.rows),
    ]
    return Answer(
        _headline(compared, model),
        tuple(rows),
        notes=(CANNOT, *(() if model is None else model.notes)),
        cautions=CAUTIONS,
        fields={
            "reading_Pa": now.pressure,
            "at_standard_pressure_Pa": at_sea,
            **({} if compared is None else _baseline_fields(compared)),
            **({} if model is None else model.fields),
        },
        svg=None if model is None else model.svg,
    )


def _compare(inputs: Inputs, now: CrankingReading, levels: DropLevels) -> Comparison | None:
    if not inputs["was"]:
        return None
    baseline = [_reading(inputs, each.si, "was-") for each in inputs["was"]]
    return against_baseline(now, baseline, levels=levels)


def _baseline_rows(compared: Comparison, levels: DropLevels) -> list[Row]:
    if compared.share is None or compared.at_least is None:
        return [Row("of own baseline", "not comparable", "; ".join(compared.reasons))]
    share, u = 100 * compared.share.value, 200 * compared.share.u
    said = f"note {_share(levels.note)}, plan {_share(levels.plan)}, stop {_share(levels.stop)}"
    chances = ", ".join(
        f"{name} {_share(chance)}"
        for name, chance in zip(("note", "plan", "stop"), compared.at_least, strict=True)
    )
    return [
        Row("of own baseline", f"{show_number(share, 1)} ± {show_number(u, 1)} %", "± is 2 u"),
        Row("level", str(compared.level), f"the shop's levels: {said}; {levels.source}"),
        Row("chance that it is reached", chances, "sure from 95 %"),
    ]


def _share(value: float) -> str:
    return f"{show_number(100 * value, 0)} %"


def _baseline_fields(compared: Comparison) -> dict[str, object]:
    return {
        "comparable": compared.comparable,
        "reasons": list(compared.reasons),
        "baseline_share": None if compared.share is None else compared.share.value,
        "baseline_share_u": None if compared.share is None else compared.share.u,
        "level": compared.level,
        "level_sure": compared.sure,
    }


def _model(inputs: Inputs, readings: list[float], now: CrankingReading) -> "ModelAnswer | None":
    given = [name for name in GEOMETRY if inputs[name] is not None]
    if not given:
        if len(readings) > 1:
            from ringland.calc.compression_model import refuse_a_fall

            refuse_a_fall(inputs, readings)
        return None
    missing = [name for name in GEOMETRY if name not in given and name != "rod"]
    if missing:
        raise BadInputs([(name, "is needed with the rest of the geometry") for name in missing])
    from ringland.calc.compression_model import answer_by_model

    return answer_by_model(inputs, readings, now)


def _headline(compared: Comparison | None, model: "ModelAnswer | None") -> str:
    parts = []
    if compared is not None:
        parts.append(_baseline_headline(compared))
    if model is not None:
        parts.append(model.headline)
    if not parts:
        return "This number alone says nothing: give the same gauge's reading when it was good."
    return " ".join(parts)


def _baseline_headline(compared: Comparison) -> str:
    if compared.share is None:
        return f"Not comparable with that baseline: {'; '.join(compared.reasons)}."
    drop = 100 * (1.0 - compared.share.value)
    word = "surely" if compared.sure else "not surely"
    if drop < -0.5:
        return f"{-drop:.0f} % above its own baseline: no loss shows."
    if compared.level == "none":
        return f"{drop:.0f} % below its own baseline: under the shop's first level, {word}."
    return f"{drop:.0f} % below its own baseline: {compared.level}, {word}."


CALCULATOR = Calculator(
    "compression",
    "What a cranking compression reading can and cannot say.",
    (
        Field(
            "reading",
            "pressure",
            "what the gauge shows, 11.2 bar; once per stroke if noted so",
            many=True,
        ),
        Field("strokes", "number", "strokes cranked for one reading, 8", "8"),
        Field("gauge", "text", "which gauge, hose and adapter"),
        Field("pressure", "pressure", "absolute air pressure on the spot, 1013 hPa"),
        Field("altitude", "length", "altitude when the pressure is not known, 800 m"),
        Field("report", "pressure", "weather report's pressure at sea level, 1020 hPa"),
        Field("temp", "temperature", "of the air, 20 °C", "20 °C"),
        Field("was", "pressure", "own baseline on the same gauge, 12.4 bar", many=True),
        Field("was-gauge", "text", "gauge of the baseline, if another"),
        Field("was-pressure", "pressure", "absolute air pressure of the baseline, 1013 hPa"),
        Field("was-altitude", "length", "altitude of the baseline, 0 m"),
        Field("was-report", "pressure", "weather report's pressure at sea level then, 1020 hPa"),
        Field("note", "share", "the shop's level to note a drop, 10 %", unit="%"),
        Field("plan", "share", "the shop's level to plan work, 15 %", unit="%"),
        Field("stop", "share", "the shop's level to stop, 25 %", unit="%"),
        Field("bore", "length", "bore, 53.2 mm"),
        Field("stroke", "length", "stroke, 56.0 mm"),
        Field("rod", "length", "rod, 105 mm; twice the stroke less a tenth where left out"),
        Field("clearance", "volume", "volume at top dead centre, plug in, 10.5 mL"),
        Field(
            "closing", "angle", "exhaust closes before top dead centre, valve as cranked, 92 deg"
        ),
        Field("speed", "rotation", "cranking speed, 480 rpm", "480 rpm"),
        Field("wall", "temperature", "of the cylinder, 40 °C", "40 °C"),
        Field("hose", "volume", "before the gauge's check valve, 0.3 mL", "0.3 mL"),
        Field("gauge-volume", "volume", "behind the check valve, 1.5 mL", "1.5 mL"),
        Field("slow", "pressure", "reading at a second, slow cranking speed, 9.8 bar"),
        Field("slow-speed", "rotation", "that speed, 190 rpm"),
        Field("leak-area", "area", "static leak-down's effective area, 0.8 mm²"),
        Field("wet", "pressure", "reading after oil in the cylinder, 12.9 bar"),
        Field("oil", "volume", "how much oil, 3 mL"),
    ),
    _compute,
    'compression --reading "9.6 bar" --was "12.4 bar"',
)
