"""Paints a `Drawing` of `terms.drawing` over a photo: positions move with the photo, line and text keep their size."""

from __future__ import annotations

import itertools
import math
from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass
from functools import lru_cache

from PySide6.QtCore import QPointF, QRect, QRectF, Qt
from PySide6.QtGui import (
    QBrush,
    QColor,
    QFont,
    QFontMetricsF,
    QPainter,
    QPainterPath,
    QPen,
    QPixmap,
    QPolygonF,
    QRegion,
)

from hoofbook.desktop.canvas.frame import ViewFrame
from hoofbook.desktop.theme import BODY_FAMILY, Theme
from hoofbook.terms.drawing import Anchor, Arc, Band, Drawing, Line, Primitive, Role, Spot, Text

LINE_PX = 3.0
EDGE_PX = 2.0  # white on each side of a line on a photo
CHUNK_PX = 48.0  # a slanted line is repainted in boxes of about this size
REACH = int(LINE_PX + EDGE_PX) + 2
WORDS_EDGE = (4.0, 2.0)  # px kept beside and over words for their dark edge
WHITE = QColor("#FFFFFF")
DARK = QColor("#24211D")


@dataclass(frozen=True, slots=True, eq=False)
class Stroke:
    """One primitive ready for the painter: where it lies on screen and what to call."""

    bounds: QRectF
    paint: Callable[[QPainter], None]


def strokes_of(drawing: Drawing | None, frame: ViewFrame, theme: Theme) -> tuple[Stroke, ...]:
    """A drawing in frame photo as strokes in frame screen, made once per view and painted as often as needed."""
    colours = _colours(theme)
    return tuple(
        Stroke(bounds_of(primitive, frame, theme), _painting(primitive, frame, theme, colours))
        for primitive in (drawing.primitives if drawing is not None else ())
    )


def paint_strokes(painter: QPainter, strokes: Iterable[Stroke], clip: QRectF) -> None:
    """Every stroke that touches `clip` (frame screen)."""
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    for stroke in strokes:
        if stroke.bounds.intersects(clip):
            stroke.paint(painter)


@lru_cache(maxsize=8)
def _colours(theme: Theme) -> dict[Role, QColor]:
    return {role: QColor(value) for role, value in theme.roles().items()}


def _painting(
    what: Primitive, frame: ViewFrame, theme: Theme, colours: dict[Role, QColor]
) -> Callable[[QPainter], None]:
    colour = colours[what.role]
    if isinstance(what, Line | Arc):
        return _stroking(what, frame, colour)
    if isinstance(what, Spot):
        radius, centre = max(3.0, what.radius * frame.scale), QPointF(*frame.photo_to_screen(*what.centre))
        pen = QPen(colour, 2) if what.hollow else QPen(WHITE, 1.5)
        brush = QBrush(Qt.BrushStyle.NoBrush) if what.hollow else QBrush(colour)
        return lambda painter: _dress(painter, pen, brush).drawEllipse(centre, radius, radius)
    if isinstance(what, Band):
        outline = QPen(colours[what.outline], 1.5) if what.outline else QPen(Qt.PenStyle.NoPen)
        polygon = QPolygonF([QPointF(*frame.photo_to_screen(*p)) for p in what.points])
        return lambda painter: _dress(painter, outline, QBrush(colour)).drawPolygon(polygon)
    corner, words, pixels = _text_box(what, frame, theme).topLeft(), what.words, theme.size + 3
    return lambda painter: painter.drawPixmap(
        corner, words_picture(words, pixels, painter.device().devicePixelRatio(), bold=True)
    )


def _dress(painter: QPainter, pen: QPen, brush: QBrush) -> QPainter:
    painter.setPen(pen)
    painter.setBrush(brush)
    return painter


def _stroking(what: Line | Arc, frame: ViewFrame, colour: QColor) -> Callable[[QPainter], None]:
    dashed = isinstance(what, Line) and what.dashed
    wide = LINE_PX if what.edged or what.width >= 2 else 2.0
    edge = 1.0 if dashed else EDGE_PX  # between the dashes the edge is all there is
    pens = [_pen(WHITE, wide + 2 * edge, dashed=False)] if what.edged else []
    pens.append(_pen(colour, wide, dashed=dashed))
    path = _path(what, frame)
    straight = isinstance(what, Line) and len(what.points) == 2
    ends = [QPointF(*frame.photo_to_screen(*point)) for point in what.points] if straight else []  # type: ignore[union-attr]

    def paint(painter: QPainter) -> None:
        painter.setBrush(Qt.BrushStyle.NoBrush)
        for pen in pens:
            painter.setPen(pen)
            if straight:
                painter.drawLine(ends[0], ends[1])
            else:
                painter.drawPath(path)

    return paint


def _path(what: Line | Arc, frame: ViewFrame) -> QPainterPath:
    if isinstance(what, Line):
        path = QPainterPath(QPointF(*frame.photo_to_screen(*what.points[0])))
        for point in what.points[1:]:
            path.lineTo(QPointF(*frame.photo_to_screen(*point)))
        return path
    x, y = frame.photo_to_screen(*what.centre)
    radius = what.radius * frame.scale
    box = QRectF(x - radius, y - radius, 2 * radius, 2 * radius)
    path = QPainterPath()
    path.arcMoveTo(box, what.start)
    path.arcTo(box, what.start, what.sweep)
    return path


