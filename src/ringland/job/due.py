"""When it is due again: hours by part against the maker's interval.

Hours alone never make a verdict: the drop against the machine's own baseline stands beside them.
"""

from collections.abc import Mapping
from dataclasses import dataclass

from ringland.quantity import parse_quantity, show_number
from ringland.sheet.figures import Figures


@dataclass(frozen=True, slots=True)
class PartHours:
    """Hours of one part.

    run : hours since it was renewed [h]; None when nobody knows, which is not zero
    interval : the maker's hours for it [h]; None when the sheet gives none
    """

    part: str
    run: float | None
    interval: float | None

    @property
    def left(self) -> float | None:
        """Hours left to the maker's interval, negative when past it."""
        if self.run is None or self.interval is None:
            return None
        return self.interval - self.run

    @property
    def words(self) -> str:
        """The line for a person."""
        if self.interval is None:
            return "no interval given in the sheet"
        if self.run is None:
            return f"hours unknown; the maker gives {show_number(self.interval, 0)} h"
        left = self.interval - self.run
        if left < 0:
            return f"{show_number(-left, 1)} h past the maker's {show_number(self.interval, 0)} h"
        return f"{show_number(left, 1)} h left of the maker's {show_number(self.interval, 0)} h"


def hours_of_parts(
    figures: Figures, meter: float | None, renewed_at: Mapping[str, float | None]
) -> list[PartHours]:
    """Return the hours of each part that the maker gives an interval for.

    meter : hours of the machine now [h]; None when unknown
    renewed_at : part to the hours at which it was last renewed; None when that is unknown
    """
    found = []
    for part, figure in figures.hours.items():
        at = renewed_at.get(part)
        run = None if meter is None or at is None else meter - at
        span = figure.new or figure.service
        limit = None if span is None else span.low or span.high
        found.append(PartHours(part, run, None if limit is None else limit.si / 3600))
    return found


def hours_in(text: str) -> float | None:
    """Return hours from a text such as "41.6 h", or None for nothing."""
    return parse_quantity(text, "time", default="h").si / 3600 if text else None
