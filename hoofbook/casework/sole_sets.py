"""Sole photos of one foot, visit and moment become a set by themselves where they were taken from different sides."""

from __future__ import annotations

from collections.abc import Sequence

from hoofbook.casework.open_book import OpenBook
from hoofbook.casework.shots import shot_of
from hoofbook.casework.taking_in import change_photo
from hoofbook.terms.subjects import Photo
from hoofbook.terms.views import View

SET = "sole"


def joined(open_book: OpenBook, photo: Photo) -> Photo:
    """The photo as it is filed now: in a set with the like ones where their cards show that the camera went round.

    Photos from nearly one place stay on their own, each measured as one sole photo, until a person says otherwise.
    A set that somebody named otherwise is left as it is.
    """
    if photo.set_name not in ("", SET):
        return photo
    others = _like(open_book, photo)
    if others and _went_round(open_book, (*others, photo)):
        return together(open_book, photo)
    return change_photo(open_book, photo, set_name="")


def together(open_book: OpenBook, photo: Photo) -> Photo:
    """The photo and all like ones as one set."""
    if not _fits(photo):
        return photo
    for other in _like(open_book, photo):
        change_photo(open_book, other, set_name=SET)
    return change_photo(open_book, photo, set_name=SET)


def _fits(photo: Photo) -> bool:
    return photo.view is View.SOLAR and not photo.picture_only and None not in (photo.visit, photo.foot, photo.moment)


def _like(open_book: OpenBook, photo: Photo) -> tuple[Photo, ...]:
    """The other sole photos of the same foot, visit, moment and take that no set of another name holds."""
    if not _fits(photo):
        return ()
    same = open_book.book.photos(photo.horse, visit=photo.visit, foot=photo.foot, view=View.SOLAR)
    found = [
        other
        for other in same
        if other.key != photo.key
        and _fits(other)
        and other.set_name in ("", SET)
        and (other.moment, other.retake) == (photo.moment, photo.retake)
    ]
    return tuple(sorted(found, key=lambda other: (other.local_time, other.given_name)))


def _went_round(open_book: OpenBook, photos: Sequence[Photo]) -> bool:
    from hoofbook.measure.concavity.stands import LEAST_TURN_DEG, stands_of

    seen = open_book.book.sightings(photos[0].horse)
    stands = stands_of([shot_of(photo, seen.get(photo.key), None) for photo in photos])
    return stands is not None and stands.turn_deg >= LEAST_TURN_DEG
