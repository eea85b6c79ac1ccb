"""Three or more visits in a row, and the year of a foot, as a person works them."""

from __future__ import annotations

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest

from hoofbook.desktop.then_and_now import row_desk
from hoofbook.desktop.then_and_now.pair_view import Way
from tests.desktop.then_and_now.pair_stand_in import WIDTH
from tests.desktop.then_and_now.working import LEFT, open_pair, press, settle

__all__ = ["open_pair"]


@pytest.fixture
def in_row(open_pair, qtbot):
    def make(**options):
        place, pairs = open_pair(**options)
        press(place, Qt.Key.Key_R)
        settle(place, qtbot)
        return place, pairs

    return make


@pytest.fixture
def in_year(open_pair, qtbot):
    def make(**options):
        place, pairs = open_pair(**options)
        place.rows.less_motion = lambda: False
        press(place, Qt.Key.Key_Y)
        settle(place, qtbot)
        return place, pairs

    return make


def test_a_row_begins_with_the_pair_and_shows_every_photo_at_one_scale(in_row):
    place, pairs = in_row()
    assert pairs.rows == [("0", "3")], "no other visit of that moment is known to lie between"
    canvas = place.page.row_canvas
    assert canvas.isVisible() and not place.canvas.isVisible()
    assert len(canvas.photos) == 2 and all(pyramid is not None for pyramid in canvas.pyramids)
    one, other = canvas.cell(0), canvas.cell(1)
    assert one.size() == other.size() and not one.intersects(other)
    assert [view.current for view in place.page.strip.views.values()] == [True, False, False, True]


def test_visits_are_taken_into_the_row_and_out_of_it_on_the_strip(in_row, qtbot):
    place, pairs = in_row()
    said = []
    place._state.signals.notice.connect(said.append)
    QTest.mouseClick(place.page.strip.views["1"], LEFT)
    settle(place, qtbot)
    place.page.strip.views["2"].setFocus()
    QTest.keyClick(place.page.strip.views["2"], Qt.Key.Key_Space)
    settle(place, qtbot)
    assert pairs.rows[-2:] == [("0", "1", "3"), ("0", "1", "2", "3")], "by day, in whatever order they were taken in"
    for key in ("0", "1", "2"):
        QTest.mouseClick(place.page.strip.views[key], LEFT)
        settle(place, qtbot)
    assert pairs.rows[-1] == ("2", "3")
    assert said and said[0].startswith("A row needs two visits"), "the last two stay"


@pytest.mark.parametrize("modifier", [Qt.KeyboardModifier.ShiftModifier, Qt.KeyboardModifier.ControlModifier])
def test_shift_or_ctrl_on_the_strip_begins_a_row(open_pair, qtbot, monkeypatch, modifier):
    place, pairs = open_pair()
    monkeypatch.setattr("hoofbook.desktop.then_and_now.place.QApplication.keyboardModifiers", lambda: modifier)
    QTest.mouseClick(place.page.strip.views["1"], LEFT, modifier)
    settle(place, qtbot)
    assert place.page.way is Way.ROW and pairs.rows == [("0", "1", "3")]


def test_where_there_is_no_room_for_the_strip_visits_are_chosen_in_the_panel(in_row, qtbot):
    place, pairs = in_row(size=(960, 440))
    press(place, Qt.Key.Key_M)
    row = place.page.panel.row.visits
    assert row.isVisible() and row.chosen == ("0", "3")
    row.cell("1").setFocus()
    QTest.keyClick(row.cell("1"), Qt.Key.Key_Space)
    settle(place, qtbot)
    assert pairs.rows[-1] == ("0", "1", "3") and row.chosen == ("0", "1", "3")


def test_zoom_and_pan_of_a_row_are_linked(in_row):
    place, _ = in_row()
    canvas = place.page.row_canvas
    second = canvas.cell(1)
    at = (second.x() + 80.0, second.y() + 90.0)
    point = canvas.frame.to_picture(80.0, 90.0)
    canvas.zoom(1.4, at)
    assert canvas.frame.to_picture(80.0, 90.0) == pytest.approx(point)
    before = canvas.frame.scale
    press(place, Qt.Key.Key_Plus)
    assert canvas.frame.scale > before


def test_a_row_is_saved_with_the_measures_chosen(in_row, qtbot, tmp_path):
    place, pairs = in_row()
    QTest.mouseClick(place.page.panel.measures.cell(WIDTH), LEFT)
    assert place.page.row_canvas.photos[0].lines[-1].replace("\u00a0", " ") == "foot width 124 mm ± 2"
    asked = []
    place.ask_file = lambda name: (asked.append(name), tmp_path / "row.png")[1]
    with qtbot.waitSignal(place._state.signals.notice) as said:
        QTest.mouseClick(place.page.panel.save, LEFT)
    assert pairs.saved == [(tmp_path / "row.png", ("0", "3"))] and "row.png" in said.args[0]
    assert asked == ["Left fore, sole 2025-01-14 2025-04-14.png"]


