"""The place Cycle by cycle over a book of hand readings. Figures follow by hand from the readings written here."""

from __future__ import annotations

from datetime import date, timedelta

import pytest

from hoofbook.casework.cycle_by_cycle import CycleSheet, read_cycle
from hoofbook.casework.horse_card import set_goal
from hoofbook.casework.open_book import OpenBook
from hoofbook.casework.within_cycle import set_limit
from hoofbook.records.keys import new_key
from hoofbook.terms.drawing import Line, Role, Spot
from hoofbook.terms.feet import Foot
from hoofbook.terms.quantity import Definition
from hoofbook.terms.refusal import Refused
from hoofbook.terms.subjects import Event, EventKind, FootWork, HandMeasure, Horse, Limit, Visit, VisitKind, Work
from hoofbook.terms.views import Moment

FIRST = date(2025, 1, 6)
STEP = timedelta(days=42)


@pytest.fixture
def horse(book: OpenBook) -> Horse:
    kept = Horse(new_key(), "Larkspur")
    with book.book.writing() as writer:
        writer.add(kept)
    return kept


def visit(book: OpenBook, horse: Horse, number: int, *feet: Foot, kind: VisitKind = VisitKind.ROUTINE) -> Visit:
    kept = Visit(new_key(), horse.key, FIRST + number * STEP, kind=kind)
    with book.book.writing() as writer:
        writer.add(kept)
        writer.add_all(FootWork(new_key(), kept.key, foot, work=Work.TRIM) for foot in feet)
    return kept


def read_by_hand(
    book: OpenBook, at: Visit, foot: Foot, measure: str, value: float, *, moment: Moment = Moment.AFTER_TRIM
) -> None:
    with book.book.writing() as writer:
        writer.add(
            HandMeasure(new_key(), at.horse, at.key, at.day, foot, moment, measure, Definition.ONE, value, u=0.5)
        )


@pytest.fixture
def toes(book: OpenBook, horse: Horse) -> list[Visit]:
    """Left fore toe length over five visits: 12, 12.6, 12.3 and 12.9 mm grow in 42 days each, and are cut back."""
    visits = [visit(book, horse, number, Foot.LF, Foot.RF) for number in range(5)]
    for number, grown in enumerate((None, 12.0, 12.6, 12.3, 12.9)):
        if grown is not None:
            read_by_hand(book, visits[number], Foot.LF, "toe_length", 84.0 + grown, moment=Moment.BEFORE_TRIM)
        read_by_hand(book, visits[number], Foot.LF, "toe_length", 84.0)
    return visits


def sheet(book: OpenBook, horse: Horse, foot: str = "LF", measure: str = "toe_length") -> CycleSheet:
    return read_cycle(book, str(horse.key), foot=foot, measure=measure, definition="")


def test_growth_inside_the_cycle_and_what_each_trim_took(book: OpenBook, horse: Horse, toes: list[Visit]) -> None:
    """12.45 mm in 42 days on average are 8.9 mm in 30; six weeks after the last trim 84 + 12.45 = 96.5 mm."""
    found = sheet(book, horse)
    assert found.within_cycle is not None
    rows = dict(found.within_cycle.rows)
    assert rows["Toe length, in 30 days"].startswith("+8.9 mm")
    assert rows["in 6 weeks, 4 Aug"].startswith("96")
    assert found.each_cycle is not None
    assert [row[1] for row in found.each_cycle.rows] == ["42"] * 4
    assert found.each_cycle.rows[0][3].startswith("\u221212.9 mm ± 1.4")  # 1.96 x 0.5 x sqrt 2
    assert any("Mar to May" in row[0] for row in found.within_cycle.rows)


def test_a_limit_is_set_changed_and_taken_away(book: OpenBook, horse: Horse, toes: list[Visit]) -> None:
    """10.3 mm at 8.893 mm in 30 days take 34.7 days, 12.3 mm 41.5: 23 June + 35 days = 28 July, + 41 = 3 August."""

    def set_to(value: str) -> CycleSheet:
        set_limit(book, str(horse.key), "LF", measure="toe_length", definition="", value=value)
        return sheet(book, horse)

    before = sheet(book, horse).limit
    assert before is not None and (before.value, before.unit, before.sentence) == ("", "mm", "")
    kept = set_to("94,3 mm").limit
    assert kept is not None and kept.value == "94.3"
    assert "the limit you set, 94.3 mm, about 28 Jul 2025" in kept.sentence
    changed = set_to("96.3").limit
    assert changed is not None and "about 3 Aug 2025" in changed.sentence
    assert len(book.book.every(Limit)) == 1
    gone = set_to(" ").limit
    assert gone is not None and gone.value == "" and book.book.every(Limit) == ()
    for wrong in ("soon", "0", "nan", "1e9"):
        with pytest.raises(Refused) as refused:
            set_to(wrong)
        assert refused.value.refusal.code == "limit_not_a_number"
    assert sheet(book, horse, "LF-RF").limit is None


