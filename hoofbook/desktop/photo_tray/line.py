"""One photo in the tray: small picture, what is known, what is remarked, and the choices it is sorted by."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import QFrame, QHBoxLayout, QVBoxLayout, QWidget

from hoofbook.desktop.widgets.buttons import Button
from hoofbook.desktop.widgets.flow import FlowLayout
from hoofbook.desktop.widgets.labelled import Labelled
from hoofbook.desktop.widgets.photo_tile import PhotoView
from hoofbook.desktop.widgets.pick_row import PickRow
from hoofbook.desktop.widgets.pictures import Pictures
from hoofbook.desktop.widgets.text import Label
from hoofbook.terms.shown import Pick
from hoofbook.wording import labels
from hoofbook.wording.papers_place import HIDE

if TYPE_CHECKING:
    from hoofbook.casework.photo_tray import TrayLine

FIRST_FIELDS = ("foot", "view", "moment", "visit")
_STATES = {
    "filed": labels.FILED,
    "to sort": labels.TO_SORT,
    "already here": labels.ALREADY_HERE,
    "refused": labels.REFUSED,
}


def chosen_pick(pick: Pick, line: TrayLine) -> Pick:
    """The choice with what this photo is filed under (lines carry words, choices carry values)."""
    words = getattr(line, pick.field, "")
    values = dict(zip(pick.labels, pick.options, strict=True))
    return replace(pick, chosen=values.get(words, words if words in pick.options else ""))


class TrayLineView(QFrame):
    """`filed(key, field, value)` is one choice; `opened(line)` when its choices unfold."""

    filed = Signal(str, str, str)
    opened = Signal(object)
    marked = Signal(str)
    hidden = Signal(str)  # a part of this photo is to be hidden

    def __init__(self, pictures: Pictures, line: TrayLine, picks: tuple[Pick, ...], *, writable: bool) -> None:
        super().__init__()
        self.setProperty("surface", "card")
        self._picks = picks
        self._writable = writable
        self.line = line
        self.rows: dict[str, PickRow] = {}
        column = QVBoxLayout(self)
        column.setContentsMargins(12, 12, 16, 12)
        column.setSpacing(10)
        row = QHBoxLayout()
        row.setSpacing(16)
        self.photo = PhotoView(pictures, pressed=self.marked.emit)
        self.photo.setFixedSize(132, 92)
        row.addWidget(self.photo, 0, Qt.AlignmentFlag.AlignTop)
        words = QVBoxLayout()
        words.setSpacing(3)
        self.head = Label("", "body", bold=True, wrap=True)
        self.told = Label("", "small", "soft", wrap=True)
        self.remarks = Label("", "small", wrap=True)
        for part in (self.head, self.told, self.remarks):
            words.addWidget(part)
        row.addLayout(words, 1)
        self.state_words = Label("", "small", "soft", bold=True)
        row.addWidget(self.state_words, 0, Qt.AlignmentFlag.AlignTop)
        column.addLayout(row)
        words.addWidget(self._make_buttons())
        words.addStretch(1)
        self._choices = QWidget()
        self._choice_row = FlowLayout(self._choices, gap=18)
        self._choices.hide()
        column.addWidget(self._choices)
        self.show_line(line)

    def _make_buttons(self) -> QWidget:
        self._buttons = QWidget()
        buttons = FlowLayout(self._buttons, gap=10)
        self.change = Button(labels.SORT_IT, "plain", self.unfold)
        self.mark = Button(labels.MARK_IT, "plain", lambda: self.marked.emit(self.line.key))
        buttons.addWidget(self.change)
        buttons.addWidget(self.mark)
        self.hide_part = Button(HIDE, "plain", lambda: self.hidden.emit(self.line.key))
        buttons.addWidget(self.hide_part)
        return self._buttons

    def show_line(self, line: TrayLine) -> None:
        self.line = line
        filed = " · ".join(part for part in (line.foot, line.seen or line.view, line.moment, line.visit) if part)
        self.head.setText(filed or line.name)
        told = [line.name if filed else "", line.taken, line.grade, labels.SECOND_TAKE if line.second else ""]
        self.told.setText(" · ".join(part for part in told if part))
        self.told.setVisible(bool(self.told.text()))
        self.remarks.setText("\n".join(line.remarks))
        self.remarks.setVisible(bool(line.remarks))
        self.state_words.setText(_STATES.get(line.state, line.state))
        self.state_words.set_tone("leather" if line.state == "to sort" else "soft")
        self.photo.show_tile(replace(line.tile, caption="", note="") if line.key else None, name=line.name)
        self._buttons.setVisible(bool(line.key))
        self.change.setVisible(self._writable)
        self.hide_part.setVisible(self._writable)
        if not self.is_unfolded:
            self.change.set_words(self._change_words())
        self.mark.setVisible(line.state in ("filed", "already here"))
        for field, row in self.rows.items():
            row.set_pick(chosen_pick(next(pick for pick in self._picks if pick.field == field), line))

    def unfold(self) -> None:
        """Show the choices, or fold them away again."""
        showing = self.is_unfolded
        if not showing and not self.rows:
            self._make_rows()
        self._choices.setVisible(not showing)
        self.change.set_words(self._change_words() if showing else labels.SORTED)
        if not showing:
            self.opened.emit(self)

    def _change_words(self) -> str:
        return labels.SORT_IT if self.line.state == "to sort" else labels.SORT_AGAIN

    def fold(self) -> None:
        if self.is_unfolded:
            self.unfold()

    @property
    def is_unfolded(self) -> bool:
        return not self._choices.isHidden()

    def focus_first(self) -> None:
        """To the first choice that is still open."""
        for field in FIRST_FIELDS:
            row = self.rows.get(field)
            if row is not None and not row.pick.chosen and row.cells:
                row.focus_cell(0)
                return

    def _make_rows(self) -> None:
        for pick in self._picks:
            if not pick.options:
                continue
            row = PickRow(chosen_pick(pick, self.line))
            row.picked.connect(self._picked)
            self.rows[pick.field] = row
            self._choice_row.addWidget(Labelled(pick.label, row))

    def _picked(self, field: str, value: str) -> None:
        self.rows[field].set_pick(replace(self.rows[field].pick, chosen=value))
        self.filed.emit(self.line.key, field, value)
