"""Named tuples that refuse values.

Records on the way of a calculator are named tuples: they start at once, where a bare import of
`dataclasses` takes as long as the interpreter itself (`benchmarks/startup.py` prints it).
"""

from collections.abc import Callable, Iterable
from typing import Any, Protocol, TypeVar


class _Checking(Protocol):
    def check(self) -> None: ...


Record = TypeVar("Record", bound=_Checking)


def checked(cls: type[Record]) -> type[Record]:
    """Have each new tuple of a named-tuple class looked at by its own `check`, which raises.

    >>> from typing import NamedTuple
    >>> @checked
    ... class Share(NamedTuple):
    ...     value: float
    ...
    ...     def check(self) -> None:
    ...         if not 0 <= self.value <= 1:
    ...             raise ValueError(f"a share is 0 to 1, not {self.value}")
    >>> Share(1.5)
    Traceback (most recent call last):
    ValueError: a share is 0 to 1, not 1.5
    """
    plain: Callable[..., Record] = cls.__new__

    def new(cls: type[Record], *values: Any, **named: Any) -> Record:
        made = plain(cls, *values, **named)
        made.check()
        return made

    def make(cls: type[Record], values: Iterable[Any]) -> Record:  # what `_replace` goes through
        return cls(*values)

    # a named tuple takes neither in its own body
    cls.__new__ = new  # type: ignore[assignment]  # the same call, checked
    cls._make = classmethod(make)  # type: ignore[attr-defined]  # each named tuple has it
    return cls