def test_a_limit_of_a_foot_read_only_once_is_kept_for_later(book: OpenBook, horse: Horse) -> None:
    read_by_hand(book, visit(book, horse, 0, Foot.LF), Foot.LF, "toe_length", 84.0)
    assert sheet(book, horse).limit is None
    set_limit(book, str(horse.key), "LF", measure="toe_length", definition="", value="95")
    found = sheet(book, horse).limit
    assert found is not None and found.sentence.startswith("Kept.")


def test_missed_visits_break_the_line_and_are_said(book: OpenBook, horse: Horse) -> None:
    """Seven trims of the left fore; the angle was not read at the fourth. A lost shoe, a trim behind do not count."""
    for number in range(7):
        at = visit(book, horse, number, Foot.LF)
        if number != 3:
            read_by_hand(book, at, Foot.LF, "toe_angle", 48.0 + 0.5 * number)
    with book.book.writing() as writer:
        call = Visit(new_key(), horse.key, FIRST + timedelta(days=60), kind=VisitKind.LOST_SHOE)
        behind = Visit(new_key(), horse.key, FIRST + timedelta(days=70))
        writer.add_all([call, behind])
        writer.add(FootWork(new_key(), behind.key, Foot.LH, work=Work.TRIM))
        writer.add(Event(new_key(), horse.key, FIRST + timedelta(days=59), EventKind.LOST_SHOE, Foot.LF))
    found = sheet(book, horse, measure="toe_angle")
    assert found.fool is not None and found.chart is not None and found.table is not None
    gap = [words for _, words in found.fool.rows if "no comparable reading" in words]
    assert gap == [
        "no comparable reading of this at this visit; 84 days between readings, usually 42: the line is broken there"
    ]
    drawing = found.chart(780, 520, 14, False)
    broken = [
        m for m in drawing.primitives if isinstance(m, Line) and m.dashed and m.role is Role.CALM and m.width == 1.6
    ]
    assert len(broken) == 2  # in the plot and in the legend
    assert len([m for m in drawing.primitives if isinstance(m, Spot) and m.key]) == 6
    assert [row[1] for row in found.table.rows if not row[2]] == [
        "Day book: lost shoe, LF.",
        "visit without this reading",
    ]


def test_a_visit_since_the_newest_reading_is_missed_too(book: OpenBook, horse: Horse) -> None:
    for number in range(4):
        at = visit(book, horse, number, Foot.LF)
        if number < 3:
            read_by_hand(book, at, Foot.LF, "toe_angle", 48.0)
    found = sheet(book, horse, measure="toe_angle")
    assert found.fool is not None
    assert ("12 May", "visit without this reading, after the newest reading") in found.fool.rows


def test_an_interval_unlike_the_others_is_named(book: OpenBook, horse: Horse) -> None:
    """Trims after 42, 42, 42 and 50 days: the last differs by 8, more than the 5 allowed."""
    days = [0, 42, 84, 126, 176]
    for number in days:
        at = Visit(new_key(), horse.key, FIRST + timedelta(days=number))
        with book.book.writing() as writer:
            writer.add(at)
            writer.add(FootWork(new_key(), at.key, Foot.LF, work=Work.TRIM))
        read_by_hand(book, at, Foot.LF, "toe_angle", 48.0)
    found = sheet(book, horse, measure="toe_angle")
    assert found.fool is not None
    assert ("1 Jul", "50 days since the trim before, usually 42") in found.fool.rows


def test_a_pair_has_its_own_trend_and_its_newest_difference(book: OpenBook, horse: Horse) -> None:
    """Left 55 to 57°, right 50°: the newest difference 7° ± 1.96 x 0.5 x sqrt 2 = 1.4, so 5.6 to 8.4°."""
    for number in range(5):
        at = visit(book, horse, number, Foot.LF, Foot.RF)
        read_by_hand(book, at, Foot.LF, "toe_angle", 55.0 + 0.5 * number)
        read_by_hand(book, at, Foot.RF, "toe_angle", 50.0)
    assert "LF-RF" in sheet(book, horse, measure="toe_angle").feet.options
    found = sheet(book, horse, "LF-RF", "toe_angle")
    assert found.title == "Left fore less right fore, toe angle"
    assert "more over 24 weeks" in found.sentence
    assert found.other_foot is not None
    said, source = found.other_foot.paragraphs
    assert "the left fore reads 7.0° more than the right fore, 5.6 to 8.4°" in said
    assert "Wiggers" in source and "27 of 34 ordinary riding horses were uneven by that rule" in source
    assert found.within_cycle is None and found.each_cycle is None


def test_how_many_were_looked_at_and_what_could_have_been_shown(
    book: OpenBook, horse: Horse, toes: list[Visit]
) -> None:
    read_by_hand(book, toes[0], Foot.RF, "toe_angle", 50.0)
    before = sheet(book, horse).how_decided
    assert before is not None
    assert before.paragraphs[-1] == "2 measures were looked at; none are goals."
    assert before.paragraphs[-2].startswith("The smallest change that could have been shown: ")
    set_goal(book, str(horse.key), "LF", measure="toe_length", definition="", wanted="less")
    found = sheet(book, horse)
    assert found.how_decided is not None
    assert "2 measures were looked at; 1 is a goal." in found.how_decided.paragraphs
    assert found.spreadsheet.count("\n") == 1 + 9
