"""What a change of a named size would take. The chances are held to simulation in progress/; here the words."""

from __future__ import annotations

from datetime import date, timedelta

import pytest

from hoofbook.casework.open_book import OpenBook
from hoofbook.casework.typed_number import typed_number
from hoofbook.casework.what_it_takes import what_it_takes
from hoofbook.records.keys import new_key
from hoofbook.terms.feet import Foot
from hoofbook.terms.quantity import Definition
from hoofbook.terms.refusal import Refused
from hoofbook.terms.subjects import Goal, HandMeasure, Horse, Wanted
from hoofbook.terms.views import Moment

FIRST = date(2025, 1, 6)


@pytest.fixture
def horse(book: OpenBook) -> Horse:
    kept = Horse(new_key(), "Larkspur")
    with book.book.writing() as writer:
        writer.add(kept)
        for number in range(4):
            day = FIRST + timedelta(days=42 * number)
            known = (new_key(), kept.key, None, day, Foot.LF, Moment.AFTER_TRIM, "toe_angle", Definition.ONE)
            writer.add(HandMeasure(*known, 50.0 + 0.2 * number, u=0.5))
    return kept


def ask(book: OpenBook, horse: Horse, size: str, measure: str = "toe_angle") -> tuple[str, ...]:
    return what_it_takes(book, str(horse.key), "LF", measure=measure, definition="", size=size)


def test_a_goal_is_answered_and_anything_else_as_if_it_were_one(book: OpenBook, horse: Horse) -> None:
    plain = ask(book, horse, "2")
    assert plain[0] == "No goal is set for this measure. Were it one:"
    assert plain[1].startswith("A change of 2.0° by reading 7 would be shown with a chance of ")
    with book.book.writing() as writer:
        writer.add(Goal(new_key(), horse.key, Foot.LF, "toe_angle", Definition.ONE, Wanted.MORE, FIRST))
    assert ask(book, horse, "-2,0°") == plain[1:]


@pytest.mark.parametrize("size", ["", "a little", "0", "1000", "inf", "nan"])
def test_no_size_is_refused(book: OpenBook, horse: Horse, size: str) -> None:
    with pytest.raises(Refused) as refused:
        ask(book, horse, size)
    assert refused.value.refusal.code == "chance_needs_a_size"


def test_no_reading_is_refused(book: OpenBook, horse: Horse) -> None:
    with pytest.raises(Refused) as refused:
        ask(book, horse, "2", "heel_angle")
    assert refused.value.refusal.code == "chance_needs_a_reading"


@pytest.mark.parametrize(
    ("text", "measure", "number"),
    [
        ("95", "toe_length", 95.0),
        (" 95,5 mm ", "toe_length", 95.5),
        ("48.5°", "toe_angle", 48.5),
        ("\u22122", "toe_angle", -2.0),
        ("0.7", "frog_ratio", 0.7),
        ("48.5 mm", "toe_angle", None),
        ("1e4", "toe_length", None),
    ],
)
def test_numbers_as_people_type_them(text: str, measure: str, number: float | None) -> None:
    assert typed_number(text, measure) == number
