"""Readings off maps of the whole sole as the book keeps them, and how they live on when a set is measured again."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import TYPE_CHECKING
from uuid import UUID

from hoofbook.measure.concavity.map_measures import SERIES
from hoofbook.terms.subjects import MeasureKept

if TYPE_CHECKING:
    from hoofbook.casework.open_book import OpenBook
    from hoofbook.casework.shots import Group

MEASURES = (*SERIES.values(), "concavity_volume")


def readings_of_maps(open_book: OpenBook, horse: UUID) -> tuple[MeasureKept, ...]:
    """Everything kept of one horse that was read off a map."""
    return tuple(kept for name in MEASURES for kept in open_book.book.measures(horse, measure=name))


def still_true(open_book: OpenBook, group: Group) -> Sequence[MeasureKept]:
    """Readings off the map of exactly these photos with exactly these marks, filed where the photos are filed now.

    They outlive measuring the marks again; new marks make them void, and the map is then made anew.
    """
    first = group.photos[0]
    if len(group.photos) < 2 or first.foot is None or first.moment is None:
        return ()
    photos = {str(photo.key) for photo in group.photos}
    passes = {marks.key for marks in group.passes.values()}
    return [
        replace(kept, visit=first.visit, foot=first.foot, moment=first.moment)
        for kept in readings_of_maps(open_book, first.horse)
        if set(kept.passes) == passes and photos.issuperset(kept.quantity.photos)
    ]
