"""A photo large on neutral grey: zoom to the pixel about the pointer, pan, plain while it moves and smooth at rest."""

from __future__ import annotations

import math
from functools import lru_cache

from PySide6.QtCore import QEvent, QPointF, QRect, QRectF, QSize, Qt, QTimer, Signal
from PySide6.QtGui import (
    QImage,
    QInputDevice,
    QMouseEvent,
    QNativeGestureEvent,
    QPainter,
    QPainterPath,
    QPaintEvent,
    QPixmap,
    QRegion,
    QResizeEvent,
    QWheelEvent,
)
from PySide6.QtWidgets import QWidget

from hoofbook.desktop.canvas.adjust import Adjustment, table
from hoofbook.desktop.canvas.frame import ViewFrame, bounded, fitted, revealing
from hoofbook.desktop.canvas.grip import Gesture, Outcome, moved, pressed, released
from hoofbook.desktop.canvas.pyramid import PicturePyramid
from hoofbook.desktop.look import theme

REST_MS = 140
STEP = 1.25  # of one press of + or - and of one notch of a wheel
CORNER = 12.0
SMALL_PART = 0.25  # of the window: what is painted again while marks move


@lru_cache(maxsize=4)
def _corners(width: int, height: int) -> QPainterPath:
    box = QRectF(0, 0, width, height)
    whole, rounded = QPainterPath(), QPainterPath()
    whole.addRect(box)
    rounded.addRoundedRect(box, CORNER, CORNER)
    return whole - rounded


