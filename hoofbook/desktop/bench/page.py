"""The widgets of the Bench and how they lie: wide with panel, set column and strip; narrow with a drawer."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace
from typing import TYPE_CHECKING

from PySide6.QtCore import QEvent, QObject, Qt, Signal
from PySide6.QtWidgets import QHBoxLayout, QWidget

from hoofbook.desktop.bench.card_chip import CardChip
from hoofbook.desktop.bench.desk import MarkingDesk
from hoofbook.desktop.bench.last_visit import LastVisit
from hoofbook.desktop.bench.measure_list import brief
from hoofbook.desktop.bench.panel import BenchPanel
from hoofbook.desktop.canvas.drawer_page import DrawerPage
from hoofbook.desktop.canvas.layout import Shares
from hoofbook.desktop.canvas.mark_canvas import MarkCanvas
from hoofbook.desktop.canvas.pyramid import PicturePyramid
from hoofbook.desktop.canvas.strip import PhotoStrip
from hoofbook.desktop.canvas.veil_label import VeilLabel
from hoofbook.desktop.canvas.view_bar import LightPanel, ViewBar
from hoofbook.desktop.widgets.buttons import Button
from hoofbook.desktop.widgets.flow import FlowLayout
from hoofbook.desktop.widgets.pictures import Pictures
from hoofbook.desktop.widgets.text import Label
from hoofbook.desktop.widgets.value import spoken
from hoofbook.terms.marks import Mark
from hoofbook.terms.shown import PhotoTile
from hoofbook.wording import bench_labels as words

if TYPE_CHECKING:
    from hoofbook.casework.bench import BenchPhoto
    from hoofbook.casework.bench_live import Live

SET_TILE = (150, 170)
Spot = tuple[PicturePyramid | None, Mark, str]


class BenchPage(DrawerPage):
    """Everything that is seen while a photo is on the Bench."""

    photo_wanted = Signal(str)
    how_wanted = Signal(str)
    next_wanted = Signal()
    step_wanted = Signal(int)
    again_wanted = Signal()
    look_again_wanted = Signal(str, str)

    def __init__(self, desk: MarkingDesk, pictures: Pictures) -> None:
        super().__init__()
        self._desk = desk
        self.main_pressed: Callable[[], object] = lambda: None
        self.unseen_pressed: Callable[[], object] = lambda: None
        self.mark_chosen: Callable[[str], object] = lambda _name: None
        self.step_words: Callable[[], tuple[str, bool]] = lambda: ("", False)
        self._live: Live | None = None
        self._said = ""
        self._set_keys: tuple[str, ...] = ()
        self.canvas = MarkCanvas()
        self.canvas.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.canvas.setAccessibleName(words.CANVAS_NAME)
        self.canvas.setAccessibleDescription(words.CANVAS_DESCRIPTION)
        self.canvas.installEventFilter(self)
        self.panel = BenchPanel(
            desk,
            chosen=self._choose,
            how=self.how_wanted.emit,
            go_on=lambda: self._then_canvas(self.main_pressed),
            unseen=lambda: self._then_canvas(self.unseen_pressed),
            again=self.again_wanted.emit,
            look_again=self.look_again_wanted.emit,
        )
        self.strip = PhotoStrip(pictures, self.photo_wanted.emit)
        self.strip.setAccessibleName(words.STRIP)
        self.set_column = PhotoStrip(pictures, self.photo_wanted.emit, upright=True, size=SET_TILE)
        self.last_visit = LastVisit(pictures, self.canvas)
        self.note = VeilLabel(self.canvas)
        self._build_bar()
        self._build()

    # building

    def _build_bar(self) -> None:
        canvas = self.canvas
        self.bar = ViewBar(canvas)
        self.bar.add("+", "+", words.ZOOM_IN, canvas.zoom_in)
        self.bar.add("−", "−", words.ZOOM_OUT, canvas.zoom_out)
        self.bar.add(words.FIT, "F", words.FIT_NAME, canvas.fit)
        self.bar.add(words.ACTUAL, "1", words.ACTUAL_NAME, canvas.actual_size)
        self.loupe_button = self.bar.add(words.LOUPE, "Z", words.LOUPE, self.turn_loupe)
        self.light_button = self.bar.add(words.LIGHT, "L", words.LIGHT, self.turn_light)
        self.last_button = self.bar.add(words.LAST_VISIT, "G", words.LAST_VISIT_NAME, self.turn_last_visit)
        for button in (self.loupe_button, self.light_button, self.last_button):
            button.setCheckable(True)
        self.loupe_button.setChecked(True)
        self.light = LightPanel(canvas)
        self.light.changed.connect(canvas.set_adjustment)

    def _build(self) -> None:
        self.outer.addLayout(self._head())
        self.body.addWidget(self.set_column)
        self.body.addWidget(self.canvas, 1)
        self.hold(self.panel)
        self.outer.addLayout(self.body, 1)
        self._below = QWidget()
        below = QHBoxLayout(self._below)
        below.setContentsMargins(0, 0, 0, 0)
        below.addWidget(self.strip, 1)
        self.progress = Label("", "small", "soft")
        below.addWidget(self.progress)
        self.outer.addWidget(self._below)
        self.ring_words = Label(words.BROKEN_RING, "small", "soft", wrap=True)
        self.ring_words.setAlignment(Qt.AlignmentFlag.AlignCenter)
        self.outer.addWidget(self.ring_words)
        self.outer.addWidget(self._foot())

    def _head(self) -> QHBoxLayout:
        head = QHBoxLayout()
        head.setSpacing(12)
        self.title = Label("", "heading")
        self.subtitle = Label("", "body", "soft")
        self.card = CardChip(self)
        self.before = Button("‹", "plain", lambda: self.step_wanted.emit(-1), name=words.PREVIOUS_PHOTO)
        self.after = Button("›", "plain", lambda: self.step_wanted.emit(+1), name=words.NEXT_PHOTO)
        self.before.setToolTip(f"{words.PREVIOUS_PHOTO} (PgUp)")
        self.after.setToolTip(f"{words.NEXT_PHOTO} (PgDn)")
        said = QWidget()
        flow = FlowLayout(said, gap=12)
        flow.addWidget(self.title)
        flow.addWidget(self.subtitle)
        head.addWidget(said, 1)
        head.setAlignment(said, Qt.AlignmentFlag.AlignVCenter)
        head.addWidget(self.card)
        head.addWidget(self.before)
        head.addWidget(self.after)
        return head

    def _foot(self) -> QWidget:
        """What stands under the photo where the panel lies in a drawer."""
        self.foot_mark = Label("", bold=True)
        self.foot_value = Label("", bold=True)
        self.foot_main = Button("", "main", lambda: self._then_canvas(self.main_pressed))
        return self.make_foot(words.PANEL, self.foot_mark, self.foot_value, self.foot_main)

    # lying

    def arranged(self, given: Shares) -> None:
        beside = len(self._set_keys) > 1 and given.set_column
        self.set_column.setVisible(beside)
        self._below.setVisible(given.strip and not beside)
        self.ring_words.setVisible(beside)
        self.subtitle.setVisible(bool(given.panel) or self.width() > 900)
        self._lie_over_canvas()

    def _lie_over_canvas(self) -> None:
        self.bar.lie_in(self.canvas.size())
        self.light.adjustSize()
        self.light.move(20, self.bar.y() - self.light.height() - 8)
        self.last_visit.lie_in(self.canvas.size())
        self.note.lie_in(self.canvas.size())

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        if watched is self.canvas and event.type() is QEvent.Type.Resize:
            self._lie_over_canvas()
        return False

    # what is shown

    def show_sheet(self, tiles: Sequence[PhotoTile], progress: str) -> None:
        self.strip.show_tiles(tiles, [])
        self.progress.setText(progress)
        self._tiles = {tile.key: tile for tile in tiles}

    def show_photo(self, photo: BenchPhoto) -> None:
        """Head, remarks and frames for a photo; marks and measures follow from the desk."""
        self.title.setText(photo.title)
        in_set = len(photo.set_keys) > 1
        number = words.PHOTO_N.format(number=photo.set_keys.index(photo.key) + 1) if in_set else ""
        self.subtitle.setText(f"{number} · {photo.subtitle}" if in_set else photo.subtitle)
        self.show_said(photo)
        self.strip.mark([photo.key])
        self._set_keys = photo.set_keys
        if in_set:
            numbered = enumerate(photo.set_keys, 1)
            tiles = [
                replace(self._tiles[key], caption=words.PHOTO_N.format(number=number))
                for number, key in numbered
                if key in self._tiles
            ]
            self.set_column.show_tiles(tiles, [photo.key])
        self.last_visit.show_photo(photo.ghost_photo)
        self.last_button.setVisible(photo.ghost_photo is not None)
        self.last_button.setChecked(self.last_visit.isVisible())
        self.show_live(None)
        self.note.say("")
        self.arrange()

    def show_said(self, photo: BenchPhoto) -> None:
        """What the card says, and what should be known of this photo."""
        self.card.show_card(photo.card_sentence, photo.card_good, photo.card_details)
        self.panel.show_remarks(photo.remarks, photo.caution)

    def refresh(self) -> None:
        """Marks and next step as they lie on the desk."""
        self.panel.refresh()
        said_before, self._said = self._said, self._set_words()
        if said_before != self._said:
            self.panel.show_live(self._live, set_words=self._said)
        left = self._desk.open_count
        count = "" if not left else words.TO_CHECK_ONE if left == 1 else words.TO_CHECK.format(count=left)
        self.ring_words.setText(f"{words.BROKEN_RING} {count}".strip())
        said, by_enter = self.step_words()
        self.panel.show_step(said, by_enter=by_enter)
        self.foot_main.set_words(f"{said}  ↵" if by_enter else said)
        self.foot_mark.setText(self._desk.label(self._desk.current) if self._desk.current else words.ALL_PLACED)

    def show_live(self, live: Live | None) -> None:
        self._live = live
        self.panel.show_live(live, set_words=self._set_words())
        headline = live.headline if live is not None else None
        self.foot_value.setText("" if headline is None else brief(headline))
        self.foot_value.setAccessibleName("" if headline is None else spoken(headline))

    def show_next_brings(self, said: str) -> None:
        """What the next photo of the set should bring, where that can be told."""
        if said:
            self.panel.next_brings.setText(said)

    def _set_words(self) -> str:
        """What the next photo of a set brings."""
        if len(self._set_keys) < 2:
            return ""
        for number, key in enumerate(self._set_keys, 1):
            if len(self._desk.markings.get(key, ())) == 0:
                return words.NEXT_BRINGS.format(number=number)
        return ""

    def show_same_spot(self, there: Spot | None, here: Spot | None) -> None:
        sides = [side for side in (there, here) if side is not None]
        self.panel.same_spot.show_pair(*sides)
        self.panel.show_same_spot(bool(self.panel.same_spot.marks))

    def show_note(self, said: str) -> None:
        self.note.say(said)

    def note_marks(self, photo: str, note: str) -> None:
        self.strip.note(photo, note)
        self.set_column.note(photo, note)

    # what lies on top

    def turn_loupe(self) -> None:
        self.canvas.set_loupe(not self.canvas.loupe_on)
        self.loupe_button.setChecked(self.canvas.loupe_on)

    def turn_light(self) -> None:
        self.light.setVisible(not self.light.isVisible())
        self.light.raise_()
        self.light_button.setChecked(self.light.isVisible())
        if self.light.isVisible():
            self.light.contrast.setFocus(Qt.FocusReason.OtherFocusReason)
        else:
            self.canvas.setFocus(Qt.FocusReason.OtherFocusReason)

    def turn_last_visit(self) -> None:
        self.last_visit.turn()
        self.last_button.setChecked(self.last_visit.isVisible())

    def put_away(self) -> bool:
        """Close what lies on top; True where something did."""
        if self.light.isVisible():
            self.turn_light()
            return True
        return self.close_drawer()

    def _choose(self, name: str) -> None:
        self.mark_chosen(name)

    def _then_canvas(self, action: Callable[[], object]) -> None:
        action()
        self.canvas.setFocus(Qt.FocusReason.OtherFocusReason)
