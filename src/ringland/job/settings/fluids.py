"""Oil for the can, coolant by volume: the sheet's fluids with the amounts worked out."""

import re
from collections.abc import Iterator

from ringland.fluids.coolant import CoolantError, freeze_point, glycol_in
from ringland.fluids.premix import MixError, oil_for, read_ratio
from ringland.job.case import Case
from ringland.job.settings.number import Number, as_typed
from ringland.job.settings.setting import Setting, on_page
from ringland.quantity import QuantityError, find_unit, parse_quantity
from ringland.sheet.figure import split_page
from ringland.sheet.figures import ENGINE_SHEET

CANS = (5e-3, 10e-3)  # m³ of fuel: the usual cans; any other by `calc premix`
HALF = ("half and half", "half", "50/50", "1:1")
FREEZE = "Lange's Handbook of Chemistry, 15th ed., Table 5.13"
ML, CELSIUS, TO_ONE = find_unit("mL"), find_unit("°C"), find_unit(":1")

Worked = tuple[str, tuple[Number, ...]]  # words, and the numbers they print


def fluids(case: Case) -> Iterator[Setting]:
    """Return a row for each fluid of the sheet, with what it means at the can or jug."""
    for name, text in case.book.sheet.fluids.items():
        said, page = split_page(text)
        words, numbers = _worked(name, said)
        yield Setting(
            name, said, words, on_page(ENGINE_SHEET, page), subject="fluids", numbers=numbers
        )


def _worked(name: str, said: str) -> Worked:
    amount = _amount(said)
    if name != "gear oil":
        for work in (_mix, _coolant):
            words, numbers = work(said)
            if words:
                return words, (*amount, *numbers)
    return "", amount


def _amount(said: str) -> tuple[Number, ...]:
    """The volume that a fluid's line begins with."""
    try:
        return (as_typed("volume", parse_quantity(said.partition(", ")[0], "volume")),)
    except QuantityError:
        return ()


def _mix(said: str) -> Worked:
    try:
        ratio = read_ratio(said)
    except MixError as error:
        return (str(error) if "%" in said else ""), ()
    oil = [Number(ML, 0, f"oil to {fuel * 1e3:.0f} L", oil_for(fuel, ratio)) for fuel in CANS]
    amounts = ", ".join(f"{each.words} of {each.what} of fuel" for each in oil)
    parts = Number(TO_ONE, 0 if ratio == int(ratio) else 1, "fuel to one part of oil", ratio)
    return f"{amounts}; another can: calc premix", (parts, *oil)


def _coolant(said: str) -> Worked:
    volume, _, rest = said.partition(", ")
    try:
        system = parse_quantity(volume, "volume").si
        share = _share(rest.strip().casefold())
        if share is None:
            return "", ()
        bottle, water = (
            Number(ML, 0, what, part, source="by volume, of what the sheet says")
            for what, part in zip(("concentrate", "water"), glycol_in(system, share), strict=True)
        )
        freeze = [
            Number(
                CELSIUS, 0, f"ice begins, {name} glycol", freeze_point(name, share), source=FREEZE
            )
            for name in ("ethylene", "propylene")
        ]
    except (QuantityError, CoolantError):
        return "", ()
    ethylene, propylene = (each.words for each in freeze)
    words = (
        f"{bottle.words} of concentrate and {water.words} of soft water, mixed before it is filled; "
        f"ice begins at {ethylene} (ethylene) or {propylene} (propylene) glycol; the bottle's table "
        "comes first"
    )
    return words, (bottle, water, *freeze)


def _share(said: str) -> float | None:
    if said in HALF:
        return 0.5
    found = re.match(r"(\d+(?:[.,]\d+)?)\s*%", said)
    return float(found[1].replace(",", ".")) / 100 if found else None
