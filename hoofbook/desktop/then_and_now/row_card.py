"""Beside a row or a year: which visits are shown, which of them may be chosen, and which are not shown and why."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import TYPE_CHECKING

from PySide6.QtWidgets import QVBoxLayout

from hoofbook.desktop.widgets.page import empty_layout
from hoofbook.desktop.widgets.panel import Panel
from hoofbook.desktop.widgets.pick_row import MANY, PickRow
from hoofbook.desktop.widgets.text import Label, kept_together
from hoofbook.terms.shown import PhotoTile, Pick
from hoofbook.wording import bench_labels as words

if TYPE_CHECKING:
    from hoofbook.casework.visits_row import RowSheet


class RowCard(Panel):
    """`chosen(photo keys)` comes when visits are taken into the row or out of it."""

    def __init__(self, chosen: Callable[[tuple[str, ...]], object]) -> None:
        super().__init__(words.SHOWN_VISITS)
        self.visits = PickRow(name=words.ROW_VISITS)
        self.visits.picked.connect(lambda _field, keys: chosen(tuple(key for key in keys.split(MANY) if key)))
        self._wanted = self._may_choose = False
        self._rows = QVBoxLayout()
        self._rows.setSpacing(4)
        self.body.addLayout(self._rows)
        self.body.addWidget(self.visits)

    def show_choice(self, strip: Sequence[PhotoTile], keys: Sequence[str], *, may_choose: bool) -> None:
        """All visits, those in the row filled."""
        self._may_choose = may_choose
        self.visits.setVisible(may_choose and self._wanted)
        options, labels = tuple(tile.key for tile in strip), tuple(tile.caption for tile in strip)
        chosen = MANY.join(key for key in options if key in keys)
        self.visits.set_pick(Pick("visits", words.ROW_VISITS, options, labels, chosen, many=True))

    def visits_wanted(self, wanted: bool) -> None:
        """Whether visits are chosen here: where there is no room for their strip."""
        self._wanted = wanted
        self.visits.setVisible(wanted and self._may_choose)

    def show_sheet(self, sheet: RowSheet) -> None:
        """Each visit with its day and what is written into its picture; what is left out with its reason."""
        empty_layout(self._rows)
        for side in sheet.sides:
            values = ", ".join(kept_together(line) for line in side.caption_lines[len(side.where_lines) :])
            notes = ", ".join(side.where_lines[2:])
            said = " · ".join(part for part in (side.where_lines[0], values, notes) if part)
            self._rows.addWidget(Label(said, "small", wrap=True))
        self._rows.addWidget(Label(sheet.way, "small", "soft", wrap=True))
        for reason in sheet.left_out:
            self._rows.addWidget(Label(reason, "small", "soft", wrap=True))
