"""Gaps by counting days by hand on made-up lives; that a pause is long from half as much again is common practice, no
source."""

from __future__ import annotations

from datetime import date, timedelta

from hoofbook.progress.gaps import Gap, gaps, missed_since

from .lives import LARKSPUR_DAYS, even_days, reading, series_of


def test_visits_at_every_step_leave_no_gap() -> None:
    series = series_of([reading(day, 2.0) for day in LARKSPUR_DAYS])
    assert gaps(series, LARKSPUR_DAYS) == ()
    assert missed_since(series, LARKSPUR_DAYS) == ()


def test_a_visit_without_a_reading_is_named() -> None:
    kept = [day for day in LARKSPUR_DAYS if day not in (LARKSPUR_DAYS[2], LARKSPUR_DAYS[3])]
    found = gaps(series_of([reading(day, 2.0) for day in kept]), LARKSPUR_DAYS)
    # 25 Feb to 8 Jul: 133 days, three times the usual 42
    assert found == (Gap(LARKSPUR_DAYS[1], LARKSPUR_DAYS[4], (LARKSPUR_DAYS[2], LARKSPUR_DAYS[3]), 42),)
    assert found[0].days == 133


def test_a_long_pause_without_visits_is_a_gap() -> None:
    days = even_days(5)
    late = [*days, days[-1] + timedelta(days=64)]  # 1.5 x 42 = 63
    assert gaps(series_of([reading(day, 2.0) for day in late]), late) == (Gap(days[-1], late[-1], (), 42),)
    early = [*days, days[-1] + timedelta(days=63)]
    assert gaps(series_of([reading(day, 2.0) for day in early]), early) == ()


def test_too_few_visits_have_no_usual_interval() -> None:
    days = [date(2025, 1, 1), date(2025, 2, 1), date(2025, 9, 1)]
    assert gaps(series_of([reading(day, 2.0) for day in days]), days) == ()


def test_visits_after_the_newest_reading_are_named() -> None:
    series = series_of([reading(day, 2.0) for day in LARKSPUR_DAYS[:5]])
    assert missed_since(series, LARKSPUR_DAYS) == LARKSPUR_DAYS[5:]
