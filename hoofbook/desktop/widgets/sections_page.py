"""A page of sections to read, with buttons above them."""

from __future__ import annotations

from PySide6.QtWidgets import QPushButton, QVBoxLayout, QWidget

from hoofbook.desktop.widgets.flow import FlowLayout
from hoofbook.desktop.widgets.page import Page, empty_layout
from hoofbook.desktop.widgets.section_view import SectionView
from hoofbook.terms.shown import Section

WIDEST = 900


class SectionsPage(QWidget):
    """`show_sections` puts them under the buttons, none wider than `widest` px."""

    def __init__(self, *buttons: QPushButton, widest: int = WIDEST, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._widest = widest
        outer = QVBoxLayout(self)
        outer.setContentsMargins(0, 0, 0, 0)
        self.page = Page()
        outer.addWidget(self.page)
        holder = QWidget()
        row = FlowLayout(holder, gap=12)
        for button in buttons:
            row.addWidget(button)
        self.page.column.addWidget(holder)
        self._sections = QVBoxLayout()
        self._sections.setSpacing(16)
        self.page.column.addLayout(self._sections)
        self.page.column.addStretch(1)
        self.views: list[SectionView] = []

    def show_sections(self, sections: tuple[Section, ...]) -> None:
        empty_layout(self._sections)
        self.views = []
        for section in sections:
            view = SectionView(section, kind="body")
            self.views.append(view)
            self.page.add_narrow(view, self._widest, self._sections)
        self.page.verticalScrollBar().setValue(0)

    def leave(self) -> bool:
        return True
