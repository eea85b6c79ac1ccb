"""The loupe: a round child of the canvas that shows the place under the pointer or the current mark, much larger."""

from __future__ import annotations

from collections.abc import Callable
from functools import lru_cache

from PySide6.QtCore import QPoint, QRect, QRectF, Qt
from PySide6.QtGui import (
    QColor,
    QMouseEvent,
    QMoveEvent,
    QPainter,
    QPainterPath,
    QPaintEvent,
    QPixmap,
    QResizeEvent,
)
from PySide6.QtWidgets import QWidget

from hoofbook.desktop.canvas.glass import frame_about, rim_picture
from hoofbook.desktop.canvas.pyramid import PicturePyramid

DIAMETER = 220
SLACK = 4


@lru_cache(maxsize=4)
def _round_the_circle(side: int, ratio: float) -> QPixmap:
    """A mask: the corners outside the circle."""
    square, circle = QPainterPath(), QPainterPath()
    square.addRect(QRectF(0, 0, side, side))
    circle.addEllipse(QRectF(3, 3, side - 6, side - 6))
    mask = QPixmap(round(side * ratio), round(side * ratio))
    mask.setDevicePixelRatio(ratio)
    mask.fill(Qt.GlobalColor.transparent)
    painter = QPainter(mask)
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    painter.fillPath(square - circle, Qt.GlobalColor.black)
    painter.end()
    return mask


class Loupe(QWidget):
    """May be dragged to another place, or clicked and clicked again where it should go."""

    def __init__(self, parent: QWidget, paint_under: Callable[[QPainter, QRect], None]) -> None:
        """`paint_under` paints a part of the canvas (its box in the canvas) with that box's corner at 0, 0."""
        super().__init__(parent)
        self._canvas = parent
        self._paint_under = paint_under
        self.setAttribute(Qt.WidgetAttribute.WA_OpaquePaintEvent)
        self.setCursor(Qt.CursorShape.SizeAllCursor)
        self.setMouseTracking(True)
        self._pyramid: PicturePyramid | None = None
        self._centre = (0.0, 0.0)
        self._scale = 6.0
        self._mat = QColor("#808080")
        self._smooth = True
        self._grab: QPoint | None = None
        self._pressed_at = QPoint()
        self._carried = False
        self._cover: QPixmap | None = None
        self._shown: QPixmap | None = None
        self.resize(DIAMETER, DIAMETER)

    def look_at(
        self,
        pyramid: PicturePyramid | None,
        centre: tuple[float, float],
        scale: float,
        mat: QColor,
        *,
        smooth: bool = True,
    ) -> None:
        """Show `centre` (frame photo) at `scale` screen px per photo px; plain while a mark is on its way."""
        wanted = (pyramid, centre, scale, mat, smooth)
        if wanted != (self._pyramid, self._centre, self._scale, self._mat, self._smooth):
            self._pyramid, self._centre, self._scale, self._mat, self._smooth = wanted
            self._shown = None
            self.update()

    @property
    def centre(self) -> tuple[float, float]:
        return self._centre

    def keep_inside(self) -> None:
        """Back into the canvas after it was made smaller; a small canvas gets a smaller loupe."""
        room = self._canvas.size()
        side = max(120, min(DIAMETER, min(room.width(), room.height()) // 2 - 12))
        if side != self.width():
            self.resize(side, side)
        x = min(max(self.x(), 8), max(8, room.width() - self.width() - 8))
        y = min(max(self.y(), 8), max(8, room.height() - self.height() - 8))
        self.move(x, y)

    def step_aside(self, at: tuple[float, float]) -> None:
        """To the other side of the canvas where the place that is looked at lies under the loupe."""
        if self._grab is None and self.geometry().adjusted(-30, -30, 30, 30).contains(round(at[0]), round(at[1])):
            room = self._canvas.width()
            left = self.x() + self.width() / 2 > room / 2
            self.move(16 if left else room - self.width() - 16, self.y())

    def paintEvent(self, event: QPaintEvent) -> None:
        if self._pyramid is None:
            return
        ratio, side = self.devicePixelRatioF(), self.width()
        if self._shown is None or self._shown.width() != round(side * ratio):
            self._shown = self._compose(ratio)
        painter = QPainter(self)
        painter.drawPixmap(0, 0, self._shown)
        painter.end()

    def _compose(self, ratio: float) -> QPixmap:
        """The magnified photo under its cover; kept until either changes, since a pan paints the loupe every time."""
        assert self._pyramid is not None
        side = self.width()
        if self._cover is None or self._cover.width() != round(side * ratio):
            self._cover = self._make_cover(ratio)
        shown = QPixmap(round(side * ratio), round(side * ratio))
        shown.setDevicePixelRatio(ratio)
        shown.fill(self._mat)
        painter = QPainter(shown)
        self._pyramid.paint(painter, frame_about(self._centre, self._scale, side), smooth=self._smooth)
        painter.drawPixmap(0, 0, self._cover)
        painter.end()
        return shown

    def lie_anew(self) -> None:
        """What lies under the loupe changed: its corners must show that."""
        self._cover = self._shown = None
        self.update()

    def _make_cover(self, ratio: float) -> QPixmap:
        """The canvas round the circle with the rim, and nothing within: laid over the magnified photo in one go.

        So a mark that moves costs one blit here. A round mask costs ten times as much, and a translucent loupe has the
        canvas painted under it each time.
        """
        side = self.width()
        cover = QPixmap(round(side * ratio), round(side * ratio))
        cover.setDevicePixelRatio(ratio)
        cover.fill(Qt.GlobalColor.transparent)
        painter = QPainter(cover)
        self._paint_under(painter, self.geometry())
        painter.setCompositionMode(QPainter.CompositionMode.CompositionMode_DestinationIn)
        painter.drawPixmap(0, 0, _round_the_circle(side, ratio))
        painter.setCompositionMode(QPainter.CompositionMode.CompositionMode_SourceOver)
        painter.drawPixmap(0, 0, rim_picture(side, ratio, cross=True))
        painter.end()
        return cover

    def moveEvent(self, event: QMoveEvent) -> None:
        self.lie_anew()

    def resizeEvent(self, event: QResizeEvent) -> None:
        self.lie_anew()

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
