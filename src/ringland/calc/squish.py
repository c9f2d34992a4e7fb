"""Calculator: squish from solder or deck, and which gasket brings it home."""

from math import degrees
from typing import Any

from ringland.calc.calculator import Answer, BadInputs, Calculator, Field, Inputs, Row
from ringland.calc.refusing import refusing
from ringland.calc.shown import COVERAGE, Told, chance, deg, deg_change, told
from ringland.calc.sizes import refuse_slips
from ringland.engine.ports import Port, Role, Window, window
from ringland.engine.slider_crank import Crank
from ringland.engine.squish import (
    Chamber,
    Squish,
    greatest_squish_speed,
    squish_from_deck,
    squish_from_solder,
)
from ringland.engine.stack import Choice, Layout, Stack, change_wanted, rank_stacks, stacks_of
from ringland.engine.volumes import deck_from_depths
from ringland.quantity import Estimate, QuantityError, parse_span
from ringland.quantity.probability import probability_within

ROCKS = 0.4e-3  # m: a piston in a bore within its wear limit rocks less; common practice
SURE = 0.95  # default of ISO 14253-1:2017
PLACES = ("ex", "in", "ign", "cl")
EXHAUST = "exhaust"
EXHAUST_CLOSED = "exhaust, valve closed"
PORTS: tuple[tuple[str, str, Role], ...] = (
    ("exhaust", EXHAUST, "exhaust"),
    ("exhaust-closed", EXHAUST_CLOSED, "exhaust"),
    ("transfer", "transfer", "transfer"),
)
FIELDS = {
    "EX": "ex", "IN": "in", "IGN": "ign", "CL": "cl", "points": "ex", "deck": "deck-ex",
    EXHAUST_CLOSED: "exhaust-closed", "u_swap": "swap-pm", "head": "fitted-head",
}  # fmt: skip


def _measured(inputs: Inputs) -> Squish:
    u = inputs.si("pm") / COVERAGE
    points = {
        place.upper(): Estimate(inputs.si(place), u)
        for place in PLACES
        if inputs[place] is not None
    }
    deck = [inputs.si_or_none("deck-ex"), inputs.si_or_none("deck-in")]
    if points:
        shared = inputs.si("shared-pm") / COVERAGE
        return squish_from_solder(points, u_shared=shared, solder=inputs.si_or_none("solder"))
    if deck[0] is None or deck[1] is None:
        raise BadInputs(
            [("ex", "give solder at opposite points, EX and IN, or the deck on both sides")]
        )
    depth = Estimate(deck_from_depths(deck[0], deck[1]), u / 2**0.5)
    height = squish_from_deck(depth, inputs.si("fitted-head"), recess=inputs.si("recess"))
    return Squish(height, Estimate(deck[0] - deck[1], u * 2**0.5), None, height.value)


def _limits(inputs: Inputs) -> tuple[float, float] | None:
    if inputs["window"] is None:
        return None
    try:
        span = parse_span(inputs["window"], "length")
    except QuantityError as error:
        raise BadInputs([("window", str(error))]) from None
    if span.low is None or span.high is None:
        raise BadInputs([("window", "give both ends, such as 1.00-1.40 mm")])
    return span.low.si, span.high.si


def _crank(inputs: Inputs) -> Crank | None:
    stroke, rod = inputs.si_or_none("stroke"), inputs.si_or_none("rod")
    return None if stroke is None or rod is None else Crank(stroke, rod)


def _layout(inputs: Inputs) -> Layout | None:
    crank, bore = _crank(inputs), inputs.si_or_none("bore")
    if crank is None or bore is None:
        return None
    volume = inputs.si_or_none("clearance")
    ports = [
        Port(name, inputs.si(field), role)
        for field, name, role in PORTS
        if inputs[field] is not None
    ]
    u = inputs.si("clearance-pm") / COVERAGE
    clearance = None if volume is None else Estimate(volume, u)
    return Layout(crank, bore, clearance, tuple(ports))


def _choices(
    inputs: Inputs, found: Squish, limits: tuple[float, float] | None
) -> tuple[Stack, list[Choice]]:
    head = inputs.si("fitted-head")
    fitted = Stack(inputs.si_or_none("fitted-base") or 0.0, head)
    bases = [each.si for each in inputs["base"]] or [fitted.base]
    heads = [each.si for each in inputs["head"]] or [head]
    skims = [0.0, *(each.si for each in inputs["skim"])]
    if not (inputs["base"] or inputs["head"] or inputs["skim"]):
        return fitted, []
    problems = []
    if inputs["base"] and inputs["fitted-base"] is None:
        problems.append(("fitted-base", "say which base gasket was in when it was measured"))
    if limits is None:
        problems.append(("window", "say where the squish must lie, such as 1.00-1.40 mm"))
    if problems or limits is None:
        raise BadInputs(problems)
    options = stacks_of(bases, heads, skims)
    u_swap = inputs.si("swap-pm") / COVERAGE
    return fitted, rank_stacks(
        found.height, fitted, options, limits=limits, u_swap=u_swap, layout=_layout(inputs)
    )


