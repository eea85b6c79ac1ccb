"""One foot of the horse card: its latest photo, its goal, the reading, the small chart and the verdict."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtWidgets import QFrame, QGridLayout, QVBoxLayout, QWidget

from hoofbook.desktop.state import AppState
from hoofbook.desktop.widgets.buttons import Button
from hoofbook.desktop.widgets.chip import ChipBlock
from hoofbook.desktop.widgets.drawing_view import DrawingView
from hoofbook.desktop.widgets.flow import FlowLayout
from hoofbook.desktop.widgets.photo_tile import PhotoView
from hoofbook.desktop.widgets.pictures import Pictures
from hoofbook.desktop.widgets.text import Label, kept_together
from hoofbook.desktop.widgets.value import ValueView
from hoofbook.wording import labels
from hoofbook.wording.sole_map import TITLE as WHOLE_SOLE

if TYPE_CHECKING:
    from hoofbook.casework.horse_card import FootPane

_INSIDE = 14


class FootPaneView(QFrame):
    """A foot with a goal stands large (photo beside words), one without stands small (photo above)."""

    def __init__(self, state: AppState, pictures: Pictures, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._state = state
        self.setProperty("surface", "card")
        self.pane: FootPane | None = None
        self._large: bool | None = None
        self.photo = PhotoView(pictures, pressed=lambda key: state.go("bench", photo=key))
        self.title = Label("", "heading")
        self.goal = Label("", "body", wrap=True)
        self.small_goal = Label("", "small", "soft", wrap=True)
        self.wanted = Label("", "small", "soft", wrap=True)
        self.value = ValueView()
        self.small_value = ValueView("value")
        self.second = Label("", "small", "soft", wrap=True)
        self.spark = DrawingView(least_height=48)
        self.chip = ChipBlock()
        self.cycles = Button(labels.CYCLE_BY_CYCLE, "link", self._open_cycles, small=True)
        self.set_goal = Button(labels.SET_GOAL, "link", self._set_goal, small=True)
        self.whole_sole = Button(WHOLE_SOLE, "link", self._open_map, small=True)
        self.goal_wanted = lambda _foot: None
        self._grid = QGridLayout(self)
        self._grid.setContentsMargins(_INSIDE, _INSIDE, _INSIDE, _INSIDE)
        self._grid.setHorizontalSpacing(18)
        self._grid.setVerticalSpacing(4)
        self._words = QWidget()
        self._column = QVBoxLayout(self._words)
        self._column.setContentsMargins(0, 0, 0, 0)
        self._column.setSpacing(4)
        self._links = QWidget()
        row = FlowLayout(self._links, gap=10, line_gap=0)
        row.addWidget(self.cycles)
        row.addWidget(self.whole_sole)
        row.addWidget(self.set_goal)

    def show_pane(self, pane: FootPane, *, writable: bool) -> None:
        self.pane = pane
        self._lay_out(large=pane.has_goal)
        self.title.setText(pane.title)
        self.photo.show_tile(pane.tile, empty=labels.NO_PHOTO_YET, name=pane.title)
        self._say(self.goal, pane.goal if pane.has_goal else "")
        words = pane.goal if pane.value is None else f"{pane.value.label}, {pane.goal}"
        self._say(self.small_goal, "" if pane.has_goal else words)
        self._say(self.wanted, pane.wanted)
        self.value.show_value(pane.value if pane.has_goal else None)
        self.small_value.show_value(None if pane.has_goal else pane.value)
        definition = pane.value.definition if pane.value is not None else ""
        second = f"{definition}\n({pane.second})" if definition and pane.second else definition or pane.second
        self._say(self.second, kept_together(second) if pane.has_goal else "")
        self.spark.setVisible(pane.spark is not None)
        self.spark.show_drawing(pane.spark)
        self.chip.show_chip(pane.chip)
        self.set_goal.setVisible(writable)
        self.set_goal.set_words(labels.CHANGE_GOAL if pane.has_goal else labels.SET_GOAL)
        self.set_goal.setAccessibleName(f"{self.set_goal.text()}: {pane.title}")
        self.cycles.setAccessibleName(f"{labels.CYCLE_BY_CYCLE}: {pane.title}")
        self.cycles.setVisible(pane.has_goal)
        self.whole_sole.setVisible(pane.has_map)
        self.whole_sole.setAccessibleName(f"{WHOLE_SOLE}: {pane.title}")

    def _say(self, label: Label, words: str) -> None:
        label.setText(words)
        label.setVisible(bool(words))

    def _lay_out(self, *, large: bool) -> None:
        if large is self._large:
            return
        self._large = large
        for layout in (self._column, self._grid):
            while layout.count():
                layout.takeAt(0)
        self.photo.setMinimumSize(120, 200 if large else 104)
        self.photo.setMaximumHeight(16777215 if large else 130)
        if large:
            self._lay_out_large()
        else:
            self._lay_out_small()

    def _lay_out_large(self) -> None:
        words: tuple[QWidget, ...] = (self.title, self.goal, self.wanted, self.value, self.second)
        for part in words:
            self._column.addWidget(part)
        self._column.addStretch(1)
        for below in (self.spark, self.chip, self._links):
            self._column.addWidget(below)
        self._grid.addWidget(self.photo, 0, 0)
        self._grid.addWidget(self._words, 0, 1)
        self._grid.setColumnStretch(0, 8)
        self._grid.setColumnStretch(1, 11)

    def _lay_out_small(self) -> None:
        """One under the other: such a foot is looked at in passing."""
        parts: tuple[QWidget, ...] = (self.photo, self.title, self.small_value, self.small_goal, self._links)
        for at, part in enumerate(parts):
            self._grid.addWidget(part, at, 0, 1, 2)
        self._grid.setRowStretch(len(parts), 1)

    def _open_cycles(self) -> None:
        if self.pane is not None:
            self._state.go("cycle_by_cycle", foot=self.pane.foot)

    def _open_map(self) -> None:
        if self.pane is not None:
            self._state.go("sole_map", foot=self.pane.foot)

    def _set_goal(self) -> None:
        if self.pane is not None:
            self.goal_wanted(self.pane.foot)  # type: ignore[no-untyped-call]
