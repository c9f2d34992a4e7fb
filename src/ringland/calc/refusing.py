"""Turn a room's refusal of an argument into a problem of the field it came from."""

import re
from collections.abc import Callable, Iterator, Mapping
from contextlib import contextmanager
from functools import wraps

from ringland.calc.calculator import Answer, BadInputs, Inputs
from ringland.engine.refusal import OutOfRange
from ringland.quantity import Quantity


def as_typed(inputs: Inputs, field: str, message: str) -> str:
    """A room's message, which speaks its own unit, behind the value as it was typed in another.

    >>> from ringland.quantity import parse_quantity
    >>> inputs = Inputs({"start": parse_quantity("60 psi")})
    >>> as_typed(inputs, "start", "4.14 bar is beyond the safe limit of 0.70 bar")
    '60 psi: 4.14 bar is beyond the safe limit of 0.70 bar'
    """
    typed = inputs.get(field)
    if not isinstance(typed, Quantity) and isinstance(typed, tuple) and typed:
        typed = typed[-1]
    if not isinstance(typed, Quantity):
        return message
    told = re.search(rf"\d\s*{re.escape(typed.unit.name)}(?!\w)", message)
    return message if told else f"{typed}: {message}"


@contextmanager
def blaming(field: str, inputs: Inputs) -> Iterator[None]:
    """Turn a `ValueError` of a room into `BadInputs` of the field that it came from."""
    try:
        yield
    except BadInputs:
        raise
    except ValueError as error:
        raise BadInputs([(field, as_typed(inputs, field, str(error)))]) from None


def refusing(
    fields: Mapping[str, str] | None = None,
) -> Callable[[Callable[[Inputs], Answer]], Callable[[Inputs], Answer]]:
    """Decorate a calculator's function so that `OutOfRange` becomes `BadInputs`.

    fields : argument's name in the room -> field's name, where they differ
    """
    renamed = dict(fields or {})

    def decorate(compute: Callable[[Inputs], Answer]) -> Callable[[Inputs], Answer]:
        @wraps(compute)
        def guarded(inputs: Inputs) -> Answer:
            try:
                return compute(inputs)
            except OutOfRange as error:
                name = renamed.get(error.name, error.name)
                raise BadInputs([(name, as_typed(inputs, name, str(error)))]) from None

        return guarded

    return decorate
