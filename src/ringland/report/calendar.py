"""A calendar file of due dates (RFC 5545): whole days, to be taken over by any calendar.

Here: the text of the file. Not here: when something is due (`ringland.job.due`) and how many hours a
week the machine runs, which somebody has to say.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import UTC, date, datetime, timedelta
from math import floor

from ringland.job.due import PartHours
from ringland.quantity import show_number

LINE_OCTETS = 75  # RFC 5545, 3.1: longer lines are folded
FARTHEST = 3650  # days: what lies further is not put into a calendar


@dataclass(frozen=True, slots=True)
class Event:
    """A whole day.

    uid : the same for the same part of the same machine, so that a newer file replaces it
    """

    uid: str
    day: date
    summary: str
    description: str


def due_events(
    machine: str, hours: Sequence[PartHours], *, per_week: float, today: date
) -> list[Event]:
    """Return the day on which each part comes to the maker's interval, at so many hours a week.

    per_week : hours that the machine runs in a week [h], above 0
    A part past its interval is due today; one whose hours nobody knows has no day.
    Raises ValueError.

    >>> ring = PartHours("ring", 6.0, 20.0)
    >>> due_events("oxbow-1", [ring], per_week=2.0, today=date(2026, 5, 1))[0].day.isoformat()
    '2026-06-19'
    """
    if not 0 < per_week <= 168:
        raise ValueError(f"{per_week:g} h in a week: say above 0 and up to 168 h")
    found = []
    for part in hours:
        if part.left is None:
            continue
        days = floor(max(part.left, 0.0) / per_week * 7)
        if days > FARTHEST:
            continue
        rate = show_number(per_week, 1)
        found.append(
            Event(
                f"{machine}-{part.part.replace(' ', '-')}@ringland",
                today + timedelta(days=days),
                f"{machine}: {part.part} due",
                f"{part.words}. Reckoned at {rate} h a week from {today.isoformat()}; the hour meter "
                "and the drop of compression decide, not the calendar.",
            )
        )
    return found


def calendar(events: Iterable[Event], stamp: datetime) -> str:
    """Return a calendar file.

    stamp : when it is written, with offset
    """
    written = stamp.astimezone(UTC).strftime("%Y%m%dT%H%M%SZ")
    lines = ["BEGIN:VCALENDAR", "VERSION:2.0", "PRODID:-//Ringland//due//EN", "CALSCALE:GREGORIAN"]
    for event in events:
        lines += [
            "BEGIN:VEVENT",
            f"UID:{_text(event.uid)}",
            f"DTSTAMP:{written}",
            f"DTSTART;VALUE=DATE:{event.day:%Y%m%d}",
            f"SUMMARY:{_text(event.summary)}",
            f"DESCRIPTION:{_text(event.description)}",
            "TRANSP:TRANSPARENT",
            "END:VEVENT",
        ]
    lines.append("END:VCALENDAR")
    return "".join(f"{part}\r\n" for line in lines for part in _folded(line))


def _text(said: str) -> str:
    """Escape a text (RFC 5545, 3.3.11).

    >>> _text("a;b, c")
    'a\\\\;b\\\\, c'
    """
    for mark in ("\\", ";", ","):
        said = said.replace(mark, f"\\{mark}")
    return said.replace("\r\n", "\n").replace("\n", "\\n")


def _folded(line: str) -> list[str]:
    """Break a line so that no part is longer than 75 octets, never inside a letter."""
    parts, room, here = [], LINE_OCTETS, ""
    for letter in line:
        size = len(letter.encode())
        if size > room:
            parts.append(here)
            here, room = " ", LINE_OCTETS - 1
        here += letter
        room -= size
    return [*parts, here]
