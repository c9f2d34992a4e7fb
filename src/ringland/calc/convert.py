"""Calculator: one value in every unit of its kind."""

from decimal import Decimal, localcontext

from ringland.calc.calculator import Answer, BadInputs, Calculator, Field, Inputs, Row
from ringland.quantity import MissingUnit, Quantity, QuantityError, Unit, parse_quantity, units_of
from ringland.quantity.rounding import MINUS, OTHER_UNIT

FIGURES = 6  # significant figures printed; --json carries the full value
LEAST, MOST = Decimal("1e-4"), Decimal("1e9")  # outside these a power of ten reads better

_WHICH = "add the unit that stands on the gauge or in the manual: a bare number is never guessed"


def _compute(given: Inputs) -> Answer:
    try:
        quantity = parse_quantity(given["value"])
    except MissingUnit as error:
        raise BadInputs([("value", f"{error.number} has no unit; {_WHICH}")]) from None
    except QuantityError as error:
        raise BadInputs([("value", str(error))]) from None
    values = {
        unit.name: in_unit(quantity, unit)
        for unit in units_of(quantity.unit.kind)
        if unit != quantity.unit
    }
    other = OTHER_UNIT.get(quantity.unit.name) or (
        "°F" if "°F" in values else next(iter(values), None)
    )
    return Answer(
        headline=f"{quantity} is {_plain(values[other])} {other}." if other else _alone(quantity),
        rows=tuple(Row(name, _plain(value)) for name, value in values.items()),
        notes=(
            f"Kind: {quantity.unit.kind}. Factors are exact: NIST SP 811, B.8, and the definitions "
            "behind it.",
        ),
        fields={
            "kind": quantity.unit.kind,
            "value": float(quantity.number),
            "unit": quantity.unit.name,
            "values": {name: float(value) for name, value in values.items()},
        },
    )


def _alone(quantity: Quantity) -> str:
    """What there is to say of a kind with one unit: a ratio in per cent, else that there is none."""
    number = quantity.number
    if quantity.unit.kind == "ratio" and number > 0:
        of_other, of_whole = (_plain(100 / (number + more)) for more in (0, 1))
        return (
            f"{number}:1: the one part is {of_other} % of the other, {of_whole} % of both together."
        )
    return f"{quantity}: no other unit of a {quantity.unit.kind} is known here."


def in_unit(quantity: Quantity, unit: Unit) -> Decimal:
    """The number of a quantity in another unit of its kind, by its exact factors.

    >>> from ringland.quantity import find_unit
    >>> in_unit(parse_quantity("1 in"), find_unit("mm"))
    Decimal('25.4')
    """
    with localcontext(prec=34):
        si = quantity.number * quantity.unit.factor + quantity.unit.offset
        return ((si - unit.offset) / unit.factor).normalize()


def _plain(value: Decimal) -> str:
    if value == 0:
        return "0"
    rounded = value.quantize(Decimal(1).scaleb(value.adjusted() - FIGURES + 1)).normalize()
    text = f"{rounded:f}" if LEAST <= abs(rounded) < MOST else f"{rounded:e}"
    return text.replace("-", MINUS, 1) if text.startswith("-") else text


CALCULATOR = Calculator(
    name="convert",
    title="One value in every unit of its kind.",
    fields=(Field("value", "text", "Number and unit, as in '21 lbf·ft'.", required=True),),
    compute=_compute,
    example='convert --value "21 lbf·ft"',
)
