"""A row of visits, or the year of a foot, named by horse, foot, view and days, as the command line tells it."""

from __future__ import annotations

from hoofbook.casework.open_book import OpenBook
from hoofbook.casework.pair_by_day import checked_words, photo_of_day
from hoofbook.casework.photo_days import one_per_visit
from hoofbook.casework.visits_row import RowSheet, read_row, read_year
from hoofbook.terms.feet import Foot
from hoofbook.terms.refusal import Refusal, Refused
from hoofbook.terms.subjects import Visit
from hoofbook.terms.views import Moment, View

ALL_CODES = ("two_days_needed",)
ALL = "all"


def row_by_days(open_book: OpenBook, horse: str, foot: str, view: str, days: str) -> RowSheet:
    """The photos of those days (commas between), after the trim where there are such; `all`: every visit after trim.

    Raises:
        Refused: an unknown horse or word, a day without such a photo, or fewer than two photos.
    """
    kept = open_book.horse_named(horse)
    checked_words(foot, view)
    photos = open_book.book.photos(kept.key, foot=Foot(foot), view=View(view))
    visits = open_book.book.every(Visit, horse=kept.key)
    if days.strip() == ALL:
        after = [photo for photo in photos if photo.moment is Moment.AFTER_TRIM]
        keys = [str(photo.key) for photo in one_per_visit(after, visits)]
    else:
        keys = [photo_of_day(day.strip(), photos, photos, visits) for day in days.split(",") if day.strip()]
        if len(set(keys)) < 2 <= len(photos):
            raise Refused(Refusal("two_days_needed", {}))
    return read_row(open_book, str(kept.key), keys)


def year_of(open_book: OpenBook, horse: str, foot: str, view: str) -> RowSheet:
    """One photo of every visit, after the trim where there are two. Refused: as `read_year`, an unknown word."""
    kept = open_book.horse_named(horse)
    checked_words(foot, view)
    return read_year(open_book, str(kept.key), foot, view)
