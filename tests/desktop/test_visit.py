"""The visit sheet, worked by tap and by keys, with every tap taken back."""

from __future__ import annotations

import pytest
from PySide6.QtCore import Qt

from hoofbook.desktop.visit.place import VisitPlace
from hoofbook.desktop.visit.sheet import VisitSheetView
from hoofbook.desktop.visit.taps import Tap, Taps
from hoofbook.wording import labels
from tests.desktop.conftest import Desk

LEFT = Qt.MouseButton.LeftButton


@pytest.fixture
def sheet(desk: Desk) -> VisitSheetView:
    place = desk.go("visit", visit="v3")
    assert isinstance(place, VisitPlace)
    return place.sheet


def tap(desk: Desk, sheet: VisitSheetView, foot: str, field: str, value: str) -> None:
    row = sheet.feet.rows[(foot, field)] if foot else sheet.whole[field]
    desk.bot.mouseClick(row.cell(value), LEFT)
    desk.settle()


def test_the_list_opens_a_visit(desk: Desk) -> None:
    place = desk.go("visit")
    assert isinstance(place, VisitPlace)
    desk.bot.mouseClick(place.table.rows[1], LEFT)
    desk.settle()
    assert place.visit == "v2"
    desk.bot.mouseClick(place.sheet.all_visits, LEFT)
    desk.settle()
    assert place.visit == ""


def test_day_book_rows_are_read_not_pressed(desk: Desk) -> None:
    place = desk.go("visit")
    assert isinstance(place, VisitPlace)
    assert place.table.rows[3].focusPolicy() is Qt.FocusPolicy.NoFocus


def test_no_visit_yet_offers_the_first(desk: Desk) -> None:
    place = desk.go("visit", horse="copper")
    assert isinstance(place, VisitPlace)
    desk.bot.mouseClick(place.empty.step, LEFT)
    desk.settle()
    assert ("add visit", "copper") in desk.casework.said


def test_one_tap_is_shown_at_once_and_kept(desk: Desk, sheet: VisitSheetView) -> None:
    desk.bot.mouseClick(sheet.feet.rows[("LF", "sole_before")].cell("live"), LEFT)
    assert sheet.feet.rows[("LF", "sole_before")].pick.chosen == "live"
    desk.settle()
    assert desk.casework.kept[("LF", "sole_before")] == "live"


def test_untouched_findings_stay_untouched(desk: Desk, sheet: VisitSheetView) -> None:
    tap(desk, sheet, "LF", "work", "trim")
    assert sheet.feet.rows[("RF", "sole_before")].pick.chosen == ""


def test_what_was_done_last_time_is_hollow_until_confirmed(desk: Desk, sheet: VisitSheetView) -> None:
    row = sheet.feet.rows[("RF", "work")]
    assert row.pick.hollow and row.pick.chosen == "new nailed"
    assert labels.COPIED_NOT_CONFIRMED in row.cell("new nailed").accessibleName()
    assert "6" in sheet.confirm.text()
    desk.bot.mouseClick(sheet.confirm, LEFT)
    desk.settle()
    assert not row.pick.hollow and desk.casework.kept[("RF", "work")] == "new nailed"
    assert not sheet.confirm.isVisible()


def test_pressing_one_hollow_value_confirms_that_one_alone(desk: Desk, sheet: VisitSheetView) -> None:
    tap(desk, sheet, "RF", "work", "new nailed")
    assert not sheet.feet.rows[("RF", "work")].pick.hollow
    assert sheet.feet.rows[("LF", "work")].pick.hollow


def test_every_tap_is_taken_back_in_order(desk: Desk, sheet: VisitSheetView) -> None:
    taps = (
        ("LF", "sole_before", "live"),
        ("LF", "sole_before", "soft"),
        ("", "weather", "wet"),
        ("RH", "work", "trim"),
    )
    for one in taps:
        tap(desk, sheet, *one)
    desk.bot.mouseClick(sheet.confirm, LEFT)
    desk.settle()
    expected = [
        {("LF", "sole_before"): "soft", ("", "weather"): "wet", ("RH", "work"): "trim"},
        {("LF", "sole_before"): "soft", ("", "weather"): "wet"},
        {("LF", "sole_before"): "soft"},
        {("LF", "sole_before"): "live"},
        {},
    ]
    for wanted in expected:
        desk.bot.keyClick(desk.window, Qt.Key.Key_Z, Qt.KeyboardModifier.ControlModifier)
        desk.settle()
        assert {place: value for place, value in desk.casework.kept.items() if value} == wanted
    desk.bot.keyClick(desk.window, Qt.Key.Key_Z, Qt.KeyboardModifier.ControlModifier)
    assert desk.window.notice.words.text() == labels.NOTHING_TO_UNDO
    both = Qt.KeyboardModifier.ControlModifier | Qt.KeyboardModifier.ShiftModifier
    desk.bot.keyClick(desk.window, Qt.Key.Key_Z, both)
    desk.settle()
    assert desk.casework.kept[("LF", "sole_before")] == "live"


