"""The vet's own images of a horse: shown with day and trims since, brought in, set aside; never measured."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import QFileDialog, QHBoxLayout, QLineEdit, QVBoxLayout, QWidget

from hoofbook.desktop.background import Job
from hoofbook.desktop.state import AppState
from hoofbook.desktop.widgets.buttons import Button
from hoofbook.desktop.widgets.labelled import Labelled
from hoofbook.desktop.widgets.page import empty_layout
from hoofbook.desktop.widgets.panel import Panel
from hoofbook.desktop.widgets.photo_tile import PhotoView
from hoofbook.desktop.widgets.pick_row import PickRow
from hoofbook.desktop.widgets.pictures import Pictures
from hoofbook.desktop.widgets.progress_line import ProgressLine
from hoofbook.desktop.widgets.text import Label
from hoofbook.terms.shown import Pick
from hoofbook.wording import vet_images as said
from hoofbook.wording import vet_sheet as words

if TYPE_CHECKING:
    from hoofbook.casework.vet_images import TakenVetImage, VetImageShown

ENDINGS = "*.dcm *.jpg *.jpeg *.png *.pdf *.DCM *.JPG *.JPEG *.PNG *.PDF *"
_TILE = (150, 110)
_LINES = (("taken", words.IMAGES_DAY), ("received_from", words.IMAGES_FROM), ("purpose", words.IMAGES_FOR))


class VetImagesPanel(Panel):
    """`changed` comes when one was brought in or set aside, `listed(count)` when they are shown."""

    changed = Signal()
    listed = Signal(int)

    def __init__(self, state: AppState) -> None:
        super().__init__(said.TITLE)
        self._state = state
        self._pictures = Pictures(state)
        self._job: Job | None = None
        self.horse = ""
        self.ask_files: Callable[[], list[Path]] = self._ask_files
        self.body.addWidget(Label(words.IMAGES_WORDS, "body", "soft", wrap=True))
        self._tiles = QVBoxLayout()
        self._tiles.setSpacing(10)
        self.body.addLayout(self._tiles)
        self.none = Label(words.NO_IMAGES, "body")
        self.body.addWidget(self.none)
        self.feet = PickRow(style="track", name=words.IMAGES_FOOT)
        self.feet.picked.connect(self._pick_foot)
        self._adding = QWidget()
        form = QVBoxLayout(self._adding)
        form.setContentsMargins(0, 0, 0, 0)
        form.addWidget(Labelled(words.IMAGES_FOOT, self.feet))
        self.lines: dict[str, QLineEdit] = {}
        for name, title in _LINES:
            line = QLineEdit()
            line.setAccessibleName(title)
            self.lines[name] = line
            form.addWidget(Labelled(title, line))
        self.lines["taken"].setPlaceholderText(words.IMAGES_DAY_HINT)
        self.add_them = Button(words.ADD_IMAGES, "plain", self.add)
        form.addWidget(self.add_them)
        self.body.addWidget(self._adding)
        self.progress = ProgressLine()
        self.body.addWidget(self.progress)
        self.told = Label("", "body", wrap=True)
        self.told.hide()
        self.body.addWidget(self.told)
        self.shown: tuple[VetImageShown, ...] = ()

    def show_horse(self, horse: str, feet: Pick, *, read_only: bool) -> None:
        """Images of this horse; `feet` are the feet it has, to say of which one a file is."""
        if horse != self.horse:
            self.horse = horse
            self.told.hide()
            for line in self.lines.values():
                line.clear()
        options = ("", *feet.options, said.SEVERAL)
        labels = (words.AS_THE_FILE_SAYS, *feet.labels, words.SEVERAL_FEET)
        kept = self.feet.pick.chosen if self.feet.pick.chosen in options else ""
        self.feet.set_pick(Pick("foot", words.IMAGES_FOOT, options, labels, kept))
        self._adding.setVisible(not read_only)
        self._read()

    def add(self) -> None:
        """Ask which files, and bring them in with what was told of them."""
        files, book, horse = self.ask_files(), self._state.open_book, self.horse
        if not files or book is None:
            return
        casework = self._state.casework
        told = {"foot": self.feet.pick.chosen, **{name: line.text() for name, line in self.lines.items()}}
        self.add_them.setEnabled(False)
        self._job = self._state.background.long(
            self,
            lambda: casework.vet_images.take_vet_images(book, horse, files, casework.vet_images.VetTold(**told)),
            lambda taken: self._added(horse, taken),
            stepped=self.progress.show_step,
            failed=self._failed,
            stopped=self._ended,
        )
        self.progress.begin(words.BRINGING, self._job.cancel)

    def _added(self, horse: str, taken: tuple[TakenVetImage, ...]) -> None:
        self._ended()
        self._state.changed()
        if horse != self.horse:  # another horse shows meanwhile
            return
        said_of = self._state.casework.adding_text.vet_lines
        lines = (*said_of(taken), *said_of(taken, refused_only=True))
        self.told.setText("\n".join(lines))
        self.told.setVisible(bool(lines))
        self.changed.emit()
        self._read()

    def _failed(self, refusal: object) -> None:
        self._ended()
        self._state.signals.notice.emit(refusal)

    def _ended(self) -> None:
        self.progress.end()
        self.add_them.setEnabled(True)

    def _read(self) -> None:
        book, horse = self._state.open_book, self.horse
        self._state.background.read(
            self, lambda: self._state.casework.vet_images.read_vet_images(book, horse), self._show, replaces="images"
        )

    def _show(self, shown: tuple[VetImageShown, ...]) -> None:
        empty_layout(self._tiles)
        self.shown = shown
        self.listed.emit(len(shown))
        self.none.setVisible(not shown)
        for image in shown:
            self._tiles.addLayout(self._line(image))

    def _line(self, image: VetImageShown) -> QHBoxLayout:
        row = QHBoxLayout()
        row.setSpacing(14)
        view = PhotoView(self._pictures)
        view.setFixedSize(*_TILE)
        view.show_tile(image.tile, name=said.TITLE)
        row.addWidget(view, 0, Qt.AlignmentFlag.AlignTop)
        column = QVBoxLayout()
        column.setSpacing(2)
        for label, told in image.rows:
            column.addWidget(Label(f"{label}: {told}", "small", wrap=True))
        column.addWidget(Label(image.says, "small", "soft", wrap=True))
        if self._state.open_book is not None and not self._state.open_book.read_only:
            aside = Button(words.SET_ASIDE, "link", lambda: self._set_aside(image.key), small=True)
            column.addWidget(aside)
        column.addStretch(1)
        row.addLayout(column, 1)
        return row

    def _set_aside(self, key: str) -> None:
        book = self._state.open_book
        self._state.background.read(
            self,
            lambda: self._state.casework.vet_images.set_vet_image_aside(book, key),
            lambda _none: self._was_set_aside(),
        )

    def _was_set_aside(self) -> None:
        self._read()
        self.changed.emit()

    def _pick_foot(self, _field: str, foot: str) -> None:
        self.feet.set_pick(Pick("foot", words.IMAGES_FOOT, self.feet.pick.options, self.feet.pick.labels, foot))

    def _ask_files(self) -> list[Path]:
        names, _kind = QFileDialog.getOpenFileNames(
            self, words.ADD_IMAGES, str(Path.home()), f"{words.IMAGE_FILES} ({ENDINGS})"
        )
        return [Path(name) for name in names]
