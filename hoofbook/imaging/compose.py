"""Then-and-now pictures: two photos at one millimetre scale, moved, turned and scaled only, dates and values burnt in.

What is said in the picture comes in as ready lines; nothing here words or rounds anything.
"""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

import numpy as np
from numpy.typing import NDArray
from PIL import Image, ImageDraw

from hoofbook.imaging import cv2
from hoofbook.imaging.covered import cover
from hoofbook.imaging.framing import Window, window_shown
from hoofbook.imaging.paint_pixels import font
from hoofbook.imaging.pixels import Pixels, open_upright, read_facts
from hoofbook.terms.refusal import Refusal, Refused
from hoofbook.terms.subjects.photos import CoverBox

ToMm = tuple[tuple[float, float, float], tuple[float, float, float]]
Box = tuple[int, int, int, int]
SIZE = (2400, 1500)
_MAT, _PAPER = (128, 128, 128), (255, 255, 255)
_PLATE = (27, 26, 24, 205)
_WHITE = (255, 255, 255, 255)
_INK = (0, 0, 0, 255)  # on the mat: 5.3 to 1, where white would have 3.9 (WCAG 2.2, 1.4.3)
_ROOM = 28
_TEXT = 34
_SMALLEST_TEXT = 14.0
_QUALITY = 92


@dataclass(frozen=True, slots=True)
class PictureSource:
    """One photo: `to_mm` takes its px (frame photo) to the shared millimetres, x right, y down; `covered` is hidden."""

    path: Path
    to_mm: ToMm
    caption: tuple[str, ...] = ()
    covered: tuple[CoverBox, ...] = ()


@dataclass(frozen=True, slots=True)
class PairPicture:
    """What to compose. `frame_mm` is the window to show (left, top, right, bottom); `at` 0..1 places the curtain or
    weighs the fade; `scale_bar_mm` None = not to scale, so no bar. Without `framed` no neutral grey stands round the
    photos: on paper, whose white does that."""

    then: PictureSource
    now: PictureSource
    frame_mm: tuple[float, float, float, float]
    layout: str = "side by side"
    banner: str = ""
    footer: str = ""
    scale_bar_mm: float | None = 50.0
    scale_bar_words: str = ""
    at: float = 0.5
    size: tuple[int, int] = SIZE
    framed: bool = True

    @property
    def edge(self) -> int:
        """px round the photos."""
        return _ROOM if self.framed else 0


