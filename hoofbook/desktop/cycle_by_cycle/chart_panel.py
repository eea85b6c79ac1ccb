"""The chart with what belongs to it: the words of the point looked at, another moment, the table, copying."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import Signal
from PySide6.QtGui import QGuiApplication
from PySide6.QtWidgets import QWidget

from hoofbook.desktop.look import theme
from hoofbook.desktop.state import AppState
from hoofbook.desktop.widgets.buttons import Button
from hoofbook.desktop.widgets.drawing_view import DrawingView
from hoofbook.desktop.widgets.flow import FlowLayout
from hoofbook.desktop.widgets.panel import Panel
from hoofbook.desktop.widgets.pick_row import PickRow
from hoofbook.desktop.widgets.table import TableView
from hoofbook.desktop.widgets.text import Label
from hoofbook.terms.drawing import Drawing
from hoofbook.terms.shown import Pick, Table
from hoofbook.wording import labels

if TYPE_CHECKING:
    from hoofbook.casework.cycle_by_cycle import CycleSheet

_HIDDEN, _SHOWN = "hidden", "shown"
_ZERO, _CLOSE = "zero", "close"


class ChartPanel(Panel):
    """Shows the chart of a `CycleSheet`; a point leads to its photo on the Bench. `noise_wanted(key)`: draw the
    reading looked at ("" = none) and another one anew."""

    noise_wanted = Signal(str)

    def __init__(self, state: AppState) -> None:
        super().__init__("")
        self._state = state
        self._sheet: CycleSheet | None = None
        self._before = self._close_up = False
        self.chart = DrawingView(least_height=260)
        self.chart.spot_changed.connect(self._look_at)
        self.chart.spot_pressed.connect(self._open)
        self.table = TableView(self._open_photo)
        self.table.hide()
        self.words = Label("", "body", wrap=True)
        self.words.setMinimumHeight(24)
        self.body.addWidget(self.chart, 1)
        self.body.addWidget(self.table)
        self.body.addWidget(self.words)
        foot = QWidget()
        row = FlowLayout(foot, gap=12)
        self.before = PickRow(style="track", name=labels.SHOW_BEFORE_TRIM)
        self.before.picked.connect(lambda _field, value: self.show_before(value == _SHOWN))
        self.values = PickRow(style="track", name=labels.VALUES)
        self.values.picked.connect(lambda _field, value: self.show_close_up(value == _CLOSE))
        self.before_words = Label(labels.SHOW_BEFORE_TRIM, "small", "soft")
        self.as_table = Button(labels.SHOW_TABLE, "plain", self.switch_table)
        self.copy = Button(labels.COPY_CHART, "plain", self.copy_chart)
        self.copy_rows = Button(labels.COPY_TABLE, "plain", self.copy_table)
        self.photo = Button(labels.OPEN_PHOTO, "outline", lambda: self._open(self.chart.at))
        self.noise = Button(labels.COULD_BE_NOISE, "outline", lambda: self.noise_wanted.emit(self.chart.at))
        values_words = Label(labels.VALUES, "small", "soft")
        switches = (self.before_words, self.before, values_words, self.values)
        parts = (*switches, self.as_table, self.copy, self.copy_rows, self.photo, self.noise)
        for part in parts:
            row.addWidget(part)
        self.body.addWidget(foot)
        self._mark_switches()

    def show_sheet(self, sheet: CycleSheet) -> None:
        self._sheet = sheet
        self.chart.look_at("")
        self.chart.show_made(self._make)
        self.table.show_table(sheet.table or Table((), ()))
        self.noise.setVisible(sheet.two_readings)
        self._look_at("")

    def show_before(self, shown: bool) -> None:
        """The readings before the trim: another moment, never joined with those after it."""
        self._before = shown
        self._mark_switches()
        if self._sheet is not None:
            self.chart.show_made(self._make)

    def show_close_up(self, close: bool) -> None:
        """Values from 0, so that a small change looks small; or close up, which the chart says."""
        self._close_up = close
        self._mark_switches()
        if self._sheet is not None:
            self.chart.show_made(self._make)

    def switch_table(self) -> None:
        """The same readings as a table, or as the chart again."""
        table = self.table.isHidden()
        self.table.setVisible(table)
        self.chart.setVisible(not table)
        self.words.setVisible(not table)
        self.as_table.set_words(labels.SHOW_CHART if table else labels.SHOW_TABLE)
        self.copy.setEnabled(not table)

    def copy_chart(self) -> None:
        self.chart.copy()
        self._state.notice(labels.CHART_COPIED)

    def copy_table(self) -> None:
        """The readings as text that a spreadsheet takes."""
        if self._sheet is None:
            return
        QGuiApplication.clipboard().setText(self._sheet.spreadsheet)
        self._state.notice(labels.TABLE_COPIED)

    def set_chart_height(self, height: int) -> None:
        self.chart.setFixedHeight(height)

    def _make(self, width: float, height: float) -> Drawing:
        assert self._sheet is not None and self._sheet.chart is not None
        drawing: Drawing = self._sheet.chart(width, height, float(theme().small), self._before, self._close_up)
        return drawing

    def _mark_switches(self) -> None:
        chosen = _SHOWN if self._before else _HIDDEN
        self.before.set_pick(Pick("before", "", (_HIDDEN, _SHOWN), (labels.HIDDEN, labels.SHOWN), chosen))
        chosen = _CLOSE if self._close_up else _ZERO
        self.values.set_pick(Pick("values", "", (_ZERO, _CLOSE), (labels.FROM_ZERO, labels.CLOSE_UP), chosen))

    def _look_at(self, key: str) -> None:
        point = self._point(key)
        self.words.setText(point[1] if point else labels.POINT_HINT)
        self.words.set_tone("ink" if point else "soft")
        self.photo.setEnabled(bool(point and point[0]))
        self.chart.setAccessibleDescription(self.words.text())

    def _open(self, key: str) -> None:
        point = self._point(key)
        if point and point[0]:
            self._state.go("bench", photo=point[0])

    def _point(self, key: str) -> tuple[str, str] | None:
        points = self._sheet.point_keys if self._sheet is not None else None
        return points.get(key) if points else None

    def _open_photo(self, key: str) -> None:
        """A row of the table: its key is a point's or a photo's."""
        if self._point(key):
            self._open(key)
        else:
            self._state.go("bench", photo=key)
