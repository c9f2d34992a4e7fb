"""Calculator: oil for the fuel at any ratio and in any unit, and putting a can right."""

from ringland.calc.calculator import Answer, BadInputs, Calculator, Field, Inputs, Row
from ringland.fluids.premix import (
    USUAL,
    Can,
    MixError,
    correct,
    fill_can,
    oil_for,
    read_ratio,
)
from ringland.quantity import Quantity, Unit, find_unit, show, show_number

MILLILITRE, LITRE = find_unit("mL"), find_unit("L")
# what a person who fills by this unit pours oil with
OIL_UNIT = {
    "US gal": "US fl oz",
    "US fl oz": "US fl oz",
    "imp gal": "imp fl oz",
    "imp fl oz": "imp fl oz",
}


def _compute(given: Inputs) -> Answer:
    ratio = _ratio(given, "ratio")
    ways = [name for name in ("fuel", "mix", "can") if given[name] is not None]
    if len(ways) != 1:
        raise BadInputs(
            [
                (
                    "fuel",
                    "give one of --fuel (fuel alone), --mix (a full can), --can (one to put right)",
                )
            ]
        )
    try:
        if ways == ["can"]:
            return _put_right(given, ratio)
        volume: Quantity = given[ways[0]]
        if ways == ["fuel"]:
            return _mix(Can(volume.si, oil_for(volume.si, ratio)), ratio, volume)
        return _mix(fill_can(volume.si, ratio), ratio, volume)
    except MixError as error:
        raise BadInputs([(ways[0], str(error))]) from None


def _ratio(given: Inputs, name: str) -> float:
    try:
        return read_ratio(given[name])
    except MixError as error:
        raise BadInputs([(name, str(error))]) from None


def _mix(can: Can, ratio: float, typed: Quantity) -> Answer:
    return Answer(
        headline=f"{_oil(can.oil, typed)} of oil into {_fuel(can.fuel, typed)} of fuel "
        f"makes {_ratio_words(ratio)}.",
        rows=(
            Row("together", _fuel(can.volume, typed)),
            Row(
                "oil",
                f"{show_number(100 / ratio, 2)} % of the fuel",
                f"{show_number(100 / (ratio + 1), 2)} % of the mix",
            ),
        ),
        notes=(*_unusual(ratio), *_NOTES),
        cautions=_CAUTIONS,
        fields={
            "ratio": ratio,
            "oil_mL": can.oil * 1e6,
            "fuel_L": can.fuel * 1e3,
            "mix_L": can.volume * 1e3,
        },
    )


def _put_right(given: Inputs, wanted: float) -> Answer:
    if given["can-ratio"] is None:
        raise BadInputs(
            [
                (
                    "can-ratio",
                    "say what is in it, as in 50:1, or 'none' for plain fuel. A can that "
                    "nobody knows is not put right: use it elsewhere",
                )
            ]
        )
    typed: Quantity = given["can"]
    if given["can-ratio"].strip().lower() in ("none", "0", "plain"):
        can = Can(typed.si, 0.0)
    else:
        can = fill_can(typed.si, _ratio(given, "can-ratio"))
    fix = correct(can, wanted)
    if fix.add_fuel > 0:
        told = f"Add {_fuel(fix.add_fuel, typed)} of plain fuel"
    else:
        told = f"Add {_oil(fix.add_oil, typed)} of oil"
    result = fix.result
    return Answer(
        headline=f"{told}: the can then holds {_fuel(result.volume, typed)} at {_ratio_words(wanted)}.",
        rows=(
            Row("in it now", f"{_fuel(can.fuel, typed)} of fuel", f"{_oil(can.oil, typed)} of oil"),
            Row(
                "in it then",
                f"{_fuel(result.fuel, typed)} of fuel",
                f"{_oil(result.oil, typed)} of oil",
            ),
        ),
        notes=(*_unusual(wanted), *_NOTES),
        cautions=_CAUTIONS,
        fields={
            "ratio": wanted,
            "add_oil_mL": fix.add_oil * 1e6,
            "add_fuel_L": fix.add_fuel * 1e3,
            "mix_L": result.volume * 1e3,
        },
    )


def _oil(volume: float, typed: Quantity) -> str:
    millilitres = show(volume, MILLILITRE, 0 if volume > 1e-5 else 1)
    other = OIL_UNIT.get(typed.unit.name)
    return f"{show(volume, find_unit(other), 2)} ({millilitres})" if other else millilitres


def _fuel(volume: float, typed: Quantity) -> str:
    unit: Unit = typed.unit
    decimals = 0 if unit.name == "mL" else 1 if unit.name.endswith("oz") else 2
    words = show(volume, unit, decimals)
    return words if unit.name in ("L", "mL") else f"{words} ({show(volume, LITRE, 2)})"


def _ratio_words(ratio: float) -> str:
    return f"{ratio:.4g}:1"


def _unusual(ratio: float) -> tuple[str, ...]:
    if USUAL[0] <= ratio <= USUAL[1]:
        return ()
    return (f"{_ratio_words(ratio)} is unusual: most engines ask for 25:1 to 60:1. Look again.",)


_NOTES = (
    "Arithmetic by volume: parts of fuel to one part of oil. The maker's ratio and oil stand.",
    "More oil thins the fuel: the mixture gets slightly leaner in fuel, not richer.",
)
_CAUTIONS = ("No flame, heater or charger near fuel; label the can with ratio and date.",)

CALCULATOR = Calculator(
    name="premix",
    title="Oil for the fuel, any ratio and unit, and putting a can right.",
    fields=(
        Field(
            "ratio", "text", "Fuel to one of oil, as in 32, 32:1, '4 % of the fuel'.", required=True
        ),
        Field("fuel", "volume", "Fuel alone, as in 5 L or 1 US gal."),
        Field("mix", "volume", "Or the finished mix that fills a can, as in 5 L."),
        Field("can", "volume", "Or a can of mix to put right, as in 4 L."),
        Field("can-ratio", "text", "What is in that can, as in 50:1; 'none' for plain fuel."),
    ),
    compute=_compute,
    example='premix --ratio 32 --fuel "5 L"',
)
