"""The grid of the visit sheet: feet across, what was seen and done down; two feet across where it is narrow."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import TYPE_CHECKING

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import QGridLayout, QHBoxLayout, QVBoxLayout, QWidget

from hoofbook.desktop.state import AppState
from hoofbook.desktop.widgets.photo_tile import PhotoView
from hoofbook.desktop.widgets.pick_row import PickRow
from hoofbook.desktop.widgets.pictures import Pictures
from hoofbook.desktop.widgets.text import Label, rule
from hoofbook.wording import labels

if TYPE_CHECKING:
    from hoofbook.casework.visit import FootColumn

_PHOTO_HEIGHT = 92
_LABEL_SHARE = 7


class FootHead(QWidget):
    """Photo, name and what photos are in."""

    def __init__(self, state: AppState, pictures: Pictures) -> None:
        super().__init__()
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(2)
        self.photo = PhotoView(pictures, over=True, pressed=lambda key: state.go("bench", photo=key))
        self.photo.setFixedHeight(_PHOTO_HEIGHT)
        self.title = Label("", "heading")
        self.note = Label("", "small", "soft", wrap=True)
        column.addWidget(self.photo)
        column.addWidget(self.title)
        column.addWidget(self.note)

    def show_foot(self, foot: FootColumn) -> None:
        self.title.setText(foot.title)
        self.note.setText(foot.photo_note)
        tile = foot.tile
        name = tile.caption if tile is not None else foot.title
        bare = replace(tile, caption="") if tile is not None else None  # the name of the foot stands below
        self.photo.show_tile(bare, empty=labels.NO_PHOTO_YET, name=name)


class FeetGrid(QWidget):
    """`picked(foot, field, value)` is one tap. `done_head` is a place for the confirming button."""

    picked = Signal(str, str, str)

    def __init__(self, state: AppState, pictures: Pictures, confirm: QWidget) -> None:
        super().__init__()
        self._state, self._pictures, self._confirm = state, pictures, confirm
        self._column = QVBoxLayout(self)
        self._column.setContentsMargins(0, 0, 0, 0)
        self._column.setSpacing(18)
        self._heads: dict[str, FootHead] = {}
        self.rows: dict[tuple[str, str], PickRow] = {}
        self._feet: tuple[FootColumn, ...] = ()
        self._across = 0
        self._holders: list[QWidget] = []

    def show_feet(self, feet: Sequence[FootColumn], across: int) -> None:
        same = [self._shape(foot) for foot in feet] == [self._shape(foot) for foot in self._feet]
        self._feet = tuple(feet)
        for foot in feet:
            if foot.foot not in self._heads:
                self._heads[foot.foot] = FootHead(self._state, self._pictures)
            self._heads[foot.foot].show_foot(foot)
            for pick in (*foot.seen, *foot.done):
                row = self.rows.get((foot.foot, pick.field))
                if row is None:
                    row = PickRow(name=foot.title)
                    row.picked.connect(lambda field, value, foot=foot.foot: self.picked.emit(foot, field, value))
                    self.rows[(foot.foot, pick.field)] = row
                row.set_pick(pick)
        if not same or across != self._across:
            self._lay_out(across)

    def set_across(self, across: int) -> None:
        if across != self._across and self._feet:
            self._lay_out(across)

    def lines(self) -> list[list[PickRow]]:
        """The rows as they stand, for walking with the arrow keys."""
        found = []
        for group in self._groups(self._across):
            for pick in (*group[0].seen, *group[0].done):
                found.append([self.rows[(foot.foot, pick.field)] for foot in group])
        return found

    def _shape(self, foot: FootColumn) -> tuple[str, tuple[str, ...]]:
        return foot.foot, tuple(pick.field for pick in (*foot.seen, *foot.done))

    def _groups(self, across: int) -> list[tuple[FootColumn, ...]]:
        return [self._feet[i : i + across] for i in range(0, len(self._feet), across)] if across else []

    def _lay_out(self, across: int) -> None:
        self._across = across
        self._confirm.setParent(self)
        for head in self._heads.values():
            head.setParent(self)
        for row in self.rows.values():
            row.setParent(self)
        for holder in self._holders:
            self._column.removeWidget(holder)
            holder.hide()
            holder.deleteLater()
        self._holders = []
        for place, group in enumerate(self._groups(across)):
            holder = self._block(group, first=place == 0)
            self._holders.append(holder)
            self._column.addWidget(holder)
        previous: QWidget | None = None
        for line in self.lines():
            for row in line:
                for cell in row.cells:
                    if previous is not None:
                        QWidget.setTabOrder(previous, cell)
                    previous = cell

    def _block(self, group: tuple[FootColumn, ...], *, first: bool) -> QWidget:
        holder = QWidget()
        grid = QGridLayout(holder)
        grid.setContentsMargins(0, 0, 0, 0)
        grid.setHorizontalSpacing(18)
        grid.setVerticalSpacing(8)
        grid.setColumnStretch(0, _LABEL_SHARE)
        for column, foot in enumerate(group, start=1):
            grid.setColumnStretch(column, 13 if len(group) == 4 else 26)
            grid.addWidget(self._heads[foot.foot], 0, column)
            self._heads[foot.foot].show()
        at = 1
        parts = ((labels.SEEN_TODAY, labels.SEEN_TODAY_HINT, group[0].seen), (labels.DONE_TODAY, "", group[0].done))
        for title, hint, picks in parts:
            grid.addWidget(rule(), at, 0, 1, len(group) + 1)
            grid.addWidget(self._part_head(title, hint, confirm=first and not hint), at + 1, 0, 1, len(group) + 1)
            at += 2
            for pick in picks:
                grid.addWidget(self._row_label(pick.label, pick.hint), at, 0)
                for column, foot in enumerate(group, start=1):
                    row = self.rows[(foot.foot, pick.field)]
                    grid.addWidget(row, at, column, Qt.AlignmentFlag.AlignTop)
                    row.show()
                at += 1
        return holder

    def _part_head(self, title: str, hint: str, *, confirm: bool) -> QWidget:
        head = QWidget()
        row = QHBoxLayout(head)
        row.setContentsMargins(0, 2, 0, 2)
        row.setSpacing(14)
        row.addWidget(Label(title, "heading"))
        row.addWidget(Label(hint or (labels.DONE_TODAY_HINT if confirm else ""), "small", "soft", wrap=True), 1)
        if confirm:
            row.addWidget(self._confirm)
            self._confirm.show()
        return head

    def _row_label(self, words: str, hint: str) -> QWidget:
        holder = QWidget()
        column = QVBoxLayout(holder)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(0)
        column.addWidget(Label(words, "body", bold=True, wrap=True))
        if hint:
            column.addWidget(Label(hint, "small", "soft", wrap=True))
        column.addStretch(1)
        return holder
