"""What is burnt into the picture of a pair: plates with day, foot, view, moment and value; scale bar; banner."""

from __future__ import annotations

import math
from functools import lru_cache

from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QFontMetricsF, QPainter, QPen, QPixmap

from hoofbook.desktop.canvas.drawing_painter import words_picture, words_size
from hoofbook.desktop.theme import Theme

PAD = 12.0
CORNER = 9.0
EDGE = 5.0
BAR_HIGH = 8.0


@lru_cache(maxsize=32)
def plate(lines: tuple[str, ...], room: int, look: Theme, ratio: float, *, right: bool = False) -> QPixmap:
    """White words on a veil: the first line large, the rest wrapped to `room` px; `right` sets them flush right."""
    fonts = [look.font("body", bold=True), *(look.font("small") for _ in lines[1:])]
    fonts[0].setPixelSize(look.size + 2)
    inner = room - 2 * PAD
    side = Qt.AlignmentFlag.AlignRight if right else Qt.AlignmentFlag.AlignLeft
    flags = int(side | Qt.TextFlag.TextWordWrap)
    boxes = [
        QFontMetricsF(font).boundingRect(QRectF(0, 0, inner, 1000), flags, line)
        for font, line in zip(fonts, lines, strict=True)
    ]
    wide = min(float(room), max((box.width() for box in boxes), default=0.0) + 2 * PAD + 2)
    high = sum(box.height() + 2 for box in boxes) + 2 * PAD - 6
    picture = QPixmap(round(wide * ratio), round(high * ratio))
    picture.setDevicePixelRatio(ratio)
    picture.fill(Qt.GlobalColor.transparent)
    painter = QPainter(picture)
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    painter.setPen(Qt.PenStyle.NoPen)
    painter.setBrush(look.colour("veil", 0.82))
    painter.drawRoundedRect(QRectF(0, 0, wide, high), CORNER, CORNER)
    painter.setPen(look.colour("ring_edge"))
    top = PAD - 3
    for font, line, box in zip(fonts, lines, boxes, strict=True):
        painter.setFont(font)
        painter.drawText(QRectF(PAD, top, wide - 2 * PAD, box.height() + 2), flags, line)
        top += box.height() + 2
    painter.end()
    return picture


@lru_cache(maxsize=8)
def banner(words: str, wide: int, look: Theme, ratio: float) -> QPixmap:
    """The banner that cannot be removed: leather, across the picture."""
    font = look.font("body", bold=True)
    flags = int(Qt.AlignmentFlag.AlignCenter | Qt.TextFlag.TextWordWrap)
    text = QFontMetricsF(font).boundingRect(QRectF(0, 0, wide - 40, 1000), flags, words)
    high = text.height() + 14
    picture = QPixmap(round(wide * ratio), round(high * ratio))
    picture.setDevicePixelRatio(ratio)
    picture.fill(look.colour("leather"))
    painter = QPainter(picture)
    painter.setFont(font)
    painter.setPen(look.colour("on_leather"))
    painter.drawText(QRectF(20, 0, wide - 40, high), flags, words)
    painter.end()
    return picture


def height_of(picture: QPixmap) -> float:
    return picture.deviceIndependentSize().height()


def width_of(picture: QPixmap) -> float:
    return picture.deviceIndependentSize().width()


def beside_bar(box: QRectF, taken: QRectF) -> QPointF:
    """Corner for what would lie in `box`: over what is `taken` where the two would touch."""
    if taken.isEmpty() or not box.adjusted(-4, -4, 4, 4).intersects(taken):
        return box.topLeft()
    return QPointF(box.x(), taken.top() - box.height() - 4)


@lru_cache(maxsize=8)
def scale_bar(wide: float, words: str, look: Theme, ratio: float) -> QPixmap:
    """A bar of `wide` px with `EDGE` px round it, its words under it; white with a dark edge."""
    said_wide, said_high = words_size(words, look.small, bold=True)
    room = max(wide, said_wide) + 2 * EDGE
    left, right = room - EDGE - wide, room - EDGE
    picture = QPixmap(math.ceil(room * ratio), math.ceil((BAR_HIGH + 2 * EDGE + said_high) * ratio))
    picture.setDevicePixelRatio(ratio)
    picture.fill(Qt.GlobalColor.transparent)
    painter = QPainter(picture)
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    top, low = EDGE, EDGE + BAR_HIGH
    corners = [QPointF(left, top), QPointF(left, low), QPointF(right, low), QPointF(right, top)]
    for token, width in (("veil", 6.0), ("ring_edge", 2.4)):
        pen = QPen(look.colour(token), width)
        pen.setCapStyle(Qt.PenCapStyle.SquareCap)
        pen.setJoinStyle(Qt.PenJoinStyle.MiterJoin)
        painter.setPen(pen)
        painter.drawPolyline(corners)
    said = words_picture(words, look.small, ratio, bold=True)
    painter.drawPixmap(QPointF((left + right - said_wide) / 2, low + 3), said)
    painter.end()
    return picture
