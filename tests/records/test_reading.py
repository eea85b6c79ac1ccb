"""Lists, histories and the marks that count."""

from __future__ import annotations

from datetime import date, timedelta

import pytest
from sqlalchemy import event

from hoofbook.records.book import Book
from hoofbook.records.keys import new_key
from hoofbook.records.lists import HorseRow
from hoofbook.terms.card import CardCorner, CardFace, CardSighting
from hoofbook.terms.feet import Foot
from hoofbook.terms.refusal import Refused
from hoofbook.terms.subjects import (
    Event,
    EventKind,
    Finding,
    FootWork,
    HorseStatus,
    Person,
    Photo,
    Sighting,
    Visit,
    Yard,
)
from tests.records import examples
from tests.records.examples import NOON


def test_the_list_of_horses_is_one_statement(book: Book) -> None:
    owner, yard = Person(new_key(), "Cass"), Yard(new_key(), "Mill Yard")
    one = examples.horse("larkspur", owner=owner.key, yard=yard.key, next_due=date(2026, 4, 13))
    two = examples.horse("Bramble", status=HorseStatus.RESTING)
    with book.writing() as writer:
        writer.add_all([owner, yard, one, two])
        writer.add_all([examples.visit(one, date(2026, 1, 5)), examples.visit(one, date(2026, 3, 2))])
    statements: list[str] = []
    event.listen(book._opened.engine, "before_cursor_execute", lambda *given: statements.append(given[2]))
    assert book.horse_lines() == (
        HorseRow(two.key, "Bramble", HorseStatus.RESTING, "", "", None, None),
        HorseRow(one.key, "larkspur", HorseStatus.ACTIVE, "Mill Yard", "Cass", date(2026, 4, 13), date(2026, 3, 2)),
    )
    assert [text.split()[0] for text in statements if not text.startswith("BEGIN")] == ["SELECT"]


def test_a_horse_is_found_by_its_name(book: Book) -> None:
    with book.writing() as writer:
        writer.add_all([examples.horse("Ölprinz"), examples.horse("Twin"), examples.horse("twin ")])
    found = book.horse_by_name("  öLPRINZ ")
    assert found is not None
    assert found.name == "Ölprinz"
    assert book.horse_by_name("Nobody") is None
    with pytest.raises(Refused, match="horse_name_twice"):
        book.horse_by_name("Twin")


def test_a_history_holds_one_horse_only_and_runs_by_day(book: Book) -> None:
    horse, other = examples.horse(), examples.horse("Other")
    days = [date(2026, 3, 2), date(2026, 1, 5), date(2026, 2, 2)]
    visits = [examples.visit(horse, day) for day in days]
    works = [FootWork(new_key(), visit.key, foot) for visit in visits for foot in (Foot.RF, Foot.LF)]
    findings = [Finding(new_key(), visits[0].key, Foot.LF, "ring")]
    events = [Event(new_key(), horse.key, days[1], EventKind.CALL)]
    photos = [examples.photo(horse, str(n), taken_at=NOON - timedelta(days=n), visit=visits[0].key) for n in range(3)]
    strange = examples.visit(other)
    with book.writing() as writer:
        writer.add_all([horse, other, *visits, *works, *findings, *events, *photos, strange])
        writer.add_all([FootWork(new_key(), strange.key, Foot.LF), examples.photo(other)])
        writer.set_aside(photos[0])
    history = book.history(horse.key)
    assert history.horse == horse
    assert [visit.day for visit in history.visits] == sorted(days)
    assert [work.visit for work in history.works] == [visits[n].key for n in (1, 1, 2, 2, 0, 0)]
    assert history.findings == tuple(findings)
    assert history.events == tuple(events)
    assert [photo.key for photo in history.photos] == [photos[2].key, photos[1].key]
    with pytest.raises(Refused, match="not_in_book"):
        book.history(new_key())


def test_the_newest_pass_counts_and_a_blind_one_never(book: Book) -> None:
    horse = examples.horse()
    photo, bare = examples.photo(horse, "a"), examples.photo(horse, "b")
    early, late, blind = (
        examples.marking_pass(photo, NOON, 1.0),
        examples.marking_pass(photo, NOON + timedelta(hours=1), 2.0),
        examples.marking_pass(photo, NOON + timedelta(hours=2), 3.0, blind=True),
    )
    with book.writing() as writer:
        writer.add_all([horse, photo, bare, late, early, blind])
    assert book.latest_pass(photo.key) == late
    assert book.latest_pass(bare.key) is None
    assert book.latest_passes(horse.key) == {photo.key: late}


def test_sightings_come_back_to_the_last_bit(book: Book) -> None:
    horse = examples.horse()
    photo = examples.photo(horse)
    corners = tuple(CardCorner(f"c{n:02}", (16.0 * n, 1 / 3), (0.1 + n / 7, 1e-17), 0.03) for n in range(24))
    card = CardSighting(CardFace.BACK, corners, (26, 27), (20,), 1.7, (4032, 3024), "detector 1")
    old = Sighting(new_key(), photo.key, "detector 0", None, NOON)
    new = Sighting(new_key(), photo.key, "detector 1", card, NOON + timedelta(minutes=1))
    with book.writing() as writer:
        writer.add_all([horse, photo, old, new])
    assert book.sightings(horse.key) == {photo.key: new}
    assert book.every(Sighting) == (old, new)


def test_one_state_is_one_state(book: Book) -> None:
    horse = examples.horse()
    with book.writing() as writer:
        writer.add(horse)
    with book.one_state() as state:
        assert state.every(Visit) == ()
        assert state.every(Photo) == ()


def test_a_value_that_no_version_wrote_is_damage_not_a_crash(book: Book) -> None:
    horse = examples.horse()
    photo = examples.photo(horse)
    with book.writing() as writer:
        writer.add_all([horse, photo, examples.marking_pass(photo)])
        writer._connection.exec_driver_sql("UPDATE marking_pass SET marking = 'nonsense'")
    with pytest.raises(Refused, match="book_damaged"):
        book.latest_pass(photo.key)
