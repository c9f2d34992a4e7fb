"""Calculator: port timing from heights (or heights from durations), and what a gasket changes."""

from math import degrees
from typing import Any

from ringland.calc.calculator import Answer, BadInputs, Calculator, Field, Inputs, Row
from ringland.calc.refusing import refusing
from ringland.calc.shown import Told, deg, deg_change, told
from ringland.calc.sizes import refuse_slips
from ringland.engine.ports import (
    Blowdown,
    Port,
    Role,
    Window,
    blowdown,
    open_time,
    raised,
    travel_for_duration,
    window,
)
from ringland.engine.slider_crank import Crank
from ringland.quantity import MissingUnit, QuantityError, parse_quantity

# field, name printed, role
PORTS: tuple[tuple[str, str, Role], ...] = (
    ("exhaust", "exhaust", "exhaust"),
    ("exhaust-closed", "exhaust, valve closed", "exhaust"),
    ("transfer", "transfer", "transfer"),
    ("boost", "boost", "transfer"),
    ("intake", "intake", "intake"),
)
FIELD_OF = {name: field for field, name, _ in PORTS}


def _read(inputs: Inputs, crank: Crank) -> list[Port]:
    deck = inputs.si_or_none("deck") or 0.0
    found, problems = [], []
    for field, name, role in PORTS:
        if inputs[field] is None:
            continue
        try:
            quantity = parse_quantity(inputs[field])
            if quantity.unit.kind not in ("length", "angle"):
                raise QuantityError(
                    f"{quantity} is a {quantity.unit.kind}: give a height such as 27.5 mm, or a "
                    "duration such as 196 deg"
                )
        except MissingUnit as error:
            asked = f"{error.number} has no unit: add mm or in for a height, deg for a duration"
            problems.append((field, asked))
            continue
        except QuantityError as error:
            problems.append((field, str(error)))
            continue
        if quantity.unit.kind == "angle":
            travel = travel_for_duration(crank, quantity.si, role)
        else:
            travel = quantity.si - (deck if role != "intake" else 0.0)
        found.append(Port(name, travel, role))
    if not found and not problems:
        problems.append(("exhaust", "no port given: a height such as 27.5 mm, or 196 deg"))
    if problems:
        raise BadInputs(problems)
    return found


def _raised(inputs: Inputs, ports: list[Port], crank: Crank) -> list[Port]:
    """The ports after the change of gasket, which may not lift an edge out of the stroke."""
    moved = [raised(port, inputs.si("gasket")) for port in ports]
    gone = next((each for each in moved if not 0 < each.travel < crank.stroke), None)
    if gone is not None and all(0 < each.travel < crank.stroke for each in ports):
        said = (
            f"{inputs['gasket']} carries the {gone.name} out of the stroke: give the change alone"
        )
        raise BadInputs([("gasket", f"{said}, new gasket less old one, such as 0.1 mm")])
    return moved


def _blowdowns(windows: list[Window]) -> list[Blowdown]:
    transfers = [each for each in windows if each.port.role == "transfer"]
    exhausts = [each for each in windows if each.port.role == "exhaust"]
    return [blowdown(each, transfers) for each in exhausts] if transfers else []


def _angles(each: Window) -> str:
    if each.port.role == "intake":
        return f"opens {deg(-each.opens)} before TDC, closes {deg(each.closes)} after it"
    return f"opens {deg(each.opens)}, closes {deg(each.closes)} after TDC"


@refusing(FIELD_OF | {"duration": "exhaust"})
def compute(inputs: Inputs) -> Answer:
    refuse_slips(inputs, {"stroke": "stroke"})
    crank = Crank(inputs.si("stroke"), inputs.si("rod"), inputs.si("offset"))
    ports = _read(inputs, crank)
    change, rotation = inputs.si("gasket"), inputs.si_or_none("speed")
    say = told(inputs, "length", *FIELD_OF.values(), "stroke", "rod")
    now = [window(crank, port) for port in ports]
    then = [window(crank, each) for each in _raised(inputs, ports, crank)]
    leads = list(zip(_blowdowns(now), _blowdowns(then), strict=True))
    return Answer(
        headline=_headline(now, leads),
        rows=_rows(now, then, leads, (change, rotation), say),
        notes=(
            "Exact slider-crank geometry; angles at the crown's edge (intake: skirt's edge).",
            f"A base gasket {say.change(change)} moves the barrel with all its edges.",
        ),
        cautions=tuple(
            f"{lead.transfer} opens before {lead.exhaust}: are the heights swapped?"
            for lead, _ in leads
            if lead.angle <= 0
        ),
        fields=_fields(now, then, leads, change, rotation),
        svg=lambda: _draw(now),
    )


