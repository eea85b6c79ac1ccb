"""A photo is marked again without looking: hidden first marks, a pass of its own, no measure changed."""

from __future__ import annotations

from dataclasses import replace

import pytest
from PySide6.QtCore import Qt
from pytestqt.qtbot import QtBot

from hoofbook.casework.open_book import OpenBook, make_book, uuid
from hoofbook.casework.own_placing import every_again, own_spreads
from hoofbook.casework.readings import read_readings
from hoofbook.casework.without_looking import draw_photo, keep_again
from hoofbook.desktop.background import Background
from hoofbook.desktop.bench.without_looking import AgainPlace
from hoofbook.desktop.state import AppState
from hoofbook.desktop.theme import Theme
from hoofbook.desktop.widgets.text import Label
from hoofbook.housekeeping.settings import Settings
from hoofbook.terms.drawing import Spot
from hoofbook.terms.refusal import Refused
from hoofbook.terms.subjects import MarkingPass, Photo
from hoofbook.terms.views import View

LEFT = Qt.MouseButton.LeftButton


def side_photo(opened: OpenBook) -> Photo:
    horse = opened.horse_named("Juniper").key
    marked = opened.book.latest_passes(horse)
    return next(p for p in opened.book.photos(horse) if p.view is View.LATERAL and p.key in marked)


def by_the_same_person(opened: OpenBook) -> OpenBook:
    """The book in the hands of who marked its photos."""
    first = opened.book.latest_pass(side_photo(opened).key)
    assert first is not None
    return replace(opened, person=first.marked_by)


@pytest.fixture
def place(opened_sample: OpenBook, qtbot: QtBot) -> AgainPlace:
    background = Background()
    widget = AgainPlace(AppState(background, Theme(), Settings(), by_the_same_person(opened_sample)))
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


def test_both_passes_are_drawn_and_looked_at_closely(place: AgainPlace, opened_sample: OpenBook, qtbot: QtBot) -> None:
    photo = side_photo(opened_sample)
    first = opened_sample.book.latest_pass(photo.key)
    assert first is not None
    for line in place.desk.lines:
        mark = first.marking.marks[line.name]
        place.canvas.clicked.emit(mark.x + 8.0, mark.y)
    assert place.canvas.drawing is None, "nothing of the first pass shows before Done"
    qtbot.keyClick(place.canvas, Qt.Key.Key_Return)
    qtbot.waitUntil(place.another.isVisible, timeout=20_000)
    drawn = place.canvas.drawing
    assert drawn is not None and "toe, ground" in drawn.alt
    spots = [part for part in drawn.primitives if isinstance(part, Spot)]
    names = list(place.canvas.marking)
    assert [spot.centre for spot in spots] == [(first.marking.marks[n].x, first.marking.marks[n].y) for n in names]
    said = " ".join(label.text() for label in place.result.findChildren(Label))
    assert "mm apart, to the right of the first" in said
    assert "Toe angle" in said
    whole = place.canvas.frame.scale
    qtbot.mouseClick(place.look, LEFT)
    assert place.canvas.frame.scale > whole
    before = dict(place.canvas.marking.marks)
    place.canvas.clicked.emit(500.0, 500.0)
    assert dict(place.canvas.marking.marks) == before, "what is shown beside the first pass can't be changed any more"
    for _ in names:
        qtbot.mouseClick(place.look, LEFT)
    assert place.canvas.frame.scale == pytest.approx(whole)


