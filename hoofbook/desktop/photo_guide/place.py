"""The place that shows how to take sole photos, and makes the page to hang up."""

from __future__ import annotations

from pathlib import Path

from PySide6.QtWidgets import QFileDialog, QVBoxLayout, QWidget

from hoofbook.desktop.state import AppState
from hoofbook.desktop.widgets.buttons import Button
from hoofbook.desktop.widgets.flow import FlowLayout
from hoofbook.desktop.widgets.page import Page
from hoofbook.desktop.widgets.section_view import SectionView
from hoofbook.terms.shown import Section
from hoofbook.wording import labels

_WIDEST = 760


class PhotoGuidePlace(QWidget):
    """The drawn guide; two papers to make it for."""

    def __init__(self, state: AppState, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._state = state
        outer = QVBoxLayout(self)
        outer.setContentsMargins(0, 0, 0, 0)
        self.page = Page()
        outer.addWidget(self.page)
        buttons = QWidget()
        row = FlowLayout(buttons, gap=12)
        self.a4 = Button(labels.GUIDE_A4, "main", lambda: self._ask_and_save("a4"))
        self.letter = Button(labels.GUIDE_LETTER, "plain", lambda: self._ask_and_save("letter"))
        row.addWidget(self.a4)
        row.addWidget(self.letter)
        self.page.column.addWidget(buttons)
        self._sections = QVBoxLayout()
        self._sections.setSpacing(16)
        self.page.column.addLayout(self._sections)
        self.page.column.addStretch(1)
        self.views: list[SectionView] = []

    def show_horse(self, horse_key: str, **where: str) -> None:
        self.a4.setFocus()
        if not self.views:
            guide = self._state.casework.photo_guide
            self._state.background.read(self, guide.guide_sheet, self._show, replaces="guide")

    def leave(self) -> bool:
        return True

    def _show(self, sections: tuple[Section, ...]) -> None:
        for section in sections:
            view = SectionView(section, kind="body")
            self.views.append(view)
            self.page.add_narrow(view, _WIDEST, self._sections)

    def _ask_and_save(self, paper: str) -> None:
        start = Path.home() / f"hoofbook-sole-photos-{paper}.pdf"
        name, _kind = QFileDialog.getSaveFileName(self, labels.SAVE_GUIDE, str(start), f"{labels.PDF_FILES} (*.pdf)")
        if not name:
            return
        self._state.background.pixels(
            self,
            lambda: self._state.casework.photo_guide.make_guide(paper, Path(name)),
            lambda file: self._state.notice(labels.GUIDE_MADE.format(file=file)),
            self._state.notice,
        )
