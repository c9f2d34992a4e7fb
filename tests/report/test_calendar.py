"""Calendar files, read by a library of its own."""

from datetime import UTC, date, datetime

import icalendar
import pytest
from hypothesis import given
from hypothesis import strategies as st

from ringland.job.due import PartHours
from ringland.report.calendar import Event, calendar, due_events

TODAY = date(2026, 5, 1)
STAMP = datetime(2026, 5, 1, 12, 0, tzinfo=UTC)


def parsed(text: str) -> list[icalendar.Event]:
    return list(icalendar.Calendar.from_ical(text).walk("VEVENT"))  # type: ignore[arg-type]


def test_a_part_is_due_after_the_hours_left_at_the_use_that_was_said() -> None:
    parts = [
        PartHours("ring", 6.0, 20.0),
        PartHours("rod", 90.0, 100.0),
        PartHours("reeds", None, 50.0),
    ]
    text = calendar(due_events("oxbow-1", parts, per_week=2.0, today=TODAY), STAMP)
    days = {str(each["SUMMARY"]): each.decoded("DTSTART") for each in parsed(text)}
    # 14 h at 2 h a week are 7 weeks, 10 h are 5 weeks; what nobody knows has no day
    assert days == {"oxbow-1: ring due": date(2026, 6, 19), "oxbow-1: rod due": date(2026, 6, 5)}


def test_a_part_past_its_interval_is_due_today() -> None:
    event = due_events("o", [PartHours("ring", 26.0, 20.0)], per_week=2.0, today=TODAY)[0]
    assert event.day == TODAY
    assert "6.0 h past the maker's 20 h" in event.description


@pytest.mark.parametrize("rate", [0.0, -1.0, 169.0])
def test_a_use_that_no_machine_has_is_refused(rate: float) -> None:
    with pytest.raises(ValueError, match="in a week"):
        due_events("o", [PartHours("ring", 6.0, 20.0)], per_week=rate, today=TODAY)


def test_a_newer_file_replaces_the_days_of_an_older_one() -> None:
    one = due_events("oxbow-1", [PartHours("ring", 6.0, 20.0)], per_week=2.0, today=TODAY)
    two = due_events(
        "oxbow-1", [PartHours("ring", 9.0, 20.0)], per_week=2.0, today=date(2026, 6, 1)
    )
    assert one[0].uid == two[0].uid
    assert one[0].day != two[0].day


@given(st.text(st.characters(exclude_categories=("Cc", "Cs")), max_size=200))
def test_any_text_comes_back_from_the_file_as_it_went_in(said: str) -> None:
    text = calendar([Event("u", TODAY, said, f"{said}; {said}, \\n")], STAMP)
    event = parsed(text)[0]
    assert str(event["SUMMARY"]) == said
    assert str(event["DESCRIPTION"]) == f"{said}; {said}, \\n"


@given(st.text(st.characters(exclude_categories=("Cc", "Cs")), max_size=200))
def test_lines_are_folded_at_75_octets_and_end_as_the_standard_asks(said: str) -> None:
    text = calendar([Event("u", TODAY, said, said)], STAMP)
    assert all(len(line.encode()) <= 75 for line in text.split("\r\n"))  # RFC 5545, 3.1
    assert text.endswith("END:VCALENDAR\r\n")
    assert "\n" not in text.replace("\r\n", "")