def _pen(colour: QColor, width: float, *, dashed: bool) -> QPen:
    pen = QPen(colour, width)
    pen.setCapStyle(Qt.PenCapStyle.FlatCap if dashed else Qt.PenCapStyle.RoundCap)
    pen.setJoinStyle(Qt.PenJoinStyle.RoundJoin)
    if dashed:
        pen.setDashPattern([3, 2.5])
    return pen


def bounds_of(what: Primitive, frame: ViewFrame, theme: Theme) -> QRectF:
    """Screen box of one primitive, its edge included."""
    if isinstance(what, Text):
        return _text_box(what, frame, theme)
    if isinstance(what, Spot):
        x, y = frame.photo_to_screen(*what.centre)
        reach = max(3.0, what.radius * frame.scale) + 3
        return QRectF(x - reach, y - reach, 2 * reach, 2 * reach)
    if isinstance(what, Band):
        box = QPolygonF([QPointF(*frame.photo_to_screen(*p)) for p in what.points]).boundingRect()
    else:
        box = _path(what, frame).boundingRect()
    return box.adjusted(-REACH, -REACH, REACH, REACH)


def drawing_region(drawing: Drawing | None, frame: ViewFrame, theme: Theme) -> QRegion:
    """What must be painted again when this drawing comes or goes: small boxes along lines, not the box round them."""
    region = QRegion()
    for primitive in drawing.primitives if drawing else ():
        if isinstance(primitive, Line | Arc):
            for box in _boxes_along(_path(primitive, frame)):
                region += box
        else:
            region += bounds_of(primitive, frame, theme).toAlignedRect()
    return region


def _boxes_along(path: QPainterPath) -> Iterator[QRect]:
    for polygon in path.toSubpathPolygons():
        points = [polygon.at(i) for i in range(polygon.count())]
        for a, b in itertools.pairwise(points):
            steps = max(1, min(80, math.ceil(math.hypot(b.x() - a.x(), b.y() - a.y()) / CHUNK_PX)))
            for i in range(steps):
                start, end = a + (b - a) * (i / steps), a + (b - a) * ((i + 1) / steps)
                box = QRectF(start, end).normalized()
                yield box.adjusted(-REACH, -REACH, REACH, REACH).toAlignedRect()


def _text_box(what: Text, frame: ViewFrame, theme: Theme) -> QRectF:
    """Where the picture of the words lies: they begin, end or have their middle at the anchor, on its baseline."""
    x, y = frame.photo_to_screen(*what.at)
    pixels = theme.size + 3
    wide, high = words_size(what.words, pixels, bold=True)
    metrics = QFontMetricsF(words_font(pixels, bold=True))
    long = metrics.horizontalAdvance(what.words)
    left = {Anchor.START: x, Anchor.MIDDLE: x - long / 2, Anchor.END: x - long}[what.anchor]
    return QRectF(left - WORDS_EDGE[0], y - metrics.ascent() - WORDS_EDGE[1], wide, high)


def words_font(pixels: int, *, bold: bool) -> QFont:
    font = QFont(BODY_FAMILY)
    font.setPixelSize(pixels)
    font.setHintingPreference(QFont.HintingPreference.PreferNoHinting)  # as wide as in a picture or on paper
    font.setWeight(QFont.Weight.DemiBold if bold else QFont.Weight.Medium)
    return font


@lru_cache(maxsize=512)
def words_size(words: str, pixels: int, *, bold: bool = False) -> tuple[float, float]:
    """Width and height of `words_picture` in logical px."""
    metrics = QFontMetricsF(words_font(pixels, bold=bold))
    return (
        math.ceil(metrics.horizontalAdvance(words)) + 2 * WORDS_EDGE[0],
        math.ceil(metrics.height()) + 2 * WORDS_EDGE[1],
    )


@lru_cache(maxsize=256)
def words_picture(words: str, pixels: int, ratio: float, *, bold: bool = False) -> QPixmap:
    """Words in white with a dark edge, readable on any photo; drawn once per screen density and kept."""
    font = words_font(pixels, bold=bold)
    wide, high = words_size(words, pixels, bold=bold)
    picture = QPixmap(round(wide * ratio), round(high * ratio))
    picture.setDevicePixelRatio(ratio)
    picture.fill(Qt.GlobalColor.transparent)
    path = QPainterPath()
    path.addText(QPointF(WORDS_EDGE[0], WORDS_EDGE[1] + QFontMetricsF(font).ascent()), font, words)
    painter = QPainter(picture)
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    painter.setPen(QPen(DARK, 4, Qt.PenStyle.SolidLine, Qt.PenCapStyle.RoundCap, Qt.PenJoinStyle.RoundJoin))
    painter.drawPath(path)
    painter.fillPath(path, WHITE)
    painter.end()
    return picture
