"""A photo is marked again without looking: hidden first marks, a pass of its own, no measure changed."""

from __future__ import annotations

import pytest
from PySide6.QtCore import Qt
from pytestqt.qtbot import QtBot

from hoofbook.casework.open_book import OpenBook, make_book
from hoofbook.casework.readings import read_readings
from hoofbook.casework.without_looking import draw_photo
from hoofbook.desktop.background import Background
from hoofbook.desktop.bench.without_looking import AgainPlace
from hoofbook.desktop.state import AppState
from hoofbook.desktop.theme import Theme
from hoofbook.housekeeping.settings import Settings
from hoofbook.terms.refusal import Refused
from hoofbook.terms.subjects import MarkingPass, Photo
from hoofbook.terms.views import View

LEFT = Qt.MouseButton.LeftButton


def side_photo(opened: OpenBook) -> Photo:
    horse = opened.horse_named("Juniper").key
    marked = opened.book.latest_passes(horse)
    return next(p for p in opened.book.photos(horse) if p.view is View.LATERAL and p.key in marked)


@pytest.fixture
def place(opened_sample: OpenBook, qtbot: QtBot) -> AgainPlace:
    background = Background()
    widget = AgainPlace(AppState(background, Theme(), Settings(), opened_sample))
    qtbot.addWidget(widget, before_close_func=lambda _w: background.close())
    widget.resize(1200, 800)
    widget.show()
    widget.show_horse("", photo=str(side_photo(opened_sample).key))
    qtbot.waitUntil(lambda: widget.desk.shown is not None and widget.canvas.pyramid is not None, timeout=20_000)
    return widget


def test_marks_are_hidden_until_done_and_then_compared(
    place: AgainPlace, opened_sample: OpenBook, qtbot: QtBot
) -> None:
    photo = side_photo(opened_sample)
    first = opened_sample.book.latest_pass(photo.key)
    assert first is not None
    before = read_readings(opened_sample, photo.horse).readings
    assert len(place.desk.visible()) == 0
    assert not place.done.isEnabled()
    for line in place.desk.lines:
        mark = first.marking.marks[line.name]
        place.desk.choose(line.name)
        place.canvas.clicked.emit(mark.x + 2.0, mark.y - 1.0)
    assert place.done.isEnabled()
    place.desk.choose(place.desk.lines[0].name)
    where = place.desk.visible().marks[place.desk.current].x
    qtbot.keyClick(place.canvas, Qt.Key.Key_Left)
    assert place.desk.visible().marks[place.desk.current].x == where - 1
    place.undo()
    qtbot.mouseClick(place.done, LEFT)
    qtbot.waitUntil(place.another.isVisible, timeout=20_000)
    kept = [found for found in opened_sample.book.every(MarkingPass, photo=photo.key) if found.blind]
    assert len(kept) == 1
    assert read_readings(opened_sample, photo.horse).readings == before
    again = opened_sample.book.latest_pass(photo.key)
    assert again is not None and again.key == first.key
    qtbot.mouseClick(place.another, LEFT)
    qtbot.waitUntil(lambda: place.canvas.isVisible() and len(place.desk.visible()) == 0, timeout=20_000)


def test_leaving_half_way_keeps_nothing(place: AgainPlace, opened_sample: OpenBook) -> None:
    place.canvas.clicked.emit(200.0, 200.0)
    assert place.leave()
    assert not any(found.blind for found in opened_sample.book.every(MarkingPass))


def test_a_photo_is_drawn_from_the_whole_book(opened_sample: OpenBook) -> None:
    drawn = {draw_photo(opened_sample, seed=seed).photo.key for seed in range(30)}
    horses = {photo.horse for photo in opened_sample.book.every(Photo) if str(photo.key) in drawn}
    assert len(drawn) > 10 and len(horses) > 1
    assert draw_photo(opened_sample, seed=4).photo.key == draw_photo(opened_sample, seed=4).photo.key


def test_an_empty_book_says_what_to_do(opened_sample: OpenBook, tmp_path_factory: pytest.TempPathFactory) -> None:
    empty = make_book(tmp_path_factory.mktemp("empty") / "book", opened_sample.settings, opened_sample.clock)
    try:
        with pytest.raises(Refused) as caught:
            draw_photo(empty)
        assert caught.value.refusal.code == "no_photo_to_mark_again"
    finally:
        empty.close()
