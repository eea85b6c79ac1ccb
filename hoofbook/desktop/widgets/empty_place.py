"""What a place says when it has nothing to show yet: what it is for, and the one next step."""

from __future__ import annotations

from collections.abc import Callable

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QHBoxLayout, QVBoxLayout, QWidget

from hoofbook.desktop.widgets.buttons import Button
from hoofbook.desktop.widgets.text import Label
from hoofbook.terms.shown import EmptyPlace


class EmptyView(QWidget):
    """Shows an `EmptyPlace`; `start(action)` runs when its button is pressed."""

    def __init__(self, start: Callable[[str], object], parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._start = start
        self._action = ""
        column = QVBoxLayout(self)
        column.setContentsMargins(16, 48, 16, 48)
        column.setSpacing(14)
        self.title = Label("", "title", wrap=True)
        self.words = Label("", "body", "soft", wrap=True)
        self.title.setAlignment(Qt.AlignmentFlag.AlignHCenter)
        self.words.setAlignment(Qt.AlignmentFlag.AlignHCenter)
        self.words.setMaximumWidth(620)
        self.step = Button("", "main", lambda: self._start(self._action))
        column.addStretch(1)
        column.addWidget(self.title)
        line = QHBoxLayout()  # a column alone would ask how tall the words are at its full width, and cut them
        line.addStretch(1)
        line.addWidget(self.words, 100)
        line.addStretch(1)
        column.addLayout(line)
        column.addWidget(self.step, 0, Qt.AlignmentFlag.AlignHCenter)
        column.addStretch(2)

    def show_empty(self, empty: EmptyPlace) -> None:
        self._action = empty.action
        self.title.setText(empty.title)
        self.words.setText(empty.words)
        self.words.setVisible(bool(empty.words))
        self.step.set_words(empty.step)
        self.step.setVisible(bool(empty.step))
