"""Sizes that such an engine can have: a size outside them is a slip, refused with the likely one.

Here: the ranges (common practice, wide) and the refusal. Not here: limits of a sheet, which judge a
part (`ringland.measure.conformance`). Start with `refuse_slips`.
"""

from collections.abc import Mapping
from decimal import Decimal

from ringland.calc.calculator import BadInputs, Inputs
from ringland.quantity import Quantity, find_unit
from ringland.quantity.meant import meant

# name -> least and most [mm], what it is called; from the smallest mopeds to the largest singles
SIZES: dict[str, tuple[str, str, str]] = {
    "bore": ("20", "150", "bores and pistons"),
    "stroke": ("20", "150", "strokes"),
    "gap": ("0.03", "2.5", "ring gaps and leaves"),
    "squish": ("0.1", "6", "squish and solder"),
}
MOST_LIKELY = 2  # readings of a slip that are offered


def refuse_slips(inputs: Inputs, sizes: Mapping[str, str]) -> None:
    """Refuse the lengths that no such engine has, all at once; see `slips`. Raises BadInputs."""
    if problems := slips(inputs, sizes):
        raise BadInputs(problems)


def slips(inputs: Inputs, sizes: Mapping[str, str]) -> list[tuple[str, str]]:
    """Return field and message of each length that no such engine has; those left out are fine.

    sizes : field name to name in `SIZES`
    """
    return [
        (field, said)
        for field, size in sizes.items()
        for each in _quantities(inputs[field])
        if (said := slip(each, size)) is not None
    ]


def slip(typed: Quantity, size: str) -> str | None:
    """Return what is wrong with a length as a size of such an engine; None where nothing is.

    >>> slip(Quantity(Decimal("2.126"), find_unit("mm")), "bore")
    '2.126 mm is outside 20 to 150 mm, the bores and pistons of such engines: 2.126 in or 21.26 mm?'
    """
    low, high, what = SIZES[size]
    if _fits(typed, size):
        return None
    units = [find_unit(name) for name in ("mm", "in", "thou")]
    likely = meant(typed, units, lambda other: _fits(other, size))[:MOST_LIKELY]
    asked = f"{' or '.join(map(str, likely))}?" if likely else "measure again, with its unit"
    return f"{typed} is outside {low} to {high} mm, the {what} of such engines: {asked}"


def _quantities(typed: object) -> tuple[Quantity, ...]:
    if typed is None or isinstance(typed, Quantity):
        return () if typed is None else (typed,)
    assert isinstance(typed, tuple)
    return typed


def _fits(typed: Quantity, size: str) -> bool:
    low, high, _ = SIZES[size]
    return Decimal(low) <= typed.number * typed.unit.factor * 1000 <= Decimal(high)
