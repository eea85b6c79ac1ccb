"""What nobody shall see of one photo: read and kept; the original stays as it is."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

from hoofbook.casework.open_book import OpenBook, uuid
from hoofbook.casework.photo_days import day_of
from hoofbook.casework.taking_in import change_photo
from hoofbook.casework.tiles import preview_of
from hoofbook.terms.refusal import Refusal, Refused
from hoofbook.terms.subjects import CoverBox, Photo
from hoofbook.wording.dates import day_month_year
from hoofbook.wording.places import foot_name, view_name

ALL_CODES = ("hidden_part_empty",)
LEAST = 0.002  # of a side: below that a slip of the hand, not a box


@dataclass(frozen=True, slots=True)
class HiddenSheet:
    """One photo, upright, with its boxes as shares of it."""

    key: str
    horse: str
    path: Path
    preview: Path
    size: tuple[int, int]
    boxes: tuple[CoverBox, ...]
    shows_blood: bool
    title: str
    read_only: bool


def read_hidden(open_book: OpenBook, photo: str) -> HiddenSheet:
    """Refused: `key_unknown`, `not_in_book`."""
    kept = open_book.book.get(Photo, uuid(photo))
    parts = [foot_name(kept.foot)] if kept.foot else []
    parts += [view_name(kept.view).lower()] if kept.view else []
    parts.append(day_month_year(day_of(kept, open_book.book.history(kept.horse).visits)))
    return HiddenSheet(
        key=str(kept.key),
        horse=str(kept.horse),
        path=open_book.archive.path(kept),
        preview=preview_of(open_book, kept),
        size=(kept.width, kept.height),
        boxes=kept.covered,
        shows_blood=kept.shows_blood,
        title=", ".join(parts),
        read_only=open_book.read_only,
    )


def keep_hidden(open_book: OpenBook, photo: str, boxes: tuple[CoverBox, ...], *, shows_blood: bool) -> None:
    """Keeps the boxes, each cut to the photo and its corners in order.

    Refused: `hidden_part_empty` where a box has no size, `changed_elsewhere`, or where the book cannot be written.
    """
    ordered = tuple(_ordered(box) for box in boxes)
    if any(right - left < LEAST or low - top < LEAST for left, top, right, low in ordered):
        raise Refused(Refusal("hidden_part_empty", {}))
    kept = open_book.book.get(Photo, uuid(photo))
    change_photo(open_book, kept, covered=ordered, shows_blood=shows_blood)


def _ordered(box: CoverBox) -> CoverBox:
    left, right = sorted(min(1.0, max(0.0, x)) for x in (box[0], box[2]))
    top, low = sorted(min(1.0, max(0.0, y)) for y in (box[1], box[3]))
    return left, top, right, low
