"""Turn a room's refusal of an argument into a problem of the field it came from."""

from collections.abc import Callable, Mapping
from functools import wraps

from ringland.calc.calculator import Answer, BadInputs, Inputs
from ringland.engine.refusal import OutOfRange


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
                raise BadInputs([(name, str(error))]) from None

        return guarded

    return decorate