class PictureView(QWidget):
    """`view_changed` comes with every move of the picture, `clicked` with a click on it (frame photo)."""

    view_changed = Signal()
    clicked = Signal(float, float)
    pointed = Signal(float, float)

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setAttribute(Qt.WidgetAttribute.WA_OpaquePaintEvent)
        self.setMouseTracking(True)
        self.setMinimumSize(200, 150)
        self.frame = ViewFrame(1.0, 0.0, 0.0)
        self.pyramid: PicturePyramid | None = None
        self.adjustment = Adjustment()
        self._table = table(self.adjustment)
        self._gesture = Gesture()
        self._still: QPixmap | None = None
        self._fitted = True
        self._rest = QTimer(self, singleShot=True, interval=REST_MS)
        self._rest.timeout.connect(self._rested)

    # what is shown

    def sizeHint(self) -> QSize:
        return QSize(900, 640)

    @property
    def room(self) -> tuple[float, float]:
        return float(self.width()), float(self.height())

    @property
    def view_room(self) -> tuple[float, float]:
        """The room one picture has (half of it where two lie side by side)."""
        return self.room

    @property
    def picture_size(self) -> tuple[float, float] | None:
        """Width and height in picture units; None while there is no picture."""
        return self.pyramid.size if self.pyramid is not None else None

    @property
    def is_moving(self) -> bool:
        return self._rest.isActive()

    def show_picture(self, pyramid: PicturePyramid | None) -> None:
        """Show a photo, or a sharper pyramid of the one that is shown; the view stays where the size is the same."""
        same = self.pyramid is not None and pyramid is not None and self.pyramid.size == pyramid.size
        self.pyramid = pyramid
        if pyramid is not None and (not same or self._fitted):
            self.fit()
        self.update_all()

    def set_adjustment(self, adjustment: Adjustment) -> None:
        """Contrast and brightness of what is shown; nothing is stored."""
        if adjustment != self.adjustment:
            self.adjustment = adjustment
            self._table = table(adjustment)
            self.update_all()

    # zoom and pan

    def fit(self) -> None:
        if self.picture_size is not None:
            self._set_frame(fitted(self.picture_size, self.view_room))
            self._fitted = True

    def fit_on(self, left: float, top: float, right: float, bottom: float) -> None:
        """Show a part of the photo (frame photo) as large as it fits; never larger than a photo px on a screen px."""
        if self.picture_size is None:
            return
        part = fitted((max(right - left, 1.0), max(bottom - top, 1.0)), self.view_room)
        whole = fitted(self.picture_size, self.view_room)
        scale = min(max(part.scale, whole.scale), max(1.0 / self.devicePixelRatioF(), whole.scale))
        frame = ViewFrame(scale, 0, 0).centred_on((left + right) / 2 + 0.5, (top + bottom) / 2 + 0.5, self.view_room)
        self._set_frame(bounded(frame, self.picture_size, self.view_room))
        self._fitted = scale == whole.scale

    def actual_size(self) -> None:
        """One photo px on one screen px, about the middle of the window."""
        self.zoom(1.0 / self.devicePixelRatioF() / self.frame.scale)

    def zoom(self, factor: float, about: tuple[float, float] | None = None) -> None:
        """Scale about a screen point; without one about the middle."""
        self._move_to(self.frame.zoomed(factor, about or (self.view_room[0] / 2, self.view_room[1] / 2)))

    def zoom_in(self) -> None:
        self.zoom(STEP)

    def zoom_out(self) -> None:
        self.zoom(1 / STEP)

    def pan(self, dx: float, dy: float) -> None:
        self._move_to(self.frame.moved(dx, dy))

    def reveal(self, x: float, y: float) -> None:
        """Bring a place of the photo into the window where it is not."""
        frame = revealing(self.frame, self.frame.photo_to_screen(x, y), self.room)
        if frame != self.frame:
            self._move_to(frame)

    def _move_to(self, frame: ViewFrame) -> None:
        if self.picture_size is None:
            return
        frame = bounded(frame, self.picture_size, self.view_room)
        if frame != self.frame:
            self._fitted = False
            self._rest.start()
            self._set_frame(frame)

    def _set_frame(self, frame: ViewFrame) -> None:
        self.frame = frame
        self.on_frame()
        self.update_all()
        self.view_changed.emit()

    def _rested(self) -> None:
        self.on_rest()
        self.update_all()

    def on_frame(self) -> None:
        """The picture lies elsewhere (for canvases that keep screen places)."""

    def on_rest(self) -> None:
        """The picture came to rest."""

    # painting

    def paintEvent(self, event: QPaintEvent) -> None:
        painter = QPainter(self)
        region = event.region()
        self._paint_photo(painter, region)
        self.paint_over(painter, QRectF(region.boundingRect()))
        self._paint_corners(painter, region)
        painter.end()

    def paint_part(self, painter: QPainter, box: QRect) -> None:
        """Paint the part in `box` (frame screen) with its corner at the painter's origin."""
        painter.save()
        painter.translate(-box.topLeft())
        painter.setClipRect(box)
        self._paint_photo(painter, QRegion(box))
        self.paint_over(painter, QRectF(box))
        painter.restore()

    def update_all(self) -> None:
        """Paint everything again, what lies over it too."""
        self._still = None
        self.update()

    def paint_over(self, painter: QPainter, clip: QRectF) -> None:
        """What lies over the photo; `clip` is the part that is painted again."""

    def _paint_photo(self, painter: QPainter, region: QRegion) -> None:
        box = region.boundingRect()
        if self.pyramid is None:
            painter.fillRect(box, theme().colour("mat"))
        elif self.is_moving or box.width() * box.height() > SMALL_PART * self.width() * self.height():
            self._paint_fresh(painter, region)
        else:
            ratio = self.devicePixelRatioF()
            part = QRectF(box.x() * ratio, box.y() * ratio, box.width() * ratio, box.height() * ratio)
            painter.drawPixmap(QRectF(box), self._still_picture(), part)

    def _still_picture(self) -> QPixmap:
        """The photo at rest as the window shows it, kept until the view changes: a mark that moves costs a blit."""
        if self._still is None:
            ratio = self.devicePixelRatioF()
            self._still = QPixmap(round(self.width() * ratio), round(self.height() * ratio))
            self._still.setDevicePixelRatio(ratio)
            painter = QPainter(self._still)
            self._paint_fresh(painter, QRegion(self.rect()))
            painter.end()
        return self._still

    def _paint_fresh(self, painter: QPainter, region: QRegion) -> None:
        assert self.pyramid is not None
        if self.adjustment.plain:
            self.pyramid.paint(painter, self.frame, smooth=not self.is_moving)
        else:
            self._paint_adjusted(painter, region.boundingRect())
        inside = self._photo_box()
        if not inside.contains(region.boundingRect()):
            for box in region.subtracted(QRegion(inside)):  # type: ignore[attr-defined]
                painter.fillRect(box, theme().colour("mat"))

    def _photo_box(self) -> QRect:
        """The whole screen px that the photo covers; px it covers in part belong to the mat."""
        assert self.pyramid is not None
        left, top = math.ceil(self.frame.left), math.ceil(self.frame.top)
        right, bottom = self.frame.to_screen(*self.pyramid.size)
        return QRect(left, top, math.floor(right) - left, math.floor(bottom) - top)

    def _paint_adjusted(self, painter: QPainter, box: QRect) -> None:
        """The part in `box` painted aside, its bytes sent through the table, then shown."""
        assert self.pyramid is not None
        ratio = self.devicePixelRatioF()
        aside = QImage(round(box.width() * ratio), round(box.height() * ratio), QImage.Format.Format_RGB32)
        aside.setDevicePixelRatio(ratio)
        inner = QPainter(aside)
        inner.translate(-box.topLeft())
        self.pyramid.paint(inner, self.frame, smooth=not self.is_moving)
        inner.end()
        changed = bytes(aside.constBits()).translate(self._table)
        image = QImage(changed, aside.width(), aside.height(), aside.bytesPerLine(), QImage.Format.Format_ARGB32)
        opaque = image.convertToFormat(QImage.Format.Format_RGB32)  # the fourth byte went through the table too
        opaque.setDevicePixelRatio(ratio)
        painter.drawImage(box.topLeft(), opaque)

    def _paint_corners(self, painter: QPainter, region: QRegion) -> None:
        box = region.boundingRect()
        if box.left() > CORNER and box.right() < self.width() - CORNER:
            return
        if box.top() > CORNER and box.bottom() < self.height() - CORNER:
            return
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        painter.fillPath(_corners(self.width(), self.height()), theme().colour("paper"))

    # hands

    def resizeEvent(self, event: QResizeEvent) -> None:
        if self._fitted:
            self.fit()
        elif event.oldSize().isValid():  # the middle of the picture stays in the middle
            dx, dy = (self.width() - event.oldSize().width()) / 2, (self.height() - event.oldSize().height()) / 2
            self._set_frame(self.frame.moved(dx, dy))

    def wheelEvent(self, event: QWheelEvent) -> None:
        """Two fingers pan; with Ctrl, or on a wheel with notches, the picture is scaled about the pointer."""
        pixels, angle = event.pixelDelta(), event.angleDelta()
        touch = event.device() is not None and event.device().type() == QInputDevice.DeviceType.TouchPad
        if event.modifiers() & Qt.KeyboardModifier.ControlModifier:
            amount = angle.y() or pixels.y() * 2
            self.zoom(STEP ** (amount / 120), event.position().toTuple())
        elif touch or not pixels.isNull() or angle.y() % 120 or angle.x() % 120:
            delta = pixels if not pixels.isNull() else angle / 2
            self.pan(delta.x(), delta.y())
        else:
            self.zoom(STEP ** (angle.y() / 120), event.position().toTuple())
        event.accept()

    def event(self, event: QEvent) -> bool:
        if isinstance(event, QNativeGestureEvent) and event.gestureType() == Qt.NativeGestureType.ZoomNativeGesture:
            self.zoom(1 + event.value(), event.position().toTuple())
            return True
        return super().event(event)

    def mousePressEvent(self, event: QMouseEvent) -> None:
        if event.button() in (Qt.MouseButton.LeftButton, Qt.MouseButton.MiddleButton):
            self._gesture = pressed(self._gesture, {}, event.position().toTuple(), placing=False)

    def mouseMoveEvent(self, event: QMouseEvent) -> None:
        before = self._gesture
        self._gesture, outcome = moved(before, event.position().toTuple())
        if outcome is Outcome.PICTURE_MOVES:
            self.pan(self._gesture.last[0] - before.last[0], self._gesture.last[1] - before.last[1])
        self.pointed.emit(*self.frame.screen_to_photo(*event.position().toTuple()))

    def mouseReleaseEvent(self, event: QMouseEvent) -> None:
        at = event.position().toTuple()
        self._gesture, outcome = released(self._gesture, at)
        self._gesture = Gesture()
        if outcome is Outcome.CLICK:
            self.clicked.emit(*self.frame.screen_to_photo(*at))

    def screen_point(self, x: float, y: float) -> QPointF:
        """Screen place of a point in frame photo."""
        return QPointF(*self.frame.photo_to_screen(x, y))
