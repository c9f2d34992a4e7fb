"""The shelf of gauges: what each reads, what it is worth, and whether its calibration still holds."""

from collections.abc import Iterable
from dataclasses import dataclass

from ringland.job.book import norms_of
from ringland.job.log.entries import Gauge
from ringland.job.log.shop import Shelf
from ringland.job.readings.gauging import overdue


@dataclass(frozen=True, slots=True)
class ShelfLine:
    """One gauge, worded.

    reads : its scale and step, or its leaves; worth : its permissible error, or that its kind's
        habit is taken; set_with : what it is zeroed on
    calibrated : when, empty where nobody noted it; overdue : what to do about it, empty where it holds
    """

    gauge: str
    kind: str
    reads: str
    worth: str
    set_with: str
    calibrated: str
    overdue: str


def shelf_view(shelf: Shelf, today: str) -> tuple[ShelfLine, ...]:
    """Return the shelf, in the order the gauges came.

    today : ISO date, against which the calibration's months by the shop's norm are counted
    """
    months = norms_of(shelf.norms).calibration
    return tuple(
        ShelfLine(
            each.id,
            each.kind,
            _reads(each),
            f"± {each.permissible_error}" if each.permissible_error else "habit of its kind",
            each.set_with,
            each.calibrated,
            overdue(each, today, months),
        )
        for each in shelf.gauges.values()
    )


def shelf_rows(lines: Iterable[ShelfLine]) -> list[list[str]]:
    """Return the shelf as rows of words."""
    return [
        [
            line.gauge,
            line.kind,
            line.reads,
            line.worth,
            f"set on {line.set_with}" if line.set_with else "",
            f"calibrated {line.calibrated}{', OVERDUE' if line.overdue else ''}"
            if line.calibrated
            else "",
        ]
        for line in lines
    ]


def _reads(gauge: Gauge) -> str:
    """The scale as a person says it.

    >>> _reads(Gauge("TW-2", "torque wrench", resolution="1 N·m", low="10 N·m", high="60 N·m"))
    '10 to 60 N·m by 1 N·m'
    """
    if gauge.leaves:
        return f"{len(gauge.leaves)} leaves, {gauge.leaves[0]} to {gauge.leaves[-1]}"
    low, high = gauge.low, gauge.high
    if low and high and low.partition(" ")[2] == high.partition(" ")[2]:
        low = low.partition(" ")[0]
    scale = f"{low} to {high}" if low and high else f"from {low}" if low else high and f"to {high}"
    step = f"by {gauge.resolution}" if gauge.resolution else ""
    return f"{scale} {step}".strip()
