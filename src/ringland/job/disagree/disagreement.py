"""A contradiction among readings, and the test that finds one.

Not here: which readings hang together (`readings`, `fitted`). Start with `linked`.
"""

from collections.abc import Mapping
from dataclasses import dataclass

from ringland.job.log.entries import Condition
from ringland.job.readings.value import Value
from ringland.measure.consistency import Consistency, Relation, check_linked
from ringland.measure.estimates import MeasureError
from ringland.quantity import Estimate, show_number

Key = tuple[str, Condition]
Values = Mapping[Key, Value]
SIGNIFICANT = 0.01  # common practice, as the measuring room has it


@dataclass(frozen=True, slots=True)
class Disagreement:
    """Readings that contradict each other, why, and the one reading that would separate them."""

    readings: tuple[Key, ...]
    reason: str
    todo: str


def millimetres(length: float, *, signed: bool = True) -> str:
    """Return a length [m] in millimetres with its sign."""
    sign = "+" if signed and length > 0 else ""
    return f"{sign}{show_number(length * 1e3, 3)} mm"


def linked(
    quantities: Mapping[str, Estimate],
    relation: Relation,
    repeatable: tuple[str, ...],
    significance: float = SIGNIFICANT,
) -> Consistency | None:
    """Test one relation; None where the readings agree or nothing in it is in doubt."""
    try:
        found = check_linked(
            quantities, [relation], repeatable=repeatable, significance=significance
        )
    except MeasureError:
        return None
    return found if found.disagrees else None
