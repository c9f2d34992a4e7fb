"""A running log of pressure from a file: times and pressures, two columns.

Here: its separators, decimal commas, the units in its heading. Not here: the fit (`gas.decay`).
Start with `read_log`.
"""

import re
from decimal import Decimal

from ringland.calc.calculator import BadInputs
from ringland.calc.readings import refuse
from ringland.quantity.parse import QuantityError, parse_number
from ringland.quantity.units import Unit, UnitError, find_unit

Log = tuple[list[float], list[float]]  # times [s], pressures [Pa gauge]

MINUTES, BAR = find_unit("min"), find_unit("bar")
_WORDS = {"minutes": "min", "seconds": "s", "hours": "h"}


def read_log(text: str, field: str = "log") -> Log:
    """Read two columns, time and gauge pressure, between them a comma, semicolon or tab.

    text : of the file; without a heading minutes and bar, else the heading names the units
    field : the calculator's field, for the message
    returns : times [s] and pressures [Pa gauge]
    Raises BadInputs with every bad line.

    >>> read_log("min;psi\\n0;6,0\\n1,5;5,8\\n")[0]
    [0.0, 90.0]
    """
    lines = [(at, line) for at, line in enumerate(text.splitlines(), 1) if line.strip(" ,;\t")]
    mark = next((each for each in (";", "\t") if any(each in line for _, line in lines)), ",")
    time, pressure = MINUTES, BAR
    if lines and not _is_reading(lines[0][1], mark):
        time, pressure = _units(lines.pop(0)[1], mark, field)
    found: Log = ([], [])
    problems = []
    for at, line in lines:
        try:
            one, other = (_number(cell, mark) for cell in line.split(mark))
        except ValueError:
            problems.append(f"line {at}: {line!r} is not {time.name}{mark}{pressure.name}")
            continue
        found[0].append(time.to_si(one))
        found[1].append(pressure.to_si(other))
    refuse(field, problems)
    if len(found[0]) < 2:
        raise BadInputs([(field, f"give lines of {time.name}{mark}{pressure.name}")])
    return found


def _number(cell: str, mark: str) -> Decimal:
    return parse_number(cell, comma="ask" if mark == "," else "decimal")


def _is_reading(line: str, mark: str) -> bool:
    try:
        _number(line.split(mark)[0], mark)
    except QuantityError:
        return False
    return True


def _units(heading: str, mark: str, field: str) -> tuple[Unit, Unit]:
    cells = heading.split(mark)
    time = _unit_in(cells[0], "time")
    pressure = _unit_in(cells[1], "pressure") if len(cells) == 2 else None
    if time is None or pressure is None:
        raise BadInputs(
            [(field, f"line 1: {heading!r} names no time and pressure: write minutes{mark}bar")]
        )
    return time, pressure


def _unit_in(cell: str, kind: str) -> Unit | None:
    for word in reversed(re.split(r"[\s()\[\]_,]+", cell.strip())):
        try:
            return find_unit(_WORDS.get(word.casefold(), word), kind)
        except UnitError:
            continue
    return None
