"""Paints a `Drawing` of `terms.drawing` over a photo: positions move with the photo, line and text keep their size."""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterator
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
WHITE = QColor("#FFFFFF")
DARK = QColor("#24211D")


def paint_drawing(painter: QPainter, drawing: Drawing, frame: ViewFrame, theme: Theme, clip: QRectF) -> None:
    """Every primitive that touches `clip`. `drawing` is in frame photo, `clip` in frame screen."""
    colours = {role: QColor(value) for role, value in theme.roles().items()}
    painter.save()
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    for primitive in drawing.primitives:
        if bounds_of(primitive, frame, theme).intersects(clip):
            _paint(painter, primitive, frame, theme, colours)
    painter.restore()


def _paint(painter: QPainter, what: Primitive, frame: ViewFrame, theme: Theme, colours: dict[Role, QColor]) -> None:
    colour = colours[what.role]
    if isinstance(what, Line):
        _stroke(painter, _path(what, frame), colour, what.width, dashed=what.dashed, edged=what.edged)
    elif isinstance(what, Arc):
        _stroke(painter, _path(what, frame), colour, what.width, dashed=False, edged=what.edged)
    elif isinstance(what, Spot):
        radius = max(3.0, what.radius * frame.scale)
        painter.setPen(QPen(colour, 2) if what.hollow else QPen(WHITE, 1.5))
        painter.setBrush(Qt.BrushStyle.NoBrush if what.hollow else QBrush(colour))
        painter.drawEllipse(QPointF(*frame.photo_to_screen(*what.centre)), radius, radius)
    elif isinstance(what, Band):
        painter.setPen(QPen(colours[what.outline], 1.5) if what.outline else Qt.PenStyle.NoPen)
        painter.setBrush(QBrush(colour))
        painter.drawPolygon(QPolygonF([QPointF(*frame.photo_to_screen(*p)) for p in what.points]))
    else:
        picture = words_picture(what.words, theme.size + 3, painter.device().devicePixelRatio(), bold=True)
        painter.drawPixmap(_text_box(what, frame, theme).topLeft(), picture)


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


def _stroke(painter: QPainter, path: QPainterPath, colour: QColor, width: float, *, dashed: bool, edged: bool) -> None:
    painter.setBrush(Qt.BrushStyle.NoBrush)
    wide = LINE_PX if edged or width >= 2 else 2.0
    if edged:
        painter.setPen(_pen(WHITE, wide + 2 * EDGE_PX, dashed=False))
        painter.drawPath(path)
    painter.setPen(_pen(colour, wide, dashed=dashed))
    painter.drawPath(path)


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
    x, y = frame.photo_to_screen(*what.at)
    wide, high = words_size(what.words, theme.size + 3, bold=True)
    left = {Anchor.START: x, Anchor.MIDDLE: x - wide / 2, Anchor.END: x - wide}[what.anchor]
    return QRectF(left, y - high * 0.75, wide, high)


def words_font(pixels: int, *, bold: bool) -> QFont:
    font = QFont(BODY_FAMILY)
    font.setPixelSize(pixels)
    font.setWeight(QFont.Weight.DemiBold if bold else QFont.Weight.Medium)
    return font


@lru_cache(maxsize=512)
def words_size(words: str, pixels: int, *, bold: bool = False) -> tuple[float, float]:
    """Width and height of `words_picture` in logical px."""
    metrics = QFontMetricsF(words_font(pixels, bold=bold))
    return math.ceil(metrics.horizontalAdvance(words)) + 8.0, math.ceil(metrics.height()) + 4.0


@lru_cache(maxsize=256)
def words_picture(words: str, pixels: int, ratio: float, *, bold: bool = False) -> QPixmap:
    """Words in white with a dark edge, readable on any photo; drawn once per screen density and kept."""
    font = words_font(pixels, bold=bold)
    wide, high = words_size(words, pixels, bold=bold)
    picture = QPixmap(round(wide * ratio), round(high * ratio))
    picture.setDevicePixelRatio(ratio)
    picture.fill(Qt.GlobalColor.transparent)
    path = QPainterPath()
    path.addText(QPointF(4, 2 + QFontMetricsF(font).ascent()), font, words)
    painter = QPainter(picture)
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    painter.setPen(QPen(DARK, 4, Qt.PenStyle.SolidLine, Qt.PenCapStyle.RoundCap, Qt.PenJoinStyle.RoundJoin))
    painter.drawPath(path)
    painter.fillPath(path, WHITE)
    painter.end()
    return picture
