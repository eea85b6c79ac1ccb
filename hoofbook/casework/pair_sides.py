"""Photos of Then and now as they are laid, with their captions and what may be written into them."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from hoofbook.casework.open_book import OpenBook
from hoofbook.casework.pair_facts import as_to_mm, plain_to_mm, values_of
from hoofbook.casework.pair_looks import Looks
from hoofbook.casework.pair_sheet import PairSide
from hoofbook.casework.photo_days import day_of
from hoofbook.casework.readings import HorseReadings
from hoofbook.casework.tiles import preview_of
from hoofbook.terms.shown import Pick
from hoofbook.terms.subjects import Photo
from hoofbook.wording.pairs import PHOTO_NOT_TO_SCALE, SCALE_BY_HAIRLINE, SHOWN_IN_PICTURE, caption

if TYPE_CHECKING:
    from hoofbook.measure.comparison import Similarity


def side_of(
    open_book: OpenBook, photo: Photo, readings: HorseReadings, looks: Looks, to_mm: Similarity | None
) -> PairSide:
    """The photo as it is laid; one without a card says so, and tells no lengths."""
    assert photo.foot is not None and photo.view is not None
    scaled = looks.at(photo).to_scale
    day = day_of(photo, readings.history.visits)
    where = caption(day, photo.foot, photo.view, photo.moment, "", from_inside=photo.from_inside)
    return PairSide(
        key=str(photo.key),
        path=open_book.archive.path(photo),
        preview=preview_of(open_book, photo),
        to_mm=as_to_mm(to_mm) if to_mm is not None else plain_to_mm(photo),
        width=photo.width,
        height=photo.height,
        caption_lines=where,
        value="",
        day=day.isoformat(),
        covered=photo.covered,
        where_lines=where if scaled else (*where, PHOTO_NOT_TO_SCALE if to_mm is None else SCALE_BY_HAIRLINE),
        values=tuple((key, words) for key, _, words in values_of(readings, photo, to_scale=scaled)),
        white=looks.light(photo),
        to_scale=scaled,
    )


def measures_of(readings: HorseReadings, photos: Sequence[Photo], sides: Sequence[PairSide]) -> Pick:
    """What may be written into the picture; the goal's measure is chosen, else the first one."""
    labels: dict[str, str] = {}
    for photo, side in zip(photos, sides, strict=True):
        labels |= {key: label for key, label, _ in values_of(readings, photo, to_scale=side.to_scale)}
    goals = [
        f"{measure}|{definition.value}" for place, measure, definition in readings.goals if place is photos[-1].foot
    ]
    chosen = next((key for key in goals if key in labels), next(iter(labels), ""))
    return Pick("measures", SHOWN_IN_PICTURE, tuple(labels), tuple(labels.values()), chosen, many=True)
