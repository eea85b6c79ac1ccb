"""Could be noise: a slider walks through the same two photos marked anew, with both values and all differences."""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING

from PySide6.QtCore import Qt
from PySide6.QtGui import QCloseEvent
from PySide6.QtWidgets import QDialog, QHBoxLayout, QSlider, QVBoxLayout, QWidget

from hoofbook.desktop.cycle_by_cycle.mark_tile import SIDE_PX, MarkTile
from hoofbook.desktop.look import theme
from hoofbook.desktop.state import AppState
from hoofbook.desktop.theme import TARGET
from hoofbook.desktop.widgets.buttons import Button
from hoofbook.desktop.widgets.drawing_view import DrawingView
from hoofbook.desktop.widgets.flow import FlowLayout
from hoofbook.desktop.widgets.focus_ring import FocusRing
from hoofbook.desktop.widgets.labelled import Labelled
from hoofbook.desktop.widgets.page import Page
from hoofbook.desktop.widgets.progress_line import ProgressLine
from hoofbook.desktop.widgets.text import Label
from hoofbook.terms.drawing import Drawing
from hoofbook.terms.refusal import Refusal
from hoofbook.terms.shown import Step
from hoofbook.wording import labels, noise
from hoofbook.wording.refusals import sentence

if TYPE_CHECKING:
    from hoofbook.casework.could_be_noise import MarkAt, NoiseDraw, NoiseSheet, NoiseSide
    from hoofbook.casework.pictures import PictureBuffer

_STRIP = 128


