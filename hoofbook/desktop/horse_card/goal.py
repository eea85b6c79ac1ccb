"""What shall be followed on a foot, and which way it is wanted to go."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial

from PySide6.QtWidgets import QDialog, QVBoxLayout, QWidget

from hoofbook.desktop.state import AppState
from hoofbook.desktop.widgets.buttons import Button
from hoofbook.desktop.widgets.flow import FlowLayout
from hoofbook.desktop.widgets.focus_ring import FocusRing
from hoofbook.desktop.widgets.page import Page
from hoofbook.desktop.widgets.pick_row import PickRow
from hoofbook.desktop.widgets.text import Label
from hoofbook.terms.shown import Pick
from hoofbook.wording import labels

WANTED = (("more", labels.WANTED_MORE), ("less", labels.WANTED_LESS), ("keep", labels.WANTED_KEEP))
Choices = tuple[tuple[str, str, str, str], ...]


class GoalDialog(QDialog):
    """One measure, one direction; `kept` runs after it was written."""

    def __init__(
        self, state: AppState, horse: str, foot: str, *, title: str, kept: Callable[[], None], parent: QWidget
    ) -> None:
        super().__init__(parent)
        self._state, self._horse, self._foot, self._kept = state, horse, foot, kept
        self._choices: Choices = ()
        self.setWindowTitle(f"{title}: {labels.GOAL_TITLE}")
        self.resize(min(640, parent.width() - 40), min(560, parent.height() - 40))
        outer = QVBoxLayout(self)
        outer.setContentsMargins(0, 0, 0, 0)
        self.page = Page(margin=24)
        outer.addWidget(self.page)
        column = self.page.column
        column.addWidget(Label(title, "heading"))
        column.addWidget(Label(labels.GOAL_TITLE, wrap=True))
        self.measures = PickRow(name=labels.GOAL_MEASURE)
        self.measures.picked.connect(lambda _field, value: self._mark(self.measures, value))
        column.addWidget(self.measures)
        column.addWidget(Label(labels.GOAL_WANTED, bold=True))
        self.wanted = PickRow(name=labels.GOAL_WANTED)
        self.wanted.set_pick(Pick("wanted", "", tuple(v for v, _ in WANTED), tuple(w for _, w in WANTED)))
        self.wanted.picked.connect(lambda _field, value: self._mark(self.wanted, value))
        column.addWidget(self.wanted)
        self.price = Label("", "small", "soft", wrap=True)
        column.addWidget(self.price)
        self.followed = QWidget()
        self._followed = QVBoxLayout(self.followed)
        self._followed.setContentsMargins(0, 0, 0, 0)
        column.addWidget(self.followed)
        column.addStretch(1)
        buttons = QWidget()
        row = FlowLayout(buttons, gap=12)
        row.setContentsMargins(24, 8, 24, 16)
        self.keep = Button(labels.GOAL_KEEP, "main", self._write)
        self.keep.setEnabled(False)
        row.addWidget(self.keep)
        row.addWidget(Button(labels.CANCEL, "plain", self.reject))
        outer.addWidget(buttons)
        self._ring = FocusRing(self)
        state.background.read(self, self._read, self._show)

    def _read(self) -> tuple[Choices, Choices, str]:
        card, book = self._state.casework.horse_card, self._state.open_book
        followed = card.open_goals(book, self._horse, self._foot)
        return card.goal_choices(book, self._horse, self._foot), followed, card.price_of_goal(book, self._horse)

    def _show(self, found: tuple[Choices, Choices, str]) -> None:
        self._choices, followed, price = found
        for place, measure, definition, words in followed:
            stop = Button(
                labels.GOAL_STOP.format(measure=words),
                "link",
                partial(self._stop, place, measure, definition),
            )
            self._followed.addWidget(stop)
        options = tuple(str(place) for place in range(len(self._choices)))
        self.measures.set_pick(Pick("measure", "", options, tuple(choice[-1] for choice in self._choices)))
        self.price.setText(price)
        if options:
            self.measures.focus_cell(0)

    def _mark(self, row: PickRow, value: str) -> None:
        from dataclasses import replace

        row.set_pick(replace(row.pick, chosen=value))
        self.keep.setEnabled(bool(self.measures.pick.chosen and self.wanted.pick.chosen))

    def _write(self) -> None:
        place, measure, definition, _words = self._choices[int(self.measures.pick.chosen)]
        wanted = self.wanted.pick.chosen
        casework, book = self._state.casework, self._state.open_book
        horse = self._horse
        self._state.background.read(
            self,
            lambda: casework.horse_card.set_goal(
                book, horse, place, measure=measure, definition=definition, wanted=wanted
            ),
            lambda _done: self._written(),
        )

    def _stop(self, place: str, measure: str, definition: str) -> None:
        """What was said of it stays in the book; it is only followed no longer."""
        casework, book = self._state.casework, self._state.open_book
        horse = self._horse
        self._state.background.read(
            self,
            lambda: casework.horse_card.end_goal(book, horse, place, measure=measure, definition=definition),
            lambda _done: self._written(),
        )

    def _written(self) -> None:
        self.accept()
        self._kept()
