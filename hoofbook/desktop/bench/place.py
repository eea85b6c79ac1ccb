"""The place Bench: one photo large, its marks and live measures beside it, the photos of the visit below."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING

from PySide6.QtCore import Qt
from PySide6.QtGui import QHideEvent, QKeyEvent, QResizeEvent
from PySide6.QtWidgets import QStackedLayout, QWidget

from hoofbook.desktop.bench.desk import MarkingDesk
from hoofbook.desktop.bench.hands import Hands
from hoofbook.desktop.bench.live_feed import LiveFeed, PassKeeper
from hoofbook.desktop.bench.page import BenchPage
from hoofbook.desktop.canvas.guide_line import Points
from hoofbook.desktop.canvas.loading import PictureLoader, Source
from hoofbook.desktop.canvas.pyramid import PicturePyramid
from hoofbook.desktop.state import AppState
from hoofbook.desktop.widgets.empty_place import EmptyView
from hoofbook.desktop.widgets.pictures import Pictures
from hoofbook.terms.marks import Marking, MarkState, mark_group
from hoofbook.terms.shown import PhotoTile, Section
from hoofbook.wording import bench_labels as words
from hoofbook.wording.bench import marked_note

if TYPE_CHECKING:
    from hoofbook.casework.bench import BenchPhoto, BenchSheet
    from hoofbook.casework.bench_live import Live

ENOUGH_TO_SOLVE = 4  # marks placed here and in another photo that tell from where this one was taken
ENOUGH = 3  # marks that tell where the foot is
ROUND = 0.45  # room on each side of them, as a share of their spread
STATES = {
    None: words.NOT_PLACED,
    MarkState.PROPOSED: words.PROPOSED,
    MarkState.CONFIRMED: words.PLACED,
    MarkState.UNSEEN: words.UNSEEN,
}


class BenchPlace(QWidget):
    """Joins the desk (marks), the page (widgets), the hands (keys and clicks) and casework (measures, kept passes)."""

    def __init__(self, state: AppState, pictures: Pictures | None = None, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._state = state
        self._book: object = None
        self.horse = ""
        self.tiles: tuple[PhotoTile, ...] = ()
        self._proposed_for: dict[str, tuple[frozenset[str], bool]] = {}
        self._lines: Mapping[str, Points] = {}
        self._told_read_only = False
        self.desk = MarkingDesk(self)
        self.live = LiveFeed(state, self)
        self.keeper = PassKeeper(state, lambda key: self.desk.markings.get(key, Marking()), self._zoom, self)
        self.page = BenchPage(self.desk, pictures or Pictures(state))
        self.canvas = self.page.canvas
        self.hands = Hands(self.desk, self.page, self.go_next, self.go_by)
        self.loader = PictureLoader(self, state, self._picture_here)
        self.source_loader = PictureLoader(self, state, self._source_here, full=False, name="same spot")
        self.empty = EmptyView(self._start_empty)
        self._stack = QStackedLayout(self)
        self._stack.setContentsMargins(0, 0, 0, 0)
        self._stack.addWidget(self.page)
        self._stack.addWidget(self.empty)
        self._connect()

    def _connect(self) -> None:
        self.desk.marking_changed.connect(self._marking_changed)
        self.desk.shown_changed.connect(lambda _photo: self._show_desk())
        self.desk.photo_wanted.connect(self._undo_reached)
        self.live.measured.connect(self._measured)
        self.live.next_brings.connect(self._next_brings)
        self.live.lines_found.connect(self._lines_found)
        self.live.places_found.connect(self._places_found)
        self.keeper.kept.connect(self._kept)
        self.canvas.mark_moves.connect(self._mark_moves)
        page = self.page
        page.look_again_wanted.connect(self._look_again)
        page.photo_wanted.connect(self.show_photo)
        page.how_wanted.connect(lambda measure: self._state.go("how_measured", measure=measure))
        page.again_wanted.connect(lambda: self._state.go("mark_again", back="bench", back_photo=self.desk.photo))
        page.next_wanted.connect(self.go_next)
        page.step_wanted.connect(self.go_by)

    # the place

    def show_horse(self, horse_key: str, **where: str) -> None:
        """Show the photo named in `where`, else the one the Bench would go on with."""
        if horse_key != self.horse or self._state.open_book is not self._book:
            self.desk.clear()
            self.loader.drop()
            self.source_loader.drop()
            self._proposed_for.clear()
        self.live.forget()
        self.horse, self._book = horse_key, self._state.open_book
        self._read(where.get("photo", ""))

    def leave(self) -> bool:
        """Keep what is due; nothing on the Bench waits to be saved by hand."""
        self.canvas.let_go()
        self.keeper.flush()
        if self.keeper.has_kept:
            self.keeper.has_kept = False
            self._state.changed()
        return True

    def undo(self) -> None:
        self.canvas.let_go()
        self.desk.undo_stack.undo()

    def redo(self) -> None:
        self.canvas.let_go()
        self.desk.undo_stack.redo()

    def hideEvent(self, event: QHideEvent) -> None:
        self.keeper.flush()

    def keyPressEvent(self, event: QKeyEvent) -> None:
        if not self.hands.key(event):
            super().keyPressEvent(event)

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        self.page.arrange()

    # photos

    def show_photo(self, key: str) -> None:
        """Show a photo of this horse."""
        if key == self.desk.photo:
            return
        self.keeper.flush()
        if key in self.desk.photos and key in {tile.key for tile in self.tiles}:
            self._show_photo(key)
        else:
            self._read(key)

    def go_by(self, by: int) -> None:
        """The photo before or after in the strip."""
        keys = [tile.key for tile in self.tiles]
        if self.desk.photo in keys:
            at = keys.index(self.desk.photo) + by
            if 0 <= at < len(keys):
                self.show_photo(keys[at])
            elif by > 0:
                self._state.notice(words.LAST_PHOTO)

    def go_next(self) -> None:
        self.go_by(+1)

    def _read(self, photo: str) -> None:
        book, horse, bench = self._state.open_book, self.horse, self._state.casework.bench
        self._state.background.read(
            self, lambda: bench.read_bench(book, horse, photo), self._show_sheet, replaces="bench"
        )

    def _show_sheet(self, sheet: BenchSheet) -> None:
        self.tiles = sheet.strip
        if sheet.empty is not None or sheet.current is None:
            if sheet.empty is not None:
                self.empty.show_empty(sheet.empty)
            self._stack.setCurrentWidget(self.empty)
            return
        self._stack.setCurrentWidget(self.page)
        self.page.panel.can_mark_again = self.keeper.can_keep
        self.desk.take(sheet.current)
        self.page.show_sheet(sheet.strip, sheet.progress)
        self._show_photo(sheet.current.key)
        self._read_set(sheet.current)
        if not self.keeper.can_keep and not self._told_read_only:
            self._told_read_only = True
            self._state.notice(words.NOT_KEPT)

    def _read_set(self, photo: BenchPhoto) -> None:
        """The other photos of a sole set lie on the desk too: their marks count, and undo reaches them."""
        missing = [key for key in photo.set_keys if key not in self.desk.photos]
        if missing:
            book, horse, bench = self._state.open_book, self.horse, self._state.casework.bench
            self._state.background.read(
                self, lambda: [bench.read_bench(book, horse, key).current for key in missing], self._set_here
            )

    def _set_here(self, photos: Sequence[BenchPhoto | None]) -> None:
        for photo in photos:
            if photo is not None:
                self.desk.take(photo)
        self._show_desk()
        self._look_for_places()

    def _show_photo(self, key: str) -> None:
        self.keeper.flush()
        self.canvas.let_go()
        photo = self.desk.photos[key]
        tile = next((tile for tile in self.tiles if tile.key == key), None)
        self.page.show_photo(photo)
        self.canvas.set_drawing(None)
        if self.loader.source is None or self.loader.source.key != key:
            self.canvas.show_picture(None)  # another photo is seen whole first
        small = tile.thumbnail if tile is not None else None
        self.loader.load(Source(key, (photo.width, photo.height), photo.original, photo.preview, small))
        self._lines = {}
        self.desk.show(key)
        self.live.start(key, self.desk.settled_set())
        self._look_for_places()
        self.canvas.setFocus(Qt.FocusReason.OtherFocusReason)

    def _undo_reached(self, key: str) -> None:
        """Undo or redo touched a photo that is not shown, perhaps of another visit: show it with its strip."""
        self._show_photo(key)
        if key not in {tile.key for tile in self.tiles}:
            self._read(key)

    def _picture_here(self, pyramid: PicturePyramid | None) -> None:
        self.page.show_note(words.OPENING_PHOTO if pyramid is None else "")
        whole = self.canvas.pyramid is None
        self.canvas.show_picture(pyramid)
        if whole and pyramid is not None:
            self._look_at_marks()
        self._show_same_spot()

    def _look_at_marks(self) -> None:
        """Show the foot large where marks or proposals tell where it is, with as much again round them."""
        marks = [m for m in self.desk.visible().marks.values() if m.state is not MarkState.UNSEEN]
        if len(marks) < ENOUGH:
            return
        xs, ys = [mark.x for mark in marks], [mark.y for mark in marks]
        wide, high = (max(xs) - min(xs)) * ROUND, (max(ys) - min(ys)) * ROUND
        reach = max(wide, high)
        self.canvas.fit_on(min(xs) - reach, min(ys) - reach, max(xs) + reach, max(ys) + reach)

    def _source_here(self, _pyramid: PicturePyramid | None) -> None:
        self._show_same_spot()

    # proposals

    def _look_for_places(self) -> None:
        """Ask where the marks of the other photos of a set lie in this one.

        Again when there are more of them, and once more when enough are placed here to tell from where it was taken:
        what the card proposed may be off where the card slipped.
        """
        shown = self.desk.shown
        if shown is None or len(shown.set_keys) < 2:
            return
        others = [key for key in shown.set_keys if key != shown.key]
        if any(key not in self.desk.photos for key in others):
            return
        here, elsewhere = self.desk.markings[shown.key], {n for k in others for n in self.desk.markings[k].confirmed}
        there = frozenset(name for name in elsewhere if name not in here)
        asked, knew = self._proposed_for.get(shown.key, (frozenset(), False))
        knows = len(elsewhere.intersection(here.confirmed)) >= ENOUGH_TO_SOLVE
        if not there or (not there - asked and (knew or not knows)):
            return
        self._proposed_for[shown.key] = (there, knows)
        self.page.show_note(words.LOOKING_FOR_PLACES)
        book, bench, key = self._state.open_book, self._state.casework.bench, shown.key
        markings = self.desk.settled_set()

        def done(marking: Marking) -> None:
            self.page.show_note("")
            untouched = key == self.desk.photo and len(self.desk.visible()) == 0
            self.desk.propose(key, marking)
            if untouched:
                self._look_at_marks()
            if key == self.desk.photo and self.desk.state_of(self.desk.current) is not MarkState.PROPOSED:
                self.desk.choose(self.desk.first_open())
            self._show_desk()

        self._state.background.pixels(
            self, lambda: bench.propose(book, key, markings), done, lambda _refusal: self.page.show_note("")
        )

    # marks and measures

    def _zoom(self) -> float:
        return self.canvas.frame.scale

    def _marking_changed(self, photo: str) -> None:
        self.keeper.soon(photo)
        self.page.note_marks(photo, marked_note(len(self.desk.markings[photo].confirmed)))
        self._show_desk()
        self.live.ask(self.desk.settled_set())
        if photo == self.desk.photo:
            self._look_for_places()

    def _mark_moves(self, name: str, x: float, y: float) -> None:
        """Measures follow a mark in the hand; nothing is kept before it is put down."""
        markings = dict(self.desk.settled_set())
        visible = self.desk.visible().marks.get(name)
        if visible is not None and len(markings) == 1:  # a set is solved when the mark is put down
            moved = markings[self.desk.photo].with_mark(name, visible).moved(name, x, y)
            self.live.ask({**markings, self.desk.photo: moved})

    def _show_desk(self) -> None:
        """Canvas and panel as the desk now is."""
        desk = self.desk
        if desk.shown is None:
            return
        marking = desk.visible()
        in_set = len(desk.shown.set_keys) > 1
        labels = {
            name: desk.label(name) for name in marking if name == desk.current or not in_set or mark_group(name) == name
        }
        self.canvas.set_marks(marking, labels, desk.current, placing=desk.is_placing)
        current = marking.marks.get(desk.current)
        if current is not None and current.state is not MarkState.UNSEEN:
            self.canvas.reveal(current.x, current.y)
        self.page.refresh()
        said = (
            f"{desk.label(desk.current)}, {STATES[desk.state_of(desk.current)]}" if desk.current else words.ALL_PLACED
        )
        self.canvas.setAccessibleName(f"{words.CANVAS_NAME}: {said}")
        self._show_guide()
        self._show_same_spot()

    def _places_found(self, photo: str, section: Section | None) -> None:
        if photo == self.desk.photo:
            self.page.panel.places.show_section(section)

    def _lines_found(self, photo: str, lines: Mapping[str, Points]) -> None:
        if photo == self.desk.photo:
            self._lines = lines
            self._show_guide()

    def _show_guide(self) -> None:
        """The line of the mark that waits to be placed; a placed mark has none."""
        desk = self.desk
        waits = desk.state_of(desk.current) in (None, MarkState.PROPOSED) if desk.current else False
        self.canvas.set_guide(self._lines.get(desk.current, ()) if waits else ())

    def _look_again(self, photo: str, name: str) -> None:
        """Lead to a mark that does not fit."""
        self.show_photo(photo)  # the photos of a set lie on the desk, so it is shown at once
        if self.desk.photo == photo:
            self.hands.choose(name)

    def _show_same_spot(self) -> None:
        """The current mark here and in another photo of the set, where it is placed in one."""
        desk, shown = self.desk, self.desk.shown
        here = desk.visible().marks.get(desk.current)
        keys = shown.set_keys if shown is not None else ()
        other = next(
            (key for key in keys if key != desk.photo and desk.state_of(desk.current, key) is MarkState.CONFIRMED), ""
        )
        if here is None or here.state is MarkState.UNSEEN or not other or other not in desk.photos:
            self.page.show_same_spot(None, None)
            return
        there = desk.photos[other]
        self.source_loader.load(Source(other, (there.width, there.height), there.original, there.preview))
        said = words.PROPOSED_HERE if here.state is MarkState.PROPOSED else words.PLACED_HERE
        self.page.show_same_spot(
            (self.source_loader.pyramid, desk.visible(other).marks[desk.current],
             words.YOUR_MARK.format(number=keys.index(other) + 1)),
            (self.loader.pyramid, here, said.format(number=keys.index(desk.photo) + 1)),
        )  # fmt: skip

    def _measured(self, photo: str, live: Live) -> None:
        if photo == self.desk.photo:
            self.canvas.set_drawing(live.drawings.get(photo))
            self.page.show_live(live)

    def _kept(self, photo: str, _live: Live) -> None:
        """Card sentence and remarks follow the marks too: read them again once the marks are kept."""
        if photo != self.desk.photo or not self.isVisible():
            return
        book, horse, bench = self._state.open_book, self.horse, self._state.casework.bench

        def again(sheet: BenchSheet) -> None:
            if sheet.current is not None and sheet.current.key == self.desk.photo:
                self.desk.take(sheet.current)
                self.page.show_said(sheet.current)
                self.page.progress.setText(sheet.progress)

        self._state.background.read(self, lambda: bench.read_bench(book, horse, photo), again, replaces="said")

    def _next_brings(self, photo: str, said: str) -> None:
        if photo == self.desk.photo:
            self.page.show_next_brings(said)

    def _start_empty(self, action: str) -> None:
        self._state.go("photo_tray")
