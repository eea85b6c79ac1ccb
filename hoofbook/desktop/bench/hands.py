"""What keys and clicks do on the Bench."""

from __future__ import annotations

from collections.abc import Callable

from PySide6.QtCore import Qt
from PySide6.QtGui import QKeyEvent

from hoofbook.desktop.bench.desk import MarkingDesk
from hoofbook.desktop.bench.page import BenchPage
from hoofbook.terms.marks import MarkState
from hoofbook.wording import bench_labels as words

ARROWS = {
    Qt.Key.Key_Left: (-1, 0),
    Qt.Key.Key_Right: (1, 0),
    Qt.Key.Key_Up: (0, -1),
    Qt.Key.Key_Down: (0, 1),
}
SHIFT_STEP = 10
SHIFT, CTRL = Qt.KeyboardModifier.ShiftModifier, Qt.KeyboardModifier.ControlModifier


class Hands:
    """Turns keys and clicks into gestures of the desk and moves of the view."""

    def __init__(
        self, desk: MarkingDesk, page: BenchPage, next_photo: Callable[[], object], go_by: Callable[[int], object]
    ) -> None:
        self._desk = desk
        self._page = page
        self._canvas = page.canvas
        self._next_photo = next_photo
        self._keys: dict[Qt.Key, Callable[[], object]] = {
            Qt.Key.Key_Return: self.go_on,
            Qt.Key.Key_Enter: self.go_on,
            Qt.Key.Key_Space: self.put_down,
            Qt.Key.Key_Backspace: self.back,
            Qt.Key.Key_Delete: desk.remove,
            Qt.Key.Key_0: self.unseen,
            Qt.Key.Key_Z: page.turn_loupe,
            Qt.Key.Key_Plus: self._canvas.zoom_in,
            Qt.Key.Key_Equal: self._canvas.zoom_in,
            Qt.Key.Key_Minus: self._canvas.zoom_out,
            Qt.Key.Key_F: self._canvas.fit,
            Qt.Key.Key_1: self._canvas.actual_size,
            Qt.Key.Key_L: page.turn_light,
            Qt.Key.Key_G: page.turn_last_visit,
            Qt.Key.Key_M: page.turn_drawer,
            Qt.Key.Key_Escape: self.escape,
            Qt.Key.Key_PageDown: lambda: go_by(+1),
            Qt.Key.Key_PageUp: lambda: go_by(-1),
        }
        self._canvas.clicked.connect(self.click)
        self._canvas.picked.connect(desk.choose)
        self._canvas.mark_put.connect(self._put)
        page.main_pressed = self.go_on
        page.unseen_pressed = self.unseen
        page.mark_chosen = self.choose
        page.step_words = self.step_words

    def key(self, event: QKeyEvent) -> bool:
        """True where the key meant something here."""
        key = Qt.Key(event.key())
        if key in ARROWS:
            self.arrow(*ARROWS[key], event.modifiers())
            return True
        if event.modifiers() & CTRL:
            return False
        action = self._keys.get(key)
        if action is None:
            return False
        if key is Qt.Key.Key_Escape:
            return bool(action())
        action()
        return True

    def arrow(self, right: int, down: int, modifiers: Qt.KeyboardModifier) -> None:
        """Move the current mark, or the crosshair where none is placed yet: 1 px, with Shift 10, with Ctrl a jump."""
        step = SHIFT_STEP if modifiers & SHIFT else self._canvas.jump() if modifiers & CTRL else 1
        if self._desk.nudge(right * step, down * step, self._canvas.frame.scale):
            return
        if self._desk.is_placing:
            x, y = self._canvas.start_crosshair()
            self._canvas.set_crosshair((x + right * step, y + down * step))
            self._page.refresh()
        else:
            self._canvas.pan(-right * 40, -down * 40)

    def click(self, x: float, y: float) -> None:
        self._desk.place(x, y, self._canvas.frame.scale)

    def choose(self, name: str) -> None:
        self._desk.choose(name)
        self._page.close_drawer()
        self._canvas.setFocus(Qt.FocusReason.OtherFocusReason)

    def go_on(self) -> None:
        """Enter: put down at the crosshair, say yes, go to the next mark, or to the next photo when all are placed."""
        self._canvas.let_go()
        desk = self._desk
        state = desk.state_of(desk.current) if desk.current else None
        if not desk.current:
            self._next_photo()
        elif state is MarkState.PROPOSED:
            desk.confirm()
        elif state is None:
            self.put_down()
        else:
            desk.go_on()

    def put_down(self) -> None:
        """At the crosshair; the first press shows it, so that nothing is placed unseen."""
        if not self._desk.is_placing:
            return
        if self._desk.state_of(self._desk.current) is MarkState.PROPOSED:
            self._desk.confirm()
        elif self._canvas.crosshair is None:
            self._canvas.start_crosshair()
            self._page.refresh()
        else:
            x, y = self._canvas.crosshair
            self._desk.place(x, y, self._canvas.frame.scale)

    def back(self) -> None:
        if not self._canvas.let_go():
            self._desk.go_back()

    def unseen(self) -> None:
        self._canvas.let_go()
        self._desk.unseen()

    def escape(self) -> bool:
        if self._canvas.let_go() or self._page.put_away():
            return True
        if self._canvas.crosshair is not None:
            self._canvas.set_crosshair(None)
            self._page.refresh()
            return True
        return False

    def step_words(self) -> tuple[str, bool]:
        """What Enter does now, and whether the main button does the same."""
        desk = self._desk
        state = desk.state_of(desk.current) if desk.current else None
        if not desk.current:
            return words.NEXT_PHOTO, True
        if state is MarkState.PROPOSED:
            return words.YES_NEXT, True
        if state is None:
            return words.PUT_HERE if self._canvas.crosshair is not None else words.CROSSHAIR, True
        return words.NEXT_MARK, True

    def _put(self, name: str, x: float, y: float) -> None:
        self._desk.put(name, x, y, self._canvas.frame.scale)
