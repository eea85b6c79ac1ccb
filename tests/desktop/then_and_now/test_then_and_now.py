"""Then and now as a person works it."""

from __future__ import annotations

from pathlib import Path

import pytest
from PySide6.QtCore import QPoint, Qt
from PySide6.QtTest import QTest

from hoofbook.desktop.then_and_now.pair_view import Way
from tests.desktop.then_and_now.working import LEFT, open_pair, press, settle

__all__ = ["open_pair"]


def test_soles_open_with_the_curtain_and_side_views_side_by_side(open_pair):
    sole, _ = open_pair()
    side, _ = open_pair(view="lateral")
    assert sole.canvas.way is Way.CURTAIN and side.canvas.way is Way.SIDE_BY_SIDE
    assert all(pyramid is not None and pyramid.sharpness == 1.0 for pyramid in sole.canvas.pyramids)


def test_the_curtain_moves_by_drag_by_clicks_and_by_keys(open_pair):
    place, _ = open_pair()
    canvas = place.canvas
    middle = canvas.height() // 2

    def handle():
        return QPoint(round(canvas.amount * canvas.width()), middle)

    QTest.mousePress(canvas, LEFT, pos=handle())
    QTest.mouseMove(canvas, QPoint(200, middle))
    QTest.mouseRelease(canvas, LEFT, pos=QPoint(200, middle))
    assert canvas.amount == pytest.approx(200 / canvas.width(), abs=0.01)
    QTest.mouseClick(canvas, LEFT, pos=handle())
    QTest.mouseMove(canvas, QPoint(500, middle))
    QTest.mouseClick(canvas, LEFT, pos=QPoint(500, middle))
    assert canvas.amount == pytest.approx(500 / canvas.width(), abs=0.01)
    before = canvas.amount
    press(place, Qt.Key.Key_Left)
    assert canvas.amount == pytest.approx(before - 0.01)
    press(place, Qt.Key.Key_Right, modifier=Qt.KeyboardModifier.ShiftModifier)
    assert canvas.amount == pytest.approx(before + 0.09)


def test_both_sides_of_the_curtain_show_their_own_photo(open_pair):
    """The later photo lies 30 mm further right, so the same mm shows other pixels on either side."""
    place, _ = open_pair()
    canvas = place.canvas
    canvas.set_amount(1.0)
    then = canvas.grab().toImage()
    canvas.set_amount(0.0)
    now = canvas.grab().toImage()
    canvas.set_amount(0.5)
    both = canvas.grab().toImage()
    y, half = canvas.height() // 2 + 60, canvas.width() // 2
    assert both.pixel(half - 60, y) == then.pixel(half - 60, y)
    assert both.pixel(half + 60, y) == now.pixel(half + 60, y)
    shift = round(30 * canvas.frame.scale)
    left = next(x for x in range(30, then.width()) if then.pixelColor(x, y).red() > 180)
    right = next(x for x in range(30, now.width()) if now.pixelColor(x, y).red() > 180)
    assert right - left == pytest.approx(shift, abs=3)


def test_zoom_and_pan_are_linked_in_millimetres(open_pair):
    place, _ = open_pair(view="lateral")
    canvas = place.canvas
    canvas.zoom(4.0)
    half, middle = canvas.width() / 2, canvas.height() / 2
    point = canvas.frame.to_picture(120, middle + 30)
    canvas.zoom(1.3, (half + 120.0, middle + 30))
    assert canvas.frame.to_picture(120, middle + 30) == pytest.approx(point)


def test_f_flips_between_then_and_now(open_pair):
    place, _ = open_pair()
    press(place, Qt.Key.Key_F)
    assert place.canvas.way is Way.FLIP and place.canvas.shows_now
    press(place, Qt.Key.Key_F)
    assert not place.canvas.shows_now
    press(place, Qt.Key.Key_F)
    assert place.canvas.shows_now


def test_brackets_choose_another_visit_and_pass_over_the_other_side(open_pair, qtbot):
    place, pairs = open_pair()
    for _ in range(3):
        press(place, Qt.Key.Key_BracketLeft)
        settle(place, qtbot)
    assert pairs.asked == [("0", "3"), ("0", "2"), ("0", "1")]
    press(place, Qt.Key.Key_BraceRight)
    settle(place, qtbot)
    assert pairs.asked[-1] == ("2", "1")


