"""The map of a sole on screen: a picture with the toe up, a place on it that can be moved, and a lamp that follows."""

from __future__ import annotations

import math
from collections.abc import Callable
from typing import TYPE_CHECKING

from PySide6.QtCore import QPointF, QRectF, Qt, Signal
from PySide6.QtGui import QColor, QImage, QKeyEvent, QMouseEvent, QPainter, QPaintEvent, QPen, QResizeEvent
from PySide6.QtWidgets import QSizePolicy, QWidget

from hoofbook.desktop.look import theme
from hoofbook.wording import sole_map as words

if TYPE_CHECKING:
    from hoofbook.casework.pictures import PictureBuffer
    from hoofbook.terms.sole_shape import SoleShape

MakePicture = Callable[[int, float], "PictureBuffer | None"]
_MARGIN = 30
_STEP_MM, _LONG_STEP_MM = 1.0, 5.0
_KEYS = {
    Qt.Key.Key_Up: (1.0, 0.0),
    Qt.Key.Key_Down: (-1.0, 0.0),
    Qt.Key.Key_Left: (0.0, -1.0),
    Qt.Key.Key_Right: (0.0, 1.0),
}


class MapCanvas(QWidget):
    """`pointed` follows pointer and arrow keys, `placed` a click or Enter; both in mm from the frog apex
    (toward the toe, to the right)."""

    pointed = Signal(float, float)
    placed = Signal(float, float)

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._sole: SoleShape | None = None
        self._make: MakePicture | None = None
        self._image: QImage | None = None
        self._kept: PictureBuffer | None = None
        self._lamp = 135.0
        self.lamp_follows = False
        self.at = (8.0, 0.0)  # where the sections lie
        self._look = (0.0, 0.0)
        self.setMouseTracking(True)
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Expanding)
        self.setMinimumSize(260, 220)

    @property
    def lamp(self) -> float:
        """Where the lamp stands, degrees anticlockwise from the right."""
        return self._lamp

    def show_map(self, sole: SoleShape | None, make: MakePicture | None, *, lamp_follows: bool) -> None:
        self._sole, self._make, self.lamp_follows = sole, make, lamp_follows
        self._draw()

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        self._draw()

    def _draw(self) -> None:
        self._image = self._kept = None
        if self._sole is not None and self._make is not None:
            cells = max(self._sole.depth.shape[1] / max(self.width() - 2 * _MARGIN, 1), 1e-6)
            zoom = max(1, min(6, round(self.devicePixelRatioF() / cells)))
            self._kept = self._make(zoom, self._lamp)
        if self._kept is not None:
            kept = self._kept
            self._image = QImage(kept.data, kept.width, kept.height, kept.width * 4, QImage.Format.Format_ARGB32)
        self.update()

    def _box(self) -> QRectF:
        """Where the picture lies, in proportion."""
        assert self._image is not None
        room = QRectF(self.rect()).adjusted(_MARGIN, _MARGIN, -_MARGIN, -_MARGIN)
        scale = min(room.width() / self._image.width(), room.height() / self._image.height())
        width, height = self._image.width() * scale, self._image.height() * scale
        return QRectF(room.center().x() - width / 2, room.center().y() - height / 2, width, height)

    def _place_of(self, at: QPointF) -> tuple[float, float] | None:
        if self._image is None or self._sole is None:
            return None
        box, sole = self._box(), self._sole
        rows, columns = sole.depth.shape
        row = (box.bottom() - at.y()) / box.height() * rows - 0.5
        column = (at.x() - box.left()) / box.width() * columns - 0.5
        return sole.first[0] + sole.step * row, sole.first[1] + sole.step * column

    def _point_of(self, toe: float, right: float) -> QPointF:
        assert self._sole is not None
        box, sole = self._box(), self._sole
        rows, columns = sole.depth.shape
        row, column = (toe - sole.first[0]) / sole.step + 0.5, (right - sole.first[1]) / sole.step + 0.5
        return QPointF(box.left() + column / columns * box.width(), box.bottom() - row / rows * box.height())

    def mouseMoveEvent(self, event: QMouseEvent) -> None:
        place = self._place_of(event.position())
        if place is None:
            return
        if self.lamp_follows:
            middle = self._box().center()
            away = event.position() - middle
            if math.hypot(away.x(), away.y()) > 8:
                self._lamp = math.degrees(math.atan2(-away.y(), away.x()))
                self._draw()
        self._look = place
        self.pointed.emit(*place)
        if event.buttons() & Qt.MouseButton.LeftButton:
            self._put(place)

    def mousePressEvent(self, event: QMouseEvent) -> None:
        place = self._place_of(event.position())
        if place is not None and event.button() == Qt.MouseButton.LeftButton:
            self._put(place)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        way = _KEYS.get(Qt.Key(event.key()))
        if self._sole is None or (way is None and event.key() not in (Qt.Key.Key_Return, Qt.Key.Key_Enter)):
            super().keyPressEvent(event)
            return
        if way is None:
            self._put(self._look)
            return
        far = _LONG_STEP_MM if event.modifiers() & Qt.KeyboardModifier.ShiftModifier else _STEP_MM
        self._put((self.at[0] + way[0] * far, self.at[1] + way[1] * far))
        self.pointed.emit(*self.at)

    def _put(self, place: tuple[float, float]) -> None:
        assert self._sole is not None
        rows, columns = self._sole.depth.shape
        first, step = self._sole.first, self._sole.step
        toe = min(max(place[0], first[0]), first[0] + step * (rows - 1))
        right = min(max(place[1], first[1]), first[1] + step * (columns - 1))
        self.at = self._look = (toe, right)
        self.placed.emit(toe, right)
        self.update()

    def paintEvent(self, _event: QPaintEvent) -> None:
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        painter.setRenderHint(QPainter.RenderHint.SmoothPixmapTransform)
        if self._image is None or self._sole is None:
            return
        box = self._box()
        painter.drawImage(box, self._image)
        look = theme()
        pen = QPen(QColor(look.colour("ink")), 1.2, Qt.PenStyle.DashLine)
        painter.setPen(pen)
        spot = self._point_of(*self.at)
        painter.drawLine(QPointF(box.left(), spot.y()), QPointF(box.right(), spot.y()))
        painter.drawLine(QPointF(spot.x(), box.top()), QPointF(spot.x(), box.bottom()))
        painter.setPen(QColor(look.colour("soft_ink")))
        line = painter.fontMetrics().height()
        painter.drawText(QRectF(0, box.top() - line - 4, self.width(), line), Qt.AlignmentFlag.AlignCenter, words.TOE)
        left, right = words.sides(self._sole.toward_lateral)
        painter.save()
        painter.translate(box.left() - 6, box.center().y())
        painter.rotate(-90)
        painter.drawText(QRectF(-90, -line, 180, line), Qt.AlignmentFlag.AlignCenter, left)
        painter.restore()
        painter.save()
        painter.translate(box.right() + 6, box.center().y())
        painter.rotate(90)
        painter.drawText(QRectF(-90, -line, 180, line), Qt.AlignmentFlag.AlignCenter, right)
        painter.restore()
        if self.hasFocus():
            painter.setPen(QPen(QColor(look.colour("ink")), 2))
            painter.setBrush(Qt.BrushStyle.NoBrush)
            painter.drawEllipse(spot, 7, 7)
