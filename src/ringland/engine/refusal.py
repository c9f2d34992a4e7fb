"""How this room refuses an argument: which one, its value, the range that has an answer.

Not here: findings about the work; those are results, never exceptions.
"""

from math import isfinite


class OutOfRange(ValueError):
    """An argument that has no answer. `name` is the argument's name."""

    def __init__(self, name: str, message: str) -> None:
        super().__init__(message)
        self.name = name


def mm(length: float) -> str:
    """Return a length [m] in millimetres for a message, to a tenth of a micrometre.

    >>> mm(0.05604)
    '56.04 mm'
    """
    return f"{length * 1e3:.4f}".rstrip("0").rstrip(".") + " mm"


def require_positive(name: str, length: float) -> None:
    """Refuse a length [m] that is not finite and above zero.

    Raises OutOfRange.
    """
    if not (isfinite(length) and length > 0):
        raise OutOfRange(name, f"{name} is {mm(length)}: give a length above 0 mm")


def require_not_negative(name: str, length: float) -> None:
    """Refuse a length [m] that is not finite or is below zero.

    Raises OutOfRange.
    """
    if not (isfinite(length) and length >= 0):
        raise OutOfRange(name, f"{name} is {mm(length)}: give 0 mm or more")


def require_window(name: str, window: tuple[float, float]) -> None:
    """Refuse limits [m] that are not finite or run downward.

    Raises OutOfRange.
    """
    low, high = window
    if not (isfinite(low) and isfinite(high) and low <= high):
        raise OutOfRange(
            name, f"{name} runs from {mm(low)} to {mm(high)}: write the smaller limit first"
        )