def test_pressing_a_visit_makes_it_now_or_then_as_chosen(open_pair, qtbot):
    place, pairs = open_pair()
    QTest.mouseClick(place.page.strip.views["1"], LEFT)
    settle(place, qtbot)
    assert pairs.asked[-1] == ("0", "1")
    QTest.mouseClick(place.page.choose.cell("then"), LEFT)
    QTest.mouseClick(place.page.strip.views["2"], LEFT)
    settle(place, qtbot)
    assert pairs.asked[-1] == ("2", "1")
    assert place.page.strip.views["2"].current and place.page.strip.views["1"].current


def test_the_banner_is_painted_in_every_way_and_cannot_be_put_away(open_pair):
    place, _ = open_pair(banner="Same day: this shows the trim, not progress")
    for way in Way:
        place.choose_way(way)
        press(place, Qt.Key.Key_Escape)
        shown = place.canvas.grab().toImage()
        assert shown.pixelColor(place.canvas.width() // 2 - 300, 6).name() == "#8a4b2a"


def test_photos_without_a_shared_scale_lie_side_by_side_only_and_have_no_bar(open_pair):
    place, _ = open_pair(to_scale=False)
    assert place.canvas.way is Way.SIDE_BY_SIDE and place.canvas.scale_bar_mm == 0
    press(place, Qt.Key.Key_F)
    assert place.canvas.way is Way.SIDE_BY_SIDE


def test_the_picture_is_saved_as_it_is_shown(open_pair, qtbot, tmp_path):
    place, pairs = open_pair()
    out = tmp_path / "pair.png"
    asked = []
    place.ask_file = lambda name: (asked.append(name), out)[1]
    place.canvas.set_amount(0.3)
    with qtbot.waitSignal(place._state.signals.notice) as said:
        QTest.mouseClick(place.page.panel.save, LEFT)
    assert pairs.exported == [(out, "curtain", 0.3)]
    assert str(out) in said.args[0]
    assert asked == ["Left fore, sole 2025-01-14 2025-04-14.png"]


def test_numbers_are_read_aloud_with_both_days_and_the_verdict_stands_apart(open_pair):
    place, _ = open_pair()
    panel = place.page.panel
    number = panel._numbers.itemAt(0).widget()
    assert number.accessibleName().startswith("Sole concavity: 14 Jan 1.4 mm ± 0.7, 30 Sep 4.8 mm ± 0.6")
    assert panel.chip.chip.accessibleName() == "Increase shown, as wanted"
    assert panel.verdict is not panel.numbers


def test_a_horse_with_nothing_to_compare_says_what_to_do(open_pair):
    place, _ = open_pair("new")
    assert place.empty.isVisible() and not place.page.isVisible()


def test_lines_of_what_was_measured_come_and_go(open_pair):
    place, _ = open_pair()
    place.choose_way(Way.FLIP)
    before = place.canvas.grab().toImage()
    QTest.mouseClick(place.page.panel.lines, LEFT)
    after = place.canvas.grab().toImage()
    assert before != after
    QTest.mouseClick(place.page.panel.lines, LEFT)
    assert place.canvas.grab().toImage() == before


@pytest.mark.parametrize("size", [(1190, 830), (1037, 640), (960, 440), (820, 400)])
def test_the_pair_keeps_its_room(open_pair, size):
    place, _ = open_pair()
    place.resize(*size)
    QTest.qWait(20)
    share = place.canvas.width() * place.canvas.height() / (size[0] * size[1])
    assert share >= (0.5 if size[0] < 1000 else 0.4)
    assert place.width() == size[0]
    assert place.page.panel.save.isVisible() or place.page.foot_save.isVisible()


def test_its_name_for_a_file_can_be_typed(open_pair, tmp_path):
    place, _ = open_pair()
    place.ask_file = lambda name: None
    place.save_picture()
    assert list(Path(tmp_path).glob("*.png")) == []


def test_could_be_noise_leads_to_the_cycles_with_both_photos(open_pair):
    place, _ = open_pair()
    asked = []
    place._state.signals.go.connect(lambda name, where: asked.append((name, where)))
    QTest.mouseClick(place.page.panel.noise, LEFT)
    where = {"foot": "LF", "measure": "sole_concavity_at_frog_apex", "definition": "from_sole_edge"}
    assert asked == [("cycle_by_cycle", {**where, "noise_then": "0", "noise_now": "3"})]


def test_the_same_pair_is_made_a_picture_for_the_owner(open_pair):
    place, _ = open_pair()
    asked = []
    place._state.signals.go.connect(lambda name, where: asked.append((name, where)))
    QTest.mouseClick(place.page.panel.owner, LEFT)
    sheet = place.sheet
    pair = {"foot": sheet.feet.chosen, "view": sheet.views.chosen, "then": "0", "now": "3"}
    assert asked == [("papers", {"paper": "owner", **pair})]
