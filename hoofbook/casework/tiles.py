"""Photos of the book as small pictures."""

from __future__ import annotations

from pathlib import Path

from hoofbook.casework.open_book import OpenBook
from hoofbook.casework.taking_in import PREVIEW, THUMBNAIL
from hoofbook.terms.shown import PhotoTile
from hoofbook.terms.subjects import MarkingPass, Photo
from hoofbook.terms.views import Grade
from hoofbook.wording.places import photo_caption


def tile_of(
    open_book: OpenBook, photo: Photo, note: str = "", caption: str = "", marks: MarkingPass | None = None
) -> PhotoTile:
    """The photo as a tile: thumbnail (the original where previews are not made yet), caption, grade, and with its
    marks known the part of the picture that holds the foot."""
    return PhotoTile(
        key=str(photo.key),
        thumbnail=thumbnail_of(open_book, photo),
        original=open_book.archive.path(photo),
        caption=caption or photo_caption(photo.foot, photo.view, photo.moment, from_inside=photo.from_inside),
        note=note,
        grade=grade_of(photo).value,
        warned=bool(photo.remarks),
        window=_window(photo, marks) if marks is not None else None,
        covered=photo.covered,
    )


def _window(photo: Photo, marks: MarkingPass) -> tuple[float, float, float, float] | None:
    """The box round the marks with a margin, as shares of the picture."""
    placed = list(marks.marking.confirmed.values())
    if len(placed) < FEWEST_FOR_WINDOW:
        return None
    xs, ys = [mark.x for mark in placed], [mark.y for mark in placed]
    margin = WINDOW_MARGIN * max(max(xs) - min(xs), max(ys) - min(ys))
    return (
        max(0.0, (min(xs) - margin) / photo.width),
        max(0.0, (min(ys) - margin) / photo.height),
        min(1.0, (max(xs) + margin) / photo.width),
        min(1.0, (max(ys) + margin) / photo.height),
    )


def thumbnail_of(open_book: OpenBook, photo: Photo) -> Path:
    small = open_book.archive.preview(photo.sha256, THUMBNAIL)
    return small if small.exists() else open_book.archive.path(photo)


def preview_of(open_book: OpenBook, photo: Photo) -> Path:
    """An upright JPEG of at most 2016 px, the original where it is not made yet."""
    large = open_book.archive.preview(photo.sha256, PREVIEW)
    return large if large.exists() else open_book.archive.path(photo)


def grade_of(photo: Photo) -> Grade:
    """What the photo was found good for on arrival."""
    if photo.picture_only:
        return Grade.PICTURE_ONLY
    no_scale = any(remark.code in NO_SCALE_CODES for remark in photo.remarks)
    return Grade.ANGLES_AND_RATIOS if no_scale else Grade.FULL


FEWEST_FOR_WINDOW = 3
WINDOW_MARGIN = 0.25
NO_SCALE_CODES = ("card_not_found", "card_too_small", "card_blurred", "card_few_corners")
