"""Readings from a table or from arguments, and the fields that every judged value prints.

Here: the columns of a CSV with units in its header, each problem with its line and column; the
`--json` fields of a judged value.
Not here: words (`shown`); what a grid or a face shows (`ringland.measure`).
Start with `columns_of`.
"""

import re
from collections.abc import Mapping, Sequence
from decimal import Decimal
from io import StringIO
from math import inf
from typing import Any, NamedTuple

from ringland.calc.calculator import BadInputs
from ringland.measure.conformance import Interval
from ringland.measure.estimates import Budget, coverage_interval
from ringland.measure.gaps import estimate_of_interval
from ringland.quantity.estimate import Estimate
from ringland.quantity.parse import QuantityError, parse_number
from ringland.quantity.units import Unit, UnitError, find_unit

MOST_LINES = 20_000  # of a table; a face or a bore has far fewer
MOST_TOLD = 8  # problems that are listed before the rest is counted

_HEADING = r"\s*([A-Za-z-]+?)\s*(?:[\s_(\[]\s*([^\s)\]]+)\s*[)\]]?)?\s*$"  # compiled when needed
_SCIENTIFIC = r"[+-]?\d+(?:\.\d*)?[eE][+-]?\d+$"


class Cell(NamedTuple):
    """One cell of a table: its text, the unit of its column, and where it stands."""

    text: str
    unit: Unit
    line: int
    column: str
    comma: str

    @property
    def si(self) -> float:
        """The SI value. Raises QuantityError with line and column."""
        text = self.text.replace("−", "-")
        try:
            number = (
                Decimal(text)
                if re.fullmatch(_SCIENTIFIC, text)
                else parse_number(text, comma=self.comma)
            )
        except QuantityError as error:
            raise QuantityError(f"line {self.line}, column {self.column}: {error}") from None
        return self.unit.to_si(number)


def columns_of(text: str, field: str, names: Sequence[str]) -> list[dict[str, Cell]]:
    """Read a table with a header line; columns may stand in any order, others are ignored.

    text : of the file; comma, semicolon or tab between cells
    field : the calculator's field, for the message
    names : columns that must be there; a heading may carry a unit, as "z (µm)"; without one mm
    returns : one row per line that is not empty, name to cell
    Raises BadInputs with every missing column at once, or for no or too many lines.
    """
    import csv  # a line without a file goes without

    lines = list(csv.reader(StringIO(text), delimiter=(mark := _delimiter(text))))
    if not lines:
        raise BadInputs([(field, f"the file is empty: its first line names {_list(names)}")])
    headings, problems = _headings(lines[0])
    found = ", ".join(cell.strip() for cell in lines[0])
    problems += [
        f"line 1: there is no column {name!r}; the columns are {found}; needed: {_list(names)}"
        for name in names
        if name not in headings
    ]
    body = [(at, row) for at, row in enumerate(lines[1:], 2) if any(cell.strip() for cell in row)]
    if not problems and not body:
        problems.append("there is no reading below the header line")
    if len(body) > MOST_LINES:
        problems.append(f"{len(body)} lines of readings: at most {MOST_LINES} are taken")
    if problems:
        raise BadInputs([(field, each) for each in problems])
    comma = "ask" if mark == "," else "decimal"
    return [
        {
            name: Cell(_cell(row, headings[name][0]), headings[name][1], at, name, comma)
            for name in names
        }
        for at, row in body
    ]


def _delimiter(text: str) -> str:
    first = text.split("\n", 1)[0]
    return next((mark for mark in (";", "\t") if mark in first), ",")


def _headings(row: Sequence[str]) -> tuple[dict[str, tuple[int, Unit]], list[str]]:
    headings: dict[str, tuple[int, Unit]] = {}
    problems = []
    for at, heading in enumerate(row):
        found = re.match(_HEADING, heading)
        if not found:
            continue
        try:
            unit = find_unit(found[2] or "mm", "length")
        except UnitError as error:
            problems.append(f"line 1, column {heading.strip()!r}: {error}")
            continue
        headings.setdefault(found[1].casefold(), (at, unit))
    return headings, problems


def _cell(row: Sequence[str], at: int) -> str:
    return row[at].strip() if at < len(row) else ""


def _list(names: Sequence[str]) -> str:
    return ",".join(names)


def numbers_of(rows: Sequence[Mapping[str, Cell]], field: str, names: Sequence[str]) -> Any:
    """The SI numbers of the columns named, row by row.

    Raises BadInputs with every bad cell, its line and column.
    """
    problems: list[str] = []
    numbers = []
    for row in rows:
        line = []
        for name in names:
            try:
                line.append(row[name].si)
            except QuantityError as error:
                problems.append(str(error))
        numbers.append(tuple(line))
    refuse(field, problems)
    return numbers


def refuse(field: str, problems: Sequence[str]) -> None:
    """Raise BadInputs with the problems of one field, the first of them in full; none is fine."""
    if problems:
        told = list(problems[:MOST_TOLD])
        if len(problems) > MOST_TOLD:
            told.append(f"and {len(problems) - MOST_TOLD} more")
        raise BadInputs([(field, each) for each in told])


def leaf_fields(interval: Interval) -> dict[str, Any]:
    """The `--json` fields of a value between two leaves [m]: its doubt only where both ends are."""
    low, high = (None if end is None else end * 1e3 for end in (interval.low, interval.high))
    is_closed = interval.low is not None and interval.high is not None
    estimate = estimate_of_interval(interval) if is_closed else None
    return {
        "value": None if estimate is None else estimate.value * 1e3,
        "unit": "mm",
        "standard_uncertainty": None if estimate is None else estimate.u * 1e3,
        "interval": {"probability": 1.0, "low": low, "high": high},
    }


def not_judged(estimate: Estimate, unit: Unit, budget: Budget | None = None) -> dict[str, Any]:
    """The `--json` fields of a value without any limit: its doubt, and no verdict."""
    fields = judged_fields(
        estimate, unit, lower=None, upper=None, probability=None, verdict="", budget=budget
    )
    return fields | {"verdict": None}


def judged_fields(
    estimate: Estimate,
    unit: Unit,
    *,
    lower: float | None,
    upper: float | None,
    probability: float | None,
    verdict: str,
    budget: Budget | None = None,
    settled_by: Sequence[Mapping[str, Any]] = (),
) -> dict[str, Any]:
    """The `--json` fields of a judged value; all its numbers are in the unit that they name."""

    def given(value: float | None) -> float | None:
        return None if value is None else unit.from_si(value)

    low, high = coverage_interval(estimate)
    return {
        "value": unit.from_si(estimate.value),
        "unit": unit.name,
        "standard_uncertainty": unit.step_from_si(estimate.u),
        "degrees_of_freedom": None if estimate.dof == inf else estimate.dof,
        "interval": {"probability": 0.95, "low": given(low), "high": given(high)},
        "budget": [
            {
                "name": line.name,
                "standard_uncertainty": unit.step_from_si(line.u),
                "degrees_of_freedom": None if line.dof == inf else line.dof,
                "shared": line.shared or None,
            }
            for line in (budget.contributions if budget else ())
        ],
        "limits": {"lower": given(lower), "upper": given(upper)},
        "probability": probability,
        "verdict": verdict,
        "settled_by": list(settled_by),
    }
