"""The loupe: a round child of the canvas that shows the place under the pointer or the current mark, much larger."""

from __future__ import annotations

from PySide6.QtCore import QPoint, QRectF, Qt
from PySide6.QtGui import QColor, QMouseEvent, QPainter, QPaintEvent, QRegion
from PySide6.QtWidgets import QWidget

from hoofbook.desktop.canvas.glass import paint_glass
from hoofbook.desktop.canvas.pyramid import PicturePyramid

DIAMETER = 220
SLACK = 4


class Loupe(QWidget):
    """May be dragged to another place, or clicked and clicked again where it should go."""

    def __init__(self, parent: QWidget) -> None:
        super().__init__(parent)
        self.resize(DIAMETER, DIAMETER)
        self.setMask(QRegion(self.rect(), QRegion.RegionType.Ellipse))
        self.setCursor(Qt.CursorShape.SizeAllCursor)
        self.setMouseTracking(True)
        self._pyramid: PicturePyramid | None = None
        self._centre = (0.0, 0.0)
        self._scale = 6.0
        self._mat = QColor("#808080")
        self._grab: QPoint | None = None
        self._pressed_at = QPoint()
        self._carried = False

    def look_at(self, pyramid: PicturePyramid | None, centre: tuple[float, float], scale: float, mat: QColor) -> None:
        """Show `centre` (frame photo) at `scale` screen px per photo px."""
        if (pyramid, centre, scale, mat) != (self._pyramid, self._centre, self._scale, self._mat):
            self._pyramid, self._centre, self._scale, self._mat = pyramid, centre, scale, mat
            self.update()

    @property
    def centre(self) -> tuple[float, float]:
        return self._centre

    def keep_inside(self) -> None:
        """Back into the canvas after it was made smaller; a small canvas gets a smaller loupe."""
        room = self.parentWidget().size()
        side = max(120, min(DIAMETER, min(room.width(), room.height()) // 2 - 12))
        if side != self.width():
            self.resize(side, side)
            self.setMask(QRegion(self.rect(), QRegion.RegionType.Ellipse))
        x = min(max(self.x(), 8), max(8, room.width() - self.width() - 8))
        y = min(max(self.y(), 8), max(8, room.height() - self.height() - 8))
        self.move(x, y)

    def paintEvent(self, event: QPaintEvent) -> None:
        if self._pyramid is None:
            return
        painter = QPainter(self)
        paint_glass(painter, self._pyramid, self._centre, QRectF(self.rect()), self._scale, cross=True, mat=self._mat)
        painter.end()

    def mousePressEvent(self, event: QMouseEvent) -> None:
        self._grab = event.position().toPoint()
        self._pressed_at = event.globalPosition().toPoint()

    def mouseMoveEvent(self, event: QMouseEvent) -> None:
        if self._grab is not None:
            self.move(self.mapToParent(event.position().toPoint() - self._grab))
            self.keep_inside()

    def mouseReleaseEvent(self, event: QMouseEvent) -> None:
        far = (event.globalPosition().toPoint() - self._pressed_at).manhattanLength() > SLACK
        if self._carried or far:
            self._grab, self._carried = None, False
        else:
            self._carried = True  # follows the pointer until the next click
