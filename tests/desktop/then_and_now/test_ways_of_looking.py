"""What lies over two photos: lines, the earlier lines, a grid, like light, covered parts; and what moves by itself."""

from __future__ import annotations

import numpy as np
import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QAbstractButton

from hoofbook.desktop.then_and_now import place as places
from hoofbook.desktop.then_and_now.laid_painter import light_gains
from hoofbook.desktop.then_and_now.pair_view import Way, newest_two, still_there, visits_between
from hoofbook.terms.shown import Pick
from tests.desktop.then_and_now.pair_stand_in import CONCAVITY, LENGTH, WIDTH
from tests.desktop.then_and_now.working import LEFT, open_pair, press, settle

__all__ = ["open_pair"]
ORANGE = (230, 159, 0)


def pixels(canvas) -> np.ndarray:
    """(h, w, 3) red, green, blue of a canvas as it stands."""
    image = canvas.grab().toImage().convertToFormat(canvas.grab().toImage().Format.Format_RGB888)
    rows = np.frombuffer(image.constBits(), np.uint8).reshape(image.height(), image.bytesPerLine())
    return rows[:, : image.width() * 3].reshape(image.height(), image.width(), 3).astype(int)


def near(picture: np.ndarray, colour: tuple[int, int, int], by: int = 40) -> np.ndarray:
    return (np.abs(picture - colour) < by).all(axis=2)


def alone(place, now: bool) -> None:
    """Only one of the two photos."""
    place.choose_way(Way.FLIP)
    if place.canvas.shows_now is not now:
        place.canvas.flip()


def test_the_grid_has_lines_every_ten_millimetres(open_pair):
    place, _ = open_pair()
    alone(place, now=True)
    plain = pixels(place.canvas)
    press(place, Qt.Key.Key_G)
    changed = (pixels(place.canvas) != plain).any(axis=2)
    upright = changed[150:-60].mean(axis=0) > 0.9  # a line goes all the way down
    starts = np.flatnonzero(np.diff(upright.astype(int)) == 1) + 1
    step = 10.0 * place.canvas.frame.scale
    assert len(starts) > 10
    left = place.canvas.frame.to_screen(-place.canvas.extent.left, 0)[0]  # where the shared frame has its origin
    away = (starts - left + step / 2) % step - step / 2
    assert np.abs(away).max() < 1.0, "every line at a whole ten millimetres of the shared frame"
    assert set(np.round(np.diff(starts) / step)) == {1.0}
    assert place.canvas.plate_lines(1)[-1] == "grid 10 mm"


def test_without_scale_there_is_no_grid_and_no_lines_of_then(open_pair):
    place, _ = open_pair(to_scale=False)
    before = place.canvas.grab().toImage()
    press(place, Qt.Key.Key_G, Qt.Key.Key_O)
    assert place.canvas.grab().toImage() == before
    buttons = place.page.panel.looking.buttons
    assert not buttons["grid"].isEnabled() and not buttons["outlines"].isEnabled()
    press(place, Qt.Key.Key_B)
    assert not place.blinking


def test_the_earlier_lines_lie_broken_on_the_later_photo_where_the_earlier_ones_are(open_pair):
    """The later photo lies 30 mm to the right, so the earlier photo's line ends 30 mm left of its own."""
    place, _ = open_pair()
    alone(place, now=True)
    press(place, Qt.Key.Key_L)
    own = near(pixels(place.canvas), ORANGE)
    press(place, Qt.Key.Key_L, Qt.Key.Key_O)
    earlier = near(pixels(place.canvas), ORANGE)
    assert place.canvas.plate_lines(1)[-1] == "broken lines: 14 Jan 2025"
    ends = [np.flatnonzero(each.any(axis=0)) for each in (own, earlier)]
    assert ends[0].max() - ends[1].max() == pytest.approx(30 * place.canvas.frame.scale, abs=12)
    assert earlier.sum() < 0.8 * own.sum(), "broken"
    alone(place, now=False)
    assert not near(pixels(place.canvas), ORANGE).any(), "the earlier photo does not get its own lines twice"


