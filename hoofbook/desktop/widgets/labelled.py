"""A row of choices with its words above it."""

from __future__ import annotations

from PySide6.QtWidgets import QVBoxLayout, QWidget

from hoofbook.desktop.widgets.text import Label


class Labelled(QWidget):
    """`words` above `part`; as wide as the part wants to be."""

    def __init__(self, words: str, part: QWidget) -> None:
        super().__init__()
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(4)
        column.addWidget(Label(words, "small", "soft"))
        column.addWidget(part)
        column.addStretch(1)
