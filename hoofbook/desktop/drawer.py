"""What lies over the window: the folded list of horses, and the hint while photos are dragged in."""

from __future__ import annotations

from PySide6.QtCore import QEvent, QRect, Qt
from PySide6.QtGui import QMouseEvent, QPainter, QPaintEvent
from PySide6.QtWidgets import QFrame, QHBoxLayout, QVBoxLayout, QWidget

from hoofbook.desktop.look import theme
from hoofbook.desktop.widgets.text import Label
from hoofbook.wording import labels


class Drawer(QWidget):
    """Holds the list of horses while there is no room beside the place; a press beside it closes it."""

    def __init__(self, over: QWidget) -> None:
        super().__init__(over)
        self._over = over
        self.folded = False
        self._held: QWidget | None = None
        self._row = QHBoxLayout(self)
        self._row.setContentsMargins(0, 0, 0, 0)
        self._row.setSpacing(0)
        self._row.addStretch(1)
        self.hide()

    @property
    def is_open(self) -> bool:
        return self.folded and self.isVisible()

    def take(self, held: QWidget) -> None:
        self.folded = True
        self._held = held
        self._row.insertWidget(0, held)
        held.show()
        self.hide()

    def give_back(self) -> None:
        self.folded = False
        if self._held is not None:
            self._row.removeWidget(self._held)
        self.hide()

    def open(self) -> None:
        if self.folded:
            self.fit()
            self.show()
            self.raise_()

    def close_it(self) -> None:
        if self.folded:
            self.hide()

    def fit(self) -> None:
        self.setGeometry(self._over.rect())

    def mousePressEvent(self, event: QMouseEvent) -> None:
        self.close_it()

    def paintEvent(self, event: QPaintEvent) -> None:
        QPainter(self).fillRect(self.rect(), theme().colour("veil", 0.45))

    def changeEvent(self, event: QEvent) -> None:
        super().changeEvent(event)
        if event.type() is QEvent.Type.ParentChange:
            self.fit()


class DropHint(QWidget):
    """Says what letting go will do while photos are dragged over the window."""

    def __init__(self, over: QWidget) -> None:
        super().__init__(over)
        self.setAttribute(Qt.WidgetAttribute.WA_TransparentForMouseEvents)
        column = QVBoxLayout(self)
        column.setContentsMargins(24, 24, 24, 24)
        frame = QFrame()
        frame.setProperty("surface", "drop")
        inside = QVBoxLayout(frame)
        words = Label(labels.DROP_PHOTOS, "title", "leather", wrap=True)
        words.setAlignment(Qt.AlignmentFlag.AlignCenter)
        inside.addWidget(words)
        column.addWidget(frame)
        self.hide()

    def show_over(self, area: QRect) -> None:
        self.setGeometry(area)
        self.show()
        self.raise_()
