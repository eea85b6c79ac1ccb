"""The place Cycle by cycle: verdict first, then the chart, then what it rests on and what could fool us."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from PySide6.QtCore import Qt
from PySide6.QtGui import QKeySequence, QResizeEvent, QShortcut
from PySide6.QtWidgets import QGridLayout, QHBoxLayout, QStackedWidget, QVBoxLayout, QWidget

from hoofbook.desktop.cycle_by_cycle.asked import LimitPanel, WhatItTakes
from hoofbook.desktop.cycle_by_cycle.chart_panel import ChartPanel
from hoofbook.desktop.cycle_by_cycle.could_be_noise import CouldBeNoise
from hoofbook.desktop.state import AppState
from hoofbook.desktop.widgets.buttons import Button
from hoofbook.desktop.widgets.chip import TONE_TOKENS
from hoofbook.desktop.widgets.empty_place import EmptyView
from hoofbook.desktop.widgets.flow import FlowLayout
from hoofbook.desktop.widgets.page import Page
from hoofbook.desktop.widgets.panel import Panel
from hoofbook.desktop.widgets.pick_row import PickRow
from hoofbook.desktop.widgets.section_view import SectionView
from hoofbook.desktop.widgets.table import TableView
from hoofbook.desktop.widgets.text import Label
from hoofbook.terms.shown import Section, Table, Tone
from hoofbook.wording import labels
from hoofbook.wording.measuring_anew import SEEN as ANEW_SEEN
from hoofbook.wording.within_cycle import EACH_CYCLE, EACH_WORDS

if TYPE_CHECKING:
    from hoofbook.casework.cycle_by_cycle import CycleSheet

_TWO_COLUMNS = 940
_SIDE = 306


class VerdictPanel(Panel):
    """The verdict in large words with its sign, the change, and its interval."""

    def __init__(self) -> None:
        super().__init__("")
        row = QHBoxLayout()
        row.setSpacing(24)
        left, right = QVBoxLayout(), QVBoxLayout()
        self.what = Label("", "body", "soft", wrap=True)
        self.verdict = Label("", "title", wrap=True)
        self.detail = Label("", "small", "soft", wrap=True)
        for part in (self.what, self.verdict, self.detail):
            left.addWidget(part)
        left.addStretch(1)
        number = QHBoxLayout()
        number.setSpacing(6)
        self.number = Label("", "number")
        self.unit = Label("", "body", "soft")
        number.addStretch(1)
        number.addWidget(self.number)
        number.addWidget(self.unit)
        self.interval = Label("", "small", "soft", wrap=True)
        self.interval.setAlignment(Qt.AlignmentFlag.AlignRight)
        right.addLayout(number)
        right.addWidget(self.interval)
        right.addStretch(1)
        row.addLayout(left, 3)
        row.addLayout(right, 2)
        self.body.addLayout(row)

    def show_sheet(self, sheet: CycleSheet) -> None:
        chip = sheet.chip
        tone = TONE_TOKENS[chip.tone] if chip is not None else "calm"
        coloured = chip is not None and chip.tone is not Tone.CALM
        self.what.setText(sheet.title)
        words = f"{chip.sign} {chip.words}".strip() if chip is not None else ""
        self.verdict.setText(words)
        self.verdict.setVisible(bool(words))
        self.verdict.set_tone(tone if coloured else "ink")
        self.verdict.setAccessibleName(chip.sentence if chip is not None else "")
        self.detail.setText(sheet.sentence)
        self.detail.setVisible(bool(sheet.sentence))
        self.number.setText(sheet.headline)
        self.number.set_tone(tone if coloured else "ink")
        self.unit.setText(sheet.headline_unit)
        for part in (self.number, self.unit):
            part.setVisible(bool(sheet.headline))
        self.number.setAccessibleName(f"{sheet.title}: {sheet.headline} {sheet.headline_unit}, {sheet.interval}")
        self.interval.setText(sheet.interval)
        self.interval.setVisible(bool(sheet.interval))


class CyclePlace(QWidget):
    """`show_horse(key, foot=, measure=, definition=)`; the foot and measure looked at last stay for the next horse."""

    def __init__(self, state: AppState, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._state = state
        self._horse = ""
        self._foot = self._measure = self._definition = ""
        self.sheet: CycleSheet | None = None
        self._columns = 0
        self._noise_after: tuple[str, str] | None = None
        self.noise_dialog: CouldBeNoise | None = None
        outer = QVBoxLayout(self)
        outer.setContentsMargins(0, 0, 0, 0)
        self.stack = QStackedWidget()
        outer.addWidget(self.stack)
        self.page = Page()
        self.empty = EmptyView(self._start)
        self._nothing = QWidget()
        for page in (self._nothing, self.page, self.empty):
            self.stack.addWidget(page)
        self._build()

    def _build(self) -> None:
        self.page.column.addWidget(self._make_switches())
        self._grid_holder = QWidget()
        self._grid = QGridLayout(self._grid_holder)
        self._grid.setContentsMargins(0, 0, 0, 0)
        self._grid.setSpacing(16)
        self.page.column.addWidget(self._grid_holder)
        self.page.column.addStretch(1)
        self._build_main()
        self._build_side()

    def _build_main(self) -> None:
        """From top to bottom: what was measured anew, the verdict, the chart, what happened inside the cycles."""
        self.verdict = VerdictPanel()
        self.chart = ChartPanel(self._state)
        self.chart.noise_wanted.connect(self._noise_of_point)
        self.caution = Label("", "small", "soft", wrap=True)
        self.how = Button(labels.HOW_LINK, "link", self._how)
        self.none = EmptyView(self._start)
        self.each = Panel(EACH_CYCLE)
        self.each_rows = TableView()
        self.each.body.addWidget(self.each_rows)
        self.each.body.addWidget(Label(EACH_WORDS, "small", "soft", wrap=True))
        self.anew = SectionView(kind="body")
        self.anew_seen = Button(ANEW_SEEN, "plain", self._seen)
        self.anew_seen.hide()
        self.within = SectionView(kind="body")
        said: tuple[QWidget, ...] = (self.anew, self.anew_seen, self.none, self.verdict, self.chart)
        self._main = _column((*said, self.within, self.each, self.caution, self.how), 16)

    def _build_side(self) -> None:
        self.sections = [SectionView() for _ in range(3)]
        self.limit = LimitPanel(self._state, self._read)
        self.takes = WhatItTakes(self._state)
        self._side = _column((*self.sections, self.limit, self.takes), 14)

    def _make_switches(self) -> QWidget:
        """Feet and measures, and the keys that step through them."""
        switches = QWidget()
        row = FlowLayout(switches, gap=16)
        self.feet = PickRow(style="track", name=labels.FOOT)
        self.measures = PickRow(style="track", name=labels.MEASURE)
        self._all_measures = False  # all of them were asked for; stays so until the place is left
        self.feet.picked.connect(lambda _field, value: self._read(foot=value))
        self.measures.picked.connect(self._pick_measure)
        row.addWidget(self.feet)
        row.addWidget(Label(labels.SWITCH_KEYS, "small", "soft"))
        row.addWidget(self.measures)
        keys = (
            ("F", self.feet, 1),
            ("Shift+F", self.feet, -1),
            ("M", self.measures, 1),
            ("Shift+M", self.measures, -1),
        )
        for key, pick_row, by in keys:
            shortcut = QShortcut(QKeySequence(key), self)
            shortcut.activated.connect(lambda pick_row=pick_row, by=by: self._step(pick_row, by))
        return switches

    def show_horse(self, horse_key: str, **where: str) -> None:
        if horse_key != self._horse:
            self.stack.setCurrentWidget(self._nothing)
        self._horse = horse_key
        self._noise_after = (where["noise_then"], where["noise_now"]) if "noise_then" in where else None
        self._read(
            foot=where.get("foot", self._foot),
            measure=where.get("measure", "" if where.get("foot") else self._measure),
            definition=where.get("definition", self._definition if not where else ""),
        )

    def open_noise(self, then: str = "", now: str = "") -> None:
        """Two readings, by their own key or a photo's, with their marks placed anew: why a difference may be none."""
        if self.noise_dialog is not None:
            self.noise_dialog.deleteLater()
        asked = {"horse": self._horse, "foot": self._foot, "measure": self._measure, "definition": self._definition}
        self.noise_dialog = CouldBeNoise(self._state, {**asked, "then": then, "now": now}, parent=self.window())
        self.noise_dialog.open()

    def _noise_of_point(self, key: str) -> None:
        """The reading looked at against the newest; the newest itself, or none, against the first."""
        self.open_noise(then=key)

    def leave(self) -> bool:
        self._all_measures = False
        return True

    def show_sheet(self, sheet: CycleSheet) -> None:
        self.sheet = sheet
        if sheet.empty is not None and not sheet.feet.options:
            self.empty.show_empty(sheet.empty)
            self.stack.setCurrentWidget(self.empty)
            return
        self._foot, self._measure, self._definition = sheet.foot, sheet.measure, sheet.definition
        self._read_anew()
        self.feet.set_pick(sheet.feet)
        every = sheet.all_measures if self._all_measures else None
        self.measures.set_pick(every or sheet.measures)
        nothing = sheet.empty is not None
        self.none.setVisible(nothing)
        for part in (self.verdict, self.chart, self.how):
            part.setVisible(not nothing)
        if sheet.empty is not None:
            self.none.show_empty(sheet.empty)
        else:
            self.verdict.show_sheet(sheet)
            self.chart.show_sheet(sheet)
        self.caution.setText(sheet.caution)
        self.caution.setVisible(bool(sheet.caution))
        shown = (sheet.how_decided, sheet.fool, sheet.other_foot, sheet.within_cycle)
        for view, section in zip((*self.sections, self.within), shown, strict=True):
            view.show_section(None if nothing else section)
        self.each.setVisible(not nothing and sheet.each_cycle is not None)
        self.each_rows.show_table(sheet.each_cycle or Table((), ()))
        for panel in (self.limit, self.takes):
            panel.show_sheet(self._horse, sheet)
            panel.setVisible(panel.isVisibleTo(self._side) and not nothing)
        self.stack.setCurrentWidget(self.page)
        self._arrange()
        wanted, self._noise_after = self._noise_after, None
        if wanted is not None:
            self.open_noise(*wanted)

    def _read_anew(self) -> None:
        """What was said before a better method came, until it is seen."""
        book, casework, horse = self._state.open_book, self._state.casework, self._horse
        where = (self._foot, self._measure, self._definition)
        self._state.background.read(
            self, lambda: casework.measuring_anew.unseen(book, horse, *where), self._show_anew, replaces="anew"
        )

    def _show_anew(self, section: Section | None) -> None:
        self.anew.show_section(section)
        book = self._state.open_book
        self.anew_seen.setVisible(section is not None and book is not None and not book.read_only)

    def _seen(self) -> None:
        book, casework, horse = self._state.open_book, self._state.casework, self._horse
        where = (self._foot, self._measure, self._definition)
        self._state.background.read(
            self, lambda: casework.measuring_anew.mark_seen(book, horse, *where), lambda _done: self._show_anew(None)
        )

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        self._arrange()

    def _read(self, **changed: str) -> None:
        foot = changed.get("foot", self._foot)
        measure = changed.get("measure", self._measure)
        definition = changed.get("definition", self._definition)
        book, horse, casework = self._state.open_book, self._horse, self._state.casework
        self._state.background.read(
            self,
            lambda: casework.cycle_by_cycle.read_cycle(book, horse, foot=foot, measure=measure, definition=definition),
            self.show_sheet,
            replaces="cycle",
        )

    def _arrange(self) -> None:
        scale = self._state.theme.size / 17
        columns = 2 if self.width() >= _TWO_COLUMNS * scale else 1
        self.chart.set_chart_height(max(260, min(500, round(self.height() * (0.5 if columns == 2 else 0.62)))))
        if columns == self._columns:
            return
        self._columns = columns
        while self._grid.count():
            self._grid.takeAt(0)
        self._grid.addWidget(self._main, 0, 0)
        self._side.setMaximumWidth(round(_SIDE * scale) if columns == 2 else 16777215)
        if columns == 2:
            self._grid.addWidget(self._side, 0, 1)
        else:
            self._grid.addWidget(self._side, 1, 0)
        self._grid.setColumnStretch(0, 1)
        self._grid.setColumnMinimumWidth(1, round(_SIDE * scale) if columns == 2 else 0)
        self._side.show()
        self._main.show()

    def _step(self, row: PickRow, by: int) -> None:
        """The next or previous foot or measure, round and round."""
        options = [option for option in row.pick.options if row is self.feet or "|" in option]
        if row.pick.chosen not in options or self.stack.currentWidget() is not self.page:
            return
        value = options[(options.index(row.pick.chosen) + by) % len(options)]
        if row is self.feet:
            self._read(foot=value)
        else:
            self._pick_measure("", value)

    def _pick_measure(self, _field: str, value: str) -> None:
        every = self.sheet.all_measures if self.sheet else None
        if "|" not in value and every is not None:
            self._all_measures = True
            self.measures.set_pick(every)
            return
        measure, _bar, definition = value.partition("|")
        self._read(measure=measure, definition=definition)

    def _how(self) -> None:
        self._state.go("how_measured", measure=self._measure)

    def _start(self, action: str) -> None:
        self._state.go("photo_tray" if action == "photos_in" else "bench")


def _column(parts: Sequence[QWidget], spacing: int) -> QWidget:
    """The parts one under the other, at the top."""
    holder = QWidget()
    column = QVBoxLayout(holder)
    column.setContentsMargins(0, 0, 0, 0)
    column.setSpacing(spacing)
    for part in parts:
        column.addWidget(part)
    column.addStretch(1)
    return holder