def _told(inputs: Inputs) -> Told:
    return told(inputs, "length", *PLACES, "deck-ex", "window", "fitted-base", "base", "head")


def _name(stack: Stack, say: Told) -> str:
    parts = [f"base {say(stack.base)}"] if stack.base else []
    parts += [f"head {say(stack.head)}"] if stack.head else []
    parts += [f"skim {say(stack.skim)}"] if stack.skim else []
    return ", ".join(parts) or "no gasket"


def _beside(choice: Choice, before: dict[str, Window]) -> str:
    parts = [f"{chance(choice.probability)} inside"]
    if choice.full is not None:
        parts.append(f"ratio {choice.full.value:.2f}")
    parts += [f"trapped {ratio.value:.2f} ({name})" for name, ratio in choice.trapped]
    for each in choice.windows:
        change = each.duration - before[each.port.name].duration
        parts.append(f"{each.port.name} {deg(each.duration)} ({deg_change(change)})")
    return "; ".join(parts)


def _speed(inputs: Inputs, height: float) -> tuple[float, float] | None:
    asked = [inputs.si_or_none(name) for name in ("bore", "bowl", "clearance", "speed")]
    crank = _crank(inputs)
    if inputs["bowl"] is None:
        return None
    bore, bowl, volume, rotation = asked
    if crank is None or bore is None or bowl is None or volume is None or rotation is None:
        raise BadInputs(
            [("bowl", "squish speed needs bore, stroke, rod, bowl, clearance and speed")]
        )
    return greatest_squish_speed(Chamber(bore, bowl, volume, height), crank, rotation)


@refusing(FIELDS)
def compute(inputs: Inputs) -> Answer:
    refuse_slips(inputs, dict.fromkeys(PLACES, "squish") | {"bore": "bore", "stroke": "stroke"})
    found, limits, say = _measured(inputs), _limits(inputs), _told(inputs)
    fitted, choices = _choices(inputs, found, limits)
    layout = _layout(inputs) if choices else None
    before = {port.name: window(layout.crank, port) for port in layout.ports} if layout else {}
    rows = _measured_rows(found, inputs.si("spread"), say)
    u_swap = inputs.si("swap-pm") / COVERAGE
    if limits is not None:
        inside = probability_within(found.height, *limits)
        rows.append(Row("inside as it is", chance(inside), f"window {say.span(*limits)}"))
        change = change_wanted(found.height, limits, u_swap=u_swap)
        if change is not None:
            rows.append(Row("change wanted", say.change_span(*change), "for 95 % inside"))
    rows += [
        Row(f"{number} {_name(each.stack, say)}", say.doubt(each.squish), _beside(each, before))
        for number, each in enumerate(choices, start=1)
    ]
    speed = _speed(inputs, found.height.value)
    if speed is not None:
        rows.append(
            Row("squish speed", f"{speed[0]:.1f} m/s", f"greatest, {deg(-speed[1])} before TDC")
        )
    return Answer(
        headline=_headline(found, choices, say),
        rows=tuple(rows),
        notes=_notes(choices, speed is not None),
        cautions=_cautions(choices, found, inputs.si("spread"), say),
        fields=_fields(found, fitted, choices, speed),
        svg=None
        if inputs["ex"] is None and inputs["ign"] is None
        else lambda: _draw(inputs, found),
    )


def _headline(found: Squish, choices: list[Choice], say: Told) -> str:
    said = f"Squish {say.twice.doubt(found.height)}"
    if choices:
        best = choices[0]
        said += (
            f"; {_name(best.stack, say)} gives {say(best.squish.value)}, {chance(best.probability)}"
        )
    return said


def _measured_rows(found: Squish, allowed: float, say: Told) -> list[Row]:
    rows = [Row("squish", say.doubt(found.height), "mean of opposite points")]
    if found.rock is not None:
        rows.append(Row("EX less IN", say.doubt(found.rock), "the piston rocks: averaged out"))
    if found.spread is not None:
        level = chance(probability_within(found.spread, -allowed, allowed))
        remark = f"within ±{say(allowed)} with {level}; a tilt shows here"
        rows.append(Row("IGN less CL", say.doubt(found.spread), remark))
        rows.append(Row("thinnest", say(found.thinnest), "at the low side of that tilt"))
    return rows


def _notes(choices: list[Choice], speed: bool) -> tuple[str, ...]:
    notes = ["± at about 95 %. Averaging across the pin: common practice."]
    if choices:
        notes.append(
            "Gaskets by their tightened thickness. A base gasket moves the ports; a head gasket or "
            "a skim of the head or the barrel's top does not."
        )
    if speed:
        notes.append(
            "Squish speed: balance of mass, Heywood (1988) eq. 8.36 from memory; an upper bound "
            "without leak or friction, to compare heads with."
        )
    return tuple(notes)


