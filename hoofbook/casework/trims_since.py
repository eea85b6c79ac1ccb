"""How many trims lie between something of the vet's and later photos, or today: one rule for values and for images."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from datetime import date

from hoofbook.casework.photo_days import day_of
from hoofbook.terms.feet import Foot
from hoofbook.terms.subjects import Photo, Visit
from hoofbook.terms.views import Moment

_BEFORE_THE_TRIM = (Moment.AS_ARRIVED, Moment.BEFORE_TRIM)


def trims_until(trims: Sequence[date], film_day: date, until: date, *, before: bool = False) -> int:
    """Trims of one foot after `film_day` up to `until`.

    `trims` are the days on which the foot was trimmed. A trim on the film's own day is taken as done when the film was
    taken; one on the last day counts unless what is looked at was taken `before` it.
    """
    return sum(1 for day in trims if film_day < day < until or (day == until > film_day and not before))


def trims_to_photos(
    films: Iterable[tuple[date, Foot]],
    photos: Sequence[Photo],
    visits: Sequence[Visit],
    trims: Mapping[Foot, Sequence[date]],
) -> dict[tuple[date, Foot], int | None]:
    """Trims between each film (its day, its foot) and the newest photo of that foot; None where it has no photo."""
    counts: dict[tuple[date, Foot], int | None] = {}
    for day, foot in films:
        own = [photo for photo in photos if photo.foot is foot]
        newest = max(own, key=lambda photo: (day_of(photo, visits), photo.local_time), default=None)
        if newest is None:
            counts[day, foot] = None
            continue
        before = newest.moment in _BEFORE_THE_TRIM
        counts[day, foot] = trims_until(trims.get(foot, ()), day, day_of(newest, visits), before=before)
    return counts
