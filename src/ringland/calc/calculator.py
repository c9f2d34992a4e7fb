"""What a calculator is: named fields in, one worded answer out."""

from collections.abc import Callable, Mapping
from typing import Any, NamedTuple

from ringland.quantity.parse import (
    AmbiguousNumber,
    QuantityError,
    parse_number,
    parse_quantity,
)
from ringland.quantity.units import Quantity, units_of

LONGEST_PART = 1.0  # m: no part of such an engine is longer


class Field(NamedTuple):
    """One thing that a calculator asks for.

    name : as typed after `--`, such as "torque"
    kind : a kind of unit ("length", "torque", ...), or "number", "text", "choice", "csv"
    help : one line for the person, with the unit in an example
    default : the text used when nothing is given; None when it may be left out or is required
    unit : the unit meant by a bare number; None asks for one, where the kind has several
    choices : what a "choice" may be
    many : may be given several times; then its value is a tuple
    doubt : a ± or a standard uncertainty, refused below 0
    """

    name: str
    kind: str
    help: str
    default: str | None = None
    required: bool = False
    unit: str | None = None
    choices: tuple[str, ...] = ()
    many: bool = False
    doubt: bool = False


class Row(NamedTuple):
    """One line of an answer: its label, its value already rounded and worded, a remark."""

    label: str
    value: str
    remark: str = ""


class Answer(NamedTuple):
    """What a calculator found, worded for a person and with fields for a program.

    headline : the one line that answers the question
    rows : figures behind it, in reading order
    notes : what it rests on and its source; what it cannot say
    cautions : where the work can hurt someone
    fields : plain values for `--json`, each name ending in its unit (`set_N_m`); names only grow
    svg : makes the drawing or plot, where there is one
    """

    headline: str
    rows: tuple[Row, ...] = ()
    notes: tuple[str, ...] = ()
    cautions: tuple[str, ...] = ()
    fields: Mapping[str, Any] = {}
    svg: Callable[[], str] | None = None


class BadInputs(ValueError):
    """All that is wrong with the fields, at once: pairs of field name and message."""

    def __init__(self, problems: list[tuple[str, str]]) -> None:
        super().__init__("; ".join(f"{name}: {message}" for name, message in problems))
        self.problems = problems


class Inputs:
    """The values read from the fields, by name; missing optional ones are None."""

    def __init__(self, values: Mapping[str, Any]) -> None:
        self._values = values

    def __getitem__(self, name: str) -> Any:
        return self._values[name]

    def get(self, name: str) -> Any:
        """Return what a field holds; None where it is empty or there is none of that name."""
        return self._values.get(name)

    def si(self, name: str) -> float:
        """Return the SI value of a quantity field that is there."""
        quantity = self._values[name]
        assert isinstance(quantity, Quantity)
        return quantity.si

    def si_or_none(self, name: str) -> float | None:
        """Return the SI value of a quantity field, or None where it was left out."""
        return None if self._values[name] is None else self.si(name)


class Calculator(NamedTuple):
    """A calculator: what it asks, and the function that answers.

    compute : takes the read inputs; raises `BadInputs` for values that have no answer
    """

    name: str
    title: str
    fields: tuple[Field, ...]
    compute: Callable[[Inputs], Answer]
    example: str = ""

    def answer(self, typed: Mapping[str, Any]) -> Answer:
        """Read the typed texts and compute.

        typed : field name to text (or a list of texts where the field takes many)
        Raises BadInputs with every problem at once.
        """
        problems: list[tuple[str, str]] = []
        values: dict[str, Any] = {}
        known = {each.name for each in self.fields}
        problems += [(name, "no such field here") for name in typed if name not in known]
        for each in self.fields:
            try:
                values[each.name] = _read(each, typed.get(each.name))
            except QuantityError as error:
                problems.append((each.name, str(error)))
        if problems:
            raise BadInputs(problems)
        return self.compute(Inputs(values))


def _read(each: Field, typed: Any) -> Any:
    if typed is None or typed in ("", []) or typed == ():
        typed = each.default
    if typed is None:
        if each.required:
            raise QuantityError(f"is needed: {each.help}")
        return () if each.many else None
    if each.many:
        texts = [typed] if isinstance(typed, str) else list(typed)
        return tuple(_read_one(each, text) for text in texts)
    return _read_one(each, typed)


def _read_one(each: Field, text: str) -> Any:
    if each.kind in ("text", "csv"):
        return text
    if each.kind == "choice":
        if text not in each.choices:
            raise QuantityError(f"{text!r} is none of {', '.join(each.choices)}")
        return text
    if each.kind == "number":
        return float(parse_number(text))
    quantity = _quantity(each, text)
    if each.doubt and quantity.number < 0:
        raise QuantityError(f"{quantity} is negative: an uncertainty is 0 or more")
    return quantity


def _quantity(each: Field, text: str) -> Quantity:
    units = units_of(each.kind)
    default = units[0].name if len(units) == 1 else each.unit  # nothing else can be meant by it
    try:
        return parse_quantity(text, each.kind, default=default)
    except AmbiguousNumber:
        if each.kind == "rotation":  # "11,000 rpm": no one types a speed to a thousandth
            return parse_quantity(text.replace(",", "", 1), each.kind, default=default)
        decimal = as_decimal(text, each.kind, default=default)
        if decimal is None:
            raise
        return decimal


def as_decimal(text: str, kind: str | None, *, default: str | None = None) -> Quantity | None:
    """The decimal reading of "53,006 mm", where the other is longer than any part of an engine.

    text : a quantity whose comma has two readings; kind : of unit asked for, None for any
    default : unit of a bare number
    returns : None for an altitude ("1,200 m") and all else that could mean both, to be asked about
    """
    decimal = parse_quantity(text, kind, default=default, comma="decimal")
    if decimal.unit.kind != "length":
        return None
    thousandfold = 1000 * abs(decimal.si)
    return decimal if abs(decimal.si) < LONGEST_PART < thousandfold else None