def test_like_light_brings_the_brighter_photo_down_and_says_so(open_pair):
    place, _ = open_pair()  # then: white of the card at 0.6, now: at 0.3 of the light
    shown = {}
    for now in (False, True):
        alone(place, now)
        shown[now] = pixels(place.canvas)
    press(place, Qt.Key.Key_E)
    assert place.canvas.plate_lines(0)[-1] == "light made alike, for looking only"
    alone(place, now=True)
    assert np.abs(pixels(place.canvas)[300:] - shown[True][300:]).max() <= 1, "the darker one stays as it is"
    alone(place, now=False)
    darker, before = pixels(place.canvas)[300:500, 400:700], shown[False][300:500, 400:700]
    # sRGB (IEC 61966-2-1): 0.6 of the light is 0.7977, 0.3 is 0.5838 of full level
    assert np.mean(darker / np.maximum(before, 1)) == pytest.approx(0.5838 / 0.7977, abs=0.02)
    place.ask_file = lambda name: None
    assert all("light" not in line for side in (place.sheet.then, place.sheet.now) for line in side.caption_lines)


def test_light_is_offered_only_where_both_cards_tell_it(open_pair, qtbot):
    place, _ = open_pair()
    assert place.page.panel.looking.buttons["same_light"].isEnabled()
    place.step_visit(-1)  # 16 Apr: no white known
    settle(place, qtbot)
    assert not place.page.panel.looking.buttons["same_light"].isEnabled()
    assert light_gains([(0.5, 0.5, 0.5), None]) == [None, None]


@pytest.mark.parametrize("way", list(Way))
def test_what_is_covered_is_covered_in_every_way(open_pair, qtbot, way):
    """The whole of each photo lies under a box: the canvas looks as if there were no photo, to its last edge."""
    place, _ = open_pair(covered=((0.0, 0.0, 1.0, 1.0),))
    place.choose_way(way)
    settle(place, qtbot)
    canvas = place.page.shown_canvas
    assert all(pyramid is not None for pyramid in canvas.pyramids)
    shown = pixels(canvas)
    for number in range(len(canvas.pyramids)):
        canvas.show_pyramid(number, None)
    assert (shown == pixels(canvas)).all()


def test_what_is_covered_is_covered_on_the_strip_too(open_pair, qtbot):
    """The pale hoof of the drawn photos is nowhere on the strip."""
    pale = (190, 170, 140)
    for boxes in ((), ((0.0, 0.0, 1.0, 1.0),)):
        place, _ = open_pair(covered=boxes)
        view = place.page.strip.views["1"]
        qtbot.waitUntil(lambda view=view: not view._image.isNull(), timeout=4000)
        assert near(pixels(view)[10:60, 20:-20], pale, 30).any() == (not boxes)


def test_blink_flips_by_itself_and_stops_by_key_button_hand_and_way(open_pair, qtbot, monkeypatch):
    monkeypatch.setattr(places, "BLINK_MS", 30)
    place, _ = open_pair()
    place._blink.setInterval(30)
    place.rows.less_motion = lambda: False
    button = place.page.blink_button
    for stop in (
        lambda: press(place, Qt.Key.Key_B),
        lambda: QTest.mouseClick(button, LEFT),
        lambda: press(place, Qt.Key.Key_Escape),
        lambda: press(place, Qt.Key.Key_F),
        lambda: place.choose_way(Way.FADE),
        place.leave,
        place.hide,
    ):
        place.show()
        press(place, Qt.Key.Key_B)
        assert place.blinking and place.canvas.way is Way.FLIP and button.text() == "Stop"
        first = place.canvas.shows_now
        qtbot.waitUntil(lambda first=first: place.canvas.shows_now is not first, timeout=2000)
        stop()
        assert not place.blinking and button.text() == "Blink"


def test_where_less_motion_is_asked_for_nothing_blinks_or_plays(open_pair, qtbot):
    place, _ = open_pair()
    said = []
    place._state.signals.notice.connect(said.append)
    place.rows.less_motion = lambda: True
    press(place, Qt.Key.Key_B)
    assert not place.blinking and place.canvas.way is Way.FLIP and len(said) == 1
    place.choose_way(Way.YEAR)
    settle(place, qtbot)
    press(place, Qt.Key.Key_Space)
    assert not place.rows.playing and "less motion" in said[-1]
    press(place, Qt.Key.Key_Right)
    assert place.page.row_canvas.at == 1, "stepping by hand goes on working"


