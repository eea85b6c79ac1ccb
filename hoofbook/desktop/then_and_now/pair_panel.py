"""Beside the pair: the numbers of both, the verdict kept apart, and whether the two can be compared at all."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from PySide6.QtCore import Qt
from PySide6.QtGui import QPainter, QPaintEvent, QPen
from PySide6.QtWidgets import QFrame, QGridLayout, QHBoxLayout, QVBoxLayout, QWidget

from hoofbook.desktop.canvas.tick import paint_tick
from hoofbook.desktop.look import theme
from hoofbook.desktop.then_and_now.best_card import BestCard
from hoofbook.desktop.then_and_now.looking_card import LookingCard
from hoofbook.desktop.then_and_now.pair_view import Way
from hoofbook.desktop.then_and_now.row_card import RowCard
from hoofbook.desktop.widgets.buttons import Button
from hoofbook.desktop.widgets.chip import ChipBlock
from hoofbook.desktop.widgets.flow import FlowLayout
from hoofbook.desktop.widgets.page import Page, empty_layout
from hoofbook.desktop.widgets.panel import Panel
from hoofbook.desktop.widgets.pick_row import PickRow
from hoofbook.desktop.widgets.text import KeyCap, Label, rule
from hoofbook.terms.drawing import Drawing
from hoofbook.terms.marks import MarkState
from hoofbook.terms.shown import Pick
from hoofbook.wording import bench_labels as words
from hoofbook.wording import labels

if TYPE_CHECKING:
    from hoofbook.casework.then_and_now import PairSheet, PairSide


PAIR_KEYS = (
    (("←", "→"), words.KEY_CURTAIN),
    (("F",), words.KEY_FLIP),
    (("B",), words.KEY_BLINK),
    (("[", "]"), words.KEY_VISITS),
)
YEAR_KEYS = (((words.SPACE_KEY,), words.KEY_PLAY), (("←", "→"), words.KEY_STEP))


@dataclass(frozen=True, slots=True)
class PairHands:
    """What the buttons of the panel do."""

    save: Callable[[], object]
    noise: Callable[[], object]
    pair: Callable[[str, str], object]
    visits: Callable[[tuple[str, ...]], object]
    visit: Callable[[str], object]
    owner: Callable[[], object]


class NumberView(QWidget):
    """One measure of both photos: large, with an arrow between, and the sentence about their change."""

    def __init__(self, number: tuple[str, str, str, str], days: tuple[str, str], *, large: bool) -> None:
        super().__init__()
        label, then, now, change = number
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(4)
        column.addWidget(Label(label, "body" if large else "small", bold=True, wrap=True))
        grid = QGridLayout()
        grid.setHorizontalSpacing(10)
        grid.setVerticalSpacing(0)
        for place, (day, value) in enumerate(zip(days, (then, now), strict=True)):
            shown, _, around = value.partition(" ± ")
            number_words, _, unit = shown.partition(" ")
            grid.addWidget(Label(day, "small", "soft"), 0, place * 2)
            grid.addWidget(Label(number_words, "number" if large else "body", bold=True), 1, place * 2)
            under = f"{unit} ± {around}" if around else unit
            grid.addWidget(Label(under.strip(), "small", "soft"), 2, place * 2)
        arrow = Label("→", "title" if large else "body", "soft")
        grid.addWidget(arrow, 1, 1)
        grid.setColumnStretch(3, 1)
        column.addLayout(grid)
        if change:
            column.addWidget(Label(change, "small", "soft", wrap=True))
        self.setAccessibleName(f"{label}: {days[0]} {then}, {days[1]} {now}. {change}")


class CheckRow(QWidget):
    """A tick or an open ring, and what was checked."""

    def __init__(self, good: bool, said: str) -> None:
        super().__init__()
        self._good = good
        row = QHBoxLayout(self)
        row.setContentsMargins(26, 2, 0, 2)
        row.addWidget(Label(said, "small", "ink" if good else "soft", wrap=True, bold=not good))
        self.setAccessibleName(said)

    def paintEvent(self, event: QPaintEvent) -> None:
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        middle = min(16.0, self.height() / 2)
        if self._good:
            paint_tick(painter, 10, middle, MarkState.CONFIRMED)
        else:
            painter.setPen(QPen(theme().colour("ink"), 1.8))
            painter.setBrush(Qt.BrushStyle.NoBrush)
            painter.drawEllipse(5, round(middle) - 4, 9, 9)


class PairPanel(QFrame):
    """Cards that scroll, and the buttons under them. Its words follow the way of looking: a pair, a row, a year."""

    def __init__(self, page: PairHands) -> None:
        super().__init__()
        self.setProperty("surface", "paper")
        outer = QVBoxLayout(self)
        outer.setContentsMargins(0, 0, 0, 0)
        outer.setSpacing(10)
        self.page = Page(margin=0)
        self.page.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.page.column.setContentsMargins(0, 0, 2, 8)
        self.page.column.setSpacing(12)
        outer.addWidget(self.page, 1)
        self._make_numbers(page.noise, page.owner)
        self.verdict = Panel(words.VERDICT)
        self.chip = ChipBlock()
        self.chip_note = Label("", "small", "soft", wrap=True)
        self.verdict.body.addWidget(self.chip)
        self.verdict.body.addWidget(self.chip_note)
        self.checks = Panel(words.CAN_THEY)
        self._rows = QVBoxLayout()
        self._rows.setSpacing(2)
        self.checks.body.addLayout(self._rows)
        self.best = BestCard(page.pair, page.visit)
        self.looking = LookingCard()
        self.looking.body.addWidget(self.looking_measures)
        self.lines = self.looking.buttons["lines"]
        self.row = RowCard(page.visits)
        for panel in (self.numbers, self.verdict, self.row, self.looking, self.best, self.checks):
            self.page.column.addWidget(panel)
        self.page.column.addStretch(1)
        self.keys, self.more_keys = _key_line(PAIR_KEYS), _key_line(YEAR_KEYS)
        outer.addWidget(self.keys)
        outer.addWidget(self.more_keys)
        self.save = Button(words.SAVE_PICTURE, "main", page.save)
        outer.addWidget(self.save)
        self.show_way(Way.CURTAIN)

    def _make_numbers(self, noise: Callable[[], object], owner: Callable[[], object]) -> None:
        self.numbers = Panel(words.NUMBERS)
        self.when = Label("", "small", "soft", wrap=True)
        self.numbers.body.addWidget(self.when)
        self._numbers = QVBoxLayout()
        self._numbers.setSpacing(10)
        self.numbers.body.addLayout(self._numbers)
        self.noise = Button(labels.COULD_BE_NOISE, "link", noise, small=True)
        self.owner = Button(words.FOR_THE_OWNER, "link", owner, small=True)
        for link in (self.noise, self.owner):
            self.numbers.body.addWidget(link, 0, Qt.AlignmentFlag.AlignLeft)
        self.measures = PickRow()
        self.measures_words = Label("", "small", "soft")
        self.looking_measures = QWidget()
        column = QVBoxLayout(self.looking_measures)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(4)
        column.addWidget(self.measures_words)
        column.addWidget(self.measures)

    def show_way(self, way: Way) -> None:
        """A pair has numbers and checks; a row and a year have their list of visits."""
        two = way.of_two
        for panel in (self.numbers, self.checks):
            panel.setVisible(two)
        self.best.setVisible(two)
        self.row.setVisible(not two)
        self.keys.setVisible(two)
        self.more_keys.setVisible(way is Way.YEAR)

    def show_measures(self, pick: Pick) -> None:
        """What may be written into the picture; of more than two the last two stay."""
        self.looking_measures.setVisible(bool(pick.options))
        self.measures_words.setText(pick.label)
        self.measures.set_pick(pick)

    def show_sheet(self, sheet: PairSheet, days: tuple[str, str]) -> None:
        self.when.setText(sheet.subtitle)
        empty_layout(self._numbers)
        for place, number in enumerate(sheet.numbers):
            if place:
                self._numbers.addWidget(rule())
            self._numbers.addWidget(NumberView(number, days, large=place == 0))
        if not sheet.numbers:
            self._numbers.addWidget(Label(words.NO_NUMBERS, "small", "soft", wrap=True))
        self.noise.setVisible(sheet.noise_of is not None)
        self.verdict.setVisible(sheet.chip is not None)
        self.chip.show_chip(sheet.chip)
        self.chip_note.setText(sheet.chip_note)
        self.chip_note.setVisible(bool(sheet.chip_note))
        empty_layout(self._rows)
        for good, said in sheet.checks:
            self._rows.addWidget(CheckRow(good, said))
        self._rows.addWidget(Label(sheet.way, "small", "soft", wrap=True))
        self.best.show_sheet(sheet)
        self.allow(sheet.drawings, (sheet.then, sheet.now), to_scale=sheet.to_scale)

    def allow(self, drawings: Sequence[Drawing | None], sides: Sequence[PairSide | None], *, to_scale: bool) -> None:
        """Which ways of looking these photos allow: no lines without marks, no grid and no outlines without scale."""
        whites = sum(side is not None and side.white is not None for side in sides)
        self.looking.allow(
            lines=any(drawing is not None for drawing in drawings),
            outlines=to_scale and bool(drawings) and drawings[0] is not None,
            grid=to_scale,
            same_light=whites > 1,
        )


def _key_line(shown: Sequence[tuple[tuple[str, ...], str]]) -> QWidget:
    line = QWidget()
    flow = FlowLayout(line, gap=6)
    for keys, said in shown:
        for key in keys:
            flow.addWidget(KeyCap(key))
        flow.addWidget(Label(said, "small", "soft"))
    return line
