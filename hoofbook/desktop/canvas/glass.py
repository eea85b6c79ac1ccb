"""A round magnified piece of a photo: the loupe, and the pair of places on the sole."""

from __future__ import annotations

from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QColor, QPainter, QPainterPath, QPen

from hoofbook.desktop.canvas.frame import ViewFrame
from hoofbook.desktop.canvas.pyramid import PicturePyramid
from hoofbook.desktop.canvas.rings import paint_ring
from hoofbook.terms.marks import Mark

EDGE = QColor("#FFFFFF")
INK = QColor("#24211D")


def loupe_scale(view_scale: float) -> float:
    """Screen px per photo px in the loupe: six times the view, between 2 and 8, and never less than the view."""
    return max(min(max(6 * view_scale, 2.0), 8.0), view_scale)


def paint_glass(
    painter: QPainter,
    pyramid: PicturePyramid,
    centre: tuple[float, float],
    box: QRectF,
    scale: float,
    *,
    mark: Mark | None = None,
    cross: bool = False,
    mat: QColor,
) -> None:
    """The photo about `centre` (frame photo) at `scale` within the circle in `box` (frame screen)."""
    painter.save()
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    circle = QPainterPath()
    circle.addEllipse(box)
    painter.setClipPath(circle, Qt.ClipOperation.IntersectClip)
    painter.fillRect(box, mat)
    middle = box.center()
    frame = ViewFrame(scale, middle.x() - (centre[0] + 0.5) * scale, middle.y() - (centre[1] + 0.5) * scale)
    pyramid.paint(painter, frame, smooth=True)
    if cross:
        _paint_cross(painter, box)
    if mark is not None:
        paint_ring(painter, mark, frame.photo_to_screen(mark.x, mark.y), current=False)
    painter.restore()
    painter.save()
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    painter.setBrush(Qt.BrushStyle.NoBrush)
    for colour, width in ((INK, 5.0), (EDGE, 3.0)):
        painter.setPen(QPen(colour, width))
        painter.drawEllipse(box.adjusted(3, 3, -3, -3))
    painter.restore()


def _paint_cross(painter: QPainter, box: QRectF) -> None:
    """Hairlines that stop short of the middle, so that the pixel itself is seen."""
    middle, gap, reach = box.center(), 9.0, box.width() / 2
    for colour, width in ((INK, 3.0), (EDGE, 1.4)):
        painter.setPen(QPen(colour, width))
        for dx, dy in ((1, 0), (-1, 0), (0, 1), (0, -1)):
            painter.drawLine(
                QPointF(middle.x() + dx * gap, middle.y() + dy * gap),
                QPointF(middle.x() + dx * reach, middle.y() + dy * reach),
            )
