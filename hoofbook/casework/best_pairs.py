"""Which two photos of a foot and view make the fairest pair, and why: ranked by how they were taken, not by values."""

from __future__ import annotations

from collections.abc import Sequence

from hoofbook.casework.pair_looks import Looks
from hoofbook.casework.pair_sheet import BestPair
from hoofbook.casework.photo_days import day_of
from hoofbook.casework.readings import HorseReadings
from hoofbook.progress.likeness import RankedPair, Taken, pair_of, ranked_pairs
from hoofbook.terms.subjects import Photo
from hoofbook.terms.views import View
from hoofbook.wording.pairs import days_of_pair, why_pair

MOST_RANKED = 60  # of the newest photos: beyond that a list of pairs grows faster than anybody reads
LISTED = 3


def taken_of(looks: Looks, readings: HorseReadings, photo: Photo) -> Taken:
    """How the photo was taken, as far as marks, card and filing tell."""
    scale = looks.at(photo).scale
    return Taken(
        key=str(photo.key),
        day=day_of(photo, readings.history.visits),
        view=photo.view or View.WHOLE,
        moment=photo.moment,
        shod=photo.shod,
        from_inside=photo.from_inside,
        scaled=scale.px_per_mm is not None,
        card_plane=photo.card_plane,
        turn_deg=scale.turn_deg,
        tilt_deg=scale.tilt_deg,
        distance_mm=scale.distance_mm,
        days_since_trim=_days_since_trim(readings, photo),
        light=looks.light(photo),
    )


def rank(looks: Looks, readings: HorseReadings, photos: Sequence[Photo]) -> tuple[RankedPair, ...]:
    """All pairs of these photos (of the newest `MOST_RANKED`), fairest first."""
    return ranked_pairs(taken_of(looks, readings, photo) for photo in photos[-MOST_RANKED:])


def proposable(ranked: Sequence[RankedPair], photos: Sequence[Photo]) -> tuple[RankedPair, ...]:
    """Those of which neither photo shows blood: such a photo may be picked, but is never proposed."""
    bloody = {str(photo.key) for photo in photos if photo.shows_blood}
    return tuple(pair for pair in ranked if not {pair.then.key, pair.now.key} & bloody)


def listed(ranked: Sequence[RankedPair]) -> tuple[BestPair, ...]:
    """The first few in words."""
    return tuple(
        BestPair(pair.then.key, pair.now.key, days_of_pair(pair.then.day, pair.now.day), why_pair(pair))
        for pair in ranked[:LISTED]
    )


def likeness_of(looks: Looks, readings: HorseReadings, pair: tuple[Photo, Photo]) -> RankedPair:
    """How alike two photos are that a person chose, in the order chosen."""
    then, now = (taken_of(looks, readings, photo) for photo in pair)
    return pair_of(then, now)


def _days_since_trim(readings: HorseReadings, photo: Photo) -> int | None:
    for reading in readings.readings:
        if reading.visit == str(photo.visit) and reading.foot is photo.foot and reading.moment is photo.moment:
            return reading.days_since_trim
    return None
