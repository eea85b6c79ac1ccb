"""Days as a person reads them, in English whatever the machine's language."""

from __future__ import annotations

from datetime import date

MONTHS = ("Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec")
WEEKDAYS = ("Mon", "Tue", "Wed", "Thu", "Fri", "Sat", "Sun")


def day_month(day: date) -> str:
    """`30 Sep`"""
    return f"{day.day} {MONTHS[day.month - 1]}"


def day_month_year(day: date) -> str:
    """`30 Sep 2025`"""
    return f"{day_month(day)} {day.year}"


def weekday_day(day: date) -> str:
    """`Thu 2 Oct`"""
    return f"{WEEKDAYS[day.weekday()]} {day_month(day)}"


def weekday_day_month_year(day: date) -> str:
    """`Tue 30 Sep 2025`"""
    return f"{WEEKDAYS[day.weekday()]} {day_month_year(day)}"


def month(day: date) -> str:
    """`Sep`"""
    return MONTHS[day.month - 1]


def iso_to_words(text: str) -> str:
    """A day given as `2025-09-30` in words; anything else as it is."""
    try:
        return day_month_year(date.fromisoformat(text))
    except ValueError:
        return text


def weeks_text(weeks: float) -> str:
    """`37 weeks`; below two weeks in days."""
    days = round(weeks * 7)
    if days == 0:
        return "the same day"
    if days < 14 and days != 7:
        return f"{days} day" if days == 1 else f"{days} days"
    whole = round(weeks)
    return "1 week" if whole == 1 else f"{whole} weeks"


def weeks_between(then: date, now: date) -> str:
    return weeks_text((now - then).days / 7)
