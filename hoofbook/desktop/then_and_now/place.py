"""The place Then and now: two photos of one foot and view, laid over each other or side by side at one scale."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING

from PySide6.QtCore import Qt
from PySide6.QtGui import QKeyEvent, QResizeEvent
from PySide6.QtWidgets import QFileDialog, QStackedLayout, QWidget

from hoofbook.desktop.canvas.loading import PictureLoader, Source
from hoofbook.desktop.canvas.pyramid import PicturePyramid
from hoofbook.desktop.state import AppState
from hoofbook.desktop.then_and_now.pair_canvas import PairPhoto
from hoofbook.desktop.then_and_now.pair_page import PairPage
from hoofbook.desktop.then_and_now.pair_view import Way, Window
from hoofbook.desktop.widgets.empty_place import EmptyView
from hoofbook.desktop.widgets.pictures import Pictures
from hoofbook.terms.views import View
from hoofbook.wording import bench_labels as words

if TYPE_CHECKING:
    from hoofbook.casework.then_and_now import PairSheet, PairSide

STEP, SHIFT_STEP = 0.01, 0.1
ENDINGS = "*.png *.jpg *.jpeg"


class ThenAndNowPlace(QWidget):
    """Reads a pair, shows it, changes one of its two visits, and saves it as a picture."""

    def __init__(self, state: AppState, pictures: Pictures | None = None, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._state = state
        self.horse = ""
        self.sheet: PairSheet | None = None
        self._way_chosen: Way | None = None
        self.page = PairPage(pictures or Pictures(state))
        self.canvas = self.page.canvas
        self.loaders = (
            PictureLoader(self, state, lambda pyramid: self._picture_here(0, pyramid), name="then"),
            PictureLoader(self, state, lambda pyramid: self._picture_here(1, pyramid), name="now"),
        )
        self.empty = EmptyView(lambda _action: state.go("photo_tray"))
        self.ask_file: Callable[[str], Path | None] = self._ask_file
        self._stack = QStackedLayout(self)
        self._stack.setContentsMargins(0, 0, 0, 0)
        self._stack.addWidget(self.page)
        self._stack.addWidget(self.empty)
        page = self.page
        page.picked.connect(self._pick)
        page.way_picked.connect(lambda value: self.choose_way(Way(value)))
        page.visit_pressed.connect(self.choose_visit)
        page.save_pressed.connect(self.save_picture)
        page.noise_pressed.connect(self._open_noise)
        self._keys: dict[Qt.Key, Callable[[], object]] = {
            Qt.Key.Key_Plus: self.canvas.zoom_in,
            Qt.Key.Key_Equal: self.canvas.zoom_in,
            Qt.Key.Key_Minus: self.canvas.zoom_out,
            Qt.Key.Key_0: self.canvas.fit,
            Qt.Key.Key_F: self.page.flip,
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
        return True

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        self.page.arrange()

    def keyPressEvent(self, event: QKeyEvent) -> None:
        key, modifiers = Qt.Key(event.key()), event.modifiers()
        if key in (Qt.Key.Key_Left, Qt.Key.Key_Right) and not modifiers & Qt.KeyboardModifier.ControlModifier:
            step = SHIFT_STEP if modifiers & Qt.KeyboardModifier.ShiftModifier else STEP
            self._step(step if key is Qt.Key.Key_Right else -step)
        elif key is Qt.Key.Key_Escape and self.page.close_drawer():
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
        self._stack.setCurrentWidget(self.page)
        self.page.show_sheet(sheet, (self._day(sheet.then), self._day(sheet.now)))
        same_view = (
            before is not None
            and before.to_scale
            and sheet.to_scale
            and (before.feet.chosen, before.views.chosen) == (sheet.feet.chosen, sheet.views.chosen)
        )
        if not same_view:
            self._way_chosen = self._way_chosen if before is None else None
        then, now = (self._photo(side, place) for place, side in enumerate((sheet.then, sheet.now)))
        self.page.show_way(self._way(), only_beside=not sheet.to_scale)
        self.canvas.show_pair(
            then,
            now,
            Window(*sheet.frame_mm),
            banner=sheet.banner,
            scale_bar_mm=sheet.scale_bar_mm if sheet.to_scale else 0.0,
            keep_view=same_view,
        )
        self._load(sheet)
        self.canvas.setFocus(Qt.FocusReason.OtherFocusReason)

    def _load(self, sheet: PairSheet) -> None:
        small = {tile.key: tile.thumbnail for tile in sheet.strip}
        held = {loader.source.key: loader.pyramid for loader in self.loaders if loader.source is not None}
        for loader, side in zip(self.loaders, (sheet.then, sheet.now), strict=True):
            assert side is not None
            size = (side.width, side.height)
            source = Source(side.key, size, side.path, side.preview, small.get(side.key))
            here = loader.source is not None and loader.source.key == side.key
            pyramid = held.get(side.key)
            if not here and (pyramid is None or not loader.take_over(source, pyramid)):
                loader.load(source)

    def _picture_here(self, place: int, pyramid: PicturePyramid | None) -> None:
        self.canvas.show_pyramid(place, pyramid)

    def _photo(self, side: PairSide, place: int) -> PairPhoto:
        assert self.sheet is not None
        return PairPhoto(side.to_mm, side.caption_lines, self.sheet.drawings[place])

    def _day(self, side: PairSide) -> str:
        tile = next((tile for tile in self.sheet.strip if tile.key == side.key), None) if self.sheet else None
        return tile.caption if tile is not None else side.day

    def _open_noise(self) -> None:
        """Could the difference of these two photos be noise? Their marks are placed anew in Cycle by cycle."""
        sheet = self.sheet
        if sheet is None or sheet.noise_of is None or sheet.then is None or sheet.now is None:
            return
        foot, measure, definition = sheet.noise_of
        where = {"foot": foot, "measure": measure, "definition": definition}
        self._state.go("cycle_by_cycle", **where, noise_then=sheet.then.key, noise_now=sheet.now.key)

    # choosing

    def _way(self) -> Way:
        """The chosen way, else curtain for soles and side by side for other views."""
        assert self.sheet is not None
        if not self.sheet.to_scale:
            return Way.SIDE_BY_SIDE
        if self._way_chosen is not None:
            return self._way_chosen
        return Way.CURTAIN if self.sheet.views.chosen == View.SOLAR.value else Way.SIDE_BY_SIDE

    def choose_way(self, way: Way) -> None:
        if self.sheet is not None and self.sheet.to_scale:
            self._way_chosen = way
            self.page.show_way(way, only_beside=False)
            self.canvas.setFocus(Qt.FocusReason.OtherFocusReason)

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
        if self.canvas.way in (Way.CURTAIN, Way.FADE):
            self.canvas.set_amount(self.canvas.amount + by)

    # the picture

    def save_picture(self) -> None:
        """Ask where, then write the pair with everything burnt in; the window goes on meanwhile."""
        sheet = self.sheet
        if sheet is None or sheet.then is None or sheet.now is None:
            return
        out = self.ask_file(f"{sheet.title} {sheet.then.day} {sheet.now.day}.png")
        if out is None:
            return
        layout = self.canvas.way.value if self.canvas.way is not Way.FLIP else Way.SIDE_BY_SIDE.value
        book, pairs, at = self._state.open_book, self._state.casework.then_and_now, self.canvas.amount
        self.page.note.say(words.SAVING)

        def done(path: Path) -> None:
            self.page.note.say("")
            self._state.notice(words.PICTURE_SAVED.format(file=path))

        def failed(refusal: object) -> None:
            self.page.note.say("")
            self._state.notice(refusal)  # type: ignore[arg-type]

        self._state.background.pixels(self, lambda: pairs.export_pair(book, sheet, out, layout, at), done, failed)

    def _ask_file(self, name: str) -> Path | None:
        found, _kind = QFileDialog.getSaveFileName(
            self, words.SAVE_PICTURE_TITLE, name, f"{words.PICTURES} ({ENDINGS})"
        )
        return Path(found) if found else None
