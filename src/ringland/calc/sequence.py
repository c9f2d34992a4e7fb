"""Calculator: the order in which to tighten, from where the fasteners stand.

A number on drawing and in words is a fastener's turn, 1 for the first. Only `--order`, and the JSON
fields `order` and `loosening`, count places: clockwise from the exhaust, seen from above.
"""

from collections.abc import Sequence
from math import degrees, radians

from ringland.calc.calculator import Answer, BadInputs, Calculator, Field, Inputs, Row
from ringland.fasten.sequence import (
    Point,
    SequenceError,
    angle_of,
    check_order,
    clockwise,
    crosswise,
    even_ring,
    loosening,
    on_rings,
)
from ringland.fasten.stages import stages_of
from ringland.quantity import QuantityError, parse_quantity, show

EVEN_RADIUS = 0.05  # m: any radius does for fasteners of which only the angles are known
MOST = 40  # more fasteners than this on one joint is a slip

Rings = tuple[range, ...]


def _compute(given: Inputs) -> Answer:
    try:
        places, known_rings = _places(given)
        names = [""] * len(places)
        for number, index in enumerate(clockwise(places), 1):
            names[index] = str(number)
        order = _order(given["order"], places, names, known_rings)
    except SequenceError as error:
        raise BadInputs([("at", str(error))]) from None
    angles = [f"{round(degrees(angle_of(places[index])), 1) % 360:g}" for index in order]
    outer = set(known_rings[1]) if len(known_rings) == 2 else set()
    turns = ", ".join(
        f"{turn} at {angle}°{' outer' if index in outer else ''}"
        for turn, (index, angle) in enumerate(zip(order, angles, strict=True), 1)
    )
    own = given["order"] is not None
    return Answer(
        headline=f"{'The maker’s order' if own else 'Crosswise'}: {turns}.",
        rows=(
            Row("loosen", f"from {len(order)} back to 1", "a little at a time, cold"),
            *_stages(given),
        ),
        notes=(
            "A number is the turn in which a fastener is pulled. Angles run clockwise from the exhaust, "
            "seen from above.",
            *_assumed(given),
            "The maker's own order stands."
            if own
            else "Common practice: opposite pairs, each next pair furthest from those before; odd "
            "counts step to the nearest to opposite. The maker's own order always wins.",
        ),
        cautions=("Fingers: nobody touches kick or starter while a hand is at the engine.",),
        fields={
            "order": [names[index] for index in order],
            "loosening": [names[index] for index in loosening(order)],
            "order_is_the_makers": own,
            "positions_mm": [[round(x * 1e3, 3), round(y * 1e3, 3)] for x, y in places],
            "angles_deg": [float(angle) for angle in angles],
        },
        svg=lambda: _draw(places, order, turns, given),
    )


def _stages(given: Inputs) -> list[Row]:
    if given["torque"] is None:
        return []
    if given.si("torque") <= 0:
        raise BadInputs([("torque", f"{given['torque']} tightens nothing: a torque is above 0")])
    unit = given["torque"].unit
    return [
        Row(f"stage {stage.name}", show(stage.torque, unit, 1), "all, in this order")
        for stage in stages_of(given.si("torque"))
    ]


def _assumed(given: Inputs) -> tuple[str, ...]:
    if given["count"] is None or given.si("count") < 3:
        return ()
    return ("An even ring is taken; --angles says where they really stand.",)


def _places(given: Inputs) -> tuple[list[Point], Rings]:
    said = [name for name in ("count", "angles", "at") if given[name]]
    if len(said) != 1:
        raise BadInputs(
            [
                (
                    "count",
                    "say how many stand evenly round the bore, or their --angles, or each place "
                    "with --at: one of the three",
                )
            ]
        )
    if given["at"]:
        return [_place(text) for text in given["at"]], ()
    if given["angles"]:
        return _at_angles(given["angles"])
    count = given.si("count")
    if count != int(count) or not 1 <= count <= MOST:
        raise BadInputs([("count", f"{count:g} fasteners: a whole number from 1 to {MOST}")])
    return _scaled(on_rings(even_ring(int(count)))), ()


def _at_angles(text: str) -> tuple[list[Point], Rings]:
    from ringland.sheet.fastener import parse_places  # only who types angles pays for it

    try:
        rings = parse_places(text)
    except QuantityError as error:
        raise BadInputs([("angles", str(error))]) from None
    inner, count = len(rings[0]), sum(map(len, rings))
    if count > MOST:
        raise BadInputs([("angles", f"{count} fasteners: 1 to {MOST}")])
    known = (range(inner), range(inner, count)) if len(rings) == 2 else (range(inner),)
    return _scaled(on_rings(*(tuple(map(radians, ring)) for ring in rings))), known


def _scaled(places: Sequence[Point]) -> list[Point]:
    return [(x * EVEN_RADIUS, y * EVEN_RADIUS) for x, y in places]


def _place(text: str) -> Point:
    parts = text.replace(";", " ").split()
    try:
        if len(parts) != 2:
            raise QuantityError(f"{text!r}: write x and y in mm with a space, as in '-51 47'")
        x, y = (parse_quantity(part, "length", default="mm").si for part in parts)
    except QuantityError as error:
        raise BadInputs([("at", str(error))]) from None
    return x, y


def _order(
    own: str | None, places: Sequence[Point], names: Sequence[str], known_rings: Rings
) -> tuple[int, ...]:
    if own is None:
        return crosswise(places, known_rings=known_rings)
    wanted = own.replace("-", " ").replace(",", " ").split()
    by_number: list[str] = sorted(names, key=int)
    try:
        check_order(wanted, by_number)
    except SequenceError as error:
        raise BadInputs([("order", str(error))]) from None
    return tuple(names.index(name) for name in wanted)


def _draw(places: Sequence[Point], order: Sequence[int], turns: str, given: Inputs) -> str:
    from ringland.calc.draw_joint import BORE, Joint, draw_joint, scaled

    drawn, metre = scaled(places)
    bore = BORE
    if given["at"]:  # only then is it known how wide the bore is between them
        bore = 0.0 if given["bore"] is None else given.si("bore") / 2 * metre
    joint = Joint([drawn[index] for index in order], bore=bore, ignition=given["ignition"] or "")
    title = f"Joint from above, exhaust left, intake right. Order: {turns}"
    return draw_joint(joint, title, following=1)


CALCULATOR = Calculator(
    name="sequence",
    title="Tightening order from where the fasteners stand, seen from above.",
    fields=(
        Field("count", "count", "How many, evenly round the bore, as in 5."),
        Field(
            "at",
            "text",
            "Or each place from the bore axis in mm, as in '-51 47': x to the intake, y to the side "
            "on your left with the exhaust toward you. Once for each.",
            many=True,
        ),
        Field(
            "angles",
            "text",
            "Or their angles as a sheet has them, in degrees clockwise from the exhaust seen from "
            "above, as in '20 95 160 235 305'; 'outer' before those of a second ring.",
        ),
        Field(
            "order",
            "text",
            "The maker's own order, the places counted clockwise from the exhaust, as in "
            "1-4-6-3-5-2: it wins.",
        ),
        Field(
            "ignition",
            "choice",
            "Side of the ignition with the exhaust toward you, to be named in the drawing.",
            choices=("left", "right"),
        ),
        Field("torque", "torque", "Final torque, as in 30 N·m: adds the stages."),
        Field("bore", "length", "Bore, for the drawing, as in 53.2 mm."),
    ),
    compute=_compute,
    example="sequence --count 6 --svg joint.svg",
)
