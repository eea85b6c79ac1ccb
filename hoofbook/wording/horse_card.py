"""Words of the place Horse card."""

from __future__ import annotations

from datetime import date

from hoofbook.progress.series import Reading
from hoofbook.terms.quantity import COVERAGE, MEASURES
from hoofbook.terms.subjects import Horse, HorseStatus, Photo
from hoofbook.wording.dates import day_month, weekday_day, weeks_text
from hoofbook.wording.numbers import measured
from hoofbook.wording.places import definition_name, moment_name, view_name

NO_GOAL = "no goal set"


def facts_line(horse: Horse, owner: str, yard: str, today: date) -> str:
    """`Mare, 11 · thoroughbred cross, 158 cm · hacks on lanes · owner A. K. · Thistle Bank Yard`"""
    age = str(today.year - horse.born) if horse.born else ""
    height = f"{horse.height_cm:g} cm" if horse.height_cm else ""
    groups = (
        ", ".join(word for word in (horse.sex.capitalize(), age) if word),
        ", ".join(word for word in (horse.breed, height) if word),
        horse.work,
        f"owner {owner}" if owner else "",
        yard,
        horse.handling,
    )
    return " · ".join(group for group in groups if group)


def due_line(due: date | None, weeks: int, status: HorseStatus = HorseStatus.ACTIVE) -> str:
    """`next due Tue 11 Nov · 6 weeks`; `moved` of a horse that is not seen any more"""
    if status.is_away:
        return status.value
    return f"next due {weekday_day(due)} · {weeks_text(weeks)}" if due else "no next date yet"


def watch_from(day: date) -> str:
    return f"Watch next time, from {day_month(day)}"


def tile_caption(photo: Photo) -> str:
    """`Sole, after trim, 30 Sep`"""
    seen = view_name(photo.view, from_inside=photo.from_inside) if photo.view else ""
    words = [seen, moment_name(photo.moment).lower() if photo.moment else ""]
    try:
        words.append(day_month(date.fromisoformat(photo.local_time[:10])))
    except ValueError:
        words.append("no date")
    return ", ".join(word for word in words if word)


def second_line(other: Reading | None) -> str:
    """`from the wall edge 6.1 mm ± 0.7`"""
    if other is None:
        return ""
    half = None if other.u is None else COVERAGE * other.u
    return f"{definition_name(other.definition)} {measured(other.value, half, MEASURES[other.measure])}"
