"""Words of the list of horses."""

from __future__ import annotations

from datetime import date
from types import MappingProxyType

from hoofbook.terms.subjects import HorseStatus

GROUPS = MappingProxyType(
    {
        "late": "Late",
        "today": "Today",
        "week": "This week",
        "later": "Later",
        "none": "No date yet",
        "away": "Not on the round",
    }
)


def due_words(due: date | None, today: date, status: HorseStatus = HorseStatus.ACTIVE) -> str:
    """When a horse is due: "Thu 2 Oct", or how late it is; of a horse that is not seen any more why."""
    from hoofbook.wording.dates import weekday_day

    if status.is_away:
        return status.value
    if due is None:
        return "no date"
    if due < today:
        return f"{(today - due).days} d late"
    return weekday_day(due)


def sample_book_name(day: date) -> str:
    """`Sample book, as on 30 Sep 2025`"""
    from hoofbook.wording.dates import day_month_year

    return f"Sample book, as on {day_month_year(day)}"
