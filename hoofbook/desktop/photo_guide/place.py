"""The place that shows how to take sole photos, and makes the page to hang up."""

from __future__ import annotations

from hoofbook.desktop.ask_files import ask_and_make
from hoofbook.desktop.state import AppState
from hoofbook.desktop.widgets.buttons import Button
from hoofbook.desktop.widgets.sections_page import SectionsPage
from hoofbook.wording import labels

_WIDEST = 760


class PhotoGuidePlace(SectionsPage):
    """The drawn guide; two papers to make it for."""

    def __init__(self, state: AppState) -> None:
        self._state = state
        self.a4 = Button(labels.GUIDE_A4, "main", lambda: self._ask_and_save("a4"))
        self.letter = Button(labels.GUIDE_LETTER, "plain", lambda: self._ask_and_save("letter"))
        super().__init__(self.a4, self.letter, widest=_WIDEST)

    def show_horse(self, horse_key: str, **where: str) -> None:
        self.a4.setFocus()
        if not self.views:
            guide = self._state.casework.photo_guide
            self._state.background.read(self, guide.guide_sheet, self.show_sections, replaces="guide")

    def _ask_and_save(self, paper: str) -> None:
        ask_and_make(
            self._state,
            self,
            labels.SAVE_GUIDE,
            f"hoofbook-sole-photos-{paper}.pdf",
            make=lambda file: self._state.casework.photo_guide.make_guide(paper, file),
            said=labels.GUIDE_MADE,
        )