def test_the_fairest_pairs_can_be_picked_and_say_why(open_pair, qtbot):
    place, pairs = open_pair()
    best = place.page.panel.best
    assert [button.isChecked() for button in best.buttons] == [True, False]
    assert best.buttons[1].accessibleName() == ("25 Feb – 30 Sep 2025, 31 weeks apart: same moment; but another light")
    assert not best.this.isVisible()
    best.buttons[1].setFocus()
    QTest.keyClick(best.buttons[1], Qt.Key.Key_Return)
    settle(place, qtbot)
    assert pairs.asked[-1] == ("1", "3")
    assert [button.isChecked() for button in best.buttons] == [False, True]
    place.step_visit(-1)
    settle(place, qtbot)
    assert not any(button.isChecked() for button in best.buttons)
    assert best.this.text() == "Shown now, 31 weeks apart: same moment"
    assert list(place.page.strip.views) == ["0", "1", "2", "3"], "every visit stays in the strip"


def test_where_the_strip_has_no_room_all_visits_are_named_in_the_panel(open_pair, qtbot):
    place, pairs = open_pair(size=(960, 440))
    press(place, Qt.Key.Key_M)
    row = place.page.panel.best.visits
    assert row.isVisible() and row.pick.labels == ("14 Jan", "25 Feb", "16 Apr", "30 Sep")
    assert row.chosen == ("0", "3")
    row.cell("1").setFocus()
    QTest.keyClick(row.cell("1"), Qt.Key.Key_Space)
    settle(place, qtbot)
    assert pairs.asked[-1] == ("0", "1") and row.chosen == ("0", "1")
    place.resize(1190, 830)
    assert not row.isVisible(), "there the strip stands"


def test_none_one_or_two_measures_stand_in_the_picture(open_pair, qtbot, tmp_path):
    place, _ = open_pair()
    row = place.page.panel.measures
    assert row.chosen == (CONCAVITY,)
    assert place.canvas.pair[0].lines[-1] == "sole concavity 1.4 mm ± 0.7"
    QTest.mouseClick(row.cell(WIDTH), LEFT)
    assert place.canvas.pair[0].lines[2:] == ("sole concavity 1.4 mm ± 0.7", "foot width 124 mm ± 2")
    QTest.mouseClick(row.cell(LENGTH), LEFT)  # a third one: the first goes
    assert row.chosen == (WIDTH, LENGTH)
    assert place.canvas.pair[1].lines[2:] == ("foot width 124 mm ± 2", "foot length 131 mm ± 2")
    place.step_visit(-1)
    settle(place, qtbot)
    assert place.page.panel.measures.chosen == (WIDTH, LENGTH), "another visit keeps the choice"
    for key in (WIDTH, LENGTH):
        QTest.mouseClick(row.cell(key), LEFT)
    assert place.canvas.pair[0].lines[2:] == ()


def test_what_was_chosen_for_one_view_says_nothing_of_another():
    pick = Pick("measures", "", ("toe_angle|", "toe_length|"), ("Toe angle", "Toe length"), "toe_angle|", many=True)
    assert still_there(None, pick) is None
    assert still_there((), pick) == (), "nothing stays nothing"
    assert still_there((WIDTH,), pick) is None, "as proposed"
    assert still_there((WIDTH, "toe_length|"), pick) == ("toe_length|",)
    assert newest_two(["a", "b"], ["a", "b", "c"]) == ("b", "c")
    assert newest_two(["a"], []) == ()


def test_visits_between_are_evenly_chosen():
    keys = list("abcdefg")
    assert visits_between(keys, "a", "g", 4) == ["a", "c", "e", "g"]
    assert visits_between(keys, "g", "a", 4) == ["a", "c", "e", "g"]
    assert visits_between(keys, "a", "b", 4) == ["a", "b"]
    assert visits_between(keys, "a", "c", 4) == ["a", "b", "c"]
    assert visits_between(keys, "x", "c", 4) == ["c"]


def test_every_button_can_be_reached_by_key_and_has_a_name(open_pair, qtbot):
    place, _ = open_pair()
    for way in Way:
        place.choose_way(way)
        settle(place, qtbot)
        for button in place.findChildren(QAbstractButton):
            if button.isVisible() and button.isEnabled():
                assert button.accessibleName(), button.text()
                chosen = button.focusPolicy() & Qt.FocusPolicy.TabFocus
                assert chosen or type(button).__name__ == "Cell", button.accessibleName()
