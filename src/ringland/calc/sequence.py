"""Calculator: the order in which to tighten, from where the fasteners stand."""

from collections.abc import Sequence
from math import cos, pi, sin

from ringland.calc.calculator import Answer, BadInputs, Calculator, Field, Inputs, Row
from ringland.fasten.sequence import (
    Point,
    SequenceError,
    check_order,
    clockwise,
    crosswise,
    loosening,
)
from ringland.fasten.stages import stages_of
from ringland.quantity import QuantityError, parse_quantity, show

EVEN_RADIUS = 0.05  # m: any radius does for fasteners evenly round the bore
MOST = 40  # more fasteners than this on one joint is a slip


def _compute(given: Inputs) -> Answer:
    try:
        places = _places(given)
        numbered = clockwise(places)
        names = [""] * len(places)
        for number, index in enumerate(numbered, 1):
            names[index] = str(number)
        order = _order(given["order"], places, names)
    except SequenceError as error:
        raise BadInputs([("at", str(error))]) from None
    words = "-".join(names[index] for index in order)
    back = "-".join(names[index] for index in loosening(order))
    rows = [Row("tighten", words), Row("loosen", back, "a little at a time, cold")]
    if given["torque"] is not None:
        if given.si("torque") <= 0:
            raise BadInputs(
                [("torque", f"{given['torque']} tightens nothing: a torque is above 0")]
            )
        unit = given["torque"].unit
        rows += [
            Row(f"stage {stage.name}", show(stage.torque, unit, 1), "all, in this order")
            for stage in stages_of(given.si("torque"))
        ]
    own = given["order"] is not None
    return Answer(
        headline=f"{'The maker’s order' if own else 'Crosswise order'}: {words}.",
        rows=tuple(rows),
        notes=(
            "Numbers run clockwise seen from above; 1 stands nearest the exhaust side.",
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
        },
        svg=lambda: _draw(places, order, given.si_or_none("bore")),
    )


def _places(given: Inputs) -> list[Point]:
    if (given["count"] is None) == (not given["at"]):
        raise BadInputs(
            [("count", "say how many stand evenly round the bore, or give each place with --at")]
        )
    if given["at"]:
        return [_place(text) for text in given["at"]]
    count = given.si("count")
    if count != int(count) or not 1 <= count <= MOST:
        raise BadInputs([("count", f"{count:g} fasteners: a whole number from 1 to {MOST}")])
    # an even ring straddles the exhaust axis, as corner studs do; an odd one starts on it
    first = pi - (pi / count if count % 2 == 0 else 0)
    turns = [first - 2 * pi * place / count for place in range(int(count))]
    return [(EVEN_RADIUS * cos(turn), EVEN_RADIUS * sin(turn)) for turn in turns]


def _place(text: str) -> Point:
    parts = text.replace(";", " ").split()
    try:
        if len(parts) != 2:
            raise QuantityError(f"{text!r}: write x and y in mm with a space, as in '-51 47'")
        x, y = (parse_quantity(part, "length", default="mm").si for part in parts)
    except QuantityError as error:
        raise BadInputs([("at", str(error))]) from None
    return x, y


def _order(own: str | None, places: Sequence[Point], names: Sequence[str]) -> tuple[int, ...]:
    if own is None:
        return crosswise(places)
    wanted = own.replace("-", " ").replace(",", " ").split()
    by_number: list[str] = sorted(names, key=int)
    try:
        check_order(wanted, by_number)
    except SequenceError as error:
        raise BadInputs([("order", str(error))]) from None
    return tuple(names.index(name) for name in wanted)


def _draw(places: Sequence[Point], order: Sequence[int], bore: float | None) -> str:
    from ringland.calc.draw_joint import draw_joint

    return draw_joint(places, order, bore=bore)


CALCULATOR = Calculator(
    name="sequence",
    title="Tightening order from where the fasteners stand, seen from above.",
    fields=(
        Field("count", "count", "How many, evenly round the bore, as in 5."),
        Field(
            "at",
            "text",
            "Or each place from the bore axis in mm, as in '-51 47': x to the intake, y to the "
            "ignition side. Once for each.",
            many=True,
        ),
        Field("order", "text", "The maker's own order by number, as in 1-4-6-3-5-2: it wins."),
        Field("torque", "torque", "Final torque, as in 30 N·m: adds the stages."),
        Field("bore", "length", "Bore, for the drawing, as in 53.2 mm."),
    ),
    compute=_compute,
    example="sequence --count 6 --svg joint.svg",
)
