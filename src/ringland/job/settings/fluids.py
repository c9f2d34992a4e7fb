"""Oil for the can, coolant by volume: the sheet's fluids with the amounts worked out."""

import re
from collections.abc import Iterator

from ringland.fluids.coolant import CoolantError, freeze_point, glycol_in
from ringland.fluids.premix import MixError, oil_for, read_ratio
from ringland.job.case import Case
from ringland.job.settings.setting import Setting
from ringland.quantity import QuantityError, parse_quantity, show_number
from ringland.sheet.figure import split_page

CANS = (5e-3, 10e-3)  # m³ of fuel: the usual cans; any other by `calc premix`
HALF = ("half and half", "half", "50/50", "1:1")
KELVIN = 273.15


def fluids(case: Case) -> Iterator[Setting]:
    """Return a row for each fluid of the sheet, with what it means at the can or jug."""
    for name, text in case.book.sheet.fluids.items():
        said, page = split_page(text)
        remark = _mix(said) or _coolant(said) if name != "gear oil" else ""
        yield Setting(name, said, remark, f"engine sheet {page}".strip(), subject="fluids")


def _mix(said: str) -> str:
    try:
        ratio = read_ratio(said)
    except MixError as error:
        return str(error) if "%" in said else ""
    amounts = ", ".join(
        f"{show_number(oil_for(fuel, ratio) * 1e6, 0)} mL of oil to {fuel * 1e3:.0f} L of fuel"
        for fuel in CANS
    )
    return f"{amounts}; another can: ringland calc premix"


def _coolant(said: str) -> str:
    volume, _, rest = said.partition(", ")
    try:
        system = parse_quantity(volume, "volume").si
        share = _share(rest.strip().casefold())
        if share is None:
            return ""
        bottle, water = glycol_in(system, share)
        freeze = {name: freeze_point(name, share) - KELVIN for name in ("ethylene", "propylene")}
    except (QuantityError, CoolantError):
        return ""
    holds = " or ".join(f"{show_number(at, 0)} °C ({name})" for name, at in freeze.items())
    return (
        f"{show_number(bottle * 1e6, 0)} mL of concentrate and {show_number(water * 1e6, 0)} mL of soft "
        f"water, mixed before it is filled; ice begins at {holds} glycol; the bottle's table comes first"
    )


def _share(said: str) -> float | None:
    if said in HALF:
        return 0.5
    found = re.match(r"(\d+(?:[.,]\d+)?)\s*%", said)
    return float(found[1].replace(",", ".")) / 100 if found else None
