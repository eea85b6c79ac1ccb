"""Cycle by cycle worked as a person would: keys that step through feet and measures, the limit, the size, copying."""

from __future__ import annotations

from collections.abc import Callable

import pytest
from PySide6.QtCore import Qt
from PySide6.QtGui import QGuiApplication

from hoofbook.desktop.cycle_by_cycle.place import CyclePlace
from hoofbook.desktop.widgets.text import Label, is_cut
from hoofbook.terms.drawing import Text
from hoofbook.wording import labels
from tests.desktop.conftest import Desk

LEFT = Qt.MouseButton.LeftButton
SHIFT = Qt.KeyboardModifier.ShiftModifier


@pytest.fixture
def cycle(desk: Desk) -> CyclePlace:
    place = desk.go("cycle_by_cycle")
    assert isinstance(place, CyclePlace)
    desk.window.activateWindow()
    desk.bot.waitUntil(desk.window.isActiveWindow)
    return place


def test_one_sentence_stands_under_the_verdict(cycle: CyclePlace) -> None:
    assert cycle.verdict.detail.text().endswith("next verdict at reading 13.")
    assert not is_cut(cycle.verdict.detail)


def test_plain_keys_step_through_feet_and_measures_round_and_round(desk: Desk, cycle: CyclePlace) -> None:
    def press(key: Qt.Key, modifier: Qt.KeyboardModifier = Qt.KeyboardModifier.NoModifier) -> tuple[object, ...]:
        desk.bot.keyClick(desk.window, key, modifier)
        desk.settle()
        return desk.casework.said[-1]

    assert press(Qt.Key.Key_F) == ("cycle", "RF", "sole_concavity_at_frog_apex")
    assert press(Qt.Key.Key_F, SHIFT) == ("cycle", "LF", "sole_concavity_at_frog_apex")
    assert press(Qt.Key.Key_F, SHIFT) == ("cycle", "RH", "sole_concavity_at_frog_apex")
    assert press(Qt.Key.Key_M) == ("cycle", "RH", "toe_angle")
    assert press(Qt.Key.Key_M) == ("cycle", "RH", "sole_concavity_at_frog_apex")  # "more" is passed over
    assert press(Qt.Key.Key_M, SHIFT) == ("cycle", "RH", "toe_angle")
    shown = [label.text() for label in cycle.findChildren(Label) if label.isVisible()]
    assert labels.SWITCH_KEYS in shown


def test_letters_typed_into_a_field_switch_nothing(desk: Desk, cycle: CyclePlace) -> None:
    said = len(desk.casework.said)
    cycle.takes.line.field.setFocus()
    desk.bot.keyClicks(cycle.takes.line.field, "fm")
    desk.settle()
    assert cycle.takes.line.field.text() == "fm"
    assert len(desk.casework.said) == said


def test_a_limit_is_set_by_enter_and_taken_away(desk: Desk, cycle: CyclePlace) -> None:
    line = cycle.limit.line
    assert cycle.limit.isVisible() and cycle.limit.hint.isVisible() and not cycle.limit.away.isVisible()
    desk.bot.keyClicks(line.field, "95")
    desk.bot.keyClick(line.field, Qt.Key.Key_Return)
    desk.settle()
    desk.settle()
    assert ("limit", "LF", "sole_concavity_at_frog_apex", "95") in desk.casework.said
    assert line.answer.text() == "About 95 mm." and line.answer.isVisible()
    desk.bot.mouseClick(cycle.limit.away, LEFT)
    desk.settle()
    desk.settle()
    assert ("limit", "LF", "sole_concavity_at_frog_apex", "") in desk.casework.said
    assert line.field.text() == "" and not line.answer.isVisible() and cycle.limit.hint.isVisible()


