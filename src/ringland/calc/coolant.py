"""Calculator: coolant by volume: where it freezes, how to mix it, drain and refill."""

from collections.abc import Iterator
from typing import Any

from ringland.calc.calculator import Answer, BadInputs, Calculator, Field, Inputs, Row
from ringland.fluids.coolant import (
    CORROSION_FROM,
    FREEZE,
    TABLES_DIFFER,
    CoolantError,
    after_exchanges,
    exchange,
    exchanges_needed,
    freeze_point,
    glycol_in,
    share_for,
)
from ringland.quantity import decimals_for, find_unit, show, show_number

CELSIUS, FAHRENHEIT = find_unit("°C"), find_unit("°F")
LITRE, MILLILITRE = find_unit("L"), find_unit("mL")


def _compute(given: Inputs) -> Answer:
    if (given["share"] is None) == (given["freeze"] is None):
        raise BadInputs(
            [("share", "give a share of glycol, or the cold it must stand: one of them")]
        )
    problems = [
        (name, f"{given[name]} is none: a volume is above 0")
        for name in ("volume", "drain")
        if given[name] is not None and not given.si(name) > 0
    ]
    if problems:
        raise BadInputs(problems)
    try:
        share = given.si_or_none("share")
        if share is None:
            share = share_for(given["glycol"], given.si("freeze"))
        point = freeze_point(given["glycol"], share)
        rows, fields = _fill(given, share)
    except CoolantError as error:
        name = "share" if given["freeze"] is None else "freeze"
        raise BadInputs([(name, str(error))]) from None
    percent = show_number(share * 100, 0)
    thin = (
        (f"Below {CORROSION_FROM * 100:.0f} % the protection against corrosion thins out too.",)
        if share < CORROSION_FROM
        else ()
    )
    return Answer(
        headline=f"{percent} % {given['glycol']} glycol begins to freeze at "
        f"{show(point, CELSIUS, 0)} ({show(point, FAHRENHEIT, 0)}).",
        rows=tuple(rows),
        notes=(
            f"{_SOURCE[given['glycol']]} Tables differ by about {TABLES_DIFFER:g} °C, and inhibitors "
            "shift it: the table on the bottle comes first.",
            *thin,
            "Past the end of the table nothing is guessed: more than 60 % freezes earlier again and "
            "cools worse.",
        ),
        cautions=(
            "Cap stays shut until the radiator is hand-warm; cloth, first notch.",
            "Coolant is poisonous and tastes sweet: keep it from children and animals, and collect it.",
        ),
        fields={
            "glycol": given["glycol"],
            "share": share,
            "freeze_point_C": CELSIUS.from_si(point),
            **fields,
        },
    )


def _fill(given: Inputs, share: float) -> tuple[list[Row], dict[str, Any]]:
    volume, now, bottle = given.si_or_none("volume"), given.si_or_none("now"), given.si("bottle")
    if volume is None:
        if now is not None or given["drain"] is not None:
            raise BadInputs(
                [("volume", "is needed too: how much the whole system holds, as in 1.2 L")]
            )
        return [], {}
    if now is None:
        if given["drain"] is not None:
            raise BadInputs([("now", "is needed too: the share of glycol in the system now")])
        poured, water = glycol_in(volume, share, bottle=bottle)
        rows = [
            Row("from the bottle", _poured(given, poured)),
            Row("water, soft", _poured(given, water)),
        ]
        return rows, {"from_bottle_L": poured * 1e3, "water_L": water * 1e3}
    try:
        drained = exchange(volume, now, share, refill=bottle).drain
        rows = list(_refill_rows(given, share, volume, now, bottle))
    except CoolantError as error:
        raise BadInputs([("bottle", str(error))]) from None
    return rows, {"drain_and_refill_L": drained * 1e3}


def _refill_rows(
    given: Inputs, share: float, volume: float, now: float, bottle: float
) -> Iterator[Row]:
    change = exchange(volume, now, share, refill=bottle)
    words = f"{show_number(bottle * 100, 0)} %"
    yield Row(
        "drain and refill", _poured(given, change.drain), f"with {words} from the bottle, then mix"
    )
    if (part := given.si_or_none("drain")) is None:
        return
    yield Row(
        f"after one change of {_poured(given, part)}",
        f"{show_number(after_exchanges(volume, now, part, refill=bottle) * 100, 0)} %",
    )
    times = exchanges_needed(volume, now, part, refill=bottle, wanted=share)
    yield Row(
        "changes needed", str(times), "run warm and cool between them; keep to the maker's fill"
    )


def _poured(given: Inputs, volume: float) -> str:
    """A volume in litres, and in the unit in which the system was given where it is another."""
    litres, unit = show(volume, LITRE, 2), given["volume"].unit
    if unit in (LITRE, MILLILITRE):
        return litres
    return f"{show(volume, unit, decimals_for(unit.from_si(volume), 2))} ({litres})"


_SOURCE = {
    "propylene": "Lange's Handbook of Chemistry, 15th ed., Table 5.13, pure glycol by volume.",
    "ethylene": "Operator's manual and ASHRAE Handbook, pure glycol by volume.",
}

CALCULATOR = Calculator(
    name="coolant",
    title="Coolant mix by volume: freeze point, drain and refill.",
    fields=(
        Field(
            "glycol",
            "choice",
            "ethylene or propylene: read the bottle.",
            required=True,
            choices=tuple(FREEZE),
        ),
        Field("share", "share", "Glycol in the mix by volume, as in 40 %.", unit="%"),
        Field("freeze", "temperature", "Or the cold it must stand, as in '-25 °C'.", unit="°C"),
        Field("volume", "volume", "The whole system, as in 1.2 L: how much to pour."),
        Field("now", "share", "Share in the system now: how much to drain and refill.", unit="%"),
        Field(
            "bottle", "share", "Glycol in the bottle; 50 for ready-mixed.", default="100", unit="%"
        ),
        Field("drain", "volume", "What runs out at one drain, as in 0.9 L."),
    ),
    compute=_compute,
    example="coolant --glycol propylene --share 40",
)
