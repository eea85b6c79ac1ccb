"""The vet's answer, typed in with its day."""

from __future__ import annotations

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QLineEdit

from hoofbook.desktop.state import AppState
from hoofbook.desktop.visit.words import WordsField
from hoofbook.desktop.widgets.buttons import Button
from hoofbook.desktop.widgets.labelled import Labelled
from hoofbook.desktop.widgets.panel import Panel
from hoofbook.desktop.widgets.text import Label
from hoofbook.wording import vet_sheet as words


class VetAnswerPanel(Panel):
    """`kept` comes once the answer is in the book; what is refused stays typed."""

    kept = Signal()

    def __init__(self, state: AppState) -> None:
        super().__init__(words.ANSWER_TITLE)
        self._state = state
        self.horse = ""
        self.body.addWidget(Label(words.ANSWER_WORDS, "body", "soft", wrap=True))
        self.answer = WordsField(words.ANSWER, words.ANSWER_HINT)
        self.by, self.day = QLineEdit(), QLineEdit()
        self.day.setPlaceholderText(words.ANSWER_DAY_HINT)
        self.body.addWidget(self.answer)
        for line, title in ((self.by, words.ANSWER_BY), (self.day, words.ANSWER_DAY)):
            line.setAccessibleName(title)
            self.body.addWidget(Labelled(title, line))
        self.keep_it = Button(words.KEEP_ANSWER, "plain", self._keep)
        self.body.addWidget(self.keep_it)

    def show_horse(self, horse: str, *, read_only: bool) -> None:
        if horse != self.horse:
            self.horse = horse
            self._clear()
        self.setVisible(not read_only)

    def _keep(self) -> None:
        book, horse = self._state.open_book, self.horse
        said = (self.day.text(), self.answer.edit.toPlainText(), self.by.text())
        self._state.background.read(
            self,
            lambda: self._state.casework.vet_answer.keep_answer(book, horse, *said),
            lambda _none: self._kept(),
        )

    def _kept(self) -> None:
        self._clear()
        self._state.notice(words.ANSWER_KEPT)
        self._state.changed()
        self.kept.emit()

    def _clear(self) -> None:
        self.answer.edit.setPlainText("")
        self.by.clear()
        self.day.clear()
