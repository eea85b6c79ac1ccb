"""One photo of Then and now in its place: the photo itself, and what a person asked to see over it.

Nothing here changes a file: light and lines are for looking only, and the picture says so.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace

from PySide6.QtCore import QRectF
from PySide6.QtGui import QColor, QPainter, QTransform

from hoofbook.desktop.canvas.drawing_painter import paint_strokes, strokes_of
from hoofbook.desktop.canvas.frame import ViewFrame
from hoofbook.desktop.canvas.pyramid import PicturePyramid
from hoofbook.desktop.look import theme
from hoofbook.desktop.then_and_now.pair_view import ToMm, Window, in_window, to_screen
from hoofbook.terms.drawing import Drawing, Line
from hoofbook.wording import bench_labels as words

GRID_MM = 10.0
LEAST_GRID_PX = 5.0  # below that a grid is a veil
Box = tuple[float, float, float, float]
White = tuple[float, float, float]


@dataclass(frozen=True, slots=True)
class Looking:
    """What a person asked to see: measured lines, the earlier photo's lines on the later one, a grid, like light."""

    lines: bool = False
    outlines: bool = False
    grid: bool = False
    same_light: bool = False


@dataclass(frozen=True, slots=True)
class PairPhoto:
    """Where a photo lies in frame shared, what is written on it, and what was measured (frame photo).

    `covered` are shares of the photo nobody shall see, `white` the light of its card (linear), `day` its day in words.
    `to_scale` False: it carries no bar and no grid.
    """

    to_mm: ToMm
    lines: tuple[str, ...]
    drawing: Drawing | None = None
    covered: tuple[Box, ...] = ()
    white: White | None = None
    day: str = ""
    to_scale: bool = True


@dataclass(frozen=True, slots=True)
class Over:
    """What lies over one photo: `drawing` its own lines, `earlier` another photo's lines and where that one lies,
    `gains` what its light is multiplied with (encoded levels, None = as it is)."""

    drawing: Drawing | None = None
    earlier: tuple[Drawing, ToMm] | None = None
    gains: tuple[float, float, float] | None = None
    grid: bool = False


def over_photos(photos: Sequence[PairPhoto], looking: Looking) -> tuple[Over, ...]:
    """What lies over each of these photos; the first one is the earlier one whose lines the others get."""
    gains = light_gains([photo.white for photo in photos]) if looking.same_light else [None] * len(photos)
    first = photos[0] if photos else None
    earlier = (outline_of(first.drawing), first.to_mm) if first and first.drawing and looking.outlines else None
    return tuple(
        Over(
            photo.drawing if looking.lines else None,
            earlier if place and earlier is not None and photo.to_scale else None,
            gain,
            looking.grid and photo.to_scale,
        )
        for place, (photo, gain) in enumerate(zip(photos, gains, strict=True))
    )


def said_over(over: Over, first: PairPhoto) -> tuple[str, ...]:
    """What the picture says of what lies over it, so that nobody takes it for the photo."""
    said = []
    if over.earlier is not None:
        said.append(words.BROKEN_LINES.format(day=first.day))
    if over.grid:
        said.append(words.GRID_SAID.format(mm=GRID_MM))
    if over.gains is not None:
        said.append(words.LIGHT_SAID)
    return tuple(said)


def light_gains(whites: Sequence[White | None]) -> list[tuple[float, float, float] | None]:
    """Factors of encoded levels that bring every card's white down to the darkest one; None where a photo tells none.

    sRGB is close to a power of the light, so one factor on encoded levels is one factor on light.
    """
    known = [tuple(_encoded(value) for value in white) for white in whites if white is not None]
    if len(known) < 2:
        return [None] * len(whites)
    least = [min(channel) for channel in zip(*known, strict=True)]
    gains: list[tuple[float, float, float] | None] = []
    for white in whites:
        if white is None:
            gains.append(None)
        else:
            red, green, blue = (low / _encoded(value) for low, value in zip(least, white, strict=True))
            gains.append((red, green, blue))
    return gains


def _encoded(light: float) -> float:
    """sRGB (IEC 61966-2-1) of linear light."""
    return 12.92 * light if light <= 0.0031308 else 1.055 * light ** (1 / 2.4) - 0.055


def outline_of(drawing: Drawing) -> Drawing:
    """Its lines alone, broken: another photo's, so never to be taken for what was measured here."""
    lines = tuple(replace(item, dashed=True) for item in drawing.primitives if isinstance(item, Line))
    return Drawing(drawing.width, drawing.height, lines)


@dataclass(frozen=True, slots=True)
class Lie:
    """Where the shared frame lies on screen: the sensible window, the view, the part to paint, and whether at rest."""

    window: Window
    frame: ViewFrame
    box: QRectF
    smooth: bool


def paint_laid(painter: QPainter, photo: PairPhoto, pyramid: PicturePyramid, over: Over, lie: Lie) -> None:
    """The photo under its similarity with its covered parts filled, and what lies over it."""
    (a, b, c), (d, e, f) = to_screen(photo.to_mm, lie.window, lie.frame)
    place = QTransform(a, d, b, e, c, f)
    pyramid.paint_by(painter, place, smooth=lie.smooth)
    _paint_on_photo(painter, place, pyramid.size, photo, over)
    if over.grid:
        paint_grid(painter, lie.box, lie.window, lie.frame)
    for drawing, to_mm in ((over.drawing, photo.to_mm), over.earlier or (None, photo.to_mm)):
        if drawing is not None:
            paint_strokes(painter, strokes_of(in_window(drawing, to_mm, lie.window), lie.frame, theme()), lie.box)


def _paint_on_photo(painter: QPainter, place: QTransform, size: tuple[int, int], photo: PairPhoto, over: Over) -> None:
    """In the photo's own px: what nobody shall see, then the light."""
    painter.save()
    painter.setTransform(place, True)
    wide, high = size
    for left, top, right, low in photo.covered:
        box = QRectF(left * wide, top * high, (right - left) * wide, (low - top) * high).normalized()
        painter.fillRect(box.adjusted(-1, -1, 1, 1), theme().colour("mat"))
    if over.gains is not None:
        painter.setCompositionMode(QPainter.CompositionMode.CompositionMode_Multiply)
        painter.fillRect(QRectF(0, 0, wide, high), QColor.fromRgbF(*over.gains))
    painter.restore()


def paint_grid(painter: QPainter, box: QRectF, window: Window, frame: ViewFrame) -> None:
    """Thin lines every 10 mm of the shared frame; nothing where they would stand too close to be told apart."""
    step = GRID_MM * frame.scale
    if step < LEAST_GRID_PX:
        return
    look = theme()
    left, top = frame.to_screen(-window.left, -window.top)  # where the shared frame has its origin
    ends = ((left, box.left(), box.right(), False), (top, box.top(), box.bottom(), True))
    for start, low, high, flat in ends:
        for number in range(math.ceil((low - start) / step), math.floor((high - start) / step) + 1):
            at = round(start + number * step)
            for shift, token, alpha in ((0, "ring_edge", 0.42), (1, "veil", 0.30)):
                line = (
                    QRectF(box.left(), at + shift, box.width(), 1)
                    if flat
                    else QRectF(at + shift, box.top(), 1, box.height())
                )
                painter.fillRect(line, look.colour(token, alpha))
