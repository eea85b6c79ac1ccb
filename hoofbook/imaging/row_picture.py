"""Three or more photos of one foot and view in one picture, all at one millimetre scale, each with its caption."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from PIL import Image, ImageDraw

from hoofbook.imaging.compose import SIZE, Box, PictureSource, bar, laid_photo, photo_size, plate
from hoofbook.imaging.framing import Window, window_shown
from hoofbook.imaging.paint_pixels import font
from hoofbook.imaging.pixels import Pixels
from hoofbook.terms.grid import cell_size, columns_for

_MAT = (128, 128, 128)
_ROOM = 20
_TEXT = 30
_INK = (0, 0, 0, 255)


@dataclass(frozen=True, slots=True)
class RowPicture:
    """Photos in the order shown. `frame_mm` is the window of each (left, top, right, bottom); `scaled` says which of
    them are to scale and carry a bar (`scale_bar_mm` None: none does)."""

    sources: tuple[PictureSource, ...]
    frame_mm: Window
    scaled: tuple[bool, ...]
    scale_bar_mm: float | None = 50.0
    scale_bar_words: str = ""
    footer: str = ""
    banner: str = ""
    size: tuple[int, int] = SIZE


@dataclass(frozen=True, slots=True)
class Laid:
    """Where every photo of a row lies: the window shown in mm, px per mm, the size of one box in px."""

    window: Window
    scale: float
    box: tuple[int, int]
    sizes: tuple[tuple[int, int], ...]


def laid_in(sources: Sequence[PictureSource], scaled: Sequence[bool], frame_mm: Window, room: tuple[int, int]) -> Laid:
    """Every photo in a box of at most `room` px; the window is widened where all that are to scale have a picture.

    Refused: what `pixels.read_facts` refuses of a photo.
    """
    left, top, right, low = frame_mm
    scale = min(room[0] / (right - left), room[1] / (low - top))
    sizes = tuple(photo_size(source.path) for source in sources)
    seen: list[tuple[NDArray[np.float64], tuple[int, int]]] = [
        (np.asarray(source.to_mm, np.float64), size)
        for source, size, is_scaled in zip(sources, sizes, scaled, strict=True)
        if is_scaled
    ]
    window = window_shown(frame_mm, scale, room, seen) if seen else frame_mm
    wide, tall = (min(room[k], round((window[k + 2] - window[k]) * scale)) for k in (0, 1))
    return Laid(window, scale, (wide, tall), sizes)


def row_picture(row: RowPicture) -> Pixels:
    """(h, w, 3) BGR picture, at most `row.size`: photos in reading order, in as many lines as show them largest."""
    width, height = row.size
    top = _ROOM + (2 * _TEXT if row.banner else 0)
    bottom = _ROOM + (2 * _TEXT if row.footer else 0)
    room = (width - 2 * _ROOM, height - top - bottom)
    left, high, right, low = row.frame_mm
    count = len(row.sources)
    columns = columns_for(count, (right - left, low - high), room, _ROOM)
    cell = cell_size(count, columns, room, _ROOM)
    laid = laid_in(row.sources, row.scaled, row.frame_mm, (int(cell[0]), int(cell[1])))
    wide, tall = laid.box
    rows = -(-count // columns)
    boxes: list[Box] = []
    for place in range(count):
        x = _ROOM + (place % columns) * (wide + _ROOM)
        y = top + (place // columns) * (tall + _ROOM)
        boxes.append((x, y, x + wide, y + tall))
    size = (columns * (wide + _ROOM) + _ROOM, top + rows * (tall + _ROOM) - _ROOM + bottom)
    canvas: Pixels = np.full((size[1], size[0], 3), _MAT, np.uint8)
    for source, whole, (x0, y0, x1, y1) in zip(row.sources, laid.sizes, boxes, strict=True):
        canvas[y0:y1, x0:x1] = laid_photo(source, laid.window, laid.scale, whole, laid.box)
    return _written(canvas, row, boxes, laid.scale)


def _written(canvas: Pixels, row: RowPicture, boxes: Sequence[Box], scale: float) -> Pixels:
    under = Image.fromarray(np.ascontiguousarray(canvas[..., ::-1])).convert("RGBA")
    layer = Image.new("RGBA", under.size, (0, 0, 0, 0))
    draw = ImageDraw.Draw(layer)
    for source, is_scaled, box in zip(row.sources, row.scaled, boxes, strict=True):
        plate(draw, source.caption, box, text=_TEXT)
        if row.scale_bar_mm and is_scaled:
            bar(draw, row.scale_bar_mm * scale, row.scale_bar_words, box, text=0.8 * _TEXT)
    if row.banner:
        draw.rectangle((0, 0, under.width, 2 * _TEXT + _ROOM // 2), fill=(255, 255, 255, 255))
        draw.text((under.width / 2, _TEXT + _ROOM / 4), row.banner, _INK, font(_TEXT, bold=True), "mm")
    if row.footer:
        draw.text((under.width / 2, under.height - _TEXT - 4), row.footer, _INK, font(0.8 * _TEXT), "mm")
    done = np.asarray(Image.alpha_composite(under, layer).convert("RGB"), np.uint8)
    return np.ascontiguousarray(done[..., ::-1])
