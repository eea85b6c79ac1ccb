"""The calendar entry, read by the icalendar library (RFC 5545)."""

from __future__ import annotations

from datetime import UTC, date, datetime

import pytest
from icalendar import Calendar

from hoofbook.papers.calendar_entry import calendar_entry

MADE = datetime(2025, 9, 30, 16, tzinfo=UTC)


@pytest.mark.parametrize("summary", ["Farrier: Larkspur", "a; b, c \\ d", "é" * 90])
def test_a_calendar_reads_the_day_and_the_words(summary: str) -> None:
    text = calendar_entry("horse-20251111", date(2025, 11, 11), summary, MADE)
    [event] = Calendar.from_ical(text).walk("VEVENT")
    assert event.decoded("DTSTART") == date(2025, 11, 11)
    assert event.decoded("DTSTAMP") == MADE
    assert str(event["SUMMARY"]) == summary
    assert not event.errors


def test_lines_are_no_longer_than_the_standard_wants() -> None:
    text = calendar_entry("k", date(2025, 11, 11), "é" * 90, MADE)
    assert text.endswith("END:VCALENDAR\r\n")
    assert max(len(line.encode()) for line in text.split("\r\n")) <= 75  # RFC 5545, 3.1


def test_words_cannot_begin_a_line_of_their_own() -> None:
    text = calendar_entry("k", date(2025, 11, 11), "x\r\nATTACH:y", MADE)
    assert "\r\nATTACH" not in text
