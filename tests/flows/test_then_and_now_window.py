"""Then and now in the real window on the sample book: the fairest pair, a row, the year, and what is written down."""

from __future__ import annotations

import os
from collections.abc import Iterator
from pathlib import Path

os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")

import pytest
from PIL import Image
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from pytestqt.qtbot import QtBot

from hoofbook.casework.open_book import OpenBook
from hoofbook.desktop.app import make_application, make_state
from hoofbook.desktop.then_and_now.pair_view import Way
from hoofbook.desktop.then_and_now.place import ThenAndNowPlace
from hoofbook.housekeeping.settings import Settings

KEYS = Qt.Key


class Desk:
    """The place on the sample book, with what it was told."""

    def __init__(self, book: OpenBook, bot: QtBot) -> None:
        make_application()
        self.state = make_state(Settings(person="Demo Farrier"))
        self.state.open_book = book
        self.bot, self.told = bot, list[object]()
        self.state.signals.notice.connect(self.told.append)
        self.state.background.refused.connect(self.told.append)
        self.place = ThenAndNowPlace(self.state)
        bot.addWidget(self.place)
        self.place.resize(1200, 830)
        self.place.show()
        self.horse = str(book.horse_named("Larkspur").key)

    def open(self, foot: str, view: str) -> None:
        self.place.show_horse(self.horse, foot=foot, view=view)
        self.settle()

    def settle(self) -> None:
        self.bot.waitUntil(lambda: not self.state.background.busy, timeout=60_000)
        self.bot.wait(1)

    def press(self, *keys: Qt.Key) -> None:
        for key in keys:
            QTest.keyClick(self.place.page.shown_canvas, key)
        self.settle()

    def save(self, out: Path) -> None:
        self.place.ask_file = lambda name: out.with_suffix(Path(name).suffix)
        QTest.mouseClick(self.place.page.panel.save, Qt.MouseButton.LeftButton)


@pytest.fixture
def desk(opened_sample: OpenBook, qtbot: QtBot) -> Iterator[Desk]:
    made = Desk(opened_sample, qtbot)
    yield made
    made.state.background.close()


def test_by_keys_alone_from_the_pair_to_the_row_and_the_year(desk: Desk) -> None:
    desk.open("LF", "solar")
    page = desk.place.page
    assert page.panel.best.buttons[0].text() == "14 Jan – 30 Sep 2025"
    assert page.panel.best.buttons[0].isChecked()
    desk.press(KEYS.Key_L, KEYS.Key_O, KEYS.Key_G, KEYS.Key_E)
    looking = page.panel.looking.looking
    assert looking.lines and looking.outlines and looking.grid and looking.same_light
    said = desk.place.canvas.plate_lines(1)
    assert said[-3:] == ("broken lines: 14 Jan 2025", "grid 10 mm", "light made alike, for looking only")
    desk.press(KEYS.Key_R)
    assert page.way is Way.ROW and len(page.row_canvas.photos) == 4
    desk.press(KEYS.Key_Y)
    assert len(page.row_canvas.photos) == 7 and page.row_canvas.at == 0
    desk.press(KEYS.Key_Right, KEYS.Key_Right)
    assert page.row_canvas.photos[page.row_canvas.at].lines[0] == "16 Apr 2025"
    assert desk.told == []


def test_pair_row_and_year_are_written_as_they_are_shown(desk: Desk, tmp_path: Path) -> None:
    desk.open("LF", "lateral")
    for key, name, ending in ((None, "pair", ".png"), (KEYS.Key_R, "row", ".png"), (KEYS.Key_Y, "year", ".gif")):
        if key is not None:
            desk.press(key)
        before = len(desk.told)
        desk.save(tmp_path / name)
        desk.bot.waitUntil(lambda before=before: len(desk.told) > before, timeout=60_000)
        out = tmp_path / f"{name}{ending}"
        assert str(out) in str(desk.told[-1])
        with Image.open(out) as opened:
            assert opened.format == ending[1:].upper()
            if ending == ".gif":
                assert opened.n_frames == 5 and out.stat().st_size < 8_000_000


def test_a_film_is_stopped_and_leaves_nothing(desk: Desk, tmp_path: Path) -> None:
    desk.open("LF", "solar")
    desk.press(KEYS.Key_Y)
    desk.save(tmp_path / "year")
    QTest.keyClick(desk.place.page.shown_canvas, KEYS.Key_Escape)
    desk.bot.waitUntil(lambda: len(desk.told) > 0, timeout=60_000)
    assert desk.told == ["Stopped. No film was written."]
    assert list(tmp_path.glob("year*")) == []


def test_the_saved_picture_shows_nothing_of_what_lies_over_it_on_screen(desk: Desk, tmp_path: Path) -> None:
    """Lines, grid and light are for looking: with all of them on the file is the same to the last byte."""
    desk.open("LF", "lateral")
    for number in range(2):
        desk.save(tmp_path / str(number))
        desk.bot.waitUntil(lambda number=number: len(desk.told) > number, timeout=60_000)
        desk.press(KEYS.Key_L, KEYS.Key_O, KEYS.Key_G, KEYS.Key_E)
    assert (tmp_path / "0.png").read_bytes() == (tmp_path / "1.png").read_bytes()