def then_and_now(pair: PairPicture) -> Pixels:
    """(h, w, 3) BGR picture of the pair, at most `pair.size`: smaller where the photos end, so that no empty strip
    stands beside them. Refused: what `pixels.read_facts` refuses of either photo."""
    width, height = pair.size
    top = pair.edge + (2 * _TEXT if pair.banner else 0)
    bottom = pair.edge + (2 * _TEXT if pair.footer else 0)
    room = (width - 2 * pair.edge, height - top - bottom)
    if pair.layout == "side by side":
        room = ((room[0] - _ROOM) // 2, room[1])
    left, high, right, low = pair.frame_mm
    scale = min(room[0] / (right - left), room[1] / (low - high))
    sizes = [photo_size(source.path) for source in (pair.then, pair.now)]
    laid = [np.asarray(source.to_mm, np.float64) for source in (pair.then, pair.now)]
    window = window_shown(pair.frame_mm, scale, room, list(zip(laid, sizes, strict=True)))
    wide, tall = (min(room[k], round((window[k + 2] - window[k]) * scale)) for k in (0, 1))
    boxes = _boxes(pair, (wide, tall), top)
    ground = _MAT if pair.framed else _PAPER
    canvas: Pixels = np.full((top + tall + bottom, boxes[1][2] + pair.edge, 3), ground, np.uint8)
    parts = [
        laid_photo(source, window, scale, size, (wide, tall))
        for source, size in zip((pair.then, pair.now), sizes, strict=True)
    ]
    _place(canvas, pair, boxes, parts)
    return _written(canvas, pair, boxes, scale)


def encode(picture: Pixels, suffix: str) -> bytes:
    """PNG or JPEG bytes by suffix (".png", ".jpg"), without any metadata."""
    options = [] if suffix == ".png" else [cv2.IMWRITE_JPEG_QUALITY, _QUALITY]
    done, data = cv2.imencode(suffix, picture, options)
    if not done:
        raise RuntimeError(f"OpenCV could not encode {suffix}")
    return data.tobytes()


def _boxes(pair: PairPicture, size: tuple[int, int], top: int) -> tuple[Box, Box]:
    wide, tall = size
    one = (pair.edge, top, pair.edge + wide, top + tall)
    if pair.layout != "side by side":
        return one, one
    return one, (one[2] + _ROOM, top, one[2] + _ROOM + wide, top + tall)


def photo_size(path: Path) -> tuple[int, int]:
    facts = read_facts(path)
    if isinstance(facts, Refusal):
        raise Refused(facts)
    return facts.width, facts.height


def laid_photo(
    source: PictureSource, window: Window, scale: float, whole: tuple[int, int], size: tuple[int, int]
) -> Pixels:
    """The photo (`whole` px) as seen in its box of `size` px: the window's middle in the box's middle."""
    to_mm = np.asarray(source.to_mm, np.float64)
    shrink = float(np.sqrt(abs(np.linalg.det(to_mm[:, :2])))) * scale
    photo = open_upright(source.path, round(max(whole) * min(1.0, max(shrink, 0.02))))
    if isinstance(photo, Refusal):
        raise Refused(photo)
    reduced = photo.shape[1] / whole[0]
    matrix = _to_box(to_mm, window, scale, size)
    # centres of pixels: place p of the reduced photo is (p + 0.5) / reduced - 0.5 of the whole one
    back = np.array([[1 / reduced, 0, 0.5 / reduced - 0.5], [0, 1 / reduced, 0.5 / reduced - 0.5], [0, 0, 1]])
    flags, edge = cv2.INTER_CUBIC, cv2.BORDER_CONSTANT
    photo = cover(photo, source.covered)
    seen = cv2.warpAffine(photo, (matrix @ back)[:2], size, flags=flags, borderMode=edge, borderValue=_MAT)
    return np.asarray(seen, np.uint8)


def _to_box(to_mm: NDArray[np.float64], frame: Window, scale: float, size: tuple[int, int]) -> NDArray[np.float64]:
    middle = np.array([(frame[0] + frame[2]) / 2, (frame[1] + frame[3]) / 2])
    matrix = np.eye(3)
    matrix[:2, :2] = scale * to_mm[:, :2]
    matrix[:2, 2] = scale * (to_mm[:, 2] - middle) + np.array(size) / 2 - 0.5
    return matrix


def _place(canvas: Pixels, pair: PairPicture, boxes: tuple[Box, Box], parts: list[Pixels]) -> None:
    left, top, right, bottom = boxes[0]
    if pair.layout == "side by side":
        for (x0, y0, x1, y1), part in zip(boxes, parts, strict=True):
            canvas[y0:y1, x0:x1] = part
    elif pair.layout == "curtain":
        edge = left + round(pair.at * (right - left))
        canvas[top:bottom, left:edge] = parts[0][:, : edge - left]
        canvas[top:bottom, edge:right] = parts[1][:, edge - left :]
        canvas[top:bottom, max(left, edge - 2) : edge + 2] = 255
    else:
        canvas[top:bottom, left:right] = cv2.addWeighted(parts[0], 1 - pair.at, parts[1], pair.at, 0)


def _written(canvas: Pixels, pair: PairPicture, boxes: tuple[Box, Box], scale: float) -> Pixels:
    """Captions, scale bars, banner and footer, burnt in."""
    under = Image.fromarray(np.ascontiguousarray(canvas[..., ::-1])).convert("RGBA")
    layer = Image.new("RGBA", under.size, (0, 0, 0, 0))
    draw = ImageDraw.Draw(layer)
    plate(draw, pair.then.caption, boxes[0])
    plate(draw, pair.now.caption, boxes[1], right_side=pair.layout != "side by side")
    if pair.scale_bar_mm:
        for box in dict.fromkeys(boxes):
            bar(draw, pair.scale_bar_mm * scale, pair.scale_bar_words, box)
    if pair.banner:
        draw.rectangle((0, 0, under.width, 2 * _TEXT + _ROOM // 2), fill=(255, 255, 255, 255))
        draw.text((under.width / 2, _TEXT + _ROOM / 4), pair.banner, (0, 0, 0, 255), font(_TEXT, bold=True), "mm")
    if pair.footer:
        draw.text((under.width / 2, under.height - _TEXT - 4), pair.footer, _INK, font(0.8 * _TEXT), "mm")
    done = np.asarray(Image.alpha_composite(under, layer).convert("RGB"), np.uint8)
    return np.ascontiguousarray(done[..., ::-1])


def plate(
    draw: ImageDraw.ImageDraw, lines: tuple[str, ...], box: Box, *, right_side: bool = False, text: float = _TEXT
) -> None:
    """Lines on a dark plate in an upper corner of `box`, the first one large; `text` is the size of letters in px.

    Where the plate is wider than the box its letters are made smaller, so that no word is cut.
    """
    if not lines:
        return
    inside = 0.82 * text
    fonts = [font(1.25 * text, bold=True)] + [font(0.95 * text)] * (len(lines) - 1)
    wide = max(draw.textlength(line, letters) for line, letters in zip(lines, fonts, strict=True))
    pad = 0.7 * text
    room = box[2] - box[0] - 2 * inside
    if wide + 2 * pad > room and text > _SMALLEST_TEXT:
        smaller = max(_SMALLEST_TEXT, min(text - 1.0, text * room / (wide + 2 * pad)))
        plate(draw, lines, box, right_side=right_side, text=smaller)
        return
    tall = [1.6 * letters.size for letters in fonts]
    x = box[2] - inside - wide - 2 * pad if right_side else box[0] + inside
    y = float(box[1] + inside)
    draw.rounded_rectangle((x, y, x + wide + 2 * pad, y + sum(tall) + pad), 0.47 * text, fill=_PLATE)
    y += pad / 2
    for line, letters, height in zip(lines, fonts, tall, strict=True):
        draw.text((x + pad, y + height / 2), line, _WHITE, letters, "lm")
        y += height


def bar(draw: ImageDraw.ImageDraw, long: float, words: str, box: Box, *, text: float = _TEXT) -> None:
    """A scale bar of `long` px in the lower right corner of `box`, its words under it."""
    unit = 0.82 * text
    x1, y = box[2] - 2 * unit, box[3] - 3 * unit
    x0 = x1 - long
    line, end = max(2, round(0.15 * text)), 0.3 * text
    draw.rounded_rectangle((x0 - unit, y - 0.8 * unit, x1 + unit, y + 2.2 * unit), 0.35 * text, fill=_PLATE)
    draw.line(((x0, y), (x1, y)), _WHITE, line)
    for x in (x0, x1):
        draw.line(((x, y - end), (x, y + end)), _WHITE, line)
    draw.text(((x0 + x1) / 2, y + 1.2 * unit), words, _WHITE, font(0.9 * text, bold=True), "mm")
