"""The place Horse card: facts, what to watch, four feet, and the visits below."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import QGridLayout, QHBoxLayout, QVBoxLayout, QWidget

from hoofbook.desktop.horse_card.foot_pane import FootPaneView
from hoofbook.desktop.horse_card.goal import GoalDialog
from hoofbook.desktop.state import AppState
from hoofbook.desktop.widgets.buttons import Button
from hoofbook.desktop.widgets.page import Page
from hoofbook.desktop.widgets.panel import Note, Panel
from hoofbook.desktop.widgets.pictures import Pictures
from hoofbook.desktop.widgets.table import TableView
from hoofbook.desktop.widgets.text import Label
from hoofbook.terms.shown import EmptyPlace, Table
from hoofbook.wording import labels

if TYPE_CHECKING:
    from hoofbook.casework.horse_card import HorseCard

FEET = ("LF", "RF", "LH", "RH")
_SIDE_BY_SIDE = 980


class HorseCardPlace(QWidget):
    """Reads the card again each time it is shown."""

    def __init__(self, state: AppState, pictures: Pictures, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._state = state
        self.horse = ""
        self.card: HorseCard | None = None
        self._shape = ""
        outer = QVBoxLayout(self)
        outer.setContentsMargins(0, 0, 0, 0)
        self.page = Page()
        outer.addWidget(self.page)
        self._build_facts()
        self.watch = Note()
        self.page.column.addWidget(self.watch)
        self._feet = QWidget()
        self._grid = QGridLayout(self._feet)
        self._grid.setContentsMargins(0, 0, 0, 0)
        self._grid.setSpacing(16)
        self.panes = {foot: FootPaneView(state, pictures) for foot in FEET}
        for pane in self.panes.values():
            pane.goal_wanted = self.ask_goal
        self.page.column.addWidget(self._feet)
        self.visits_panel = Panel()
        self.visits = TableView(self._open_visit)
        self.no_visits = Label("", "body", "soft", wrap=True)
        self.visits_panel.body.addWidget(self.visits)
        self.visits_panel.body.addWidget(self.no_visits)
        self.page.column.addWidget(self.visits_panel)
        self.page.column.addStretch(1)
        self.page.content.hide()

    def show_horse(self, horse_key: str, **where: str) -> None:
        if horse_key != self.horse:
            self.page.content.hide()
        self.horse = horse_key
        self._read()

    def leave(self) -> bool:
        return True

    def ask_goal(self, foot: str) -> None:
        """Open the dialog for a goal of this foot."""
        title = self.panes[foot].title.text()
        self.goal_dialog = GoalDialog(
            self._state, self.horse, foot, title=title, kept=self._changed, parent=self.window()
        )
        self.goal_dialog.open()

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        self._arrange()

    def _build_facts(self) -> None:
        row = QHBoxLayout()
        row.setSpacing(18)
        self.facts = Label("", wrap=True)
        self.due = Label("", bold=True)
        self.change = Button(labels.CHANGE_HORSE, "link", lambda: self._state.go("horse_form"), small=True)
        row.addWidget(self.facts, 1)
        row.addWidget(self.due)
        row.addWidget(self.change)
        self.page.column.addLayout(row)
        self.page.column.setSpacing(14)

    def _read(self) -> None:
        book, horse = self._state.open_book, self.horse
        casework = self._state.casework
        self._state.background.read(
            self, lambda: casework.horse_card.read_horse_card(book, horse), self.show_card, replaces="card"
        )

    def show_card(self, card: HorseCard) -> None:
        self.card = card
        writable = self._state.open_book is not None and not self._state.open_book.read_only
        self.facts.setText(card.facts)
        self.due.setText(card.due)
        self.due.setVisible(bool(card.due))
        self.change.setVisible(writable)
        self.watch.show_words(card.watch_from or labels.WATCH_NEXT, card.watch_next)
        for pane in card.feet:
            self.panes[pane.foot].show_pane(pane, writable=writable)
        self.no_visits.setVisible(isinstance(card.visits, EmptyPlace))
        self.visits.setVisible(isinstance(card.visits, Table))
        if isinstance(card.visits, EmptyPlace):
            self.no_visits.setText(card.visits.words)
        else:
            self.visits.show_table(card.visits)
        self._shape = ""
        self._arrange()
        self.page.content.show()

    def _arrange(self) -> None:
        """The study's row where there is room and only the fores have goals; else two feet across."""
        card = self.card
        if card is None:
            return
        goals = {pane.foot for pane in card.feet if pane.has_goal}
        wide = self.width() >= _SIDE_BY_SIDE * self._state.theme.size / 17 and goals == {"LF", "RF"}
        shape = f"{'row' if wide else 'pairs'} {sorted(goals)}"
        if shape == self._shape:
            return
        self._shape = shape
        while self._grid.count():
            self._grid.takeAt(0)
        places = {"LF": (0, 0, 2, 1), "RF": (0, 1, 2, 1), "LH": (0, 2, 1, 1), "RH": (1, 2, 1, 1)}
        if not wide:
            places = {"LF": (0, 0, 1, 1), "RF": (0, 1, 1, 1), "LH": (1, 0, 1, 1), "RH": (1, 1, 1, 1)}
        for foot, where in places.items():
            self._grid.addWidget(self.panes[foot], *where)
        for column, stretch in enumerate((21, 21, 11) if wide else (1, 1, 0)):
            self._grid.setColumnStretch(column, stretch)

    def _open_visit(self, key: str) -> None:
        self._state.go("visit", visit=key)

    def _changed(self) -> None:
        self._state.changed()
        self._read()
