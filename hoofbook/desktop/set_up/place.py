"""The place Set up; every choice applies at once."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

from PySide6.QtCore import Qt
from PySide6.QtGui import QPixmap
from PySide6.QtWidgets import QFileDialog, QLineEdit, QVBoxLayout, QWidget

from hoofbook import PRODUCT_NAME, __version__
from hoofbook.desktop.first_start.place import breakable, theme_pick
from hoofbook.desktop.first_start.ways import ReadingTest
from hoofbook.desktop.state import AppState
from hoofbook.desktop.widgets.buttons import Button
from hoofbook.desktop.widgets.flow import FlowLayout
from hoofbook.desktop.widgets.labelled import Labelled
from hoofbook.desktop.widgets.page import Page
from hoofbook.desktop.widgets.panel import Panel
from hoofbook.desktop.widgets.pick_row import PickRow
from hoofbook.desktop.widgets.section_view import SectionView
from hoofbook.desktop.widgets.text import Label
from hoofbook.terms.shown import Section
from hoofbook.wording import labels

if TYPE_CHECKING:
    from hoofbook.desktop.window import Window

_WIDEST = 760
_LOGO_TALL = 64
_LOGO_FILES = f"{labels.PICTURE_FILES} (*.png *.jpg *.jpeg *.tif *.tiff *.heic)"


class SetUpPlace(QWidget):
    """Reading size, look, name, units, the book, and the keys."""

    def __init__(self, state: AppState, window: Window) -> None:
        super().__init__()
        self._state = state
        self._window = window
        outer = QVBoxLayout(self)
        outer.setContentsMargins(0, 0, 0, 0)
        self.page = Page()
        outer.addWidget(self.page)
        self._build_reading()
        self._build_person()
        self._build_papers()
        self._build_book()
        keys = SectionView(Section(labels.KEYS, rows=labels.KEYS_TABLE), kind="body")
        version = Label(f"{PRODUCT_NAME} {__version__}", "small", "soft")
        for part in (keys, version):
            self.page.add_narrow(part, _WIDEST)
        self.page.column.addStretch(1)
        state.signals.theme_changed.connect(self._mark)
        self._mark()

    def show_horse(self, horse_key: str, **where: str) -> None:
        self._mark()
        self.reading.lines[self._state.theme.size].setFocus()

    def leave(self) -> bool:
        self._keep_name()
        self._keep_practice()
        return True

    def _panel(self, title: str) -> Panel:
        panel = Panel(title)
        self.page.add_narrow(panel, _WIDEST)
        return panel

    def _build_reading(self) -> None:
        panel = self._panel(labels.READS_EASILY)
        self.reading = ReadingTest()
        self.reading.chosen.connect(lambda size: self._window.change_settings(text_size=size))
        self.themes = PickRow(style="track", name=labels.THEME)
        self.themes.picked.connect(lambda _field, name: self._window.change_settings(theme=name))
        panel.body.addWidget(self.reading)
        panel.body.addWidget(self.themes)

    def _build_person(self) -> None:
        panel = self._panel(labels.PERSON)
        self.person = QLineEdit(self._state.settings.person)
        self.person.setAccessibleName(labels.PERSON)
        self.person.setPlaceholderText(labels.PERSON_HINT)
        self.person.editingFinished.connect(self._keep_name)
        panel.body.addWidget(self.person)

    def _build_papers(self) -> None:
        panel = self._panel(labels.ON_PAPERS)
        self.practice = QLineEdit(self._state.settings.practice)
        self.practice.setAccessibleName(labels.PRACTICE)
        self.practice.setPlaceholderText(labels.PRACTICE_HINT)
        self.practice.editingFinished.connect(self._keep_practice)
        self.logo = Label("", "body")
        self.logo.setAccessibleName(labels.LOGO_NAME)
        holder = QWidget()
        row = FlowLayout(holder, gap=12)
        row.addWidget(Button(labels.CHOOSE_LOGO, "plain", self._choose_logo))
        self.no_logo = Button(labels.NO_LOGO, "plain", self._drop_logo)
        row.addWidget(self.no_logo)
        for part in (Labelled(labels.PRACTICE, self.practice), self.logo, holder):
            panel.body.addWidget(part)
        panel.body.addWidget(Label(labels.LOGO_WORDS, "small", "soft", wrap=True))
        self._state.background.read(self, self._state.casework.set_up.read_logo, self._show_logo)

    def _build_book(self) -> None:
        panel = self._panel(labels.BOOK)
        self.folder = Label("", "body", wrap=True)
        panel.body.addWidget(self.folder)
        holder = QWidget()
        row = FlowLayout(holder, gap=12)
        row.addWidget(Button(labels.OTHER_BOOK, "plain", self._open_other))
        row.addWidget(Button(labels.NEW_BOOK, "plain", self._window.show_first_start))
        panel.body.addWidget(holder)

    def _mark(self) -> None:
        self.reading.mark(self._state.theme.size)
        self.themes.set_pick(theme_pick(self._state.theme.name))
        book = self._state.open_book
        self.folder.setText(f"{labels.BOOK_FOLDER} {breakable(book.folder)}" if book is not None else "")

    def _keep_name(self) -> None:
        name = self.person.text().strip()
        if name != self._state.settings.person:
            self._window.change_settings(person=name)

    def _keep_practice(self) -> None:
        practice = self.practice.text().strip()
        if practice != self._state.settings.practice:
            self._window.change_settings(practice=practice)

    def _choose_logo(self) -> None:
        name, _kind = QFileDialog.getOpenFileName(self, labels.CHOOSE_LOGO, str(Path.home()), _LOGO_FILES)
        if name:
            keep = self._state.casework.set_up.keep_logo
            self._state.background.pixels(self, lambda: keep(Path(name)), self._show_logo)

    def _drop_logo(self) -> None:
        drop = self._state.casework.set_up.drop_logo
        self._state.background.read(self, drop, lambda _none: self._show_logo(b""))

    def _show_logo(self, png: bytes) -> None:
        picture = QPixmap()
        picture.loadFromData(png)
        small = picture.scaledToHeight(_LOGO_TALL, Qt.TransformationMode.SmoothTransformation) if png else picture
        self.logo.setPixmap(small)
        self.logo.setVisible(bool(png))
        self.no_logo.setVisible(bool(png))

    def _open_other(self) -> None:
        chosen = QFileDialog.getExistingDirectory(self, labels.CHOOSE_BOOK, str(Path.home()))
        if chosen:
            self._window.open_folder(Path(chosen))
