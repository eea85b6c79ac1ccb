"""One number asked for in a line: words, a small field, its unit, and the buttons that take it."""

from __future__ import annotations

from collections.abc import Callable

from PySide6.QtCore import QEvent, Signal
from PySide6.QtWidgets import QHBoxLayout, QLineEdit, QVBoxLayout, QWidget

from hoofbook.desktop.look import theme
from hoofbook.desktop.widgets.buttons import Button
from hoofbook.desktop.widgets.flow import FlowLayout
from hoofbook.desktop.widgets.text import Label

_SIGNS = 7


class AskLine(QWidget):
    """`taken(text)` when Enter or the first button is pressed. Under the line stands what came of it."""

    taken = Signal(str)

    def __init__(self, words: str, button: str, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(6)
        holder = QWidget()
        self._row = FlowLayout(holder, gap=8)
        self.words = Label(words, "small")
        self.field = QLineEdit()
        self.field.setAccessibleName(words)
        self.field.returnPressed.connect(self._take)
        self.unit = Label("", "small", "soft")
        self.button = Button(button, "plain", self._take, small=True)
        together = QWidget()
        line = QHBoxLayout(together)
        line.setContentsMargins(0, 0, 0, 0)
        line.setSpacing(8)
        for part in (self.field, self.unit, self.button):
            line.addWidget(part)
        self._row.addWidget(self.words)
        self._row.addWidget(together)
        self.answer = Label("", "small", wrap=True)
        self.answer.hide()
        column.addWidget(holder)
        column.addWidget(self.answer)
        self._dress()

    def add_button(self, words: str, pressed: Callable[[], object]) -> Button:
        button = Button(words, "link", pressed, small=True)
        self._row.addWidget(button)
        return button

    def show_unit(self, unit: str) -> None:
        self.unit.setText(unit)
        self.unit.setVisible(bool(unit))
        self.field.setAccessibleName(f"{self.words.text()}, {unit}" if unit else self.words.text())

    def say(self, words: str) -> None:
        self.answer.setText(words)
        self.answer.setVisible(bool(words))
        self.field.setAccessibleDescription(words)

    def changeEvent(self, event: QEvent) -> None:
        super().changeEvent(event)
        if event.type() is QEvent.Type.StyleChange:
            self._dress()

    def _dress(self) -> None:
        self.field.setFixedWidth(theme().small * _SIGNS)

    def _take(self) -> None:
        self.taken.emit(self.field.text())
