"""The place Scale card."""

from __future__ import annotations

from PySide6.QtWidgets import QVBoxLayout, QWidget

from hoofbook.desktop.scale_card.save import ask_and_save
from hoofbook.desktop.state import AppState
from hoofbook.desktop.widgets.buttons import Button
from hoofbook.desktop.widgets.flow import FlowLayout
from hoofbook.desktop.widgets.page import Page
from hoofbook.desktop.widgets.section_view import SectionView
from hoofbook.terms.shown import Section
from hoofbook.wording import labels


class ScaleCardPlace(QWidget):
    """How to print the card, check it and stand it; two papers to make it for."""

    def __init__(self, state: AppState, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._state = state
        outer = QVBoxLayout(self)
        outer.setContentsMargins(0, 0, 0, 0)
        self.page = Page()
        outer.addWidget(self.page)
        buttons = QWidget()
        row = FlowLayout(buttons, gap=12)
        self.a4 = Button(labels.MAKE_CARD_A4, "main", lambda: ask_and_save(state, self, "a4"))
        self.letter = Button(labels.MAKE_CARD_LETTER, "plain", lambda: ask_and_save(state, self, "letter"))
        row.addWidget(self.a4)
        self.guide = Button(labels.GUIDE, "plain", lambda: state.go("photo_guide"))
        row.addWidget(self.letter)
        row.addWidget(self.guide)
        self.page.column.addWidget(buttons)
        self._sections = QVBoxLayout()
        self._sections.setSpacing(16)
        self.page.column.addLayout(self._sections)
        self.page.column.addStretch(1)
        self._shown = False

    def show_horse(self, horse_key: str, **where: str) -> None:
        self.a4.setFocus()
        if not self._shown:
            self._state.background.read(self, self._read, self._show)

    def _read(self) -> tuple[Section, ...]:
        sections: tuple[Section, ...] = self._state.casework.scale_card.card_sheet()
        return sections

    def leave(self) -> bool:
        return True

    def _show(self, sections: tuple[Section, ...]) -> None:
        if self._shown:
            return
        self._shown = True
        for section in sections:
            view = SectionView(section, kind="body")
            self.page.add_narrow(view, 900, self._sections)