def _cautions(choices: list[Choice], found: Squish, allowed: float, say: Told) -> tuple[str, ...]:
    cautions = [
        "Too little squish lets the piston meet the head at speed. The maker's figure stands."
    ]
    if found.rock is not None and abs(found.rock.value) > ROCKS:
        cautions.append(
            f"EX and IN are {say(abs(found.rock.value))} apart, more than a piston rocks: squeeze "
            "both again before any gasket is chosen."
        )
    if found.spread is not None and probability_within(found.spread, -allowed, allowed) < SURE:
        cautions.append(
            f"IGN and CL are not surely within {say(allowed)} of each other: find the tilt first (head "
            "or barrel not down, dirt, a bent face); no gasket takes it out."
        )
    if any(each.stack.skim for each in choices):
        cautions.append("Metal taken off does not come back: try the gaskets first.")
    return tuple(cautions)


def _fields(
    found: Squish, fitted: Stack, choices: list[Choice], speed: tuple[float, float] | None
) -> dict[str, Any]:
    return {
        "squish_mm": found.height.value * 1e3,
        "squish_u_mm": found.height.u * 1e3,
        "rock_mm": None if found.rock is None else found.rock.value * 1e3,
        "spread_mm": None if found.spread is None else found.spread.value * 1e3,
        "thinnest_mm": found.thinnest * 1e3,
        "fitted_base_mm": fitted.base * 1e3,
        "choices": [_choice_fields(each) for each in choices],
        "squish_speed_m_per_s": None if speed is None else speed[0],
    }


def _choice_fields(choice: Choice) -> dict[str, Any]:
    return {
        "base_mm": choice.stack.base * 1e3,
        "head_mm": choice.stack.head * 1e3,
        "skim_mm": choice.stack.skim * 1e3,
        "squish_mm": choice.squish.value * 1e3,
        "squish_u_mm": choice.squish.u * 1e3,
        "probability": choice.probability,
        "full_ratio": None if choice.full is None else choice.full.value,
        "trapped_ratio": {name: ratio.value for name, ratio in choice.trapped},
        "duration_deg": {each.port.name: degrees(each.duration) for each in choice.windows},
    }


def _draw(inputs: Inputs, found: Squish) -> str:
    from ringland.calc.squish_drawing import four_points

    read = {place.upper(): inputs.si_or_none(place) for place in PLACES}
    there = {place: value for place, value in read.items() if value is not None}
    return four_points(there, found, _told(inputs).alone)


CALCULATOR = Calculator(
    name="squish",
    title="Squish from solder, and which gasket brings it home.",
    fields=(
        Field("ex", "length", "solder left on the exhaust side: 1.24 mm"),
        Field("in", "length", "on the intake side, opposite"),
        Field("ign", "length", "on the ignition side"),
        Field("cl", "length", "on the clutch side, opposite"),
        Field("pm", "length", "± of one reading on its own at 95 %", default="0.03 mm", doubt=True),
        Field(
            "shared-pm",
            "length",
            "± that all share: micrometer, spring",
            default="0.02 mm",
            doubt=True,
        ),
        Field("solder", "length", "thickness of the fresh solder: 2 mm"),
        Field(
            "deck-ex", "length", "or by depth gauge: crown's edge below the barrel's top, exhaust"
        ),
        Field("deck-in", "length", "the same on the intake side"),
        Field("recess", "length", "squish band back from the head's face", default="0 mm"),
        Field("spread", "length", "allowed between IGN and CL", default="0.10 mm"),
        Field("window", "text", "where it must lie: 1.00-1.40 mm"),
        Field("fitted-base", "length", "base gasket in at the measurement: 0.4 mm"),
        Field("base", "length", "base gasket to choose from; give several", many=True),
        Field("fitted-head", "length", "head gasket in at the measurement", default="0 mm"),
        Field("head", "length", "head gasket to choose from; give several", many=True),
        Field("skim", "length", "metal off the head's face to consider; give several", many=True),
        Field(
            "swap-pm",
            "length",
            "± that a renewed gasket adds at 95 %",
            default="0.02 mm",
            doubt=True,
        ),
        Field("bore", "length", "bore, for ratio and timing of each choice"),
        Field("stroke", "length", "stroke, likewise"),
        Field("rod", "length", "rod, likewise"),
        Field("clearance", "volume", "clearance volume as measured: 10.4 mL"),
        Field("clearance-pm", "volume", "± of it at 95 %", default="0.2 mL", doubt=True),
        Field("exhaust", "length", "piston travel where the exhaust opens: 27.5 mm"),
        Field("exhaust-closed", "length", "the same with the power valve closed"),
        Field("transfer", "length", "piston travel where the transfers open"),
        Field("bowl", "length", "diameter of the bowl inside the band, for squish speed"),
        Field("speed", "rotation", "crank speed for it: 11000 rpm"),
    ),
    compute=compute,
    example=(
        "squish --ex 1.24mm --in 1.16mm --ign 1.19mm --cl 1.21mm --window 1.00-1.40mm "
        "--fitted-base 0.4mm --base 0.3mm --base 0.4mm --base 0.5mm"
    ),
)
