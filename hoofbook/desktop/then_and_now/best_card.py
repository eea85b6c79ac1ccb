"""The fairest pairs as a short list: each can be picked, and says why it stands where it stands."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial
from typing import TYPE_CHECKING

from PySide6.QtWidgets import QVBoxLayout, QWidget

from hoofbook.desktop.widgets.buttons import Button
from hoofbook.desktop.widgets.page import empty_layout
from hoofbook.desktop.widgets.panel import Panel
from hoofbook.desktop.widgets.pick_row import MANY, PickRow
from hoofbook.desktop.widgets.text import Label
from hoofbook.terms.shown import Pick
from hoofbook.wording import bench_labels as words

if TYPE_CHECKING:
    from hoofbook.casework.pair_sheet import BestPair, PairSheet


class BestCard(Panel):
    """`pressed(then key, now key)` picks a pair, `visit(photo key)` one of all visits where their strip has no room."""

    def __init__(self, pressed: Callable[[str, str], object], visit: Callable[[str], object]) -> None:
        super().__init__(words.BEST_PAIRS)
        self._pressed = pressed
        self.buttons: list[Button] = []
        self._shown: tuple[BestPair, ...] = ()
        self._rows = QVBoxLayout()
        self._rows.setSpacing(6)
        self.this = Label("", "small", "soft", wrap=True)
        self.body.addLayout(self._rows)
        self.body.addWidget(self.this)
        self.body.addWidget(Label(words.BEST_PAIRS_NOTE, "small", "soft", wrap=True))
        self.visits_words = Label(words.OTHER_VISITS, "small", bold=True)
        self.visits = PickRow(name=words.OTHER_VISITS)
        self.visits.picked.connect(lambda _field, keys: self._turned(keys.split(MANY), visit))
        self.body.addWidget(self.visits_words)
        self.body.addWidget(self.visits)
        self.visits_wanted(False)

    def show_sheet(self, sheet: PairSheet) -> None:
        """The list, with the pair that is shown marked; one that is not in it says how alike it is."""
        self.setVisible(bool(sheet.best) or len(sheet.strip) > 1)
        if sheet.best != self._shown:
            self._shown = sheet.best
            self._fill(sheet.best)
        tiles, pair = sheet.strip, [side.key for side in (sheet.then, sheet.now) if side]
        self.visits.set_pick(
            Pick("visits", "", tuple(t.key for t in tiles), tuple(t.caption for t in tiles), MANY.join(pair), many=True)
        )
        here = (sheet.then.key, sheet.now.key) if sheet.then and sheet.now else ("", "")
        listed = False
        for best, button in zip(sheet.best, self.buttons, strict=True):
            button.setChecked((best.then, best.now) == here)
            listed = listed or button.isChecked()
        self.this.setText(words.THIS_PAIR.format(why=sheet.why))
        self.this.setVisible(not listed and bool(sheet.why))

    def visits_wanted(self, wanted: bool) -> None:
        """Whether all visits are named here: where their strip has no room, nothing is picked unseen either."""
        self.visits.setVisible(wanted)
        self.visits_words.setVisible(wanted)

    def _turned(self, keys: list[str], visit: Callable[[str], object]) -> None:
        """The one visit that was pressed, whether it was one of the two or not."""
        self.visits.set_pick(self.visits.pick)
        turned = set(keys) ^ set(self.visits.chosen)
        for key in turned - {""}:
            visit(key)

    def _fill(self, best: tuple[BestPair, ...]) -> None:
        focused = next((place for place, button in enumerate(self.buttons) if button.hasFocus()), None)
        empty_layout(self._rows)
        self.buttons = []
        for pair in best:
            row = QWidget()
            column = QVBoxLayout(row)
            column.setContentsMargins(0, 0, 0, 0)
            column.setSpacing(2)
            button = Button(
                pair.days,
                "plain",
                partial(self._press, pair),
                name=f"{pair.days}, {pair.why}",
                small=True,
            )
            button.setCheckable(True)
            column.addWidget(button)
            column.addWidget(Label(pair.why, "small", "soft", wrap=True))
            self._rows.addWidget(row)
            self.buttons.append(button)
        if focused is not None and focused < len(self.buttons):
            self.buttons[focused].setFocus()

    def _press(self, pair: BestPair) -> None:
        for best, button in zip(self._shown, self.buttons, strict=True):
            button.setChecked(best is pair)
        self._pressed(pair.then, pair.now)
