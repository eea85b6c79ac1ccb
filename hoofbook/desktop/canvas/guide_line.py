"""A thin line over a photo that shows where a mark must lie: it guides the eye and measures nothing."""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtCore import QPointF, QRect, Qt
from PySide6.QtGui import QPainter, QPen, QPolygonF

from hoofbook.desktop.canvas.frame import ViewFrame
from hoofbook.desktop.canvas.rings import EDGE, INK

Points = Sequence[tuple[float, float]]
_REACH = 4


class GuideLine:
    """A chain of points in frame photo, kept as it lies on screen."""

    def __init__(self) -> None:
        self.points: tuple[tuple[float, float], ...] = ()
        self._lies = QPolygonF()

    def lay(self, points: Points, frame: ViewFrame) -> None:
        """Where it lies from now on; fewer than two points hide it."""
        self.points = tuple(points)
        self.follow(frame)

    def follow(self, frame: ViewFrame) -> None:
        """The picture lies elsewhere."""
        self._lies = QPolygonF([QPointF(*frame.photo_to_screen(*point)) for point in self.points])

    @property
    def box(self) -> QRect:
        """Screen box of what is painted; empty where nothing is."""
        if len(self.points) < 2:
            return QRect()
        return self._lies.boundingRect().adjusted(-_REACH, -_REACH, _REACH, _REACH).toAlignedRect()

    def paint(self, painter: QPainter) -> None:
        if len(self.points) < 2:
            return
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        painter.setBrush(Qt.BrushStyle.NoBrush)
        for colour, wide in ((EDGE, 4.0), (INK, 1.4)):
            painter.setPen(QPen(colour, wide, Qt.PenStyle.SolidLine, Qt.PenCapStyle.FlatCap))
            painter.drawPolyline(self._lies)
