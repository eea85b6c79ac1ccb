"""A whole window on invented values, offscreen, with its own home and settings."""

from __future__ import annotations

import os

os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from pathlib import Path

import pytest
from PySide6.QtGui import QColor, QImage, QPainter
from pytestqt.qtbot import QtBot

from hoofbook.desktop.app import Shell, make_application, make_state
from hoofbook.desktop.state import AppState
from hoofbook.desktop.window import Window
from hoofbook.housekeeping.settings import Settings
from tests.desktop.fake_casework import FakeBook, FakeCasework


@dataclass
class Desk:
    """The window under test with what it was given."""

    shell: Shell
    casework: FakeCasework
    bot: QtBot

    @property
    def window(self) -> Window:
        return self.shell.window

    @property
    def state(self) -> AppState:
        return self.shell.state

    def settle(self) -> None:
        """Wait until nothing is on its way."""
        self.bot.waitUntil(lambda: not self.state.background.busy, timeout=10000)
        self.bot.wait(1)

    def open_book(self, *, read_only: bool = False) -> None:
        self.state.open_book = FakeBook(Path("/books/sample"), read_only)  # type: ignore[assignment]
        self.window.show_book("")
        self.settle()
        self.settle()

    def go(self, place: str, **where: str) -> object:
        self.window.go(place, where)
        self.settle()
        return self.window.makers.made[place]


def picture(path: Path, colour: str) -> None:
    """A plain small photo."""
    image = QImage(400, 300, QImage.Format.Format_RGB32)
    image.fill(QColor(colour))
    painter = QPainter(image)
    painter.fillRect(150, 100, 120, 140, QColor("#D8C8A8"))
    painter.end()
    image.save(str(path), "JPG", 90)


@pytest.fixture
def photos(tmp_path: Path) -> Path:
    folder = tmp_path / "photos"
    folder.mkdir()
    picture(folder / "side.jpg", "#7A6A58")
    picture(folder / "sole.jpg", "#5A4632")
    return folder


@pytest.fixture(scope="session")
def qapp_cls() -> type:
    from PySide6.QtWidgets import QApplication

    return QApplication


@pytest.fixture
def make_desk(
    qtbot: QtBot, photos: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> Iterator[Callable[..., Desk]]:
    monkeypatch.setenv("HOOFBOOK_HOME", str(tmp_path / "home"))
    make_application()
    made: list[Desk] = []

    def make(width: int = 1440, height: int = 900, settings: Settings | None = None) -> Desk:
        state = make_state(settings or Settings())
        state.casework = FakeCasework(photos)
        desk = Desk(Shell(state), state.casework, qtbot)
        qtbot.addWidget(desk.window)
        desk.window.resize(width, height)
        desk.window.show()
        made.append(desk)
        return desk

    yield make
    for desk in made:
        desk.window.hide()
        desk.shell.close()


@pytest.fixture
def desk(make_desk: Callable[..., Desk]) -> Desk:
    """The window with a book of four horses, on Larkspur's card."""
    one = make_desk()
    one.open_book()
    return one
