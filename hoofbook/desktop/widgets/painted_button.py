"""What every button that paints itself has in common: pressed by Enter too, and painted again under the pointer."""

from __future__ import annotations

from PySide6.QtCore import QEvent, Qt
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import QAbstractButton, QWidget


class PaintedButton(QAbstractButton):
    """A base; the subclass paints and says its size."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setCursor(Qt.CursorShape.PointingHandCursor)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        if event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter):
            self.click()
        else:
            super().keyPressEvent(event)

    def enterEvent(self, event: QEvent) -> None:
        self.update()

    def leaveEvent(self, event: QEvent) -> None:
        self.update()
