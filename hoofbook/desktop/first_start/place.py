"""The place that shows while there is no book."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Any

from PySide6.QtCore import QSize, Qt
from PySide6.QtGui import QImage, QKeySequence, QResizeEvent, QShortcut
from PySide6.QtWidgets import QFileDialog, QGridLayout, QVBoxLayout, QWidget

from hoofbook import PRODUCT_NAME
from hoofbook.desktop.background import Job
from hoofbook.desktop.first_start.ways import FirstPicture, ReadingTest, WayButton
from hoofbook.desktop.state import AppState
from hoofbook.desktop.theme import THEMES
from hoofbook.desktop.widgets.buttons import Button
from hoofbook.desktop.widgets.flow import FlowLayout
from hoofbook.desktop.widgets.page import Page
from hoofbook.desktop.widgets.pick_row import PickRow
from hoofbook.desktop.widgets.pictures import read_picture
from hoofbook.desktop.widgets.progress_line import ProgressLine
from hoofbook.desktop.widgets.text import Label
from hoofbook.terms.refusal import Refusal
from hoofbook.terms.shown import Pick
from hoofbook.wording import labels

if TYPE_CHECKING:
    from hoofbook.desktop.window import Window

_THREE_COLUMNS = 1180
_LEAST_PICTURE = 150  # a lower one would show no foot
PICTURE = ("larkspur", "visit-7", "lf-side-after.jpg")


def theme_pick(chosen: str) -> Pick:
    """The row Light, Dark, Daylight."""
    return Pick("theme", labels.THEME, THEMES, (labels.LIGHT, labels.DARK, labels.DAYLIGHT), chosen)


class FirstStart(Page):
    """Two ways in, the reading test and the look; everything applies at once."""

    def __init__(self, state: AppState, window: Window) -> None:
        super().__init__(margin=0)
        self._state = state
        self._window = window
        self._job: Job | None = None
        self.folder: Path | None = None
        self._columns = 0
        self.column.setContentsMargins(0, 0, 0, 0)
        self.column.setSpacing(0)
        self.picture = FirstPicture()
        self.picture.hide()
        self.column.addWidget(self.picture)
        self._build()
        state.signals.theme_changed.connect(self._mark)
        for key, way in (("O", self.sample), ("S", self.own)):
            shortcut = QShortcut(QKeySequence(key), self)
            shortcut.activated.connect(way.click)
            shortcut.setContext(Qt.ShortcutContext.WidgetWithChildrenShortcut)
        self._mark()

    def start(self) -> None:
        """Find the picture and the folder a new book would lie in, without holding up the window."""
        self.sample.setFocus(Qt.FocusReason.OtherFocusReason)
        self._state.background.pixels(self, self._read_picture, self._show_picture)
        self._state.background.read(self, self._default_folder, self._show_folder)

    def leave(self) -> bool:
        return True

    def _build(self) -> None:
        self._grid_holder = QWidget()
        self._grid = QGridLayout(self._grid_holder)
        self._grid.setHorizontalSpacing(48)
        self._grid.setVerticalSpacing(20)
        self._intro = self._make_intro()
        self._looks = self._make_looks()
        self._ways = self._make_ways()
        self.progress = ProgressLine()
        self.column.addWidget(self._grid_holder)
        self.column.addStretch(1)
        foot = QWidget()
        line = FlowLayout(foot, gap=20)
        line.setContentsMargins(56, 8, 56, 20)
        line.addWidget(Label(labels.STAYS_HERE, "small", "soft"))
        line.addWidget(Button(labels.OPEN_BOOK, "link", self._open_other))
        line.addWidget(Button(labels.SCALE_CARD, "link", self._save_card))
        self.column.addWidget(foot)

    def _make_intro(self) -> QWidget:
        part = QWidget()
        column = QVBoxLayout(part)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(10)
        column.addWidget(Label(PRODUCT_NAME, "heading", "leather"))
        column.addWidget(Label(labels.FIRST_TITLE, "title", wrap=True))
        column.addWidget(Label(labels.FIRST_WORDS, "body", "soft", wrap=True))
        column.addStretch(1)
        return part

    def _make_looks(self) -> QWidget:
        part = QWidget()
        column = QVBoxLayout(part)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(12)
        column.addWidget(Label(labels.READS_EASILY, "body", "soft"))
        self.reading = ReadingTest()
        self.reading.chosen.connect(lambda size: self._window.change_settings(text_size=size))
        self.themes = PickRow(style="track")
        self.themes.picked.connect(lambda _field, name: self._window.change_settings(theme=name))
        column.addWidget(self.reading)
        column.addWidget(self.themes)
        column.addStretch(1)
        return part

    def _make_ways(self) -> QWidget:
        part = QWidget()
        column = QVBoxLayout(part)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(14)
        self.sample = WayButton(labels.OPEN_SAMPLE, labels.OPEN_SAMPLE_WORDS, "O", main=True)
        self.sample.clicked.connect(self.open_sample)
        self.own = WayButton(labels.START_OWN, labels.START_OWN_WORDS, "S", main=False)
        self.own.clicked.connect(self.start_own)
        self.where = Label("", "small", "soft", wrap=True)
        self.other = Button(labels.OTHER_FOLDER, "link", self._choose_folder)
        column.addWidget(self.sample)
        column.addWidget(self.own)
        column.addWidget(self.where)
        column.addWidget(self.other, 0, Qt.AlignmentFlag.AlignLeft)
        column.addStretch(1)
        return part

    def open_sample(self) -> None:
        """Open the sample book, made first (with progress and Stop) where it is not there yet."""
        if self._job is not None:
            return
        casework = self._state.casework
        self.sample.setEnabled(False)
        self.own.setEnabled(False)
        self.progress.begin(labels.MAKING_SAMPLE, self._stop)

        def make():  # type: ignore[no-untyped-def]
            folder = casework.open_book.sample_folder()
            if not (folder / "book.sqlite").exists():
                yield from casework.demo.make_sample_book(folder)
            return folder

        self._job = self._state.background.long(
            self,
            make,
            self._made,
            stepped=self.progress.show_step,
            failed=self._failed,
            stopped=self._stopped,
            on_pixels=True,
        )

    def start_own(self) -> None:
        """Make an empty book in the folder shown and open it."""
        if self._job is None and self.folder is not None:
            self._window.make_folder(self.folder)

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        self._arrange()

    def _arrange(self) -> None:
        size: QSize = self.viewport().size()
        columns = 3 if size.width() >= _THREE_COLUMNS * self._state.theme.size / 17 else 2
        share = 0.46 if columns == 3 else 0.24
        tall = round(size.height() * share)
        self.picture.setFixedHeight(tall)
        self.picture.setVisible(self.picture.has_picture and tall >= _LEAST_PICTURE)
        side = 56 if columns == 3 else 28
        self._grid.setContentsMargins(side, 32 if columns == 3 else 18, side, 8)
        if columns == self._columns:
            return
        self._columns = columns
        for part in (self._intro, self._looks, self._ways, self.progress):
            self._grid.removeWidget(part)
        if columns == 3:
            for place, part in enumerate((self._intro, self._looks, self._ways)):
                self._grid.addWidget(part, 0, place)
            self._grid.addWidget(self.progress, 1, 0, 1, 3)
        else:
            self._grid.addWidget(self._intro, 0, 0)
            self._grid.addWidget(self._looks, 1, 0)
            self._grid.addWidget(self._ways, 0, 1, 2, 1)
            self._grid.addWidget(self.progress, 2, 0, 1, 2)
        for column, stretch in enumerate((5, 4, 5) if columns == 3 else (1, 1, 0)):
            self._grid.setColumnStretch(column, stretch)

    def _mark(self) -> None:
        self.reading.mark(self._state.theme.size)
        self.themes.set_pick(theme_pick(self._state.theme.name))
        self._arrange()

    def _stop(self) -> None:
        if self._job is not None:
            self.progress.words.setText(labels.STOPPING)
            self._job.cancel()

    def _stopped(self) -> None:
        self._end()
        self._state.notice(labels.SAMPLE_STOPPED)

    def _failed(self, refusal: Refusal) -> None:
        self._end()
        self._state.notice(refusal)

    def _made(self, folder: Path) -> None:
        self._end()
        self._window.open_folder(folder)

    def _end(self) -> None:
        self._job = None
        self.progress.end()
        self.sample.setEnabled(True)
        self.own.setEnabled(True)

    def _default_folder(self) -> Path:
        return Path(self._state.casework.open_book.default_folder())

    def _show_folder(self, folder: Path) -> None:
        if self.folder is None:
            self.show_own_folder(folder)

    def show_own_folder(self, folder: Path) -> None:
        """Where Start my own will put the book."""
        self.folder = folder
        self.where.setText(f"{labels.WILL_LIE_IN} {breakable(folder)}")

    def _choose_folder(self) -> None:
        chosen = QFileDialog.getExistingDirectory(self, labels.CHOOSE_FOLDER, str(self.folder or Path.home()))
        if chosen:
            self.show_own_folder(Path(chosen))

    def _open_other(self) -> None:
        chosen = QFileDialog.getExistingDirectory(self, labels.CHOOSE_BOOK, str(Path.home()))
        if chosen:
            self._window.open_folder(Path(chosen))

    def _save_card(self) -> None:
        from hoofbook.desktop.scale_card.save import ask_and_save

        ask_and_save(self._state, self, "a4")

    def _read_picture(self) -> QImage:
        from hoofbook.housekeeping.shipped import sample_case
        from hoofbook.terms.refusal import Refused

        try:
            return read_picture(sample_case(PICTURE[0]).joinpath(*PICTURE[1:]), 1800)
        except Refused:  # an install without the sample case still starts
            return QImage()

    def _show_picture(self, image: Any) -> None:
        self.picture.show_image(image)
        self._arrange()


def breakable(path: Path) -> str:
    """A path that may wrap after each of its parts."""
    return str(path).replace("/", "/\u200b").replace("\\", "\\\u200b")
