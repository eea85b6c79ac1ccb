"""Two photos at one millimetre scale: curtain, side by side, fade, flip.

Each photo is warped once to the window and kept; while the curtain or the fade moves, a frame is two blits, and the
curtain paints only the strip between its old and its new place.
"""

from __future__ import annotations

from PySide6.QtCore import QPointF, QRect, QRectF, Qt, Signal
from PySide6.QtGui import QMouseEvent, QPainter, QPaintEvent, QPen, QPixmap, QRegion, QResizeEvent
from PySide6.QtWidgets import QWidget

from hoofbook.desktop.canvas.grip import Gesture, Hold, Outcome, moved, pressed, released
from hoofbook.desktop.canvas.picture_view import PictureView
from hoofbook.desktop.canvas.pyramid import PicturePyramid
from hoofbook.desktop.look import theme
from hoofbook.desktop.then_and_now import plates
from hoofbook.desktop.then_and_now.laid_painter import Lie, Looking, PairPhoto, over_photos, paint_laid, said_over
from hoofbook.desktop.then_and_now.pair_view import Way, Window, strip_between
from hoofbook.wording import bench_labels as words

HANDLE = 22.0  # radius of the round handle of the curtain
REACH = 26
MARGIN = 14.0
GAP = 10.0  # mat between two photos that lie side by side


__all__ = ["PairCanvas", "PairPhoto"]