def test_leaving_half_way_keeps_what_is_placed_and_asks_for_the_rest(
    place: AgainPlace, opened_sample: OpenBook, qtbot: QtBot
) -> None:
    names = [line.name for line in place.desk.lines]
    place.canvas.clicked.emit(200.0, 200.0)
    place.canvas.clicked.emit(300.0, 210.0)
    place.undo()
    assert len(place.desk.visible()) == 1
    told: list[object] = []
    place._state.signals.notice.connect(told.append)
    assert place.leave()
    qtbot.waitUntil(lambda: bool(told), timeout=10_000)
    kept = [found for found in opened_sample.book.every(MarkingPass) if found.blind]
    assert [list(found.marking) for found in kept] == [names[:1]]
    assert own_spreads(opened_sample).photos == 1
    place.show_horse("")
    qtbot.waitUntil(lambda: place.desk.shown is not None and place.canvas.pyramid is not None, timeout=20_000)
    assert place.desk.photo == str(side_photo(opened_sample).key), "the photo left half-way comes first"
    assert [line.name for line in place.desk.lines] == names[1:]
    for number in range(len(names) - 1):
        place.canvas.clicked.emit(400.0 + number, 300.0)
    qtbot.mouseClick(place.done, LEFT)
    qtbot.waitUntil(place.another.isVisible, timeout=20_000)
    assert set(place.canvas.marking) == set(names)
    again = every_again(opened_sample)
    assert len(again) == 1 and set(again[0].again.marking) == set(names)
    assert draw_photo(by_the_same_person(opened_sample), seed=1).photo.key != str(again[0].photo.key)


def test_leaving_an_untouched_photo_keeps_nothing(place: AgainPlace, opened_sample: OpenBook) -> None:
    assert place.leave()
    assert not any(found.blind for found in opened_sample.book.every(MarkingPass))


def test_the_person_is_kept_with_the_pass(opened_sample: OpenBook) -> None:
    photo = side_photo(opened_sample)
    first = opened_sample.book.latest_pass(photo.key)
    assert first is not None
    result = keep_again(replace(opened_sample, person="Cass"), str(photo.key), first.marking)
    kept = opened_sample.book.every(MarkingPass, photo=photo.key, blind=True)[0]
    assert (kept.marked_by, kept.card_size_mm) == ("Cass", first.card_size_mm)
    assert "Cass" in result.title
    assert all(each.one_person is False for each in every_again(opened_sample))
    assert own_spreads(opened_sample).photos == 0


def test_a_sole_of_a_set_asks_for_its_own_places_only(opened_sample: OpenBook) -> None:
    horse = opened_sample.horse_named("Larkspur").key
    marked = opened_sample.book.latest_passes(horse)
    sole = next(p for p in opened_sample.book.photos(horse) if p.view is View.SOLAR and p.set_name and p.key in marked)
    asked = [line.name for line in draw_photo(opened_sample, str(sole.key)).photo.lines]
    assert "frog_apex" in asked
    assert not [name for name in asked if name.startswith(("rim_", "sole_"))]
    result = keep_again(opened_sample, str(sole.key), marked[sole.key].marking)
    assert all("apart" in said for _, said in result.rows)


def test_a_photo_is_drawn_from_the_whole_book(opened_sample: OpenBook) -> None:
    drawn = {draw_photo(opened_sample, seed=seed).photo.key for seed in range(30)}
    horses = {photo.horse for photo in opened_sample.book.every(Photo) if str(photo.key) in drawn}
    assert len(drawn) > 10 and len(horses) > 1
    assert draw_photo(opened_sample, seed=4).photo.key == draw_photo(opened_sample, seed=4).photo.key


def test_the_photos_marked_again_least_come_first(opened_sample: OpenBook) -> None:
    first = draw_photo(opened_sample, seed=4).photo.key
    marks = opened_sample.book.latest_pass(uuid(first))
    assert marks is not None
    keep_again(opened_sample, first, marks.marking)
    assert all(draw_photo(opened_sample, seed=seed).photo.key != first for seed in range(12))
    assert "1 of the 5 photos" in draw_photo(opened_sample, seed=4).said


def test_an_empty_book_says_what_to_do(opened_sample: OpenBook, tmp_path_factory: pytest.TempPathFactory) -> None:
    empty = make_book(tmp_path_factory.mktemp("empty") / "book", opened_sample.settings, opened_sample.clock)
    try:
        with pytest.raises(Refused) as caught:
            draw_photo(empty)
        assert caught.value.refusal.code == "no_photo_to_mark_again"
    finally:
        empty.close()
