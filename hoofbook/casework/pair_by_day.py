"""A pair of photos named by horse, foot, view and days, as the command line tells it."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date
from uuid import UUID

from hoofbook.casework.open_book import OpenBook
from hoofbook.casework.pair_choice import chosen_pair
from hoofbook.casework.photo_days import day_of, one_per_visit
from hoofbook.casework.then_and_now import PairSheet, read_pair
from hoofbook.terms.feet import Foot
from hoofbook.terms.refusal import Refusal, Refused
from hoofbook.terms.subjects import Photo, Visit
from hoofbook.terms.views import Moment, View

ALL_CODES = (
    "word_unknown",
    "visit_day_wrong",
    "no_photo_of_day",
    "pair_missing",
    "two_days_needed",
    "photos_show_blood",
)


def pair_by_day(
    open_book: OpenBook,
    horse: str,
    foot: str,
    view: str,
    *,
    then: str = "",
    now: str = "",
) -> PairSheet:
    """The pair of those days of the horse of that name. Refused: an unknown horse, and as `pair_of_days`."""
    return pair_of_days(open_book, open_book.horse_named(horse).key, foot, view, then=then, now=now)


def pair_of_days(
    open_book: OpenBook,
    horse: UUID,
    foot: str,
    view: str,
    *,
    then: str = "",
    now: str = "",
    with_blood: bool = True,
) -> PairSheet:
    """The pair of those days (empty: as `read_pair` chooses); photos that show blood only `with_blood`.

    Raises:
        Refused: an unknown word, a day without such a photo, no two photos at all, or none without blood.
    """
    checked_words(foot, view)
    every = open_book.book.photos(horse, foot=Foot(foot), view=View(view))
    photos = [photo for photo in every if with_blood or not photo.shows_blood]
    visits = open_book.book.every(Visit, horse=horse)
    first, last = (photo_of_day(told, photos, every, visits) if told else "" for told in (then, now))
    sheet = read_pair(open_book, str(horse), foot, view, then=first, now=last)
    if sheet.then is None or sheet.now is None:
        told_one = (then or now) and len(one_per_visit(every, visits)) > 1
        raise Refused(Refusal("two_days_needed" if told_one else "pair_missing", {}))
    if {sheet.then.key, sheet.now.key} <= {str(photo.key) for photo in photos}:
        return sheet
    pair = chosen_pair(photos, one_per_visit(photos, visits), first, last, visits)
    if pair is None:
        raise Refused(Refusal("photos_show_blood", {}))
    return read_pair(open_book, str(horse), foot, view, then=str(pair[0].key), now=str(pair[1].key))


def checked_words(foot: str, view: str) -> None:
    """Refused: `word_unknown` where one of them is no foot or view."""
    for field, kind, value in (("foot", Foot, foot), ("view", View, view)):
        if value not in [item.value for item in kind]:
            known = ", ".join(item.value for item in kind)
            raise Refused(Refusal("word_unknown", {"field": field, "found": value, "known": known}))


def photo_of_day(told: str, photos: Sequence[Photo], every: Sequence[Photo], visits: Sequence[Visit]) -> str:
    """Key of the photo of that day, after the trim where there is one; `photos` are those of `every` that may be
    shown. Refused: `visit_day_wrong`, `no_photo_of_day`, `photos_show_blood`."""
    day = _day(told)
    found = [photo for photo in one_per_visit(photos, visits) if day_of(photo, visits) == day]
    if not found:
        hidden = any(day_of(photo, visits) == day for photo in every)
        raise Refused(Refusal("photos_show_blood" if hidden else "no_photo_of_day", {"day": told}))
    after = [photo for photo in found if photo.moment is Moment.AFTER_TRIM] or found
    return str(after[0].key)


def _day(text: str) -> date:
    try:
        return date.fromisoformat(text)
    except ValueError as error:
        raise Refused(Refusal("visit_day_wrong", {"found": text})) from error
