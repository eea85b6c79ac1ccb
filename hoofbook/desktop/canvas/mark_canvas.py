"""The photo with its marks: shows a frozen `Marking` and says what a hand did; it never changes the marking itself."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from PySide6.QtCore import QEvent, QPointF, QRect, QRectF, Qt, QTimer, Signal
from PySide6.QtGui import QMouseEvent, QPainter, QPixmap, QRegion, QResizeEvent
from PySide6.QtWidgets import QWidget

from hoofbook.desktop.canvas.drawing_painter import (
    Stroke,
    drawing_region,
    paint_strokes,
    strokes_of,
    words_picture,
    words_size,
)
from hoofbook.desktop.canvas.glass import loupe_scale
from hoofbook.desktop.canvas.grip import Gesture, Outcome, mark_at, moved, place_names, pressed, released
from hoofbook.desktop.canvas.guide_line import GuideLine, Points
from hoofbook.desktop.canvas.loupe import Loupe
from hoofbook.desktop.canvas.picture_view import PictureView
from hoofbook.desktop.canvas.pyramid import PicturePyramid
from hoofbook.desktop.canvas.rings import crosshair_box, paint_crosshair, paint_ring, ring_box
from hoofbook.desktop.look import theme
from hoofbook.terms.drawing import Drawing
from hoofbook.terms.marks import Mark, Marking, MarkState

LOUPE_MS = 33  # while a mark is on its way the loupe follows thirty times a second, the ring at every move
JUMP = 0.1  # of the window: a crosshair step with Ctrl


@dataclass(frozen=True, slots=True, eq=False)
class Beside:
    """A name beside its ring: offset of its corner from the ring's centre, size, and its picture."""

    dx: float
    dy: float
    wide: float
    high: float
    picture: QPixmap