def test_the_whole_sheet_is_filled_by_keys(desk: Desk, sheet: VisitSheetView) -> None:
    row = sheet.feet.rows[("LF", "shoe_on_arrival")]
    row.focus_cell(0)
    desk.bot.keyClick(row.cell("tight"), Qt.Key.Key_Right)
    desk.bot.keyClick(row.cell("risen"), Qt.Key.Key_Space)
    desk.settle()
    assert desk.casework.kept[("LF", "shoe_on_arrival")] == "risen"
    desk.bot.keyClick(row.cell("risen"), Qt.Key.Key_Down)
    below = sheet.feet.rows[("LF", "sole_before")]
    assert sheet.focusWidget() is below.cell("packed")
    for value in ("packed", "live", "soft", "bruised"):
        desk.bot.keyClick(below.cell(value), Qt.Key.Key_Right)
    assert sheet.focusWidget() is sheet.feet.rows[("RF", "sole_before")].cell("chalky")
    desk.bot.keyClick(sheet.feet.rows[("RF", "sole_before")].cell("chalky"), Qt.Key.Key_Return)
    desk.settle()
    assert ("confirm",) in desk.casework.said


def test_words_are_kept_when_left_and_when_the_place_is_left(desk: Desk, sheet: VisitSheetView) -> None:
    sheet.note.edit.setFocus()
    desk.bot.keyClicks(sheet.note.edit, "quiet today")
    sheet.watch_next.edit.setFocus()
    desk.settle()
    assert desk.casework.words["note"] == "quiet today"
    desk.bot.keyClicks(sheet.watch_next.edit, "outside nail")
    desk.window.go("horse_card", {})
    desk.settle()
    assert desk.casework.words["watch_next"] == "outside nail"


def test_finishing_drops_the_hollow_ones(desk: Desk, sheet: VisitSheetView) -> None:
    desk.bot.mouseClick(sheet.finish, LEFT)
    desk.settle()
    assert sheet.finished.isVisible() and not sheet.finish.isVisible()
    assert not sheet.feet.rows[("RF", "work")].pick.hollow


def test_a_tap_that_could_not_be_kept_is_shown_as_it_is(desk: Desk, sheet: VisitSheetView) -> None:
    desk.casework.refuse = "disk_full"
    tap(desk, sheet, "LF", "sole_before", "live")
    desk.settle()
    assert desk.window.notice.isVisible()
    assert sheet.feet.rows[("LF", "sole_before")].pick.chosen == ""


def test_many_quick_taps_all_arrive(desk: Desk, sheet: VisitSheetView) -> None:
    for foot in ("LF", "RF", "LH", "RH"):
        for field, value in (("sole_before", "live"), ("landing", "flat"), ("work", "trim")):
            desk.bot.mouseClick(sheet.feet.rows[(foot, field)].cell(value), LEFT)
    desk.settle()
    assert len([said for said in desk.casework.said if said[0] == "choose"]) == 12
    assert sheet.feet.rows[("RH", "landing")].pick.chosen == "flat"


def test_taps_know_their_way_back() -> None:
    taps = Taps()
    assert taps.undo() == () and taps.redo() == ()
    taps.add((Tap("LF", "work", "", "trim"),))
    taps.add((Tap("LF", "work", "trim", "off"), Tap("RF", "work", "", "off")))
    assert taps.undo() == (("RF", "work", ""), ("LF", "work", "trim"))
    assert taps.redo() == (("LF", "work", "off"), ("RF", "work", "off"))
    taps.undo()
    taps.add((Tap("LH", "work", "", "trim"),))
    assert taps.redo() == ()
    assert taps.undo() == (("LH", "work", ""),)
    taps.add(())
    assert taps.undo() == (("LF", "work", ""),)
