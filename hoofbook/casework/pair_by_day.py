"""A pair of photos named by horse, foot, view and days, as the command line tells it."""

from __future__ import annotations

from datetime import date

from hoofbook.casework.open_book import OpenBook
from hoofbook.casework.pair_facts import one_per_visit, photo_day
from hoofbook.casework.then_and_now import PairSheet, read_pair
from hoofbook.terms.feet import Foot
from hoofbook.terms.refusal import Refusal, Refused
from hoofbook.terms.views import Moment, View

ALL_CODES = ("word_unknown", "visit_day_wrong", "no_photo_of_day", "pair_missing")


def pair_by_day(open_book: OpenBook, horse: str, foot: str, view: str, *, then: str = "", now: str = "") -> PairSheet:
    """The pair of those days (empty: first and last visit after trim).

    Raises:
        Refused: an unknown horse or word, a day without such a photo, or no two photos at all.
    """
    kept = open_book.horse_named(horse)
    for field, kind, value in (("foot", Foot, foot), ("view", View, view)):
        if value not in [item.value for item in kind]:
            known = ", ".join(item.value for item in kind)
            raise Refused(Refusal("word_unknown", {"field": field, "found": value, "known": known}))
    photos = one_per_visit(open_book.book.photos(kept.key, foot=Foot(foot), view=View(view)))
    keys = []
    for told in (then, now):
        found = [photo for photo in photos if told and photo_day(photo) == _day(told)]
        if told and not found:
            raise Refused(Refusal("no_photo_of_day", {"day": told}))
        after = [photo for photo in found if photo.moment is Moment.AFTER_TRIM] or found
        keys.append(str(after[0].key) if after else "")
    sheet = read_pair(open_book, str(kept.key), foot, view, then=keys[0], now=keys[1])
    if sheet.empty is not None:
        raise Refused(Refusal("pair_missing", {}))
    return sheet


def _day(text: str) -> date:
    try:
        return date.fromisoformat(text)
    except ValueError as error:
        raise Refused(Refusal("visit_day_wrong", {"found": text})) from error
