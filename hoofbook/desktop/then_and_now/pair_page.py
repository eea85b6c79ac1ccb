"""The widgets of Then and now and how they lie."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from PySide6.QtCore import QEvent, QObject, Qt, Signal
from PySide6.QtWidgets import QHBoxLayout, QSlider, QVBoxLayout, QWidget

from hoofbook.desktop.canvas.drawer_page import DrawerPage
from hoofbook.desktop.canvas.layout import Shares
from hoofbook.desktop.canvas.strip import PhotoStrip
from hoofbook.desktop.canvas.veil_label import VeilLabel
from hoofbook.desktop.canvas.view_bar import ViewBar
from hoofbook.desktop.theme import TARGET
from hoofbook.desktop.then_and_now.pair_canvas import PairCanvas
from hoofbook.desktop.then_and_now.pair_panel import PairPanel
from hoofbook.desktop.then_and_now.pair_view import Way
from hoofbook.desktop.widgets.buttons import Button
from hoofbook.desktop.widgets.flow import FlowLayout
from hoofbook.desktop.widgets.pick_row import PickRow
from hoofbook.desktop.widgets.pictures import Pictures
from hoofbook.desktop.widgets.text import Label
from hoofbook.terms.shown import Pick
from hoofbook.wording import bench_labels as words

if TYPE_CHECKING:
    from hoofbook.casework.then_and_now import PairSheet

WAYS = Pick(
    "way",
    words.PAIR_NAME,
    tuple(way.value for way in (Way.CURTAIN, Way.SIDE_BY_SIDE, Way.FADE, Way.FLIP)),
    (words.CURTAIN, words.SIDE_BY_SIDE, words.FADE, words.FLIP),
)
CHOOSING = Pick("side", words.OTHER_VISITS, ("then", "now"), (words.CHOOSE_THEN, words.CHOOSE_NOW), "now")


class PairPage(DrawerPage):
    """`picked(field, value)`: foot, view; `way_picked`; `visit_pressed(photo key)`; `save_pressed`; `noise_pressed`."""

    picked = Signal(str, str)
    way_picked = Signal(str)
    visit_pressed = Signal(str)
    save_pressed = Signal()
    noise_pressed = Signal()

    def __init__(self, pictures: Pictures) -> None:
        super().__init__()
        self.choosing = CHOOSING.chosen
        self.canvas = PairCanvas()
        self.canvas.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.canvas.setAccessibleName(words.PAIR_NAME)
        self.canvas.setAccessibleDescription(words.PAIR_DESCRIPTION)
        self.canvas.installEventFilter(self)
        self.panel = PairPanel(save=self.save_pressed.emit, lines=self.turn_lines, noise=self.noise_pressed.emit)
        self.strip = PhotoStrip(pictures, self.visit_pressed.emit)
        self.strip.setAccessibleName(words.OTHER_VISITS)
        self.note = VeilLabel(self.canvas)
        self._build_bar()
        self._build()

    def _build_bar(self) -> None:
        self.bar = ViewBar(self.canvas)
        self.bar.add("+", "+", words.ZOOM_IN, self.canvas.zoom_in)
        self.bar.add("−", "−", words.ZOOM_OUT, self.canvas.zoom_out)
        self.bar.add(words.FIT, "0", words.FIT_NAME, self.canvas.fit)
        self.flip_button = self.bar.add(words.FLIP, "F", words.FLIP, self.flip)
        self.fade = QSlider(Qt.Orientation.Horizontal)
        self._fade_holder = self.bar.add_widget(self.fade)
        self.fade.setRange(0, 100)
        self.fade.setMinimumSize(220, TARGET)
        self.fade.setAccessibleName(words.FADE_AMOUNT)
        self.fade.setFocusPolicy(Qt.FocusPolicy.TabFocus)
        self.fade.valueChanged.connect(lambda value: self.canvas.set_amount(value / 100))
        self.canvas.amount_changed.connect(self._amount_changed)

    def _build(self) -> None:
        self.title, self.subtitle = Label("", "heading"), Label("", "body", "soft")
        self.ways = PickRow(WAYS, style="track", name=words.PAIR_NAME)
        self.feet, self.views = PickRow(style="track", name=words.FOOT), PickRow(style="track", name=words.VIEW)
        self.ways.picked.connect(lambda _field, value: self.way_picked.emit(value))
        for row in (self.feet, self.views):
            row.picked.connect(self.picked)
        self._head = QWidget()
        head = FlowLayout(self._head, gap=14)
        for widget in (self.title, self.subtitle, self.feet, self.views, self.ways):
            head.addWidget(widget)
        self.outer.addWidget(self._head)
        self.body.addWidget(self.canvas, 1)
        self.hold(self.panel)
        self.outer.addLayout(self.body, 1)
        self._below = QWidget()
        below = QHBoxLayout(self._below)
        below.setContentsMargins(0, 0, 0, 0)
        below.setSpacing(14)
        below.addWidget(self.strip, 1)
        beside = QVBoxLayout()
        self.choose = PickRow(CHOOSING, style="track", name=words.OTHER_VISITS)
        self.choose.picked.connect(self._choose_side)
        beside.addStretch(1)
        beside.addWidget(self.choose)
        beside.addStretch(1)
        below.addLayout(beside)
        self.outer.addWidget(self._below)
        self.foot_words = Label("", "small", "soft")
        self.foot_save = Button(words.SAVE_PICTURE, "main", self.save_pressed.emit)
        self.outer.addWidget(self.make_foot(words.PANEL_PAIR, self.foot_words, self.foot_save))

    def arranged(self, given: Shares) -> None:
        self._below.setVisible(given.strip)
        self.subtitle.setVisible(bool(given.panel))
        self._lie_over_canvas()

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        if watched is self.canvas and event.type() is QEvent.Type.Resize:
            self._lie_over_canvas()
        return False

    def _lie_over_canvas(self) -> None:
        room = self.canvas.size()
        self.bar.lie_in(room)
        self.note.lie_in(room)

    # what is shown

    def show_sheet(self, sheet: PairSheet, days: tuple[str, str]) -> None:
        self.title.setText(sheet.title)
        self.subtitle.setText(sheet.subtitle)
        for row, pick in ((self.feet, sheet.feet), (self.views, sheet.views)):
            row.set_pick(pick)
            row.setVisible(len(pick.options) > 1)
        self.panel.show_sheet(sheet, days)
        sides = {sheet.then.key: words.THEN, sheet.now.key: words.NOW_SHOWN} if sheet.then and sheet.now else {}
        tiles = [replace(tile, note=sides.get(tile.key, "")) for tile in sheet.strip]
        self.strip.show_tiles(tiles, list(sides))
        self.foot_words.setText(sheet.subtitle)

    def show_way(self, way: Way, *, only_beside: bool) -> None:
        """The way that is shown; photos that share no scale can only lie side by side."""
        options = (Way.SIDE_BY_SIDE.value,) if only_beside else WAYS.options
        labels = (words.SIDE_BY_SIDE,) if only_beside else WAYS.labels
        self.ways.set_pick(replace(WAYS, options=options, labels=labels, chosen=way.value))
        self.canvas.set_way(way)
        self._fade_holder.setVisible(way is Way.FADE)
        self.fade.setValue(round(self.canvas.amount * 100))
        self.flip_button.setVisible(not only_beside)
        self.bar.lie_in(self.canvas.size())

    def flip(self) -> None:
        """Show the other one of the two; from any way of showing."""
        if self.canvas.way is not Way.FLIP:
            self.way_picked.emit(Way.FLIP.value)
        else:
            self.canvas.flip()

    def turn_lines(self) -> None:
        self.canvas.set_drawings(not self.canvas.drawings_on)
        self.panel.lines.setChecked(self.canvas.drawings_on)

    def _amount_changed(self, amount: float) -> None:
        if round(amount * 100) != self.fade.value():
            self.fade.blockSignals(True)
            self.fade.setValue(round(amount * 100))
            self.fade.blockSignals(False)

    def _choose_side(self, _field: str, value: str) -> None:
        self.choosing = value or self.choosing
        self.choose.set_pick(replace(CHOOSING, chosen=self.choosing))
