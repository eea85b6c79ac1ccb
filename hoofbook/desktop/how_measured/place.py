"""The place How measured: one measure at a time, or all of them, each with its source."""

from __future__ import annotations

from PySide6.QtWidgets import QVBoxLayout, QWidget

from hoofbook.desktop.state import AppState
from hoofbook.desktop.widgets.buttons import Button
from hoofbook.desktop.widgets.flow import FlowLayout
from hoofbook.desktop.widgets.page import Page, empty_layout
from hoofbook.desktop.widgets.section_view import SectionView
from hoofbook.terms.shown import Section
from hoofbook.wording import labels
from hoofbook.wording.without_looking import START as MARK_AGAIN


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
        self.again = Button(MARK_AGAIN, "plain", lambda: state.go("mark_again"))
        buttons = QWidget()
        row = FlowLayout(buttons, gap=12)
        row.addWidget(self.all)
        row.addWidget(self.again)
        self.page.column.addWidget(buttons)
        self._sections = QVBoxLayout()
        self._sections.setSpacing(16)
        self.page.column.addLayout(self._sections)
        self.page.column.addStretch(1)
        self.views: list[SectionView] = []

    def show_horse(self, horse_key: str, **where: str) -> None:
        measure = where.get("measure", "")
        self.all.setVisible(bool(measure))
        book = self._state.open_book
        self.again.setVisible(book is not None and not book.read_only)
        how = self._state.casework.how_measured
        self._state.background.read(
            self,
            lambda: _ordered(how.about(measure), how.own_figures(book, measure), measure),
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


def _ordered(about: tuple[Section, ...], own: tuple[Section, ...], measure: str) -> tuple[Section, ...]:
    """The measure asked for comes first, then the book's own figures; with all measures the own figures lead."""
    return (*about[:1], *own, *about[1:]) if measure else (*own, *about)