def _headline(now: list[Window], leads: list[tuple[Blowdown, Blowdown]]) -> str:
    said = ", ".join(f"{each.port.name} {deg(each.duration)}" for each in now)
    lead = f"; blowdown {deg(leads[0][0].angle)}" if leads else ""
    return said[0].upper() + said[1:] + lead


def _draw(windows: list[Window]) -> str:
    from ringland.calc.ports_drawing import timing_diagram

    return timing_diagram(windows)


def _rows(
    now: list[Window],
    then: list[Window],
    leads: list[tuple[Blowdown, Blowdown]],
    asked: tuple[float, float | None],
    say: Told,
) -> tuple[Row, ...]:
    rows, (change, rotation) = [], asked
    for each in now:
        time = ""
        if rotation is not None:
            time = f"; open {open_time(each.duration, rotation) * 1e3:.2f} ms"
        remark = f"{_angles(each)}; edge {say(each.port.travel)} below TDC{time}"
        rows.append(Row(each.port.name, deg(each.duration), remark))
    rows += [
        Row("blowdown", deg(lead.angle), f"{lead.exhaust} to {lead.transfer}") for lead, _ in leads
    ]
    label = f"gasket {say.change(change)}"
    for before, after in zip(now, then, strict=True):
        longer = deg_change(after.duration - before.duration)
        earlier = deg_change(after.opens - before.opens)
        rows.append(Row(label, longer, f"{before.port.name}: duration; opening {earlier}"))
    rows += [Row(label, deg_change(b.angle - a.angle), f"blowdown, {a.exhaust}") for a, b in leads]
    return tuple(rows)


def _fields(
    now: list[Window],
    then: list[Window],
    leads: list[tuple[Blowdown, Blowdown]],
    change: float,
    rotation: float | None,
) -> dict[str, Any]:
    return {
        "gasket_change_mm": change * 1e3,
        "ports": [
            {
                "name": before.port.name,
                "role": before.port.role,
                "travel_mm": before.port.travel * 1e3,
                "opens_deg_after_tdc": degrees(before.opens),
                "closes_deg_after_tdc": degrees(before.closes),
                "duration_deg": degrees(before.duration),
                "opens_change_deg": degrees(after.opens - before.opens),
                "duration_change_deg": degrees(after.duration - before.duration),
                "open_time_ms": None
                if rotation is None
                else open_time(before.duration, rotation) * 1e3,
            }
            for before, after in zip(now, then, strict=True)
        ],
        "blowdown": [
            {
                "exhaust": a.exhaust,
                "transfer": a.transfer,
                "angle_deg": degrees(a.angle),
                "change_deg": degrees(b.angle - a.angle),
            }
            for a, b in leads
        ],
    }


HEIGHT = "height of its roof, as piston travel from TDC: 27.5 mm; or a duration: 196 deg"

CALCULATOR = Calculator(
    name="ports",
    title="Port timing from heights, and what a gasket changes.",
    fields=(
        Field("stroke", "length", "stroke, such as 56 mm", required=True),
        Field("rod", "length", "rod between the centres of its eyes: 105 mm", required=True),
        Field("offset", "length", "pin path beside the crank's centre", default="0 mm"),
        Field(
            "deck", "length", "crown's edge below the barrel's top at TDC, if heights start there"
        ),
        Field("exhaust", "text", f"exhaust (power valve open): {HEIGHT}"),
        Field("exhaust-closed", "text", "exhaust with the power valve closed, likewise"),
        Field("transfer", "text", "transfers, likewise"),
        Field("boost", "text", "boost port, likewise"),
        Field("intake", "text", "skirt-controlled intake: travel at which its floor closes"),
        Field("gasket", "length", "change of the base gasket to look at", default="0.1 mm"),
        Field("speed", "rotation", "crank speed for open times: 11000 rpm"),
    ),
    compute=compute,
    example=(
        "ports --stroke 56mm --rod 105mm --exhaust 27.5mm --exhaust-closed 33mm --transfer 41.5mm"
    ),
)
