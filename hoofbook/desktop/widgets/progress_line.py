"""Long work: what is being done, how far it is, and Stop."""

from __future__ import annotations

from collections.abc import Callable

from PySide6.QtWidgets import QHBoxLayout, QProgressBar, QVBoxLayout, QWidget

from hoofbook.desktop.widgets.buttons import Button
from hoofbook.desktop.widgets.text import Label
from hoofbook.terms.shown import Step
from hoofbook.wording import labels


class ProgressLine(QWidget):
    """Hidden until `begin`; `show_step` moves it; Stop calls what `begin` was given."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._stop: Callable[[], object] | None = None
        row = QHBoxLayout(self)
        row.setContentsMargins(0, 0, 0, 0)
        row.setSpacing(16)
        left = QVBoxLayout()
        left.setSpacing(6)
        self.words = Label("", "small", wrap=True)
        self.bar = QProgressBar()
        self.bar.setTextVisible(False)
        left.addWidget(self.words)
        left.addWidget(self.bar)
        row.addLayout(left, 1)
        self.button = Button(labels.STOP, "plain", self._pressed)
        row.addWidget(self.button)
        self.hide()

    def begin(self, words: str, stop: Callable[[], object]) -> None:
        self._stop = stop
        self.button.setEnabled(True)
        self.words.setText(words)
        self.bar.setRange(0, 0)
        self.bar.setAccessibleName(words)
        self.show()

    def show_step(self, step: Step) -> None:
        self.words.setText(step.words)
        self.bar.setRange(0, max(1, step.total))
        self.bar.setValue(step.done)
        self.bar.setAccessibleName(step.words)

    def end(self) -> None:
        self._stop = None
        self.hide()

    def _pressed(self) -> None:
        if self._stop is not None:
            self.button.setEnabled(False)
            self._stop()