class PairCanvas(PictureView):
    """`amount_changed` says where the curtain stands or how much of now is shown (0 to 1)."""

    amount_changed = Signal(float)

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.way = Way.CURTAIN
        self.amount = 0.5
        self.shows_now = True
        self.extent = Window(0, 0, 1, 1)
        self.banner = ""
        self.scale_bar_mm = 0.0
        self.looking = Looking()
        self.bar_box = QRect()  # where the bar with the buttons lies: no scale bar under it
        self.pair: tuple[PairPhoto, PairPhoto] | None = None
        self.pyramids: list[PicturePyramid | None] = [None, None]
        self._warped: list[QPixmap] = []

    # what is shown

    @property
    def picture_size(self) -> tuple[float, float] | None:
        return self.extent.size if self.pair is not None else None

    @property
    def view_room(self) -> tuple[float, float]:
        wide, high = self.room
        return (wide / 2, high) if self.way is Way.SIDE_BY_SIDE else (wide, high)

    def show_pair(
        self, then: PairPhoto, now: PairPhoto, window: Window, *, banner: str, scale_bar_mm: float, keep_view: bool
    ) -> None:
        """Show two photos; `keep_view` leaves zoom and place where they are (another visit of the same foot)."""
        self.pair, self.extent = (then, now), window
        self.banner, self.scale_bar_mm = banner, scale_bar_mm
        if not keep_view:
            self.fit()
        self.update_all()

    def show_pyramid(self, side: int, pyramid: PicturePyramid | None) -> None:
        """A photo arrived, or a sharper one of it: 0 = then, 1 = now."""
        self.pyramids[side] = pyramid
        self.update_all()

    def set_way(self, way: Way) -> None:
        """Another way to show the pair; the middle of the view stays in the middle."""
        if way is self.way:
            return
        u, v = self.frame.to_picture(self.view_room[0] / 2, self.view_room[1] / 2)
        fitted = self._fitted
        self.way = way
        if fitted:
            self.fit()
        else:
            self._set_frame(self.frame.centred_on(u, v, self.view_room))
        self.update_all()

    def set_amount(self, amount: float) -> None:
        """Move the curtain or the fade; only what changes is painted again."""
        amount = min(max(amount, 0.0), 1.0)
        if amount == self.amount:
            return
        before, self.amount = self.amount, amount
        if self.way is Way.CURTAIN:
            wide = self.width()
            self.update(QRect(*strip_between(before * wide, amount * wide, self.height(), REACH)))
        elif self.way is Way.FADE:
            self.update()
        self.amount_changed.emit(amount)

    def flip(self) -> None:
        """Show the other one of the two."""
        self.shows_now = not self.shows_now
        self.update()

    def set_looking(self, looking: Looking) -> None:
        """What lies over the photos; nothing is stored."""
        if looking != self.looking:
            self.looking = looking
            self.update_all()

    def update_all(self) -> None:
        """Warp both photos anew."""
        self._warped = []
        self.update()

    def on_frame(self) -> None:
        self._warped = []

    # painting

    def paintEvent(self, event: QPaintEvent) -> None:
        if len(self._warped) != 2:
            self._warped = [self._warp(side) for side in (0, 1)]
        painter = QPainter(self)
        self._paint_ways(painter, event.rect())
        painter.end()

    def _paint_ways(self, painter: QPainter, clip: QRect) -> None:
        then, now = self._warped
        if self.way is Way.FADE:
            self._blit(painter, then, clip)
            painter.setOpacity(self.amount)
            self._blit(painter, now, clip)
            painter.setOpacity(1.0)
        elif self.way is Way.FLIP:
            self._blit(painter, now if self.shows_now else then, clip)
        elif self.way is Way.SIDE_BY_SIDE:
            half = self.width() // 2
            self._blit(painter, then, clip.intersected(QRect(0, 0, half, self.height())))
            painter.drawPixmap(half, 0, now)
            top = self._banner_height()
            painter.fillRect(QRectF(half - GAP / 2, top, GAP, self.height() - top), theme().colour("mat"))
        else:
            edge = round(self.amount * self.width())
            self._blit(painter, then, clip.intersected(QRect(0, 0, edge, self.height())))
            self._blit(painter, now, clip.intersected(QRect(edge, 0, self.width() - edge, self.height())))
            self._paint_handle(painter, self.amount * self.width())

    def _blit(self, painter: QPainter, picture: QPixmap, part: QRect) -> None:
        if part.isEmpty():
            return
        ratio = picture.devicePixelRatio()
        source = QRectF(part.x() * ratio, part.y() * ratio, part.width() * ratio, part.height() * ratio)
        painter.drawPixmap(QRectF(part), picture, source)

    def _warp(self, side: int) -> QPixmap:
        """One photo as it lies in the window, with its drawing."""
        ratio = self.devicePixelRatioF()
        wide = self.view_room[0] if self.way is not Way.SIDE_BY_SIDE else self.width() - self.width() // 2
        picture = QPixmap(round(wide * ratio), round(self.height() * ratio))
        picture.setDevicePixelRatio(ratio)
        picture.fill(theme().colour("mat"))
        painter = QPainter(picture)
        if self.pair is not None:
            self._paint_photo_of(side, painter, QRectF(0, 0, wide, self.height()))
            self._paint_burnt(side, painter)
        if side == 1 and self.way is Way.SIDE_BY_SIDE:
            painter.translate(-(self.width() // 2), 0)
        self._paint_corners(painter, QRegion(self.rect()))
        painter.end()
        return picture

    def _paint_photo_of(self, side: int, painter: QPainter, box: QRectF) -> None:
        """One photo under its similarity, and what lies over it."""
        assert self.pair is not None
        pyramid = self.pyramids[side]
        if pyramid is not None:
            lie = Lie(self.extent, self.frame, box, not self.is_moving)
            paint_laid(painter, self.pair[side], pyramid, over_photos(self.pair, self.looking)[side], lie)

    def plate_lines(self, side: int) -> tuple[str, ...]:
        """What stands on the plate of a photo: its caption, and what lies over it."""
        assert self.pair is not None
        return self.pair[side].lines + said_over(over_photos(self.pair, self.looking)[side], self.pair[0])

    def _paint_handle(self, painter: QPainter, x: float) -> None:
        look = theme()
        for token, width in (("veil", 5), ("ring_edge", 3)):  # filled: a stroked line costs twenty times as much
            top = round(self._banner_height())
            painter.fillRect(QRect(round(x) - width // 2, top, width, self.height() - top), look.colour(token))
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        middle = self.height() / 2
        focused = self.hasFocus()
        painter.setPen(QPen(look.colour("leather" if focused else "line"), 3.0 if focused else 1.0))
        painter.setBrush(look.colour("ring_edge"))
        painter.drawEllipse(QPointF(x, middle), HANDLE, HANDLE)
        painter.setPen(QPen(look.colour("veil"), 2.4, Qt.PenStyle.SolidLine, Qt.PenCapStyle.RoundCap))
        for way in (-1, 1):
            tip = x + way * 11
            painter.drawPolyline(
                [QPointF(tip - way * 6, middle - 6), QPointF(tip, middle), QPointF(tip - way * 6, middle + 6)]
            )

    def _banner_height(self) -> float:
        """Room of the banner, over which nothing lies."""
        if not self.banner:
            return 0.0
        return plates.height_of(plates.banner(self.banner, self.width(), theme(), self.devicePixelRatioF()))

    def _paint_burnt(self, side: int, painter: QPainter) -> None:
        """Plates, banner and scale bar, part of each warped photo: always there, in every way of showing.

        Curtain and fade show both plates, so both photos carry both and a frame needs no more than its two blits.
        """
        assert self.pair is not None
        look, ratio, wide = theme(), self.devicePixelRatioF(), float(self.width())
        beside, top = self.way is Way.SIDE_BY_SIDE, MARGIN
        if self.banner:
            picture = plates.banner(self.banner, self.width(), look, ratio)
            painter.drawPixmap(QPointF(-(self.width() // 2) if beside and side else 0, 0), picture)
            top += plates.height_of(picture)
        room = int(wide / 2 - 2 * MARGIN)
        if beside or self.way is Way.FLIP:
            own = plates.plate(self.plate_lines(side), room, look, ratio)
            painter.drawPixmap(QPointF(MARGIN + (GAP / 2 if beside and side else 0), top), own)
        else:
            then = plates.plate(self.plate_lines(0), room, look, ratio)
            now = plates.plate(self.plate_lines(1), room, look, ratio, right=True)
            painter.drawPixmap(QPointF(MARGIN, top), then)
            painter.drawPixmap(QPointF(wide - MARGIN - plates.width_of(now), top), now)
        if self.scale_bar_mm:
            said = words.SCALE_BAR.format(mm=self.scale_bar_mm)
            bar = plates.scale_bar(self.scale_bar_mm * self.frame.scale, said, look, ratio)
            right = self.width() // 2 - (0 if side else GAP / 2) if beside else wide
            corner = QPointF(right - MARGIN - plates.width_of(bar), self.height() - MARGIN - plates.height_of(bar))
            box = QRectF(corner, bar.deviceIndependentSize())
            shift = self.width() // 2 if beside and side else 0
            painter.drawPixmap(plates.beside_bar(box, QRectF(self.bar_box).translated(-shift, 0)), bar)

    # hands

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        self.update_all()

    def mousePressEvent(self, event: QMouseEvent) -> None:
        self.setFocus(Qt.FocusReason.MouseFocusReason)
        if event.button() is Qt.MouseButton.LeftButton:
            at = event.position().toTuple()
            points = {"curtain": (self.amount * self.width(), at[1])} if self.way is Way.CURTAIN else {}
            self._gesture = pressed(self._gesture, points, at, placing=False)
        else:
            super().mousePressEvent(event)

    def mouseMoveEvent(self, event: QMouseEvent) -> None:
        before, at = self._gesture, event.position().toTuple()
        self._gesture, outcome = moved(before, at)
        if outcome is Outcome.MARK_MOVES:
            self.set_amount(self._gesture.at[0] / self.width())
        elif outcome is Outcome.PICTURE_MOVES:
            self.pan(self._gesture.last[0] - before.last[0], self._gesture.last[1] - before.last[1])
        near = self.way is Way.CURTAIN and abs(at[0] - self.amount * self.width()) < HANDLE
        held = self._gesture.hold in (Hold.DRAGGED_MARK, Hold.CARRIED)
        self.setCursor(Qt.CursorShape.SplitHCursor if near or held else Qt.CursorShape.OpenHandCursor)

    def mouseReleaseEvent(self, event: QMouseEvent) -> None:
        gesture, outcome = released(self._gesture, event.position().toTuple())
        self._gesture = gesture if outcome is Outcome.PICK else Gesture()
        if outcome is Outcome.MARK_PUT:
            self.set_amount(gesture.at[0] / self.width())

    def wheel_about(self, x: float, y: float) -> tuple[float, float]:
        """Where a zoom at this place of the window is about: the same place of either half."""
        return (x % (self.width() / 2), y) if self.way is Way.SIDE_BY_SIDE else (x, y)

    def zoom(self, factor: float, about: tuple[float, float] | None = None) -> None:
        super().zoom(factor, self.wheel_about(*about) if about is not None else None)
