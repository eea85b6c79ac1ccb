"""Trims between the vet's films and later photos, against a count by hand (an invented story, told beside each row)."""

from __future__ import annotations

from datetime import date
from uuid import uuid4

import pytest

from hoofbook.casework.trims_since import trims_to_photos, trims_until
from hoofbook.terms.feet import Foot
from hoofbook.terms.subjects import Photo, Visit
from hoofbook.terms.views import Moment

TRIMS = (date(2025, 1, 14), date(2025, 2, 25), date(2025, 4, 8))
FILM = date(2025, 1, 20)


@pytest.mark.parametrize(
    ("film", "until", "before", "by_hand"),
    [
        (date(2025, 1, 10), date(2025, 4, 8), False, 3),  # all three
        (date(2025, 1, 10), date(2025, 4, 8), True, 2),  # the third had not been done yet
        (date(2025, 1, 14), date(2025, 4, 8), False, 2),  # the film was taken on the day of the first
        (date(2025, 1, 20), date(2025, 4, 7), False, 1),  # only 25 Feb lies between
        (date(2025, 4, 8), date(2025, 4, 8), False, 0),  # film, trim and photo on one day
        (date(2025, 5, 1), date(2025, 4, 8), False, 0),  # the photo is older than the film
    ],
)
def test_trims_are_counted_as_by_hand(film: date, until: date, before: bool, by_hand: int) -> None:
    assert trims_until(TRIMS, film, until, before=before) == by_hand


def test_the_newest_photo_of_the_same_foot_counts() -> None:
    horse = uuid4()
    visit = Visit(uuid4(), horse, date(2025, 4, 8))
    arrived = Photo(uuid4(), horse, "0" * 64, ".jpg", 8, 8, visit.key, Foot.LF, moment=Moment.AS_ARRIVED)
    done = Photo(uuid4(), horse, "1" * 64, ".jpg", 8, 8, visit.key, Foot.RF, moment=Moment.AFTER_TRIM)
    films = [(FILM, Foot.LF), (FILM, Foot.RF), (FILM, Foot.LH)]
    found = trims_to_photos(films, [arrived, done], [visit], dict.fromkeys(Foot, TRIMS))
    assert found == {(FILM, Foot.LF): 1, (FILM, Foot.RF): 2, (FILM, Foot.LH): None}
