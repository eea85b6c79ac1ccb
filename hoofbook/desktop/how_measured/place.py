"""The place How measured: one measure at a time, or all of them, each with its source."""

from __future__ import annotations

from PySide6.QtWidgets import QVBoxLayout, QWidget

from hoofbook.desktop.state import AppState
from hoofbook.desktop.widgets.buttons import Button
from hoofbook.desktop.widgets.page import Page, empty_layout
from hoofbook.desktop.widgets.section_view import SectionView
from hoofbook.terms.shown import Section
from hoofbook.wording import labels


class HowMeasuredPlace(QWidget):
    """Sections of text; opened with `measure` it shows that one first, with a way to all."""

    def __init__(self, state: AppState, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._state = state
        outer = QVBoxLayout(self)
        outer.setContentsMargins(0, 0, 0, 0)
        self.page = Page()
        outer.addWidget(self.page)
        self.all = Button(labels.ALL_MEASURES, "outline", lambda: self.show_horse(""))
        self.page.column.addWidget(self.all)
        self._sections = QVBoxLayout()
        self._sections.setSpacing(16)
        self.page.column.addLayout(self._sections)
        self.page.column.addStretch(1)
        self.views: list[SectionView] = []

    def show_horse(self, horse_key: str, **where: str) -> None:
        measure = where.get("measure", "")
        self.all.setVisible(bool(measure))
        casework, book = self._state.casework, self._state.open_book
        self._state.background.read(
            self,
            lambda: (*casework.how_measured.about(measure), *casework.how_measured.own_figures(book)),
            self._show,
            replaces="about",
        )

    def leave(self) -> bool:
        return True

    def _show(self, sections: tuple[Section, ...]) -> None:
        empty_layout(self._sections)
        self.views = []
        for section in sections:
            view = SectionView(section, kind="body")
            self.views.append(view)
            self.page.add_narrow(view, 900, self._sections)
        self.page.verticalScrollBar().setValue(0)
