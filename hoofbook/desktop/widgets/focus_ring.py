"""The ring round what the keyboard is at: 3 px leather with a white edge, for every widget alike."""

from __future__ import annotations

from PySide6.QtCore import QEvent, QObject, QPoint, QRect, QRectF, Qt
from PySide6.QtGui import QPainter, QPaintEvent, QPen, QWindow
from PySide6.QtWidgets import QAbstractScrollArea, QApplication, QWidget
from shiboken6 import isValid

from hoofbook.desktop.look import theme
from hoofbook.desktop.theme import RING_WIDTH

_OUTSET = RING_WIDTH + 2


class FocusRing(QWidget):
    """One per window. It shows from the first key press on and hides when the pointer is pressed.

    A widget that draws its own focus sets the dynamic property `own_ring`.
    """

    def __init__(self, window: QWidget) -> None:
        super().__init__(window)
        self._window = window
        self._handle: QWindow | None = None
        self._target: QWidget | None = None
        self._watched: list[QObject] = []
        self.by_keys = False
        self.setAttribute(Qt.WidgetAttribute.WA_TransparentForMouseEvents)
        self.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        self.hide()
        application = QApplication.instance()
        if isinstance(application, QApplication):
            application.focusChanged.connect(self._focus_changed)

    def _focus_changed(self, _old: QWidget | None, new: QWidget | None) -> None:
        if not isValid(self._window):  # a dialog on its way out, with the keyboard still in it
            return
        self._listen()
        inside = new is not None and new.window() is self._window.window() and new is not new.window()
        if new is None or not inside or not self.by_keys or new.property("own_ring"):
            self._release()
        else:
            self._follow(new)

    def _listen(self) -> None:
        """Keys and presses reach the window's handle before any widget."""
        handle = self._window.window().windowHandle()
        if handle is not None and handle is not self._handle:  # type: ignore[redundant-expr]  # None until shown
            self._handle = handle
            handle.installEventFilter(self)

    def _follow(self, target: QWidget) -> None:
        self._release()
        self._target = target
        home = self._home(target)
        self.setParent(home)
        walker: QWidget | None = target
        while walker is not None and walker is not home:
            walker.installEventFilter(self)
            self._watched.append(walker)
            walker = walker.parentWidget()
        self._place()
        self.show()
        self.raise_()

    def _home(self, target: QWidget) -> QWidget:
        """The page that scrolls the target, so that the ring scrolls and is clipped with it; else the window."""
        walker = target.parentWidget()
        while walker is not None and walker is not self._window:
            above = walker.parentWidget()
            area = above.parentWidget() if above is not None else None
            if isinstance(area, QAbstractScrollArea) and area.viewport() is above:
                return walker
            walker = above
        return self._window

    def _release(self) -> None:
        for watched in self._watched:
            watched.removeEventFilter(self)
        self._watched = []
        self._target = None
        self.hide()
        if self.parentWidget() is not self._window:
            self.setParent(self._window)  # so that a page that is thrown away does not take the ring with it

    def _place(self) -> None:
        home = self.parentWidget()
        if self._target is None or home is None:
            return
        corner = self._target.mapTo(home, QPoint(0, 0))
        box = QRect(corner, self._target.size()).adjusted(-_OUTSET, -_OUTSET, _OUTSET, _OUTSET)
        self.setGeometry(box.intersected(home.rect()))

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        kind = event.type()
        if watched is self._handle:
            self._input(kind)
        elif kind in (QEvent.Type.Move, QEvent.Type.Resize, QEvent.Type.LayoutRequest):
            self._place()
        elif kind in (QEvent.Type.Hide, QEvent.Type.DeferredDelete) and watched in self._watched:
            self._release()
        return False

    def _input(self, kind: QEvent.Type) -> None:
        if kind is QEvent.Type.KeyPress and not self.by_keys:
            self.by_keys = True
            self._focus_changed(None, QApplication.focusWidget())
        elif kind is QEvent.Type.MouseButtonPress and self.by_keys:
            self.by_keys = False
            self._release()

    def paintEvent(self, event: QPaintEvent) -> None:
        look = theme()
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        box = QRectF(self.rect())
        painter.setPen(QPen(look.colour("ring_edge"), RING_WIDTH + 2))
        painter.drawRoundedRect(box.adjusted(2.5, 2.5, -2.5, -2.5), 10, 10)
        painter.setPen(QPen(look.colour("leather"), RING_WIDTH))
        painter.drawRoundedRect(box.adjusted(2.5, 2.5, -2.5, -2.5), 10, 10)
