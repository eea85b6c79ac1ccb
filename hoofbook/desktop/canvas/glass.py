"""A round magnified piece of a photo: the loupe, and the pair of places on the sole."""

from __future__ import annotations

from functools import lru_cache

from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QBrush, QColor, QPainter, QPen, QPixmap

from hoofbook.desktop.canvas.frame import ViewFrame
from hoofbook.desktop.canvas.pyramid import PicturePyramid
from hoofbook.desktop.canvas.rings import paint_ring
from hoofbook.terms.marks import Mark

EDGE = QColor("#FFFFFF")
INK = QColor("#24211D")


def loupe_scale(view_scale: float) -> float:
    """Screen px per photo px in the loupe: six times the view, between 2 and 8, and never less than the view."""
    return max(min(max(6 * view_scale, 2.0), 8.0), view_scale)


def frame_about(centre: tuple[float, float], scale: float, side: float) -> ViewFrame:
    """The frame that puts `centre` (frame photo) in the middle of a square of `side` screen px."""
    return ViewFrame(scale, side / 2 - (centre[0] + 0.5) * scale, side / 2 - (centre[1] + 0.5) * scale)


def paint_glass(
    painter: QPainter,
    pyramid: PicturePyramid,
    centre: tuple[float, float],
    box: QRectF,
    scale: float,
    *,
    mark: Mark | None = None,
    mat: QColor,
) -> None:
    """The photo about `centre` (frame photo) at `scale` within the circle in `box` (frame screen).

    The square is painted aside and laid in as a brush: clipping a photo to a circle costs many times as much.
    """
    ratio = painter.device().devicePixelRatio()
    square = QPixmap(round(box.width() * ratio), round(box.height() * ratio))
    square.setDevicePixelRatio(ratio)
    square.fill(mat)
    inner = QPainter(square)
    frame = frame_about(centre, scale, box.width())
    pyramid.paint(inner, frame, smooth=True)
    if mark is not None:
        paint_ring(inner, mark, frame.photo_to_screen(mark.x, mark.y), current=False)
    inner.end()
    painter.save()
    painter.translate(box.topLeft())
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    painter.setPen(Qt.PenStyle.NoPen)
    painter.setBrush(QBrush(square))
    painter.drawEllipse(QRectF(0, 0, box.width(), box.height()).adjusted(3, 3, -3, -3))
    painter.drawPixmap(0, 0, rim_picture(round(box.width()), ratio, cross=False))
    painter.restore()


@lru_cache(maxsize=8)
def rim_picture(side: int, ratio: float, *, cross: bool) -> QPixmap:
    """The rim, and hairlines that stop short of the middle so that the pixel itself is seen."""
    picture = QPixmap(round(side * ratio), round(side * ratio))
    picture.setDevicePixelRatio(ratio)
    picture.fill(Qt.GlobalColor.transparent)
    painter = QPainter(picture)
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    middle, gap = side / 2, 9.0
    for colour, width in ((INK, 3.0), (EDGE, 1.4)) if cross else ():
        painter.setPen(QPen(colour, width))
        for dx, dy in ((1, 0), (-1, 0), (0, 1), (0, -1)):
            reach = middle - 4
            painter.drawLine(
                QPointF(middle + dx * gap, middle + dy * gap), QPointF(middle + dx * reach, middle + dy * reach)
            )
    for colour, width in ((INK, 5.0), (EDGE, 3.0)):
        painter.setPen(QPen(colour, width))
        painter.drawEllipse(QRectF(3, 3, side - 6, side - 6))
    painter.end()
    return picture
