"""The widgets of Then and now and how they lie."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from typing import TYPE_CHECKING

from PySide6.QtCore import QEvent, QObject, Qt, Signal
from PySide6.QtWidgets import QHBoxLayout, QSlider, QStackedLayout, QVBoxLayout, QWidget

from hoofbook.desktop.canvas.drawer_page import DrawerPage
from hoofbook.desktop.canvas.layout import Shares
from hoofbook.desktop.canvas.strip import PhotoStrip
from hoofbook.desktop.canvas.veil_label import VeilLabel
from hoofbook.desktop.canvas.view_bar import ViewBar
from hoofbook.desktop.theme import TARGET
from hoofbook.desktop.then_and_now.laid_painter import Looking
from hoofbook.desktop.then_and_now.pair_canvas import PairCanvas
from hoofbook.desktop.then_and_now.pair_panel import PairHands, PairPanel
from hoofbook.desktop.then_and_now.pair_view import Way
from hoofbook.desktop.then_and_now.row_canvas import RowCanvas
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
    tuple(way.value for way in Way),
    (words.CURTAIN, words.SIDE_BY_SIDE, words.FADE, words.FLIP, words.ROW, words.YEAR),
)
NOT_SCALED = (Way.SIDE_BY_SIDE, Way.ROW, Way.YEAR)  # what photos without a shared scale can be shown as
CHOOSING = Pick("side", words.OTHER_VISITS, ("then", "now"), (words.CHOOSE_THEN, words.CHOOSE_NOW), "now")


class PairPage(DrawerPage):
    """`picked(field, value)`: foot, view; `way_picked`; `visit_pressed(photo key)`; `pair_pressed(then, now)`;
    `visits_chosen(keys)` of a row; `measures_picked(keys)`; `blink_pressed`, `play_pressed`, `step_pressed(by)`;
    `save_pressed`; `noise_pressed`."""

    picked = Signal(str, str)
    way_picked = Signal(str)
    visit_pressed = Signal(str)
    pair_pressed = Signal(str, str)
    visits_chosen = Signal(tuple)
    measures_picked = Signal(str)
    blink_pressed = Signal()
    play_pressed = Signal()
    step_pressed = Signal(int)
    save_pressed = Signal()
    noise_pressed = Signal()
    owner_pressed = Signal()

    def __init__(self, pictures: Pictures) -> None:
        super().__init__()
        self.choosing = CHOOSING.chosen
        self.way = Way.CURTAIN
        self.canvas = PairCanvas()
        self.canvas.setAccessibleName(words.PAIR_NAME)
        self.canvas.setAccessibleDescription(words.PAIR_DESCRIPTION)
        self.row_canvas = RowCanvas()
        for canvas in (self.canvas, self.row_canvas):
            canvas.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
            canvas.installEventFilter(self)
        self.panel = PairPanel(
            PairHands(
                self.save_pressed.emit,
                self.noise_pressed.emit,
                self.pair_pressed.emit,
                self.visits_chosen.emit,
                self.visit_pressed.emit,
                self.owner_pressed.emit,
            )
        )
        self.panel.looking.changed.connect(self._look)
        self.panel.measures.picked.connect(lambda _field, keys: self.measures_picked.emit(keys))
        self.strip = PhotoStrip(pictures, self.visit_pressed.emit)
        self.strip.setAccessibleName(words.OTHER_VISITS)
        self.notes = (VeilLabel(self.canvas), VeilLabel(self.row_canvas))
        self._build_bar()
        self._build_row_bar()
        self._build()

    def _build_row_bar(self) -> None:
        """Zoom for a row and a year, and what plays the year."""
        self.row_bar = ViewBar(self.row_canvas)
        self.row_bar.add("+", "+", words.ZOOM_IN, self.row_canvas.zoom_in)
        self.row_bar.add("−", "−", words.ZOOM_OUT, self.row_canvas.zoom_out)
        self.row_bar.add(words.FIT, "0", words.FIT_NAME, self.row_canvas.fit)
        self.year_buttons = (
            self.row_bar.add("◀", "←", words.STEP_BACK, lambda: self.step_pressed.emit(-1)),
            self.row_bar.add(words.PLAY, words.SPACE_KEY, words.YEAR_NAME, self.play_pressed.emit),
            self.row_bar.add("▶", "→", words.STEP_ON, lambda: self.step_pressed.emit(+1)),
        )

    def _build_bar(self) -> None:
        self.bar = ViewBar(self.canvas)
        self.bar.add("+", "+", words.ZOOM_IN, self.canvas.zoom_in)
        self.bar.add("−", "−", words.ZOOM_OUT, self.canvas.zoom_out)
        self.bar.add(words.FIT, "0", words.FIT_NAME, self.canvas.fit)
        self.flip_button = self.bar.add(words.FLIP, "F", words.FLIP, self.flip)
        self.blink_button = self.bar.add(words.BLINK, "B", words.BLINK_NAME, self.blink_pressed.emit)
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
        holder = QWidget()
        self._canvases = QStackedLayout(holder)
        self._canvases.addWidget(self.canvas)
        self._canvases.addWidget(self.row_canvas)
        self.body.addWidget(holder, 1)
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
        for card in (self.panel.row, self.panel.best):
            card.visits_wanted(not given.strip)
        self._fit_head()
        self._lie_over_canvas()

    def _fit_head(self) -> None:
        """The line over the photo goes without its subtitle where that would make it two: the photo stays large."""
        edge = self.outer.contentsMargins()
        room = self.width() - edge.left() - edge.right()
        self.subtitle.show()
        two = self._head.heightForWidth(room)
        self.subtitle.hide()
        self.subtitle.setVisible(bool(self.shares.panel) and self._head.heightForWidth(room) == two)

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        if watched in (self.canvas, self.row_canvas) and event.type() is QEvent.Type.Resize:
            self._lie_over_canvas()
        return False

    def _lie_over_canvas(self) -> None:
        canvases: tuple[PairCanvas | RowCanvas, ...] = (self.canvas, self.row_canvas)
        for canvas, bar, note in zip(canvases, (self.bar, self.row_bar), self.notes, strict=True):
            bar.lie_in(canvas.size())
            note.lie_in(canvas.size())
            if canvas.bar_box != bar.geometry():
                canvas.bar_box = bar.geometry()
                canvas.update_all()

    @property
    def shown_canvas(self) -> PairCanvas | RowCanvas:
        """The canvas of the way that is shown."""
        return self.canvas if self.way.of_two else self.row_canvas

    def zoom_in(self) -> None:
        self.shown_canvas.zoom_in()

    def zoom_out(self) -> None:
        self.shown_canvas.zoom_out()

    def fit(self) -> None:
        self.shown_canvas.fit()

    @property
    def note(self) -> VeilLabel:
        return self.notes[0 if self.way.of_two else 1]

    def say(self, said: str) -> None:
        """A line of words on the photo; empty takes it away, wherever it stands."""
        for note in self.notes:
            note.say(said if said and note is self.note else "")

    # what is shown

    def show_sheet(self, sheet: PairSheet, days: tuple[str, str]) -> None:
        self.title.setText(sheet.title)
        for row, pick in ((self.feet, sheet.feet), (self.views, sheet.views)):
            row.set_pick(pick)
            row.setVisible(len(pick.options) > 1)
        self.panel.show_sheet(sheet, days)
        self.panel.show_measures(sheet.measures)
        sides = {sheet.then.key: words.THEN, sheet.now.key: words.NOW_SHOWN} if sheet.then and sheet.now else {}
        self.show_strip(sheet, sides)
        self.show_subtitle(sheet.subtitle)

    def show_subtitle(self, said: str) -> None:
        self.subtitle.setText(said)
        self.foot_words.setText(said)
        self._fit_head()

    def show_strip(self, sheet: PairSheet, notes: Mapping[str, str]) -> None:
        """All visits, those with a note framed."""
        self.strip.show_tiles([replace(tile, note=notes.get(tile.key, "")) for tile in sheet.strip], list(notes))

    def show_way(self, way: Way, *, only_beside: bool) -> None:
        """The way that is shown; two photos that share no scale can only lie side by side."""
        self.way = way
        ways = NOT_SCALED if only_beside else tuple(Way)
        labels = dict(zip(WAYS.options, WAYS.labels, strict=True))
        options = tuple(each.value for each in ways)
        self.ways.set_pick(
            replace(WAYS, options=options, labels=tuple(labels[each] for each in options), chosen=way.value)
        )
        if way.of_two:
            self.canvas.set_way(way)
        self._canvases.setCurrentWidget(self.shown_canvas)
        self._fade_holder.setVisible(way is Way.FADE)
        self.fade.setValue(round(self.canvas.amount * 100))
        for button in (self.flip_button, self.blink_button):
            button.setVisible(not only_beside)
        for button in self.year_buttons:
            button.setVisible(way is Way.YEAR)
        self.choose.setVisible(way.of_two)
        self.row_canvas.setAccessibleName(words.YEAR_NAME if way is Way.YEAR else words.ROW_NAME)
        self.panel.show_way(way)
        self.name_save()
        self._lie_over_canvas()

    def name_save(self, *, busy: bool = False) -> None:
        """What the one button that saves does now."""
        said = words.STOP_FILM if busy else words.SAVE_FILM if self.way is Way.YEAR else words.SAVE_PICTURE
        self.panel.save.set_words(said)
        self.foot_save.set_words(said)

    def name_moving(self, *, blinking: bool, playing: bool) -> None:
        """Buttons of what moves by itself say how to stop it."""
        for button, moves, start, stop in (
            (self.blink_button, blinking, words.BLINK, words.BLINK_STOP),
            (self.year_buttons[1], playing, words.PLAY, words.PLAY_STOP),
        ):
            button.setText(stop if moves else start)
            button.updateGeometry()
        self._lie_over_canvas()

    def flip(self) -> None:
        """Show the other one of the two; from any way of showing two."""
        if self.canvas.way is not Way.FLIP:
            self.way_picked.emit(Way.FLIP.value)
        else:
            self.canvas.flip()

    def _look(self, looking: Looking) -> None:
        self.canvas.set_looking(looking)
        self.row_canvas.set_looking(looking)

    def _amount_changed(self, amount: float) -> None:
        if round(amount * 100) != self.fade.value():
            self.fade.blockSignals(True)
            self.fade.setValue(round(amount * 100))
            self.fade.blockSignals(False)

    def _choose_side(self, _field: str, value: str) -> None:
        self.choosing = value or self.choosing
        self.choose.set_pick(replace(CHOOSING, chosen=self.choosing))
