"""A visit: one tap each, last time's work hollow until confirmed, what was seen never copied."""

from __future__ import annotations

from datetime import date

import pytest

from hoofbook.casework.horses import HorseForm, add_horse, list_horses, read_form
from hoofbook.casework.open_book import OpenBook
from hoofbook.casework.visit import (
    add_visit,
    choose,
    confirm_hollow,
    finish_visit,
    list_visits,
    read_visit,
    write_words,
)
from hoofbook.terms.refusal import Refused
from hoofbook.terms.shown import EmptyPlace, Pick, Table


@pytest.fixture
def horse(book: OpenBook) -> str:
    return add_horse(book, HorseForm("Larkspur", owner="A. K.", yard="Thistle Bank Yard", height_cm="158"))


def pick(sheet: object, foot: str, field: str) -> Pick:
    column = next(column for column in sheet.feet if column.foot == foot)  # type: ignore[attr-defined]
    return next(pick for pick in (*column.seen, *column.done) if pick.field == field)


def test_taps_are_kept_and_cleared(book: OpenBook, horse: str) -> None:
    visit = add_visit(book, horse, date(2025, 8, 19))
    sheet = choose(book, visit, "LF", "work", "new, nailed")
    sheet = choose(book, visit, "LF", "sole_before", "chalky, flaking")
    assert pick(sheet, "LF", "work").chosen == "new, nailed"
    assert pick(sheet, "LF", "sole_before").chosen == "chalky, flaking"
    sheet = choose(book, visit, "LF", "sole_before", "")
    assert pick(sheet, "LF", "sole_before").chosen == ""
    assert add_visit(book, horse, date(2025, 8, 19)) == visit


def test_last_times_work_is_hollow_until_confirmed_and_what_was_seen_is_not_copied(book: OpenBook, horse: str) -> None:
    first = add_visit(book, horse, date(2025, 8, 19))
    for field, value in (("work", "new, nailed"), ("sole_pared", "none"), ("sole_before", "packed")):
        choose(book, first, "LF", field, value)
    choose(book, first, "", "interval_weeks", "6")
    second = add_visit(book, horse, date(2025, 9, 30))
    sheet = read_visit(book, second)
    assert pick(sheet, "LF", "work").hollow and pick(sheet, "LF", "work").chosen == "new, nailed"
    assert pick(sheet, "LF", "sole_before").chosen == ""
    assert sheet.hollow_count == 3
    sheet = confirm_hollow(book, second)
    assert sheet.hollow_count == 0 and not pick(sheet, "LF", "work").hollow
    assert pick(sheet, "LF", "sole_before").chosen == ""
    assert sheet.due_words == "Tue 11 Nov 2025"  # 30 September plus six weeks, by the calendar
    assert list_horses(book)[0].due == "Tue 11 Nov"


def test_words_and_finish(book: OpenBook, horse: str) -> None:
    first = add_visit(book, horse, date(2025, 8, 19))
    write_words(book, first, "watch_next", "  keep clear of outside nail 3 ")
    assert finish_visit(book, first).finished
    second = read_visit(book, add_visit(book, horse, date(2025, 9, 30)))
    assert second.watch_last == "keep clear of outside nail 3"
    table = list_visits(book, horse)
    assert isinstance(table, Table)
    assert [row[0] for row in table.rows] == ["30 Sep 2025", "19 Aug 2025"]


def test_an_unknown_choice_is_refused(book: OpenBook, horse: str) -> None:
    visit = add_visit(book, horse)
    with pytest.raises(Refused, match="choice_unknown"):
        choose(book, visit, "LF", "work", "magic")
    with pytest.raises(Refused, match="choice_unknown"):
        choose(book, visit, "", "key", "x")


def test_a_horse_needs_a_name_and_numbers_that_are_numbers(book: OpenBook, horse: str) -> None:
    with pytest.raises(Refused, match="horse_needs_name"):
        add_horse(book, HorseForm("  "))
    with pytest.raises(Refused, match="horse_number_wrong"):
        add_horse(book, HorseForm("Copper", height_cm="tall"))
    assert read_form(book, horse).yard == "Thistle Bank Yard"
    assert [line.name for line in list_horses(book, "thistle")] == ["Larkspur"]
    assert list_horses(book, "nobody") == ()


def test_no_visit_yet_says_what_the_place_is_for(book: OpenBook, horse: str) -> None:
    empty = list_visits(book, horse)
    assert isinstance(empty, EmptyPlace) and empty.action == "add_visit"
