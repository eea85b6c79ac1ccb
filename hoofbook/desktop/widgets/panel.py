"""Panels: a card with room inside, and a note with a leather edge."""

from __future__ import annotations

from PySide6.QtWidgets import QFrame, QHBoxLayout, QVBoxLayout, QWidget

from hoofbook.desktop.widgets.text import Label


class Panel(QFrame):
    """A card: `body` is its column layout."""

    def __init__(self, title: str = "", parent: QWidget | None = None, *, inside: int = 18) -> None:
        super().__init__(parent)
        self.setProperty("surface", "card")
        self.body = QVBoxLayout(self)
        self.body.setContentsMargins(inside, inside - 2, inside, inside - 2)
        self.body.setSpacing(8)
        self.title = Label(title, "heading", wrap=True)
        self.body.addWidget(self.title)
        self.set_title(title)

    def set_title(self, title: str) -> None:
        self.title.setText(title)
        self.title.setVisible(bool(title))


class Note(QFrame):
    """One thing to remember, with its heading: "Watch next time"."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setProperty("surface", "note")
        row = QHBoxLayout(self)
        row.setContentsMargins(16, 10, 16, 10)
        row.setSpacing(14)
        self._head = Label("", "heading")
        self._words = Label("", wrap=True)
        row.addWidget(self._head)
        row.addWidget(self._words, 1)

    def show_words(self, head: str, words: str) -> None:
        self._head.setText(head)
        self._head.setVisible(bool(head))
        self._words.setText(words)
        self.setVisible(bool(words))
        self.setAccessibleName(f"{head}: {words}" if head else words)