class SideView(QWidget):
    """One reading: what it says, its marks enlarged, and the value of the draw looked at."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(6)
        self.words = Label("", "small", wrap=True)
        self.value = Label("", "title")
        holder = QWidget()
        self._row = FlowLayout(holder, gap=8)
        self.tiles: list[MarkTile] = []
        for part in (self.words, self.value, holder):
            column.addWidget(part)
        column.addStretch(1)

    def show_side(self, side: NoiseSide) -> None:
        self.words.setText(side.words)
        self.tiles = [MarkTile(cut) for cut in side.cuts]
        for tile in self.tiles:
            self._row.addWidget(Labelled(tile.cut.words, tile))

    def show_draw(self, words: str, earlier: list[NoiseDraw], now: NoiseDraw) -> None:
        self.value.setText(words)
        for tile in self.tiles:
            at = tile.cut.at
            tile.show_places([draw.places[at] for draw in earlier], now.places[at])


class CouldBeNoise(QDialog):
    """Draws come in while the dialog is open; the slider walks those there are. Closing or Stop ends the drawing."""

    def __init__(self, state: AppState, asked: Mapping[str, str], *, parent: QWidget) -> None:
        super().__init__(parent)
        self._state, self._asked = state, dict(asked)
        self.sheet: NoiseSheet | None = None
        self.draws: list[NoiseDraw] = []
        self.setWindowTitle(labels.COULD_BE_NOISE)
        self.resize(min(980, parent.width() - 24), min(760, parent.height() - 24))
        outer = QVBoxLayout(self)
        outer.setContentsMargins(0, 0, 0, 0)
        self.page = Page(margin=22)
        outer.addWidget(self.page, 1)
        self._build()
        outer.addWidget(self._make_foot())
        self._ring = FocusRing(self)
        self._read()

    def _build(self) -> None:
        self.heading = Label("", "heading", wrap=True)
        self.explained = Label(noise.EXPLAINED, "small", "soft", wrap=True)
        self.then, self.now = SideView(), SideView()
        sides = QWidget()
        row = QHBoxLayout(sides)
        row.setContentsMargins(0, 0, 0, 0)
        row.setSpacing(20)
        row.addWidget(self.then, 1)
        row.addWidget(self.now, 1)
        self.difference = Label("", "number")
        line = QWidget()
        flow = FlowLayout(line, gap=16)
        self.difference_words = Label(labels.DIFFERENCE, "small", "soft")
        for words in (self.heading, self.difference_words, self.difference):
            flow.addWidget(words)
        self.strip = DrawingView(least_height=_STRIP)
        self.strip.setFixedHeight(_STRIP)
        self.so_far = Label("", "small", wrap=True)
        self.said = Label("", "small", wrap=True)
        self._content: list[QWidget] = [sides, self.strip, self.so_far, self.said]
        self.page.column.setSpacing(10)
        self.page.column.addWidget(line)
        for part in self._content:
            self.page.column.addWidget(part)
            part.hide()
        self.difference_words.hide()
        self.page.column.addWidget(self.explained)
        self.page.column.addStretch(1)

    def _make_foot(self) -> QWidget:
        """The slider stays in sight however small the window is."""
        foot = QWidget()
        column = QVBoxLayout(foot)
        column.setContentsMargins(22, 6, 22, 12)
        column.setSpacing(6)
        self.slider = QSlider(Qt.Orientation.Horizontal)
        self.slider.setMinimumHeight(TARGET)
        self.slider.setAccessibleName(labels.MARKED_ANEW)
        self.slider.valueChanged.connect(self._show_draw)
        self.slider.hide()
        self._content.append(self.slider)
        self.which = Label("", "small", "soft")
        self.progress = ProgressLine()
        column.addWidget(self.slider)
        row = QHBoxLayout()
        row.setSpacing(16)
        row.addWidget(self.which)
        row.addWidget(self.progress, 1)
        row.addStretch(1)
        row.addWidget(Button(labels.PUT_AWAY, "plain", self.reject))
        column.addLayout(row)
        return foot

    def _read(self) -> None:
        book, asked, casework = self._state.open_book, self._asked, self._state.casework
        self._state.background.read(
            self,
            lambda: casework.could_be_noise.read_noise(
                book,
                asked["horse"],
                asked["foot"],
                measure=asked["measure"],
                definition=asked["definition"],
                then=asked.get("then", ""),
                now=asked.get("now", ""),
            ),
            self._show,
            self._refused,
        )

    def _refused(self, refusal: Refusal) -> None:
        self.heading.setText(labels.COULD_BE_NOISE)
        self.explained.setText(sentence(refusal))
        self.explained.set_tone("ink")

    def _show(self, sheet: NoiseSheet) -> None:
        self.sheet = sheet
        self.heading.setText(f"{labels.COULD_BE_NOISE} {sheet.title}")
        self.then.show_side(sheet.then)
        self.now.show_side(sheet.now)
        self.said.setText("\n".join(sheet.sentences))
        self.strip.show_made(self._strip)
        casework = self._state.casework.could_be_noise
        background = self._state.background
        background.pixels(self, lambda: casework.cut(sheet, SIDE_PX), self._show_pieces, lambda _refusal: None)
        self._job = background.long(
            self,
            lambda: casework.draws(sheet),
            lambda _found: self.progress.end(),
            stepped=self._stepped,
            stopped=self.progress.end,
            on_pixels=True,
        )
        self.progress.begin(noise.DRAWING, self._job.cancel)

    def _show_pieces(self, pieces: Mapping[MarkAt, PictureBuffer]) -> None:
        for tile in (*self.then.tiles, *self.now.tiles):
            tile.show_buffer(pieces.get(tile.cut.at))

    def _stepped(self, step: Step) -> None:
        self.progress.show_step(step)
        draw: NoiseDraw | None = getattr(step, "draw", None)
        if draw is None:
            return
        following = self.slider.value() == self.slider.maximum() and not self.slider.hasFocus()
        self.draws.append(draw)
        if len(self.draws) == 1:
            for part in (*self._content, self.difference_words):
                part.show()
        self.slider.setRange(0, len(self.draws) - 1)
        if following and self.slider.value() != len(self.draws) - 1:
            self.slider.setValue(len(self.draws) - 1)
        else:
            self._show_draw(self.slider.value())

    def _show_draw(self, number: int) -> None:
        """The draw of the slider, over those before it."""
        if not 0 <= number < len(self.draws) or self.sheet is None:
            return
        draw = self.draws[number]
        earlier = self.draws[:number]
        self.then.show_draw(draw.then, earlier, draw)
        self.now.show_draw(draw.now, earlier, draw)
        self.difference.setText(draw.difference)
        self.which.setText(labels.DRAW_OF.format(number=number + 1, count=len(self.draws)))
        values = [each.value for each in self.draws]
        self.so_far.setText(noise.so_far(values, self.sheet.stated[0], self.sheet.measure))
        self.slider.setAccessibleDescription(f"{draw.then}, {draw.now}, {draw.difference}")
        self.strip.show_made(self._strip)

    def _strip(self, width: float, height: float) -> Drawing:
        assert self.sheet is not None
        values = [draw.value for draw in self.draws]
        drawing: Drawing = self.sheet.strip(values, self.slider.value(), width, height, float(theme().small))
        return drawing

    def reject(self) -> None:
        self._end()
        super().reject()

    def closeEvent(self, event: QCloseEvent) -> None:
        self._end()
        super().closeEvent(event)

    def _end(self) -> None:
        if self.sheet is not None:
            self._job.cancel()
