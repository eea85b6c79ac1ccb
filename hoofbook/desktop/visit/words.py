"""A field for free words that keeps them when it is left, so that nothing typed is lost."""

from __future__ import annotations

from PySide6.QtCore import QEvent, Qt, Signal
from PySide6.QtGui import QFocusEvent, QFontMetrics, QKeyEvent
from PySide6.QtWidgets import QPlainTextEdit, QSizePolicy, QVBoxLayout, QWidget

from hoofbook.desktop.look import theme
from hoofbook.desktop.widgets.text import Label


class _Edit(QPlainTextEdit):
    left = Signal()

    def __init__(self) -> None:
        super().__init__()
        self.setTabChangesFocus(True)

    def focusOutEvent(self, event: QFocusEvent) -> None:
        super().focusOutEvent(event)
        self.left.emit()

    def keyPressEvent(self, event: QKeyEvent) -> None:
        wants_out = event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter) and event.modifiers() & (
            Qt.KeyboardModifier.ControlModifier
        )
        if wants_out:
            self.left.emit()
        else:
            super().keyPressEvent(event)


class WordsField(QWidget):
    """`kept(words)` when changed words are left (focus goes, Ctrl+Enter, or `keep`)."""

    kept = Signal(str)

    def __init__(self, title: str, hint: str) -> None:
        super().__init__()
        self._shown = ""
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(4)
        column.addWidget(Label(title, "small", "soft"))
        self.edit = _Edit()
        self.edit.setPlaceholderText(hint)
        self.edit.setAccessibleName(title)
        self.edit.left.connect(self.keep)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        column.addWidget(self.edit)
        self._dress()

    def show_words(self, words: str) -> None:
        """Show kept words, unless the person is typing here."""
        self._shown = words
        if not self.edit.hasFocus() and self.edit.toPlainText() != words:
            self.edit.setPlainText(words)

    def keep(self) -> None:
        words = self.edit.toPlainText().strip()
        if words != self._shown:
            self._shown = words
            self.kept.emit(words)

    def changeEvent(self, event: QEvent) -> None:
        super().changeEvent(event)
        if event.type() is QEvent.Type.StyleChange and hasattr(self, "edit"):
            self._dress()

    def _dress(self) -> None:
        font = theme().font()
        self.edit.setFont(font)
        self.edit.setFixedHeight(QFontMetrics(font).lineSpacing() * 2 + 26)
        self.edit.setMinimumWidth(280)