class MarkCanvas(PictureView):
    """`picked(name)`, `mark_moves(name, x, y)` while held, `mark_put(name, x, y)` once at the end (frame photo)."""

    picked = Signal(str)
    mark_moves = Signal(str, float, float)
    mark_put = Signal(str, float, float)

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.marking = Marking()
        self.current = ""
        self.placing = False
        self.drawing: Drawing | None = None
        self.crosshair: tuple[float, float] | None = None
        self.guide = GuideLine()
        self.loupe = Loupe(self, self.paint_part)
        self.loupe.move(16, 16)
        self.loupe.hide()
        self._loupe_on = True
        self._labels: Mapping[str, str] = {}
        self._points: dict[str, tuple[float, float]] = {}
        self._names: dict[str, Beside] = {}
        self._strokes: tuple[Stroke, ...] = ()
        self._pace = QTimer(self, singleShot=True, interval=LOUPE_MS)
        self._pace.timeout.connect(self._look_where_held)

    # what is shown

    def set_marks(self, marking: Marking, labels: Mapping[str, str], current: str, *, placing: bool) -> None:
        """Show these marks; names are shown for `labels`, in bold for the current one. `placing`: a click places."""
        self.update(self._marks_region())
        self.marking, self._labels, self.current, self.placing = marking, labels, current, placing
        if not placing:
            self.set_crosshair(None)
        self._measure_places()
        self.update(self._marks_region())
        self.loupe.lie_anew()
        self.setCursor(Qt.CursorShape.CrossCursor if placing else Qt.CursorShape.ArrowCursor)
        self._look()

    def set_drawing(self, drawing: Drawing | None) -> None:
        if drawing != self.drawing:
            self.update(drawing_region(self.drawing, self.frame, theme()))
            self.drawing = drawing
            self._strokes = strokes_of(drawing, self.frame, theme())
            self.update(drawing_region(self.drawing, self.frame, theme()))
            self.loupe.lie_anew()

    def set_guide(self, points: Points) -> None:
        """Show the thin line (frame photo) on which the mark that waits must lie; without points none."""
        if tuple(points) != self.guide.points:
            before = self.guide.box
            self.guide.lay(points, self.frame)
            self.update(before)
            self.update(self.guide.box)
            self.loupe.lie_anew()

    def show_picture(self, pyramid: PicturePyramid | None) -> None:
        super().show_picture(pyramid)
        self._look()

    def set_loupe(self, on: bool) -> None:
        self._loupe_on = on
        self._look()

    @property
    def loupe_on(self) -> bool:
        return self._loupe_on

    def set_crosshair(self, at: tuple[float, float] | None) -> None:
        """Show the crosshair that the keyboard moves (frame photo), or hide it."""
        for place in (self.crosshair, at):
            if place is not None:
                self.update(crosshair_box(*self.frame.photo_to_screen(*place)).toAlignedRect())
        self.crosshair = at
        if at is not None:
            self.reveal(*at)
        self._look()

    def start_crosshair(self) -> tuple[float, float]:
        """The crosshair where it is, or newly in the middle of what is seen of the photo."""
        if self.crosshair is None:
            x, y = self.frame.screen_to_photo(self.room[0] / 2, self.room[1] / 2)
            self.set_crosshair((float(round(x)), float(round(y))))
        assert self.crosshair is not None
        return self.crosshair

    def jump(self) -> float:
        """Photo px of a step by a tenth of the window."""
        return max(1.0, round(JUMP * min(self.room) / self.frame.scale))

    # painting

    def paint_over(self, painter: QPainter, clip: QRectF) -> None:
        paint_strokes(painter, self._strokes, clip)
        self.guide.paint(painter)
        left, top, right, bottom = clip.left() - 20, clip.top() - 20, clip.right() + 20, clip.bottom() + 20
        for name, at in self._points.items():
            if left < at[0] < right and top < at[1] < bottom:
                paint_ring(painter, self._mark(name), at, current=name == self.current)
        for name, beside in self._names.items():
            x, y = self._points[name][0] + beside.dx, self._points[name][1] + beside.dy
            if (
                x < clip.right()
                and y < clip.bottom()
                and x + beside.wide > clip.left()
                and y + beside.high > clip.top()
            ):
                painter.drawPixmap(QPointF(x, y), beside.picture)
        if self.crosshair is not None:
            painter.setRenderHint(QPainter.RenderHint.Antialiasing)
            paint_crosshair(painter, self.frame.photo_to_screen(*self.crosshair))

    def _mark(self, name: str) -> Mark:
        return self.marking.marks[name]

    def _name_of(self, name: str, corner: tuple[float, float]) -> Beside:
        words, bold, pixels = self._labels[name], name == self.current, theme().small
        x, y = self._points[name]
        wide, high = words_size(words, pixels, bold=bold)
        picture = words_picture(words, pixels, self.devicePixelRatioF(), bold=bold)
        return Beside(corner[0] - x, corner[1] - y, wide, high, picture)

    def _box_of(self, name: str) -> QRect:
        """One box round the ring and its name."""
        x, y = self._points[name]
        box = ring_box(x, y)
        beside = self._names.get(name)
        if beside is not None:
            box = box.united(QRectF(x + beside.dx, y + beside.dy, beside.wide, beside.high))
        return box.toAlignedRect()

    def _region_of(self, name: str) -> QRegion:
        x, y = self._points[name]
        region = QRegion(ring_box(x, y).toAlignedRect())
        beside = self._names.get(name)
        if beside is not None:
            region += QRectF(x + beside.dx, y + beside.dy, beside.wide, beside.high).toAlignedRect()
        return region

    def _marks_region(self) -> QRegion:
        region = QRegion()
        for name in self._points:
            region += self._region_of(name)
        return region

    def _measure_places(self) -> None:
        """Screen places of rings, and sides for the names."""
        self._points = {
            name: self.frame.photo_to_screen(mark.x, mark.y)
            for name, mark in self.marking.marks.items()
            if mark.state is not MarkState.UNSEEN
        }
        if self._gesture.holds_mark and self._gesture.name in self._points:
            self._points[self._gesture.name] = self._gesture.at
        if (self._gesture.holds_mark or self.is_moving) and self._names:
            self._names = {name: beside for name, beside in self._names.items() if name in self._points}
            return  # names keep their sides until all is at rest
        named = [name for name in self._points if name in self._labels]
        named.sort(key=lambda name: name != self.current)
        sizes = {name: words_size(self._labels[name], theme().small, bold=name == self.current) for name in named}
        corners = place_names(self._points, sizes, self.room)
        self._names = {name: self._name_of(name, corner) for name, corner in corners.items()}

    def update_all(self) -> None:
        super().update_all()
        if not self.is_moving:
            self.loupe.lie_anew()
        elif not self._pace.isActive():  # the corners beside the circle follow a pan thirty times a second
            self._pace.start()

    def on_frame(self) -> None:
        self._strokes = strokes_of(self.drawing, self.frame, theme())
        self.guide.follow(self.frame)
        self._measure_places()
        self._look()

    def on_rest(self) -> None:
        self._measure_places()
        self._look()

    def _look(self) -> None:
        """Point the loupe at what matters: the held mark, the crosshair, or the current mark."""
        at: tuple[float, float] | None = None
        if self._gesture.holds_mark:
            at = self.frame.screen_to_photo(*self._gesture.at)
        elif self.crosshair is not None:
            at = self.crosshair
        elif self.current in self._points:
            at = (self._mark(self.current).x, self._mark(self.current).y)
        elif self.placing and self.underMouse():
            at = self.frame.screen_to_photo(*self.mapFromGlobal(self.cursor().pos()).toTuple())
        shown = self._loupe_on and self.pyramid is not None and (at is not None or self.placing)
        self.loupe.setVisible(shown)
        if self.is_moving and self._pace.isActive():
            return  # the next beat looks again
        if shown and at is not None:
            self.loupe.step_aside(self.frame.photo_to_screen(*at))
        if shown:
            at = at or self.frame.screen_to_photo(self.room[0] / 2, self.room[1] / 2)
            smooth = not self.is_moving
            self.loupe.look_at(self.pyramid, at, loupe_scale(self.frame.scale), theme().colour("mat"), smooth=smooth)

    # hands

    def changeEvent(self, event: QEvent) -> None:
        super().changeEvent(event)
        if event.type() is QEvent.Type.StyleChange:
            self.on_frame()
            self.update_all()

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        self.loupe.keep_inside()

    def mousePressEvent(self, event: QMouseEvent) -> None:
        self.setFocus(Qt.FocusReason.MouseFocusReason)
        if event.button() is Qt.MouseButton.MiddleButton:
            super().mousePressEvent(event)
        elif event.button() is Qt.MouseButton.LeftButton:
            at = event.position().toTuple()
            self._gesture = pressed(self._gesture, self._points, at, placing=self.placing, first=self.current)

    def mouseMoveEvent(self, event: QMouseEvent) -> None:
        before, at = self._gesture, event.position().toTuple()
        self._gesture, outcome = moved(before, at)
        if outcome is Outcome.PICTURE_MOVES:
            self.pan(self._gesture.last[0] - before.last[0], self._gesture.last[1] - before.last[1])
        elif outcome is Outcome.MARK_MOVES:
            self._follow(self._gesture)
        else:
            self._hover(at)

    def mouseReleaseEvent(self, event: QMouseEvent) -> None:
        at = event.position().toTuple()
        gesture, outcome = released(self._gesture, at)
        if outcome is Outcome.PICK:
            self._gesture = gesture
            self.picked.emit(gesture.name)
            return
        self._gesture = Gesture()
        if outcome is Outcome.MARK_PUT:
            self.mark_put.emit(gesture.name, *self.frame.screen_to_photo(*gesture.at))
        elif outcome is Outcome.CLICK:
            self.set_crosshair(None)
            self.clicked.emit(*self.frame.screen_to_photo(*at))

    def let_go(self) -> bool:
        """Put a held mark back where it was; True if one was held."""
        held = self._gesture.holds_mark
        before = {name: self._box_of(name) for name in self._points}
        self._gesture = Gesture()
        if held:
            self._measure_places()
            for name in self._points:
                box = self._box_of(name)
                if before.get(name) != box:
                    self.update(box)
                    self.update(before.get(name, box))
            self._look()
        return held

    def _follow(self, gesture: Gesture) -> None:
        """Paint again only where the held mark was and is."""
        if gesture.name not in self._points:
            self._gesture = Gesture()
            return
        before = self._box_of(gesture.name)
        self._points[gesture.name] = gesture.at
        after = self._box_of(gesture.name)
        if before.intersects(after):  # one box is painted faster than a region of four
            self.update(before.united(after))
        else:
            self.update(before)
            self.update(after)
        if not self._pace.isActive():
            self._look_where_held()
            self._pace.start()
        self.mark_moves.emit(gesture.name, *self.frame.screen_to_photo(*gesture.at))

    def _look_where_held(self) -> None:
        if self.is_moving and not self._gesture.holds_mark:
            self._look()
            self.loupe.lie_anew()
        if self._gesture.holds_mark and self.loupe.isVisible():
            photo = self.frame.screen_to_photo(*self._gesture.at)
            scale = loupe_scale(self.frame.scale)
            self.loupe.look_at(self.pyramid, photo, scale, theme().colour("mat"), smooth=False)

    def _hover(self, at: tuple[float, float]) -> None:
        name = mark_at(self._points, *at, first=self.current)
        if not self.placing:
            self.setCursor(Qt.CursorShape.PointingHandCursor if name else Qt.CursorShape.OpenHandCursor)
        if self.placing and self.crosshair is None and self.loupe.isVisible():
            photo = self.frame.screen_to_photo(*at)
            self.loupe.look_at(self.pyramid, photo, loupe_scale(self.frame.scale), theme().colour("mat"))
        self.pointed.emit(*self.frame.screen_to_photo(*at))
