"""The photo with its hidden parts as boxes: drawn, chosen, moved."""

from __future__ import annotations

from PySide6.QtCore import QPointF, QRectF, Qt, Signal
from PySide6.QtGui import QKeyEvent, QMouseEvent, QPainter, QPen

from hoofbook.desktop.canvas.picture_view import PictureView
from hoofbook.desktop.look import theme
from hoofbook.terms.subjects import CoverBox
from hoofbook.wording import hidden_parts as words

SLACK = 6.0  # px of a click's trembling
FIRST_BOX: CoverBox = (0.4, 0.4, 0.6, 0.6)
STEP = 0.01  # of a side, per press of an arrow
_ARROWS = {
    Qt.Key.Key_Left: (-STEP, 0.0),
    Qt.Key.Key_Right: (STEP, 0.0),
    Qt.Key.Key_Up: (0.0, -STEP),
    Qt.Key.Key_Down: (0.0, STEP),
}


class HideCanvas(PictureView):
    """`drawn(box)`, `changed(index, box)` and `removed(index)` say what the person did; `boxes` come from the place.

    A box is drawn by a drag, or by a click on one corner and a click on the other. A click on a box chooses it.
    """

    drawn = Signal(tuple)
    changed = Signal(int, tuple)
    removed = Signal(int)
    chosen_changed = Signal()

    def __init__(self) -> None:
        super().__init__()
        self.boxes: tuple[CoverBox, ...] = ()
        self.chosen = -1
        self._corner: tuple[float, float] | None = None
        self._pointer = (0.0, 0.0)
        self._pressed_at: tuple[float, float] | None = None
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setCursor(Qt.CursorShape.CrossCursor)
        self.setAccessibleName(words.CANVAS)

    def show_boxes(self, boxes: tuple[CoverBox, ...]) -> None:
        self.boxes = boxes
        self.choose(min(self.chosen, len(boxes) - 1))
        self.update_all()

    def choose(self, index: int) -> None:
        self.chosen = index
        name = words.BOX.format(number=index + 1, count=len(self.boxes)) if index >= 0 else words.CANVAS
        self.setAccessibleName(name)
        self.chosen_changed.emit()
        self.update_all()

    # hands

    def mousePressEvent(self, event: QMouseEvent) -> None:
        at = event.position().toTuple()
        if event.button() is not Qt.MouseButton.LeftButton:
            super().mousePressEvent(event)
            return
        self._pressed_at = at
        if self._corner is None:
            self._corner = self._share(at)
        self._pointer = at

    def mouseMoveEvent(self, event: QMouseEvent) -> None:
        self._pointer = event.position().toTuple()
        if self._corner is not None:
            self.update_all()
        elif self._pressed_at is None:
            super().mouseMoveEvent(event)

    def mouseReleaseEvent(self, event: QMouseEvent) -> None:
        if event.button() is not Qt.MouseButton.LeftButton or self._pressed_at is None or self._corner is None:
            super().mouseReleaseEvent(event)
            return
        at = event.position().toTuple()
        still = abs(at[0] - self._pressed_at[0]) <= SLACK and abs(at[1] - self._pressed_at[1]) <= SLACK
        self._pressed_at = None
        first = self._corner == self._share(at) or self._near(self._corner, at)
        if still and first:
            hit = self._box_at(at)
            if hit >= 0:
                self._corner = None
                self.choose(hit)
            return  # the other corner comes with the next click
        corner, self._corner = self._corner, None
        self.drawn.emit((*corner, *self._share(at)))

    def keyPressEvent(self, event: QKeyEvent) -> None:
        key = Qt.Key(event.key())
        if key is Qt.Key.Key_Escape and self._corner is not None:
            self._corner = None
            self.update_all()
        elif key in _ARROWS and self.chosen >= 0:
            self._move(_ARROWS[key], size=bool(event.modifiers() & Qt.KeyboardModifier.ShiftModifier))
        elif key in (Qt.Key.Key_Delete, Qt.Key.Key_Backspace) and self.chosen >= 0:
            self.removed.emit(self.chosen)
        else:
            super().keyPressEvent(event)

    def focusNextPrevChild(self, forward: bool) -> bool:
        """Tab goes from box to box before it leaves the photo."""
        after = self.chosen + (1 if forward else -1)
        if self.hasFocus() and 0 <= after < len(self.boxes):
            self.choose(after)
            return True
        return super().focusNextPrevChild(forward)

    def _move(self, by: tuple[float, float], *, size: bool) -> None:
        left, top, right, low = self.boxes[self.chosen]
        dx, dy = by
        if size:
            box = (left, top, min(1.0, max(left + STEP, right + dx)), min(1.0, max(top + STEP, low + dy)))
        else:
            dx, dy = min(max(dx, -left), 1.0 - right), min(max(dy, -top), 1.0 - low)
            box = (left + dx, top + dy, right + dx, low + dy)
        if box != self.boxes[self.chosen]:
            self.changed.emit(self.chosen, box)

    # places

    def _share(self, at: tuple[float, float]) -> tuple[float, float]:
        """A screen place as shares of the photo, kept inside it."""
        if self.picture_size is None:
            return 0.0, 0.0
        u, v = self.frame.to_picture(*at)
        return min(1.0, max(0.0, u / self.picture_size[0])), min(1.0, max(0.0, v / self.picture_size[1]))

    def _near(self, corner: tuple[float, float], at: tuple[float, float]) -> bool:
        x, y = self._screen(corner)
        return abs(x - at[0]) <= SLACK and abs(y - at[1]) <= SLACK

    def _screen(self, share: tuple[float, float]) -> tuple[float, float]:
        size = self.picture_size or (1.0, 1.0)
        return self.frame.to_screen(share[0] * size[0], share[1] * size[1])

    def _rect(self, box: CoverBox) -> QRectF:
        return QRectF(QPointF(*self._screen((box[0], box[1]))), QPointF(*self._screen((box[2], box[3])))).normalized()

    def _box_at(self, at: tuple[float, float]) -> int:
        hits = [index for index, box in enumerate(self.boxes) if self._rect(box).contains(QPointF(*at))]
        return hits[-1] if hits else -1

    # painting

    def paint_over(self, painter: QPainter, clip: QRectF) -> None:
        look = theme()
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        for index, box in enumerate(self.boxes):
            painter.setBrush(look.colour("mat"))
            chosen = index == self.chosen
            painter.setPen(QPen(look.colour("ring_edge"), 4 if chosen else 2))
            painter.drawRect(self._rect(box))
            if chosen:
                painter.setBrush(Qt.BrushStyle.NoBrush)
                painter.setPen(QPen(look.colour("leather"), 2))
                painter.drawRect(self._rect(box).adjusted(-3, -3, 3, 3))
        if self._corner is not None:
            painter.setBrush(Qt.BrushStyle.NoBrush)
            painter.setPen(QPen(look.colour("ring_edge"), 2, Qt.PenStyle.DashLine))
            painter.drawRect(QRectF(QPointF(*self._screen(self._corner)), QPointF(*self._pointer)).normalized())
