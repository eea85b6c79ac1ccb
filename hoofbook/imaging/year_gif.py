"""The year of a foot as a small film: every visit's photo in one millimetre frame, one after the other.

A GIF (version 89a) of pixels alone: colours, frames, how long each is shown and that it goes round. All frames share
one table of colours, so that nothing but the foot changes between them.
"""

from __future__ import annotations

import io
from collections.abc import Iterator, Sequence

import numpy as np
from PIL import Image, ImageDraw

from hoofbook.imaging.compose import bar, laid_photo, plate
from hoofbook.imaging.pixels import Pixels
from hoofbook.imaging.row_picture import RowPicture, laid_in

LONGEST = 1000  # px
ROOM = (LONGEST, 800)
FRAME_MS = 500
MOST_BYTES = 8_000_000 // 7  # of one frame, so that seven visits stay under 8 MB
_TEXT = 21
_SMALLER = 0.8
_SAMPLE = 240  # px: of each frame, to find the colours of all


def year_frames(year: RowPicture, room: tuple[int, int] = ROOM) -> Iterator[Pixels]:
    """One picture (h, w, 3) BGR per photo, all of one size, at most `room`, with caption and scale bar burnt in.

    Refused: what `pixels.read_facts` refuses of a photo.
    """
    laid = laid_in(year.sources, year.scaled, year.frame_mm, room)
    text = _TEXT * max(room) / LONGEST
    for source, whole, is_scaled in zip(year.sources, laid.sizes, year.scaled, strict=True):
        seen = laid_photo(source, laid.window, laid.scale, whole, laid.box)
        under = Image.fromarray(np.ascontiguousarray(seen[..., ::-1])).convert("RGBA")
        layer = Image.new("RGBA", under.size, (0, 0, 0, 0))
        draw = ImageDraw.Draw(layer)
        box = (0, 0, under.width, under.height)
        plate(draw, source.caption, box, text=text)
        if year.scale_bar_mm and is_scaled:
            bar(draw, year.scale_bar_mm * laid.scale, year.scale_bar_words, box, text=text)
        done = np.asarray(Image.alpha_composite(under, layer).convert("RGB"), np.uint8)
        yield np.ascontiguousarray(done[..., ::-1])


def gif_of(frames: Sequence[Pixels], frame_ms: int = FRAME_MS) -> bytes:
    """The frames as a GIF that goes round for ever, made from their pixels alone.

    Frames are made smaller until one takes `MOST_BYTES` or less on average.
    """
    pictures = [Image.fromarray(np.ascontiguousarray(frame[..., ::-1])) for frame in frames]
    while True:
        data = _encoded(pictures, frame_ms)
        if len(data) <= MOST_BYTES * len(pictures) or max(pictures[0].size) < 200:
            return data
        size = (round(pictures[0].width * _SMALLER), round(pictures[0].height * _SMALLER))
        pictures = [picture.resize(size, Image.Resampling.LANCZOS) for picture in pictures]


def _encoded(pictures: Sequence[Image.Image], frame_ms: int) -> bytes:
    colours = _colours(pictures)
    few = [picture.quantize(palette=colours, dither=Image.Dither.FLOYDSTEINBERG) for picture in pictures]
    held = io.BytesIO()
    few[0].save(held, "GIF", save_all=True, append_images=few[1:], duration=frame_ms, loop=0, optimize=False)
    return held.getvalue()


def _colours(pictures: Sequence[Image.Image]) -> Image.Image:
    """One table of 256 colours for all frames."""
    wide = min(_SAMPLE, pictures[0].width)
    high = max(1, round(pictures[0].height * wide / pictures[0].width))
    sheet = Image.new("RGB", (wide, high * len(pictures)))
    for place, picture in enumerate(pictures):
        sheet.paste(picture.resize((wide, high)), (0, place * high))
    return sheet.quantize(256, method=Image.Quantize.MEDIANCUT)
