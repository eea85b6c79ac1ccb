"""How a mark looks: a plain ring with a white edge. Solid = confirmed, broken = proposed; the current one is larger."""

from __future__ import annotations

from functools import lru_cache

from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QColor, QPainter, QPen, QPixmap

from hoofbook.terms.marks import Mark, MarkState

RADIUS = 8.0
CURRENT_RADIUS = 12.0
INK = QColor("#24211D")
EDGE = QColor("#FFFFFF")
BOX = 40  # px square that holds any ring


@lru_cache(maxsize=32)
def ring_picture(state: MarkState, current: bool, ratio: float) -> QPixmap:
    """One ring, drawn once per kind and screen density."""
    picture = QPixmap(int(BOX * ratio), int(BOX * ratio))
    picture.setDevicePixelRatio(ratio)
    picture.fill(Qt.GlobalColor.transparent)
    painter = QPainter(picture)
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    centre = QPointF(BOX / 2, BOX / 2)
    radius = CURRENT_RADIUS if current else RADIUS
    broken = state is MarkState.PROPOSED
    for colour, width in ((EDGE, 6.0), (INK, 2.4)):
        painter.setPen(_pen(colour, width, radius, broken=broken))
        painter.drawEllipse(centre, radius, radius)
    if current:  # a second, thin ring close to the place itself, so that the place can be judged
        for colour, width in ((EDGE, 3.0), (INK, 1.2)):
            painter.setPen(QPen(colour, width))
            painter.drawEllipse(centre, 4.5, 4.5)
    painter.end()
    return picture


def _pen(colour: QColor, width: float, radius: float, *, broken: bool) -> QPen:
    pen = QPen(colour, width)
    pen.setCapStyle(Qt.PenCapStyle.FlatCap)
    if broken:  # eight dashes round the ring, each with a gap of two thirds of itself
        turn = 2 * 3.141592653589793 * radius / 8 / width
        pen.setDashPattern([turn * 0.6, turn * 0.4])
    return pen


def ring_box(x: float, y: float) -> QRectF:
    """Screen box of a ring about a screen point."""
    return QRectF(x - BOX / 2, y - BOX / 2, BOX, BOX)


def paint_ring(painter: QPainter, mark: Mark, at: tuple[float, float], *, current: bool) -> None:
    if mark.state is not MarkState.UNSEEN:
        ratio = painter.device().devicePixelRatio()
        painter.drawPixmap(ring_box(*at).topLeft(), ring_picture(mark.state, current, ratio))


def paint_crosshair(painter: QPainter, at: tuple[float, float], reach: float = 46.0, gap: float = 7.0) -> None:
    """Two broken lines that leave the place itself free."""
    x, y = at
    for colour, width in ((EDGE, 4.0), (INK, 1.6)):
        painter.setPen(QPen(colour, width, Qt.PenStyle.SolidLine, Qt.PenCapStyle.RoundCap))
        for dx, dy in ((1, 0), (-1, 0), (0, 1), (0, -1)):
            painter.drawLine(QPointF(x + dx * gap, y + dy * gap), QPointF(x + dx * reach, y + dy * reach))


def crosshair_box(x: float, y: float, reach: float = 46.0) -> QRectF:
    return QRectF(x - reach - 4, y - reach - 4, 2 * reach + 8, 2 * reach + 8)
