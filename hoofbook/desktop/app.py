"""Starts the window: fonts and look first, then the book in the background, so that something shows at once."""

from __future__ import annotations

import sys
import threading
from collections.abc import Callable
from pathlib import Path

from PySide6.QtCore import Qt, QTimer
from PySide6.QtGui import QGuiApplication
from PySide6.QtWidgets import QApplication

from hoofbook import PRODUCT_NAME
from hoofbook.desktop.background import Background
from hoofbook.desktop.look import wear
from hoofbook.desktop.state import AppState
from hoofbook.desktop.theme import TEXT_SIZES, THEMES, Theme
from hoofbook.housekeeping import log
from hoofbook.housekeeping.crash import install
from hoofbook.housekeeping.settings import Settings, load
from hoofbook.wording import labels, measuring_anew

BOOK_FILE = "book.sqlite"

SIGN_MS = 60_000  # another machine takes a sign older than three minutes for one left behind


def run(book_folder: Path | None, *, horse: str = "") -> int:
    """Opens the window on a book, the last book, or the first start; returns the exit code of the event loop.

    `horse` is the name of the horse to show first.
    """
    application = make_application()
    state = make_state()
    shell = Shell(state)
    log.start()
    hooks = sys.excepthook, threading.excepthook
    install(lambda report: state.notice(bug_words(report)))
    try:
        shell.start(book_folder, horse)
        return application.exec()
    finally:
        sys.excepthook, threading.excepthook = hooks
        shell.close()
        log.stop()


def make_application() -> QApplication:
    """The one application, with our own style beneath the stylesheet so that every machine looks the same."""
    application = QApplication.instance()
    if not isinstance(application, QApplication):
        QGuiApplication.setHighDpiScaleFactorRoundingPolicy(Qt.HighDpiScaleFactorRoundingPolicy.PassThrough)
        application = QApplication([PRODUCT_NAME])
    application.setApplicationName(PRODUCT_NAME)
    application.setApplicationDisplayName(PRODUCT_NAME)
    application.setStyle("Fusion")
    return application


def make_state(settings: Settings | None = None) -> AppState:
    """The state of a fresh start, wearing the look that was kept."""
    settings = settings or load()
    theme = theme_of(settings)
    wear(theme)
    return AppState(Background(), theme, settings)


def theme_of(settings: Settings) -> Theme:
    """The look of these settings; an unknown name or size (a newer version's) falls back to the default."""
    name = settings.theme if settings.theme in THEMES else THEMES[0]
    return Theme(name, settings.text_size if settings.text_size in TEXT_SIZES else TEXT_SIZES[1])


class Shell:
    """Owns the first start or the window, whichever shows; changes the shared state on behalf of both."""

    def __init__(self, state: AppState) -> None:
        from hoofbook.desktop.window import Window

        self.state = state
        self.window = Window(state)
        self.window.open_folder = self.open_folder
        self.window.make_folder = self.make_folder
        self.window.change_settings = self.change_settings
        state.background.refused.connect(state.signals.notice)
        self._sign = QTimer(self.window, interval=SIGN_MS)
        self._sign.timeout.connect(self._renew_sign)
        self._sign.start()

    def start(self, book_folder: Path | None, horse: str = "") -> None:
        """Shows the window at once and opens the book behind it."""
        last = Path(self.state.settings.last_book) if self.state.settings.last_book else None
        folder = book_folder or (last if last is not None and (last / BOOK_FILE).exists() else None)
        if folder is None:
            self.window.show_first_start()
        self.window.show_first_size()
        if folder is not None:
            QTimer.singleShot(0, lambda: self.open_folder(folder, horse))

    def open_folder(self, folder: Path, horse: str = "") -> None:
        """Opens the book in `folder`; a refusal is shown and what was open stays open."""
        self._open(lambda: self.state.casework.open_book.open_book(folder, self.state.settings), horse)

    def make_folder(self, folder: Path) -> None:
        """Makes an empty book in `folder` and opens it."""
        self._open(lambda: self.state.casework.open_book.make_book(folder, self.state.settings), "")

    def change_settings(self, **fields: object) -> None:
        """Keeps changed settings and wears the look they ask for at once."""
        from dataclasses import replace

        self.state.settings = replace(self.state.settings, **fields)  # type: ignore[arg-type]
        theme = theme_of(self.state.settings)
        if theme != self.state.theme:
            self.state.theme = theme
            wear(theme)
            self.state.signals.theme_changed.emit()
        casework = self.state.casework
        self.state.background.read(self.window, lambda: casework.set_up.change_settings(**fields), lambda _kept: None)

    def _renew_sign(self) -> None:
        book = self.state.open_book
        if book is not None:
            self.state.background.read(self.window, book.renew_sign, lambda _renewed: None, replaces="sign")

    def close(self) -> None:
        """Finishes what is being written and lets the book go."""
        self._sign.stop()
        self.state.background.close()
        if self.state.open_book is not None:
            self.state.open_book.close()
            self.state.open_book = None

    def _open(self, opening: Callable[[], object], horse: str) -> None:
        self.window.show_waiting(labels.LOOKING)
        self.state.background.read(
            self.window,
            opening,
            lambda book: self._opened(book, horse),
            self.window.not_opened,
        )

    def _opened(self, book: object, horse: str) -> None:
        older = self.state.open_book
        self.state.open_book = book  # type: ignore[assignment]
        self.state.horse = ""
        if older is not None:
            self.state.background.read(self.window, older.close, lambda _closed: None)
        self.change_settings(last_book=str(book.folder), first_start_done=True)  # type: ignore[attr-defined]
        self.window.show_book(horse)
        self._measure_anew()

    def _measure_anew(self) -> None:
        """Figures that an earlier version made are made again behind the window; breaking off loses nothing."""
        book, casework = self.state.open_book, self.state.casework
        if book is None or book.read_only:
            return
        self.state.background.long(self.window, lambda: casework.measuring_anew.measure_anew(book), self._anew_done)

    def _anew_done(self, photos: int) -> None:
        if photos:
            self.state.notice(measuring_anew.done(photos))
            self.state.changed()


def bug_words(report: Path | None) -> str:
    """What the notice bar says about a fault of ours; `report` is the crash report where one could be written."""
    return labels.UNEXPECTED.format(file=report) if report is not None else labels.UNEXPECTED_NO_FILE
