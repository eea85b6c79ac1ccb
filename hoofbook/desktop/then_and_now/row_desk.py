"""What is done with a row of visits and with the year of a foot: read, shown, played, stepped through, saved."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from pathlib import Path
from typing import TYPE_CHECKING

from PySide6.QtCore import QObject, Qt, QTimer, Signal

from hoofbook.desktop.background import Job
from hoofbook.desktop.canvas.loading import PictureLoader, Source
from hoofbook.desktop.canvas.pyramid import PicturePyramid
from hoofbook.desktop.motion import asks_for_less_motion
from hoofbook.desktop.state import AppState
from hoofbook.desktop.then_and_now.laid_painter import PairPhoto
from hoofbook.desktop.then_and_now.pair_view import Way, Window, still_there
from hoofbook.desktop.widgets.text import kept_together
from hoofbook.terms.refusal import Refusal
from hoofbook.terms.shown import PhotoTile, Step
from hoofbook.wording import bench_labels as words

if TYPE_CHECKING:
    from hoofbook.casework.pair_sheet import PairSide
    from hoofbook.casework.visits_row import RowSheet
    from hoofbook.desktop.then_and_now.pair_page import PairPage

FRAME_MS = 500  # two a second, as in the film
MOST_IN_ROW = 12
MOST_LOADED = 12  # photos of a year that are held at once; of a longer life those about the shown one
AHEAD = 3
FULL_UP_TO = 3  # photos of a row that are loaded to every pixel; of more the screen shows no more than their copies


class RowDesk(QObject):
    """`shown`: another photo of the year stands on the canvas; `busy_changed`: a film is begun or done;
    `cannot`: there is no such row or year."""

    shown = Signal()
    cannot = Signal()
    busy_changed = Signal()

    def __init__(self, state: AppState, page: PairPage) -> None:
        super().__init__(page)
        self._state = state
        self.page = page
        self.canvas = page.row_canvas
        self.way = Way.ROW
        self.sheet: RowSheet | None = None
        self.keys: tuple[str, ...] = ()
        self.job: Job | None = None
        self.less_motion: Callable[[], bool] = asks_for_less_motion
        self._strip: tuple[PhotoTile, ...] = ()
        self._measures: tuple[str, ...] | None = None
        self._loaders: list[PictureLoader] = []
        self._sources: list[Source] = []
        self._timer = QTimer(self, interval=FRAME_MS)
        self._timer.timeout.connect(lambda: self.step(+1))

    # reading

    def show_row(self, horse: str, keys: Sequence[str], strip: tuple[PhotoTile, ...]) -> None:
        """Show these photos beside each other."""
        self.stop()
        self._strip, self.keys = strip, tuple(keys)
        self._tell_choice(may_choose=True)
        book, rows = self._state.open_book, self._state.casework.visits_row
        self._read(Way.ROW, lambda: rows.read_row(book, horse, self.keys))

    def show_year(self, horse: str, foot: str, view: str, like: str, strip: tuple[PhotoTile, ...]) -> None:
        """Show one photo of every visit at the moment of `like`, one after the other."""
        self.stop()
        self._strip = strip
        book, rows = self._state.open_book, self._state.casework.visits_row
        self._read(Way.YEAR, lambda: rows.read_year(book, horse, foot, view, like=like))

    def take(self, keys: Sequence[str], horse: str) -> None:
        """Other visits in the row; fewer than two are none."""
        if len(keys) < 2:
            self._tell_choice(may_choose=True)
            self._state.notice(words.TWO_AT_LEAST)
        elif len(keys) > MOST_IN_ROW:
            self._tell_choice(may_choose=True)
            self._state.notice(words.TWELVE_AT_MOST.format(most=MOST_IN_ROW))
        elif set(keys) != set(self.keys):
            self.show_row(horse, [tile.key for tile in self._strip if tile.key in keys], self._strip)

    def turn(self, key: str, horse: str) -> None:
        """Take a visit into the row, or out of it."""
        kept = [each for each in self.keys if each != key]
        self.take(kept if key in self.keys else [*self.keys, key], horse)

    def _read(self, way: Way, work: Callable[[], RowSheet]) -> None:
        self.way = way
        self._state.background.read(self, work, self._here, self._failed, replaces="row")

    def _failed(self, refusal: Refusal) -> None:
        self._state.notice(refusal)
        self.cannot.emit()

    def _here(self, sheet: RowSheet) -> None:
        self.sheet = sheet
        if self.way is Way.YEAR:
            self.keys = tuple(side.key for side in sheet.sides)
            self._tell_choice(may_choose=False)
        kept = still_there(self._measures, sheet.measures)
        if kept is not None:
            self.sheet = sheet = self._with_measures(sheet, kept)
        self.canvas.show_photos(
            self._photos(sheet),
            Window(*sheet.frame_mm),
            banner=sheet.banner,
            scale_bar_mm=sheet.scale_bar_mm if sheet.to_scale else 0.0,
            one=self.way is Way.YEAR,
        )
        self._load(sheet)
        self._tell_sheet(sheet)
        self.page.panel.allow(sheet.drawings, sheet.sides, to_scale=sheet.to_scale)
        self.canvas.setFocus(Qt.FocusReason.OtherFocusReason)
        self.shown.emit()

    def _photos(self, sheet: RowSheet) -> tuple[PairPhoto, ...]:
        return tuple(
            PairPhoto(
                side.to_mm,
                self._lines(side, sheet),
                drawing,
                side.covered,
                side.white,
                side.where_lines[0],
                scaled,
            )
            for side, drawing, scaled in zip(sheet.sides, sheet.drawings, sheet.scaled, strict=True)
        )

    def _lines(self, side: PairSide, sheet: RowSheet) -> tuple[str, ...]:
        """What stands on the photo: in a row, where small photos have little room, without what all have in common."""
        lines = side.caption_lines
        if self.way is Way.ROW and not sheet.banner:
            lines = lines[:1] + lines[2:]
        return tuple(kept_together(line) for line in lines)

    def _load(self, sheet: RowSheet) -> None:
        small = {tile.key: tile.thumbnail for tile in self._strip}
        full = len(sheet.sides) <= FULL_UP_TO
        for loader in self._loaders:
            loader.drop()
        self._loaders = []
        for place in range(len(sheet.sides)):

            def here(pyramid: PicturePyramid | None, place: int = place) -> None:
                self.canvas.show_pyramid(place, pyramid)

            self._loaders.append(PictureLoader(self, self._state, here, full=full, name=f"row {place}"))
        self._sources = [
            Source(side.key, (side.width, side.height), side.path, side.preview, small.get(side.key))
            for side in sheet.sides
        ]
        self._hold()

    def _hold(self) -> None:
        """Load what is shown and what comes next; let go of what is far off in a long life."""
        count = len(self._loaders)
        for place, (loader, source) in enumerate(zip(self._loaders, self._sources, strict=True)):
            ahead = (place - self.canvas.at) % max(1, count)
            if count <= MOST_LOADED or min(ahead, count - ahead) <= AHEAD:
                loader.load(source)
            elif loader.source is not None:
                loader.drop()
                self.canvas.show_pyramid(place, None)

    def drop(self) -> None:
        """Let the photos go: another way of looking is shown."""
        self.stop()
        for loader in self._loaders:
            loader.drop()
        self._loaders, self._sources = [], []
        self.sheet = None

    # what is written into the pictures

    def choose_measures(self, chosen: tuple[str, ...]) -> None:
        """These measures in every caption."""
        self._measures = chosen
        if self.sheet is not None:
            self.sheet = self._with_measures(self.sheet, chosen)
            self.canvas.show_lines(self._photos(self.sheet))
            self._tell_sheet(self.sheet)

    def _with_measures(self, sheet: RowSheet, chosen: tuple[str, ...]) -> RowSheet:
        found: RowSheet = self._state.casework.visits_row.with_row_measures(sheet, chosen)
        return found

    def _tell_choice(self, *, may_choose: bool) -> None:
        self.page.panel.row.show_choice(self._strip, self.keys, may_choose=may_choose)

    def _tell_sheet(self, sheet: RowSheet) -> None:
        self.page.panel.row.show_sheet(sheet)
        self.page.panel.show_measures(sheet.measures)
        self.page.title.setText(sheet.title)
        self.page.show_subtitle(sheet.subtitle)

    # the year

    @property
    def current(self) -> str:
        """Key of the photo that stands alone; empty in a row."""
        return self.keys[self.canvas.at] if self.way is Way.YEAR and self.canvas.at < len(self.keys) else ""

    @property
    def playing(self) -> bool:
        return self._timer.isActive()

    def step(self, by: int) -> None:
        """The visit before or after; round the end to the other one."""
        if self.sheet is not None and self.way is Way.YEAR:
            self.canvas.show_at(self.canvas.at + by)
            self._hold()
            self.shown.emit()

    def turn_play(self) -> None:
        """Play two a second, or stop; where the system asks for less motion it only steps."""
        if self.playing:
            self.stop()
        elif self.sheet is not None and self.way is Way.YEAR:
            if self.less_motion():
                self._state.notice(words.LESS_MOTION)
            else:
                self._timer.start()
        self.shown.emit()

    def stop(self) -> None:
        """Stand still."""
        self._timer.stop()

    # files

    def save(self, ask_file: Callable[[str], Path | None]) -> None:
        """Ask where, then write the row as a picture or the year as a film; pressed again while it is made: stop."""
        sheet = self.sheet
        if self.job is not None:
            self.job.cancel()
            return
        if sheet is None:
            return
        year = self.way is Way.YEAR
        days = (sheet.sides[0].day, sheet.sides[-1].day)
        out = ask_file(f"{sheet.title} {days[0]} {days[1]}{'.gif' if year else '.png'}")
        if out is None:
            return
        files = self._state.casework.row_files
        if year:
            self.job = self._state.background.long(
                self,
                lambda: files.export_year(sheet, out),
                lambda path: self._ended(words.FILM_SAVED.format(file=path)),
                stepped=self._stepped,
                failed=self._ended,
                stopped=lambda: self._ended(words.FILM_STOPPED),
                on_pixels=True,
            )
            self.busy_changed.emit()
        else:
            self.page.say(words.SAVING)
            self._state.background.pixels(
                self,
                lambda: files.export_row(sheet, out),
                lambda path: self._ended(words.PICTURE_SAVED.format(file=path)),
                self._ended,
            )

    def _stepped(self, step: Step) -> None:
        if self.job is not None and not self.job.cancelled:
            self.page.say(words.MAKING_FILM.format(step=step.words))

    def _ended(self, said: object) -> None:
        self.job = None
        self.page.say("")
        self.busy_changed.emit()
        self._state.notice(said)  # type: ignore[arg-type]
