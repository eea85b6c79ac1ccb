"""The place Scale card."""

from __future__ import annotations

from hoofbook.desktop.scale_card.save import ask_and_save
from hoofbook.desktop.state import AppState
from hoofbook.desktop.widgets.buttons import Button
from hoofbook.desktop.widgets.sections_page import SectionsPage
from hoofbook.wording import labels


class ScaleCardPlace(SectionsPage):
    """How to print the card, check it and stand it; two papers to make it for."""

    def __init__(self, state: AppState) -> None:
        self._state = state
        self.a4 = Button(labels.MAKE_CARD_A4, "main", lambda: ask_and_save(state, self, "a4"))
        self.letter = Button(labels.MAKE_CARD_LETTER, "plain", lambda: ask_and_save(state, self, "letter"))
        self.guide = Button(labels.GUIDE, "plain", lambda: state.go("photo_guide"))
        super().__init__(self.a4, self.letter, self.guide)

    def show_horse(self, horse_key: str, **where: str) -> None:
        self.a4.setFocus()
        if not self.views:
            card = self._state.casework.scale_card
            self._state.background.read(self, card.card_sheet, self.show_sections, replaces="card")
