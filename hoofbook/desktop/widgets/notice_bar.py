"""The bar under the header that says what went wrong and what to do; it stays until it is put away."""

from __future__ import annotations

from PySide6.QtGui import QAccessible, QAccessibleEvent
from PySide6.QtWidgets import QFrame, QHBoxLayout, QWidget

from hoofbook.desktop.widgets.buttons import Button
from hoofbook.desktop.widgets.text import Label
from hoofbook.terms.refusal import Refusal
from hoofbook.wording import labels


class NoticeBar(QFrame):
    """Shows one sentence at a time: a ready one, or the sentence of a refusal."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setProperty("surface", "notice")
        row = QHBoxLayout(self)
        row.setContentsMargins(28, 8, 16, 8)
        row.setSpacing(16)
        self.words = Label("", wrap=True)
        self.put_away = Button(labels.PUT_AWAY, "plain", self.hide)
        row.addWidget(self.words, 1)
        row.addWidget(self.put_away)
        self.hide()

    def show_notice(self, what: Refusal | str) -> None:
        self.words.setText(what if isinstance(what, str) else sentence_of(what))
        self.setAccessibleName(self.words.text())
        self.show()
        QAccessible.updateAccessibility(QAccessibleEvent(self, QAccessible.Event.Alert))


def sentence_of(refusal: Refusal) -> str:
    """The refusal as a sentence that ends with what to do."""
    from hoofbook.wording.refusals import sentence

    return sentence(refusal)
