"""The place Visits: the list, and the sheet of one of them."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtWidgets import QStackedWidget, QVBoxLayout, QWidget

from hoofbook.desktop.state import AppState
from hoofbook.desktop.visit.sheet import VisitSheetView
from hoofbook.desktop.widgets.empty_place import EmptyView
from hoofbook.desktop.widgets.page import Page
from hoofbook.desktop.widgets.panel import Panel
from hoofbook.desktop.widgets.pictures import Pictures
from hoofbook.desktop.widgets.table import TableView
from hoofbook.desktop.widgets.text import Label
from hoofbook.terms.shown import EmptyPlace, Table
from hoofbook.wording import labels

if TYPE_CHECKING:
    from hoofbook.casework.visit import VisitSheet


class VisitPlace(QWidget):
    """`show_horse(key)` lists the visits; with `visit=` it opens that one, with `new=` today's."""

    def __init__(self, state: AppState, pictures: Pictures, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._state = state
        self._horse = ""
        outer = QVBoxLayout(self)
        outer.setContentsMargins(0, 0, 0, 0)
        self.stack = QStackedWidget()
        outer.addWidget(self.stack)
        self.list_page = Page()
        self.list_page.column.addWidget(Label(labels.VISITS, "title"))
        self.panel = Panel()
        self.table = TableView(self.open_visit)
        self.panel.body.addWidget(self.table)
        self.list_page.column.addWidget(self.panel)
        self.list_page.column.addStretch(1)
        self.empty = EmptyView(lambda _action: self.new_visit())
        self.sheet = VisitSheetView(state, pictures, self.show_list)
        self._nothing = QWidget()
        for page in (self._nothing, self.list_page, self.empty, self.sheet):
            self.stack.addWidget(page)

    @property
    def visit(self) -> str:
        """Key of the visit whose sheet shows, "" in the list."""
        showing = self.stack.currentWidget() is self.sheet and self.sheet.sheet is not None
        return self.sheet.sheet.key if showing and self.sheet.sheet is not None else ""

    def show_horse(self, horse_key: str, **where: str) -> None:
        if horse_key != self._horse:
            self.stack.setCurrentWidget(self._nothing)
        self._horse = horse_key
        if where.get("new"):
            self.new_visit()
        elif where.get("visit"):
            self.open_visit(where["visit"])
        else:
            self.show_list()

    def leave(self) -> bool:
        self.sheet.keep_words()
        return True

    def undo(self) -> None:
        if self.visit:
            self.sheet.undo()

    def redo(self) -> None:
        if self.visit:
            self.sheet.redo()

    def show_list(self) -> None:
        self.sheet.keep_words()
        book, horse, casework = self._state.open_book, self._horse, self._state.casework
        self._state.background.read(
            self, lambda: casework.visit.list_visits(book, horse), self._listed, replaces="visit"
        )

    def open_visit(self, key: str) -> None:
        book, casework = self._state.open_book, self._state.casework
        self._state.background.read(self, lambda: casework.visit.read_visit(book, key), self._opened, replaces="visit")

    def new_visit(self) -> None:
        """Today's visit, begun where there is none yet."""
        book, horse, casework = self._state.open_book, self._horse, self._state.casework

        def begin() -> VisitSheet:
            key = casework.visit.add_visit(book, horse)
            sheet: VisitSheet = casework.visit.read_visit(book, key)
            return sheet

        self._state.background.read(self, begin, self._begun)

    def _begun(self, sheet: VisitSheet) -> None:
        self._opened(sheet)
        self._state.changed()

    def _opened(self, sheet: VisitSheet) -> None:
        if sheet.horse != self._horse:
            return
        self.stack.setCurrentWidget(self.sheet)
        self.sheet.show_sheet(sheet)

    def _listed(self, found: Table | EmptyPlace) -> None:
        if isinstance(found, EmptyPlace):
            self.empty.show_empty(found)
            self.stack.setCurrentWidget(self.empty)
            return
        self.table.show_table(found)
        self.stack.setCurrentWidget(self.list_page)
        first = next((row for row in self.table.rows), None)
        if first is not None:
            first.setFocus()