def test_a_limit_that_is_no_number_says_what_to_write(desk: Desk, cycle: CyclePlace) -> None:
    desk.bot.keyClicks(cycle.limit.line.field, "soon")
    desk.bot.mouseClick(cycle.limit.line.button, LEFT)
    desk.settle()
    assert cycle.limit.line.answer.text() == "soon is no limit we can use. Write one number in mm, for example 95."


def test_a_book_for_looking_only_shows_no_field_to_write(make_desk: Callable[..., Desk]) -> None:
    desk = make_desk()
    desk.open_book(read_only=True)
    place = desk.go("cycle_by_cycle")
    assert isinstance(place, CyclePlace)
    assert not place.limit.isVisible()
    desk.casework.limit = "95"
    desk.go("cycle_by_cycle")
    assert place.limit.isVisible() and not place.limit.line.button.isVisible()
    assert not place.limit.line.field.isEnabled()


def test_a_size_is_answered_in_words_and_forgotten_with_another_measure(desk: Desk, cycle: CyclePlace) -> None:
    line = cycle.takes.line
    desk.bot.mouseClick(line.button, LEFT)
    desk.settle()
    assert line.answer.text() == "How large a change should be seen is not said. Write its size, such as 2 mm."
    desk.bot.keyClicks(line.field, "2")
    desk.bot.mouseClick(line.button, LEFT)
    desk.settle()
    assert line.answer.text() == "A change of 2 mm by reading 13 would be shown with a chance of 84 %."
    desk.bot.mouseClick(cycle.feet.cell("RF"), LEFT)
    desk.settle()
    assert line.field.text() == "2" and not line.answer.isVisible()
    desk.bot.mouseClick(cycle.measures.cell("toe_angle|"), LEFT)
    desk.settle()
    assert line.field.text() == ""


def test_the_readings_are_copied_for_a_spreadsheet(desk: Desk, cycle: CyclePlace) -> None:
    desk.bot.mouseClick(cycle.chart.copy_rows, LEFT)
    assert QGuiApplication.clipboard().text() == "Day\tValue\n2025-01-14\t1.4\n"
    desk.bot.mouseClick(cycle.chart.as_table, LEFT)
    assert cycle.chart.copy_rows.isEnabled() and not cycle.chart.copy.isEnabled()


def test_each_cycle_stands_in_a_table(cycle: CyclePlace) -> None:
    assert cycle.each.isVisible() and cycle.within.isVisible()
    assert cycle.each_rows.rows[0].accessibleName() == (
        "Cycle: 19 Aug to 30 Sep 2025, Days: 42, In 30 days: +9.0 mm ± 1.9, At the trim: \u221212.1 mm ± 1.4"
    )


@pytest.mark.parametrize(("width", "height", "size"), [(960, 540, 17), (960, 540, 20), (1440, 900, 14)])
def test_nothing_is_cut(make_desk: Callable[..., Desk], width: int, height: int, size: int) -> None:
    from hoofbook.housekeeping.settings import Settings

    desk = make_desk(width, height, Settings(text_size=size))
    desk.open_book()
    place = desk.go("cycle_by_cycle")
    assert isinstance(place, CyclePlace)
    desk.bot.keyClicks(place.takes.line.field, "2")
    desk.bot.keyClick(place.takes.line.field, Qt.Key.Key_Return)
    desk.settle()
    cut = [label.text() for label in place.findChildren(Label) if is_cut(label)]
    assert cut == []


def test_values_stand_from_nought_until_a_close_up_is_asked_for(desk: Desk, cycle: CyclePlace) -> None:
    def words() -> list[str]:
        drawing = cycle.chart.chart.drawing
        assert drawing is not None
        return [part.words for part in drawing.primitives if isinstance(part, Text)]

    assert "close up, not from 0" not in words()
    desk.bot.mouseClick(cycle.chart.values.cell("close"), LEFT)
    assert "close up, not from 0" in words()
    desk.bot.mouseClick(cycle.chart.values.cell("zero"), LEFT)
    assert "close up, not from 0" not in words()