def test_the_banner_stays_over_a_row_and_a_year(open_pair, qtbot):
    place, _ = open_pair(banner="Not the same moment: before trim, after trim.")
    for way in (Way.ROW, Way.YEAR):
        place.choose_way(way)
        settle(place, qtbot)
        canvas = place.page.row_canvas
        assert canvas.grab().toImage().pixelColor(canvas.width() // 2 - 300, 6).name() == "#8a4b2a"


def test_the_year_is_stepped_and_played_by_keys_and_buttons(in_year, qtbot):
    place, pairs = in_year()
    canvas = place.page.row_canvas
    assert pairs.years == ["3"], "the moment of the later photo"
    assert canvas.playing_one and canvas.at == 0 and place.page.panel.save.text() == "Save film"
    press(place, Qt.Key.Key_Right)
    assert canvas.at == 1 and place.page.strip.views["1"].current
    press(place, Qt.Key.Key_Left, Qt.Key.Key_Left)
    assert canvas.at == 2 and place.page.strip.views["3"].current, "round the end"
    QTest.mouseClick(place.page.strip.views["1"], LEFT)
    assert canvas.at == 1
    place.rows._timer.setInterval(20)
    press(place, Qt.Key.Key_Space)
    assert place.rows.playing and place.page.year_buttons[1].text() == "Stop"
    qtbot.waitUntil(lambda: canvas.at == 2, timeout=2000)
    press(place, Qt.Key.Key_Space)
    assert not place.rows.playing and place.page.year_buttons[1].text() == "Play"
    QTest.mouseClick(place.page.year_buttons[1], LEFT)
    assert place.rows.playing
    press(place, Qt.Key.Key_Right)
    assert not place.rows.playing, "a step by hand stops it"
    place.rows.turn_play()
    place.choose_way(Way.CURTAIN)
    assert not place.rows.playing and place.canvas.isVisible()


def test_of_a_long_life_only_photos_about_the_shown_one_are_held(open_pair, qtbot, monkeypatch):
    monkeypatch.setattr(row_desk, "MOST_LOADED", 2)
    monkeypatch.setattr(row_desk, "AHEAD", 0)
    place, _ = open_pair()
    place.choose_way(Way.YEAR)
    settle(place, qtbot)
    canvas = place.page.row_canvas
    assert [pyramid is not None for pyramid in canvas.pyramids] == [True, False, False]
    press(place, Qt.Key.Key_Left)
    settle(place, qtbot)
    assert [pyramid is not None for pyramid in canvas.pyramids] == [False, False, True]


def test_a_row_holds_no_more_than_stand_well_beside_each_other(in_row, qtbot, monkeypatch):
    monkeypatch.setattr(row_desk, "MOST_IN_ROW", 2)
    place, pairs = in_row()
    said = []
    place._state.signals.notice.connect(said.append)
    QTest.mouseClick(place.page.strip.views["1"], LEFT)
    settle(place, qtbot)
    assert pairs.rows == [("0", "3")] and said == ["A row holds 2 visits. Take one out before you take another one in."]


def test_two_a_second(in_year):
    place, _ = in_year()
    assert place.rows._timer.interval() == 500


def test_what_cannot_be_laid_is_named_beside_the_year(in_year):
    place, _ = in_year()
    rows = place.page.panel.row._rows
    said = [rows.itemAt(i).widget().text() for i in range(rows.count())]
    assert said[-1] == "16 Apr 2025 is not laid over the others. Mark its hairline."
    assert said[0].replace("\u00a0", " ") == "14 Jan 2025 · sole concavity 1.4 mm ± 0.7"


def test_the_film_is_made_beside_the_window_and_can_be_stopped(in_year, qtbot, tmp_path):
    place, pairs = in_year()
    place.ask_file = lambda name: tmp_path / name
    with qtbot.waitSignal(place._state.signals.notice) as said:
        QTest.mouseClick(place.page.panel.save, LEFT)
    assert pairs.saved == [(tmp_path / "Left fore, sole 2025-01-14 2025-04-14.gif", ("0", "1", "3"))]
    assert said.args[0].startswith("The film is in ")
    pairs.hold_film = True
    for stop in (
        lambda: press(place, Qt.Key.Key_Escape),
        lambda: QTest.mouseClick(place.page.panel.save, LEFT),
    ):
        QTest.mouseClick(place.page.panel.save, LEFT)
        qtbot.waitUntil(lambda: "Picture" in place.page.note.words, timeout=2000)
        assert place.page.panel.save.text() == "Stop making it"
        press(place, Qt.Key.Key_Right)  # the window goes on meanwhile
        with qtbot.waitSignal(place._state.signals.notice) as said:
            stop()
        assert said.args[0] == "Stopped. No film was written." and place.page.note.words == ""
        assert place.page.panel.save.text() == "Save film"
    assert len(pairs.saved) == 1


def test_a_year_that_cannot_be_shown_says_what_to_do(open_pair, qtbot):
    place, pairs = open_pair()
    pairs.no_year = True
    refused = []
    place._state.signals.notice.connect(refused.append)
    place.choose_way(Way.YEAR)
    settle(place, qtbot)
    assert [refusal.code for refusal in refused] == ["year_too_short"]
    assert place.canvas.isVisible() and place.page.way is Way.CURTAIN, "the pair is shown instead"
    assert place.page.strip.views["0"].current and place.page.strip.views["3"].current


def test_another_foot_stays_in_the_year_and_begins_its_own_row(in_year, qtbot):
    place, pairs = in_year()
    place._pick("foot", "RF")
    settle(place, qtbot)
    assert place.page.way is Way.YEAR and len(pairs.years) == 2


@pytest.mark.parametrize("size", [(1190, 830), (1037, 640), (960, 440), (820, 400)])
@pytest.mark.parametrize("way", [Way.ROW, Way.YEAR])
def test_rows_and_years_keep_their_room(open_pair, qtbot, size, way):
    place, _ = open_pair(size=size)
    place.choose_way(way)
    settle(place, qtbot)
    canvas = place.page.row_canvas
    assert place.width() == size[0] and (size[1] < 440 or place.height() == size[1])
    assert canvas.width() * canvas.height() / (size[0] * size[1]) >= (0.5 if size[0] < 1000 else 0.4)
    assert place.page.panel.save.isVisible() or place.page.foot_save.isVisible()
