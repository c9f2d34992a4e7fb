"""Turn a room's refusal of an argument into a problem of the field it came from."""

from collections.abc import Callable, Iterator, Mapping
from contextlib import contextmanager
from functools import wraps

from ringland.calc.calculator import Answer, BadInputs, Inputs
from ringland.engine.refusal import OutOfRange


@contextmanager
def blaming(field: str) -> Iterator[None]:
    """Turn a `ValueError` of a room into `BadInputs` of the field that it came from."""
    try:
        yield
    except BadInputs:
        raise
    except ValueError as error:
        raise BadInputs([(field, str(error))]) from None


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
