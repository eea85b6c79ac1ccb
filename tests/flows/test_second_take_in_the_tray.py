"""A second take is told in the Photo tray by clicks, and asked for once at a visit."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import replace

import pytest
from PySide6.QtCore import Qt
from pytestqt.qtbot import QtBot

from hoofbook.casework.open_book import OpenBook
from hoofbook.casework.photo_tray import file_photo
from hoofbook.casework.shots import group_of
from hoofbook.desktop.background import Background
from hoofbook.desktop.photo_tray.place import PhotoTrayPlace
from hoofbook.desktop.state import AppState
from hoofbook.desktop.theme import Theme
from hoofbook.desktop.widgets.pictures import Pictures
from hoofbook.housekeeping.settings import Settings, load
from hoofbook.terms.subjects import Photo
from hoofbook.terms.views import View
from tests.flows.test_repeatability import at_the_visit, later

LEFT = Qt.MouseButton.LeftButton
Open = Callable[..., PhotoTrayPlace]


@pytest.fixture
def tray(opened_sample: OpenBook, qtbot: QtBot) -> Iterator[Open]:
    background = Background()

    def make(horse: str = "Juniper", book: OpenBook | None = None) -> PhotoTrayPlace:
        state = AppState(background, Theme(), Settings(), book or at_the_visit(opened_sample, horse))
        place = PhotoTrayPlace(state, Pictures(state))
        qtbot.addWidget(place)
        place.resize(960, 540)
        place.show()
        place.show_horse(str(opened_sample.horse_named(horse).key))
        qtbot.waitUntil(lambda: bool(place.lines) and not background.busy, timeout=20_000)
        return place

    yield make
    background.close()


def test_a_photo_is_told_to_be_a_second_take_and_taken_back(tray: Open, opened_sample: OpenBook, qtbot: QtBot) -> None:
    place = tray()
    view = next(v for v in place.lines.values() if v.line.view == "Side")
    qtbot.mouseClick(view.change, LEFT)
    qtbot.mouseClick(view.rows["take"].cells[1], LEFT)
    key = view.line.key
    qtbot.waitUntil(lambda: place.lines[key].line.second, timeout=20_000)
    photo = next(p for p in opened_sample.book.every(Photo, retake=True))
    assert str(photo.key) == key
    assert "second take" in view.told.text()
    assert not place.asked.isVisible()
    place.undo()
    qtbot.waitUntil(lambda: not place.lines[key].line.second, timeout=20_000)
    assert opened_sample.book.every(Photo, retake=True) == ()


def test_one_tap_tells_a_whole_sole_set(tray: Open, opened_sample: OpenBook, qtbot: QtBot) -> None:
    place = tray("Larkspur")
    horse = opened_sample.horse_named("Larkspur").key
    photos = [photo for photo in opened_sample.book.photos(horse) if photo.view is View.SOLAR and photo.set_name]
    keys = [str(photo.key) for photo in group_of(photos[0], photos)]
    view = place.lines[keys[0]]
    view.unfold()
    qtbot.mouseClick(view.rows["take"].cells[1], LEFT)
    qtbot.waitUntil(lambda: all(place.lines[key].line.second for key in keys), timeout=60_000)
    assert {str(photo.key) for photo in opened_sample.book.every(Photo, retake=True)} == set(keys)


def test_it_asks_once_at_a_visit_with_a_reason(tray: Open, qtbot: QtBot) -> None:
    place = tray()
    assert place.asked.isVisible()
    said = place.asked_words.text()
    assert "second take of the left fore, side" in said and "assumed" in said
    qtbot.waitUntil(lambda: bool(load().asked_takes), timeout=10_000)
    place.show_horse(place._horse)
    qtbot.waitUntil(lambda: not place._state.background.busy, timeout=10_000)
    assert place.asked.isVisible(), "it stays while the tray is open"
    qtbot.mouseClick(place.not_now, LEFT)
    assert not place.asked.isVisible()
    assert not tray().asked.isVisible()


def test_it_does_not_ask_long_after_the_visit_nor_beside_a_second_take(
    tray: Open, opened_sample: OpenBook, qtbot: QtBot
) -> None:
    assert not tray(book=replace(opened_sample, clock=later(opened_sample))).asked.isVisible()
    opened = at_the_visit(opened_sample)
    newest = max(opened.book.photos(opened.horse_named("Juniper").key), key=lambda photo: photo.local_time)
    file_photo(opened, str(newest.key), take="second")
    assert not tray().asked.isVisible()
