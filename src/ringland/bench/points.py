"""A face read at points from a table: x, y, z in mm unless a unit stands in the header.

Start with `points_of`.
"""

from collections.abc import Sequence
from pathlib import Path

from ringland.bench.reading_value import Habits
from ringland.bench.readings import Taking, condition_now, gauge_for
from ringland.bench.refusal import Refused
from ringland.calc.calculator import BadInputs
from ringland.calc.readings import columns_of
from ringland.job.case import Case
from ringland.job.log.entries import Fact, Gauge, GaugeUsed, Indication, ReadingTaken
from ringland.job.readings.faces import place_of
from ringland.quantity import QuantityError

MOST = 200  # points; a face is read at a few, and more is a file in the wrong place


def points_of(
    case: Case,
    check: str,
    words: Sequence[str],
    taking: Taking,
    habits: Habits,
    shelf: dict[str, Gauge],
) -> list[Fact]:
    """Return the readings of a face from a table. Raises Refused with every problem at once.

    words : the name of the file
    """
    content = case.book.sheet.checks[check]
    if not content.face:
        raise Refused(f"{check} is no face that is read at points")
    file = Path(" ".join(words)).expanduser()
    try:
        rows = columns_of(file.read_text(encoding="utf-8"), "points", ("x", "y", "z"))
        read = [(row["x"].si, row["y"].si, row["z"]) for row in rows]
        heights = [z.si for _, _, z in read]
    except OSError as error:
        raise Refused(f"{file}: {error.strerror}") from None
    except BadInputs as error:
        raise Refused(*[f"{file.name}: {message}" for _, message in error.problems]) from None
    except (QuantityError, UnicodeDecodeError) as error:
        raise Refused(f"{file.name}: {error}") from None
    if len(read) > MOST:
        raise Refused(f"{file.name} has {len(read)} points: at most {MOST}")
    gauge = gauge_for(content, taking, habits, shelf)
    condition = taking.condition or condition_now(case, check)
    facts: list[Fact] = [GaugeUsed(gauge)] if gauge and gauge.id not in case.state.gauges else []
    for (x, y, cell), height in zip(read, heights, strict=True):
        number = f"{height * 1e3:.10f}".rstrip("0").rstrip(".")
        said = Indication("value", number, "mm", cell.text)
        used = gauge.id if gauge else ""
        facts.append(ReadingTaken(check, condition, (said,), place_of(x, y), used))
    return facts
