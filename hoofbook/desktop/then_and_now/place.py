"""The place Then and now: two photos of one foot and view, laid over each other or side by side at one scale."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING

from PySide6.QtCore import Qt, QTimer
from PySide6.QtGui import QHideEvent, QKeyEvent, QResizeEvent
from PySide6.QtWidgets import QApplication, QStackedLayout, QWidget

from hoofbook.desktop.state import AppState
from hoofbook.desktop.then_and_now.going_on import Where, to_noise, to_owner
from hoofbook.desktop.then_and_now.pair_canvas import PairPhoto
from hoofbook.desktop.then_and_now.pair_loading import PairLoading
from hoofbook.desktop.then_and_now.pair_page import PairPage
from hoofbook.desktop.then_and_now.pair_view import Way, Window, newest_two, still_there, visits_between
from hoofbook.desktop.then_and_now.row_desk import RowDesk
from hoofbook.desktop.then_and_now.saving import ask_file, save_pair
from hoofbook.desktop.widgets.empty_place import EmptyView
from hoofbook.desktop.widgets.pictures import Pictures
from hoofbook.terms.views import View
from hoofbook.wording import bench_labels as words

if TYPE_CHECKING:
    from hoofbook.casework.then_and_now import PairSheet, PairSide

STEP, SHIFT_STEP = 0.01, 0.1
BLINK_MS = 700  # well under three a second (WCAG 2.2, 2.3.1)
MOST_AT_FIRST = 4  # visits in a row before a person chose any


class ThenAndNowPlace(QWidget):
    """Reads a pair, shows it, changes one of its two visits, and saves it as a picture."""

    def __init__(self, state: AppState, pictures: Pictures | None = None, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._state = state
        self.horse = ""
        self.sheet: PairSheet | None = None
        self._way_chosen: Way | None = None
        self._measures: tuple[str, ...] | None = None
        self.page = PairPage(pictures or Pictures(state))
        self.canvas = self.page.canvas
        self.photos = PairLoading(self, state, self.canvas.show_pyramid)
        self.rows = RowDesk(state, self.page)
        self._blink = QTimer(self, interval=BLINK_MS)
        self._blink.timeout.connect(self.canvas.flip)
        self.empty = EmptyView(lambda _action: state.go("photo_tray"))
        self.ask_file: Callable[[str], Path | None] = lambda name: ask_file(self, name)
        self._stack = QStackedLayout(self)
        self._stack.setContentsMargins(0, 0, 0, 0)
        self._stack.addWidget(self.page)
        self._stack.addWidget(self.empty)
        page = self.page
        page.picked.connect(self._pick)
        page.way_picked.connect(lambda value: self.choose_way(Way(value)))
        page.visit_pressed.connect(self._press_visit)
        page.pair_pressed.connect(self.choose_pair)
        page.visits_chosen.connect(lambda keys: self.rows.take(keys, self.horse))
        page.measures_picked.connect(self.choose_measures)
        page.blink_pressed.connect(self.turn_blink)
        page.play_pressed.connect(self.rows.turn_play)
        page.step_pressed.connect(self.rows.step)
        page.save_pressed.connect(self.save_picture)
        page.noise_pressed.connect(lambda: self._go_on(to_noise))
        page.owner_pressed.connect(lambda: self._go_on(to_owner))
        self.rows.shown.connect(self._row_shown)
        self.rows.cannot.connect(self._back_to_pair)
        self.rows.busy_changed.connect(lambda: page.name_save(busy=self.rows.job is not None))
        self._keys = self._key_table()

    def _key_table(self) -> dict[Qt.Key, Callable[[], object]]:
        looking = self.page.panel.looking
        return {
            Qt.Key.Key_Plus: self.page.zoom_in,
            Qt.Key.Key_Equal: self.page.zoom_in,
            Qt.Key.Key_Minus: self.page.zoom_out,
            Qt.Key.Key_0: self.page.fit,
            Qt.Key.Key_F: self._flip_by_hand,
            Qt.Key.Key_B: self.turn_blink,
            Qt.Key.Key_L: lambda: looking.turn("lines"),
            Qt.Key.Key_O: lambda: looking.turn("outlines"),
            Qt.Key.Key_G: lambda: looking.turn("grid"),
            Qt.Key.Key_E: lambda: looking.turn("same_light"),
            Qt.Key.Key_R: lambda: self.choose_way(Way.ROW),
            Qt.Key.Key_Y: lambda: self.choose_way(Way.YEAR),
            Qt.Key.Key_Space: self.rows.turn_play,
            Qt.Key.Key_M: self.page.turn_drawer,
            Qt.Key.Key_BracketLeft: lambda: self.step_visit(-1),
            Qt.Key.Key_BracketRight: lambda: self.step_visit(+1),
            Qt.Key.Key_BraceLeft: lambda: self.step_visit(-1, "then"),
            Qt.Key.Key_BraceRight: lambda: self.step_visit(+1, "then"),
        }

    # the place

    def show_horse(self, horse_key: str, **where: str) -> None:
        """Show the pair named in `where` (`foot`, `view`, `then`, `now`), else the one casework proposes."""
        if horse_key != self.horse:
            self._way_chosen = None
        self.horse = horse_key
        self._read(**{name: where.get(name, "") for name in ("foot", "view", "then", "now")})

    def leave(self) -> bool:
        self._stand_still()
        return True

    def hideEvent(self, event: QHideEvent) -> None:
        super().hideEvent(event)
        self._stand_still()

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        self.page.arrange()

    def keyPressEvent(self, event: QKeyEvent) -> None:
        key, modifiers = Qt.Key(event.key()), event.modifiers()
        if key in (Qt.Key.Key_Left, Qt.Key.Key_Right) and not modifiers & Qt.KeyboardModifier.ControlModifier:
            step = SHIFT_STEP if modifiers & Qt.KeyboardModifier.ShiftModifier else STEP
            self._step(step if key is Qt.Key.Key_Right else -step)
        elif key is Qt.Key.Key_Escape and (self._stopped_something() or self.page.close_drawer()):
            pass
        elif key in self._keys and not modifiers & Qt.KeyboardModifier.ControlModifier:
            self._keys[key]()
        else:
            super().keyPressEvent(event)

    # the pair

    def _read(self, foot: str = "", view: str = "", then: str = "", now: str = "") -> None:
        book, horse, pairs = self._state.open_book, self.horse, self._state.casework.then_and_now
        self._state.background.read(
            self,
            lambda: pairs.read_pair(book, horse, foot, view, then=then, now=now),
            self._show_sheet,
            replaces="pair",
        )

    def _show_sheet(self, sheet: PairSheet) -> None:
        before, self.sheet = self.sheet, sheet
        if sheet.then is None or sheet.now is None:
            if sheet.empty is not None:
                self.empty.show_empty(sheet.empty)
            self._stack.setCurrentWidget(self.empty)
            return
        kept = still_there(self._measures, sheet.measures)
        if kept is not None:
            self.sheet = sheet = self._state.casework.then_and_now.with_measures(sheet, kept)
        self._stack.setCurrentWidget(self.page)
        self.page.show_sheet(sheet, self._days())
        same_view = (
            before is not None
            and before.to_scale
            and sheet.to_scale
            and (before.feet.chosen, before.views.chosen) == (sheet.feet.chosen, sheet.views.chosen)
        )
        if not same_view and before is not None and self._way().of_two:
            self._way_chosen = None
        self.page.show_way(self._way(), only_beside=not sheet.to_scale)
        self._show_pair(sheet, keep_view=same_view)
        self.photos.load(sheet)
        if not self._way().of_two:
            self._show_row(self._way())
        else:
            self.rows.drop()
            self.canvas.setFocus(Qt.FocusReason.OtherFocusReason)

    def _show_pair(self, sheet: PairSheet, *, keep_view: bool) -> None:
        assert sheet.then is not None and sheet.now is not None
        self.canvas.show_pair(
            self._photo(sheet.then, sheet, 0),
            self._photo(sheet.now, sheet, 1),
            Window(*sheet.frame_mm),
            banner=sheet.banner,
            scale_bar_mm=sheet.scale_bar_mm if sheet.to_scale else 0.0,
            keep_view=keep_view,
        )

    def _photo(self, side: PairSide, sheet: PairSheet, place: int) -> PairPhoto:
        day = side.where_lines[0] if side.where_lines else side.day
        return PairPhoto(
            side.to_mm, side.caption_lines, sheet.drawings[place], side.covered, side.white, day, sheet.to_scale
        )

    def _days(self) -> tuple[str, str]:
        assert self.sheet is not None and self.sheet.then is not None and self.sheet.now is not None
        return self._day(self.sheet.then), self._day(self.sheet.now)

    def _day(self, side: PairSide) -> str:
        tile = next((tile for tile in self.sheet.strip if tile.key == side.key), None) if self.sheet else None
        return tile.caption.split(" · ")[0] if tile is not None else side.day

    def _go_on(self, where: Callable[[PairSheet], Where | None]) -> None:
        found = where(self.sheet) if self.sheet is not None else None
        if found is not None:
            self._state.go(found[0], **found[1])

    # choosing

    def _way(self) -> Way:
        """The chosen way, else curtain for soles and side by side for other views."""
        if self._way_chosen is not None and not self._way_chosen.of_two:
            return self._way_chosen
        if self.sheet is None or not self.sheet.to_scale:
            return Way.SIDE_BY_SIDE
        if self._way_chosen is not None:
            return self._way_chosen
        return Way.CURTAIN if self.sheet.views.chosen == View.SOLAR.value else Way.SIDE_BY_SIDE

    def choose_way(self, way: Way) -> None:
        """Another way of looking. Two photos that share no scale lie side by side; a row and a year there always is."""
        self._stand_still()
        if self.sheet is None or (way.of_two and not self.sheet.to_scale and way is not Way.SIDE_BY_SIDE):
            return
        before, self._way_chosen = self._way(), way
        self.page.show_way(way, only_beside=not self.sheet.to_scale)
        if not way.of_two:
            self._show_row(way)
            return
        if not before.of_two:
            self.rows.drop()
            self.page.show_sheet(self.sheet, self._days())
        self.page.panel.show_way(way)
        self.canvas.setFocus(Qt.FocusReason.OtherFocusReason)

    def _show_row(self, way: Way) -> None:
        sheet = self.sheet
        if sheet is None or sheet.now is None:
            return
        if way is Way.YEAR:
            self.rows.show_year(self.horse, sheet.feet.chosen, sheet.views.chosen, sheet.now.key, sheet.strip)
            return
        keys = [key for key in self.rows.keys if key in {tile.key for tile in sheet.strip}]
        if len(keys) < 2 and sheet.then is not None:
            pair = {sheet.then.key, sheet.now.key}
            alike = [tile.key for tile in sheet.strip if tile.key in sheet.like_now or tile.key in pair]
            keys = visits_between(alike, sheet.then.key, sheet.now.key, MOST_AT_FIRST)
        self.rows.show_row(self.horse, keys, sheet.strip)

    def _back_to_pair(self) -> None:
        """There is no such row or year: the pair is shown as it would be at first."""
        self._way_chosen = None
        self.choose_way(self._way())
        if self.sheet is not None:
            self.page.show_sheet(self.sheet, self._days())

    def _row_shown(self) -> None:
        """Another photo of the year stands on the canvas, or another row: the strip says which."""
        if self.sheet is None or self.page.way.of_two:
            return
        current = self.rows.current
        notes = {current: words.SHOWN} if current else dict.fromkeys(self.rows.keys, words.IN_ROW)
        self.page.show_strip(self.sheet, notes)
        self.page.name_moving(blinking=False, playing=self.rows.playing)

    # what moves by itself

    def turn_blink(self) -> None:
        """Let then and now change by themselves, or stop it; where the system asks for less motion, flip once."""
        if self.sheet is None or not self.sheet.to_scale or not self._way().of_two:
            return
        if self._blink.isActive():
            self._stand_still()
            return
        if self.canvas.way is not Way.FLIP:
            self.choose_way(Way.FLIP)
        if self.rows.less_motion():
            self.canvas.flip()
            self._state.notice(words.LESS_MOTION)
            return
        self._blink.start()
        self.page.name_moving(blinking=True, playing=False)

    @property
    def blinking(self) -> bool:
        return self._blink.isActive()

    def _flip_by_hand(self) -> None:
        self._stand_still()
        if self._way().of_two:
            self.page.flip()

    def _stand_still(self) -> None:
        self._blink.stop()
        self.rows.stop()
        self.page.name_moving(blinking=False, playing=False)

    def _stopped_something(self) -> bool:
        """True where Escape stopped what moved by itself, or a film in the making."""
        moved = self._blink.isActive() or self.rows.playing
        self._stand_still()
        if self.rows.job is not None:
            self.rows.job.cancel()
            return True
        return moved

    # choosing a visit, a pair, what is written

    def _press_visit(self, photo: str) -> None:
        """A visit on the strip: in a row it is taken in or out, with Shift or Ctrl it begins one."""
        if self._way() is Way.ROW:
            self.rows.turn(photo, self.horse)
        elif QApplication.keyboardModifiers() & (
            Qt.KeyboardModifier.ShiftModifier | Qt.KeyboardModifier.ControlModifier
        ):
            self.begin_row(photo)
        elif self._way() is Way.YEAR:
            if photo in self.rows.keys:
                self.rows.step(self.rows.keys.index(photo) - self.rows.canvas.at)
        else:
            self.choose_visit(photo)

    def begin_row(self, photo: str) -> None:
        """A row of the two photos shown and this one."""
        sheet = self.sheet
        if sheet is not None and sheet.then is not None and sheet.now is not None:
            wished = {sheet.then.key, sheet.now.key, photo}
            self.rows.keys = tuple(tile.key for tile in sheet.strip if tile.key in wished)
            self.choose_way(Way.ROW)

    def choose_pair(self, then: str, now: str) -> None:
        """One of the fairest pairs."""
        if self.sheet is not None:
            self._read(self.sheet.feet.chosen, self.sheet.views.chosen, then, now)

    def choose_measures(self, keys: str) -> None:
        """What is written into the pictures: of more than two the one chosen first is left out again."""
        row = self.rows.sheet if not self._way().of_two else None
        shown = row.measures if row is not None else self.sheet.measures if self.sheet else None
        if shown is None or self.sheet is None:
            return
        self._measures = newest_two(shown.chosen.split(","), [key for key in keys.split(",") if key])
        self.sheet = self._state.casework.then_and_now.with_measures(self.sheet, self._measures)
        self._show_pair(self.sheet, keep_view=True)
        self.page.panel.show_measures(self.sheet.measures)
        if row is not None:
            self.rows.choose_measures(self._measures)

    def choose_visit(self, photo: str, side: str = "") -> None:
        """Another visit stands as then or as now (as chosen beside the strip); the same one twice changes places."""
        sheet = self.sheet
        if sheet is None or sheet.then is None or sheet.now is None:
            return
        then, now = sheet.then.key, sheet.now.key
        side = side or self.page.choosing
        if side == "then":
            then, now = photo, then if photo == now else now
        else:
            now, then = photo, now if photo == then else then
        self._read(sheet.feet.chosen, sheet.views.chosen, then, now)

    def step_visit(self, by: int, side: str = "now") -> None:
        """The visit before or after, passing over the one on the other side."""
        sheet = self.sheet
        if sheet is None or sheet.then is None or sheet.now is None:
            return
        keys = [tile.key for tile in sheet.strip]
        here, other = (sheet.then.key, sheet.now.key) if side == "then" else (sheet.now.key, sheet.then.key)
        at = keys.index(here) + by if here in keys else 0
        if 0 <= at < len(keys) and keys[at] == other:
            at += by
        if 0 <= at < len(keys):
            self.choose_visit(keys[at], side)

    def _pick(self, field: str, value: str) -> None:
        if self.sheet is not None:
            foot = value if field == "foot" else self.sheet.feet.chosen
            view = value if field == "view" else self.sheet.views.chosen
            self._read(foot, view)

    def _step(self, by: float) -> None:
        if self._way() is Way.YEAR:
            self.rows.stop()
            self.rows.step(1 if by > 0 else -1)
        elif self._way() in (Way.CURTAIN, Way.FADE):
            self.canvas.set_amount(self.canvas.amount + by)

    # the picture

    def save_picture(self) -> None:
        """Write what is shown: the pair or the row as a picture, the year as a film."""
        if not self._way().of_two:
            self.rows.save(self.ask_file)
        elif self.sheet is not None:
            save_pair(self._state, self.page, self.sheet, self.ask_file)
