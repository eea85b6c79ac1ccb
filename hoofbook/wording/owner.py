"""Words of what an owner gets: the Owner picture and the Owner sheet. Plain sentences, no ±, chosen by the numbers."""

from __future__ import annotations

from datetime import date, timedelta
from types import MappingProxyType

from hoofbook.progress.change import Progress
from hoofbook.wording.cautions import NOT_TO_SCALE, OWNER_SHEET, SAME_SCALE
from hoofbook.wording.dates import day_month_year, weekday_day_month_year
from hoofbook.wording.pairs import days_of_pair
from hoofbook.wording.places import measure_in_sentence
from hoofbook.wording.verdicts import owner_sentence

PICTURE, SHEET = "Owner picture", "Owner sheet"
PICTURES_ONLY = "Two pictures to look at; no change is measured here."
NEXT_VISIT = "Next visit"
NO_NEXT_VISIT = "Next visit: not set yet"
SCAN = "Scan to put it in your calendar"
CAUTION = OWNER_SHEET
NOT_LOGGED = "The book is for looking only, so it is not noted there that this was made."
NOTE_OF_FARRIER = "Your farrier writes"
CARE = "Until the next visit"
ADVICE = MappingProxyType(
    {
        "dry bed": "Keep the bed dry and the feet picked out every day.",
        "pick out": "Pick out the feet before and after riding.",
        "call": "Call if a shoe is loose, a foot is warm, or the horse is not going as usual.",
        "stones": "Keep off stony ground until the next visit.",
        "lost shoe": "If a shoe comes off, keep it and keep the horse on soft ground.",
        "no oil": "No oil on the sole or the horn before the next photos.",
    }
)
"""What can be picked for an owner to do (common practice, no source)."""


def change_words(progress: Progress | None, pair_days: tuple[date, date]) -> str:
    """`Sole concavity: about 3 mm more in 37 weeks; we can tell changes above 1.6 mm.`

    Where the pictures do not span the readings decided on, it says which days those span, since the eye would join
    the two.
    """
    if progress is None:
        return PICTURES_ONLY
    measure = measure_in_sentence(progress.series.measure)
    said = owner_sentence(progress).rstrip(".")
    words = f"{measure[:1].upper()}{measure[1:]}: {said[:1].lower()}{said[1:]}."
    look = progress.looks[-1] if progress.looks else None
    if look is not None:
        days = (look.day - timedelta(days=round(look.weeks * 7)), look.day)
        if days != pair_days:
            words += f" That is {days_of_pair(*days)}, not these two pictures."
    return words


def scale_words(to_scale: bool) -> str:
    return SAME_SCALE if to_scale else NOT_TO_SCALE


def next_visit_words(day: date | None) -> str:
    return weekday_day_month_year(day) if day else ""


def calendar_summary(horse: str) -> str:
    return f"Farrier: {horse}"


def sheet_title(horse: str, day: date) -> str:
    return f"{SHEET}: {horse}, {day_month_year(day)}"


def owner_line(owner: str) -> str:
    return f"For {owner}"


def logo_alt(practice: str) -> str:
    return f"Picture of {practice}" if practice else "Picture of the practice"


def joined(*parts: str) -> str:
    return " · ".join(part for part in parts if part)


def from_to(then: str, now: str) -> str:
    """`14 Jan 2025 to 30 Sep 2025`"""
    return then if then == now else f"{then} to {now}"


def chart_title(progress: Progress | None) -> str:
    """`Sole concavity, every reading so far`"""
    if progress is None:
        return ""
    measure = measure_in_sentence(progress.series.measure)
    return f"{measure[:1].upper()}{measure[1:]}, every reading so far"


def pair_alt(horse: str, beside: str, dates: tuple[str, str]) -> str:
    """What somebody who cannot see the two pictures is told."""
    return f"{horse}, {beside.lower()}: on {dates[0]} at the left, on {dates[1]} at the right"
