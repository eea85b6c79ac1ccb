"""What a Vet case takes from the book: which feet, what counts as a correction, and whose phone it names."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, datetime
from uuid import UUID, uuid4

import pytest

from hoofbook.casework.horses import HorseForm, add_horse
from hoofbook.casework.open_book import OpenBook
from hoofbook.casework.vet_case import allow_showing, keep_phone
from hoofbook.casework.vet_facts import farrier_of, is_correction, read_facts, usual_feet
from hoofbook.records.keys import new_key
from hoofbook.terms.feet import Foot
from hoofbook.terms.quantity import Definition
from hoofbook.terms.refusal import Refused
from hoofbook.terms.subjects import Correction, Goal, Person, PersonRole, VetValue, Visit, Wanted


@pytest.fixture
def horse(book: OpenBook) -> UUID:
    return UUID(add_horse(book, HorseForm("Larkspur", owner="A. K.")))


@pytest.mark.parametrize(
    ("field", "old", "counts"),
    [
        ("value", "4.1", True),
        ("foot", "LF", True),
        ("note", "", False),
        ("sole_before", "not looked", False),
        ("sole_pared", "not said", False),
        ("finished", "true", False),
        ("next_due", "2025-09-30", False),
        ("", "the whole row", True),
    ],
)
def test_only_what_had_been_said_can_be_corrected(field: str, old: str, counts: bool) -> None:
    item = Correction(uuid4(), "visit", uuid4(), field, old, "new", "Ann", datetime(2025, 9, 30))
    assert is_correction(item) is counts


def test_the_feet_are_those_followed_else_both_fores(book: OpenBook, horse: UUID) -> None:
    assert usual_feet(read_facts(book, horse, (), None, None).readings) == (Foot.LF, Foot.RF)
    with book.book.writing() as writer:
        writer.add(Goal(new_key(), horse, Foot.RH, "toe_angle", Definition.ONE, Wanted.MORE, date(2025, 1, 1)))
    assert read_facts(book, horse, (), None, None).feet == (Foot.RH,)
    assert read_facts(book, horse, (Foot.LH,), None, None).feet == (Foot.LH,)


def test_older_visits_stay_out_but_are_counted(book: OpenBook, horse: UUID) -> None:
    days = [date(2025, month, 1) for month in (1, 3, 5, 7)]
    with book.book.writing() as writer:
        writer.add_all([Visit(new_key(), horse, day) for day in days])
    newest = read_facts(book, horse, (), None, 2)
    assert [visit.day for visit in newest.visits] == days[2:] and [v.day for v in newest.earlier] == days[:2]
    since = read_facts(book, horse, (), date(2025, 3, 1), None)
    assert [visit.day for visit in since.visits] == days[1:]
    assert read_facts(book, horse, (), date(2025, 8, 1), None).visits == ()


def test_films_without_a_photo_have_no_count_of_trims(book: OpenBook, horse: UUID) -> None:
    with book.book.writing() as writer:
        writer.add(VetValue(new_key(), horse, Foot.LF, date(2025, 9, 24), "sole depth", 12.0))
    assert read_facts(book, horse, (), None, None).trims == {(date(2025, 9, 24), Foot.LF): None}


def test_phone_and_permission_are_kept_for_the_next_time(book: OpenBook, horse: UUID) -> None:
    assert farrier_of(book) is None
    keep_phone(book, " 01632 960 114 ")
    keep_phone(book, "01632 960 115")
    assert [person.phone for person in book.book.every(Person, role=PersonRole.FARRIER)] == ["01632 960 115"]
    allow_showing(book, str(horse), "2025-09-30")
    owner = read_facts(book, horse, (), None, None).owner
    assert owner is not None and owner.consent_vet == date(2025, 9, 30)
    nobody = add_horse(book, HorseForm("Copper"))
    with pytest.raises(Refused) as error:
        allow_showing(book, nobody, "2025-09-30")
    assert error.value.refusal.code == "owner_needed"


def test_without_a_name_set_up_the_one_farrier_of_the_book_is_named(book: OpenBook) -> None:
    keep_phone(book, "01632 960 114")
    unnamed = farrier_of(replace(book, person=""))
    assert unnamed is not None and unnamed.name == "Demo Farrier"
    assert farrier_of(replace(book, person="Somebody Else")) is None
