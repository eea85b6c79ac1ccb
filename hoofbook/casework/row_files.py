"""A row of visits as a picture, and the year of a foot as a small film: files made from pixels alone."""

from __future__ import annotations

from collections.abc import Generator
from pathlib import Path
from typing import TYPE_CHECKING

from hoofbook.casework.pair_picture import PICTURES
from hoofbook.casework.visits_row import RowSheet
from hoofbook.housekeeping.files import write_atomic
from hoofbook.terms.quantity import Unit
from hoofbook.terms.refusal import Refusal, Refused
from hoofbook.terms.shown import Step
from hoofbook.wording.numbers import amount
from hoofbook.wording.pairs import making_frame

if TYPE_CHECKING:
    from hoofbook.imaging.row_picture import RowPicture

ALL_CODES = ("picture_kind_unknown", "film_kind_unknown")


def export_row(sheet: RowSheet, out: Path) -> Path:
    """Writes the row as a picture without metadata, everything burnt in.

    Raises:
        Refused: `picture_kind_unknown`, or where a photo cannot be read or the picture not be written.
    """
    from hoofbook.imaging.compose import encode
    from hoofbook.imaging.row_picture import row_picture

    if out.suffix.lower() not in PICTURES:
        raise Refused(Refusal("picture_kind_unknown", {"file": out.name}))
    write_atomic(out, encode(row_picture(_picture(sheet)), out.suffix.lower()))
    return out.resolve()


def export_year(sheet: RowSheet, out: Path) -> Generator[Step, None, Path]:
    """Writes the year as a GIF, a step for each photo; closing it before its end writes nothing.

    Raises:
        Refused: `film_kind_unknown`, or where a photo cannot be read or the film not be written.
    """
    from hoofbook.imaging.only_pixels import only_pixels
    from hoofbook.imaging.year_gif import gif_of, year_frames

    if out.suffix.lower() != ".gif":
        raise Refused(Refusal("film_kind_unknown", {"file": out.name}))
    frames, count = [], len(sheet.sides)
    yield Step(0, count, making_frame(0, count))
    for frame in year_frames(_picture(sheet)):
        frames.append(frame)
        yield Step(len(frames), count, making_frame(len(frames), count))
    made = gif_of(frames)
    if not only_pixels(made):
        raise RuntimeError("a film came out with more in it than its pixels")
    write_atomic(out, made)
    return out.resolve()


def _picture(sheet: RowSheet) -> RowPicture:
    from hoofbook.imaging.compose import PictureSource
    from hoofbook.imaging.row_picture import RowPicture

    return RowPicture(
        tuple(PictureSource(side.path, side.to_mm, side.caption_lines, side.covered) for side in sheet.sides),
        sheet.frame_mm,
        sheet.scaled,
        sheet.scale_bar_mm,
        amount(sheet.scale_bar_mm, Unit.MM, like=10.0),
        footer=sheet.way,
        banner=sheet.banner,
    )
