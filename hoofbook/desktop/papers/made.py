"""What was made for others: have it again as it was, make it anew, note that it was sent."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QVBoxLayout, QWidget

from hoofbook.desktop.state import AppState
from hoofbook.desktop.widgets.buttons import Button
from hoofbook.desktop.widgets.empty_place import EmptyView
from hoofbook.desktop.widgets.flow import FlowLayout
from hoofbook.desktop.widgets.page import Page, empty_layout
from hoofbook.desktop.widgets.panel import Panel
from hoofbook.desktop.widgets.text import Label
from hoofbook.wording import papers_place as words

if TYPE_CHECKING:
    from hoofbook.casework.papers_made import PaperLine, PapersMade

_WIDEST = 900


class PaperPanel(Panel):
    """One paper with its three buttons."""

    again = Signal(str)
    anew = Signal(str)
    sent = Signal(str, bool)

    def __init__(self, line: PaperLine, *, read_only: bool) -> None:
        super().__init__(line.title)
        self.line = line
        for number, text in enumerate(line.lines):
            self.body.addWidget(Label(text, "body", "soft" if number == 0 else "", wrap=True))
        self.told = Label(line.sent_words, "body", bold=line.sent)
        self.body.addWidget(self.told)
        holder = QWidget()
        row = FlowLayout(holder, gap=12)
        self.again_button = Button(words.AGAIN, "plain", lambda: self.again.emit(line.key))
        self.anew_button = Button(words.ANEW, "plain", lambda: self.anew.emit(line.page))
        self.sent_button = Button(
            words.NOT_SENT if line.sent else words.SENT, "plain", lambda: self.sent.emit(line.key, not line.sent)
        )
        self.again_button.setVisible(line.kept and not read_only)
        self.anew_button.setVisible(bool(line.page))
        self.sent_button.setVisible(not read_only)
        for button in (self.again_button, self.anew_button, self.sent_button):
            row.addWidget(button)
        if not line.kept:
            row.addWidget(Label(words.NOT_KEPT, "small", "soft"))
        self.body.addWidget(holder)


class MadeList(QWidget):
    """The papers of one horse, newest first. `anew(page)` asks for the page on which such a paper is made."""

    anew = Signal(str)

    def __init__(self, state: AppState) -> None:
        super().__init__()
        self._state = state
        self.horse = ""
        outer = QVBoxLayout(self)
        outer.setContentsMargins(0, 0, 0, 0)
        self.page = Page()
        outer.addWidget(self.page)
        self.words = Label(words.MADE_WORDS, "body", "soft", wrap=True)
        self.page.add_narrow(self.words, _WIDEST)
        self.empty = EmptyView(self.anew.emit)
        self.page.column.addWidget(self.empty)
        self._lines = QVBoxLayout()
        self._lines.setSpacing(12)
        self.page.column.addLayout(self._lines)
        self.page.column.addStretch(1)
        self.panels: list[PaperPanel] = []

    def show_horse(self, horse_key: str, **_where: str) -> None:
        self.horse = horse_key
        self.read()

    def leave(self) -> bool:
        return True

    def read(self) -> None:
        book, horse = self._state.open_book, self.horse
        if book is not None and horse:
            self._state.background.read(
                self,
                lambda: self._state.casework.papers_made.read_papers_made(book, horse),
                self._show,
                replaces="made",
            )

    def _show(self, made: PapersMade) -> None:
        empty_layout(self._lines)
        self.panels = []
        self.empty.setVisible(made.empty is not None)
        self.words.setVisible(made.empty is None)
        if made.empty is not None:
            self.empty.show_empty(made.empty)
        for line in made.lines:
            panel = PaperPanel(line, read_only=made.read_only)
            panel.again.connect(self._again)
            panel.anew.connect(self.anew)
            panel.sent.connect(self._sent)
            self.panels.append(panel)
            self.page.add_narrow(panel, _WIDEST, self._lines)

    def _again(self, key: str) -> None:
        book = self._state.open_book
        self._state.background.read(
            self, lambda: self._state.casework.papers_made.put_again(book, key), self._again_here
        )

    def _again_here(self, file: Path) -> None:
        self._state.notice(words.AGAIN_IN.format(file=file))

    def _sent(self, key: str, sent: bool) -> None:
        book = self._state.open_book
        self._state.background.read(
            self,
            lambda: self._state.casework.papers_made.tell_sent(book, key, sent=sent),
            lambda _none: self.read(),
        )
