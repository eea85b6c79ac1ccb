"""What may be added, changed and removed, and what of the old stays readable."""

from __future__ import annotations

import threading
from dataclasses import replace
from datetime import date, timedelta
from typing import Any

import pytest

from hoofbook.housekeeping.clock import FixedClock
from hoofbook.records.book import Book
from hoofbook.records.keys import new_key
from hoofbook.terms.feet import Foot
from hoofbook.terms.refusal import Refused
from hoofbook.terms.subjects import (
    Correction,
    FootRecord,
    FootWork,
    Horse,
    MarkingPass,
    PaperMade,
    Person,
    Photo,
    Sighting,
    Visit,
)
from tests.records import examples
from tests.records.examples import NOON


def refused(code: str) -> Any:
    return pytest.raises(Refused, match=f"^{code}$")


def test_what_is_added_is_read_back(book: Book) -> None:
    horse = examples.horse(owner=None, next_due=date(2026, 5, 1), height_cm=162.5)
    with book.writing() as writer:
        assert writer.add(horse) is horse
        assert writer.get(Horse, horse.key) == horse
    assert book.get(Horse, horse.key) == horse
    assert book.every(Horse) == (horse,)
    with refused("not_in_book"):
        book.get(Visit, horse.key)


def test_an_error_inside_keeps_nothing(book: Book) -> None:
    with pytest.raises(ZeroDivisionError), book.writing() as writer:
        writer.add(examples.horse())
        _ = 1 / 0
    assert book.every(Horse) == ()
    with book.writing() as writer:  # and the book is free again
        writer.add(examples.horse())
    assert len(book.every(Horse)) == 1


def test_every_changed_field_keeps_its_old_value(book: Book, clock: FixedClock) -> None:
    horse = examples.horse(height_cm=160.0, next_due=date(2026, 4, 1))
    with book.writing() as writer:
        writer.add(horse)
    clock.advance(timedelta(hours=1))
    with book.writing() as writer:
        new = writer.change(replace(horse, name="Larkspur II", height_cm=None, next_due=date(2026, 4, 8)))
    assert new.revision == 2
    assert book.get(Horse, horse.key) == new
    logged = book.corrections(horse.key)
    assert {(entry.field_name, entry.old, entry.new) for entry in logged} == {
        ("name", "Larkspur", "Larkspur II"),
        ("height_cm", "160.0", ""),
        ("next_due", "2026-04-01", "2026-04-08"),
    }
    assert {(entry.subject, entry.changed_by, entry.changed_at) for entry in logged} == {
        ("horse", "Ann", NOON + timedelta(hours=1))
    }


def test_changes_of_several_subjects_come_together_oldest_first(book: Book, clock: FixedClock) -> None:
    one, other, third = (examples.horse(name) for name in ("One", "Other", "Third"))
    with book.writing() as writer:
        writer.add_all([one, other, third])
    for horse, name in ((other, "B"), (one, "A"), (third, "C")):
        clock.advance(timedelta(minutes=1))
        with book.writing() as writer:
            writer.change(replace(horse, name=name))
    found = book.corrections_among({one.key, other.key})
    assert [(entry.old, entry.new) for entry in found] == [("Other", "B"), ("One", "A")]
    assert book.corrections_among(()) == ()


def test_no_change_is_no_new_revision(book: Book) -> None:
    horse = examples.horse()
    with book.writing() as writer:
        writer.add(horse)
    with book.writing() as writer:
        assert writer.change(horse) == horse
    assert book.corrections(horse.key) == ()


def test_a_state_that_somebody_else_changed_is_not_overwritten(book: Book, clock: FixedClock) -> None:
    horse = examples.horse()
    with book.writing() as writer:
        writer.add(horse)
    with Book.open(book.folder, clock=clock, person="Ben") as other, other.writing() as writer:
        writer.change(replace(horse, note="Ben was here"))
    with refused("changed_elsewhere") as caught, book.writing() as writer:
        writer.change(replace(horse, note="Ann's words"))
    assert caught.value.refusal.facts["changed_by"] == "Ben"
    assert book.get(Horse, horse.key).note == "Ben was here"


@pytest.mark.parametrize("kind", [MarkingPass, Sighting, PaperMade, Correction])
def test_some_things_are_only_ever_added(book: Book, kind: type) -> None:
    horse, photo = examples.horse(), None
    photo = examples.photo(horse)
    subject: Any = {
        MarkingPass: examples.marking_pass(photo),
        Sighting: Sighting(new_key(), photo.key, "detector 1", None, NOON),
        PaperMade: PaperMade(new_key(), horse.key, NOON, "owner sheet", "Cass", "0" * 64, "larkspur.pdf"),
        Correction: Correction(new_key(), "horse", horse.key, "name", "a", "b", "Ann", NOON),
    }[kind]
    with book.writing() as writer:
        writer.add_all([horse, photo, subject])
        with refused("never_changed"):
            writer.change(subject)
        with refused("never_removed"):
            writer.remove(subject)
    assert book.every(kind) == (subject,)


def test_photos_are_set_aside_never_removed(book: Book) -> None:
    horse = examples.horse()
    photo = examples.photo(horse)
    with book.writing() as writer:
        writer.add_all([horse, photo])
        with refused("never_removed"):
            writer.remove(photo)
        aside = writer.set_aside(photo)
    assert book.photos(horse.key) == ()
    assert book.photos(horse.key, set_aside=True) == (aside,)
    assert book.photo_by_hash(photo.sha256) == (aside,)
    with book.writing() as writer:
        writer.set_aside(aside, False)
    assert [found.key for found in book.photos(horse.key)] == [photo.key]
    assert len(book.corrections(photo.key)) == 2


def test_removing_leaves_the_last_state_readable(book: Book) -> None:
    horse = examples.horse()
    visit = examples.visit(horse, note="rain")
    with book.writing() as writer:
        writer.add_all([horse, visit])
    with refused("still_in_use"), book.writing() as writer:
        writer.remove(horse)
    assert book.get(Visit, visit.key) == visit
    with book.writing() as writer:
        writer.remove(visit)
    assert book.every(Visit) == ()
    (entry,) = book.corrections(visit.key)
    assert (entry.field_name, entry.new) == ("", "")
    assert '"note":"rain"' in entry.old
    assert '"day":"2026-03-02"' in entry.old


def test_doubles_and_strangers_are_refused(book: Book) -> None:
    horse = examples.horse()
    visit = examples.visit(horse)
    with book.writing() as writer:
        writer.add_all(
            [horse, visit, FootRecord(new_key(), horse.key, Foot.LF), FootWork(new_key(), visit.key, Foot.LF)]
        )
    for double in (horse, FootRecord(new_key(), horse.key, Foot.LF), FootWork(new_key(), visit.key, Foot.LF)):
        with refused("already_in_book"), book.writing() as writer:
            writer.add(double)
    with refused("not_in_book"), book.writing() as writer:
        writer.add(examples.visit(examples.horse("Nobody")))
    with refused("not_in_book"), book.writing() as writer:
        writer.change(examples.horse("Nobody"))
    with pytest.raises(TypeError, match="no subject"), book.writing() as writer:
        writer.add("a horse")


def test_kept_measures_are_replaced_by_their_photos(book: Book) -> None:
    horse = examples.horse()
    first, second, third = (examples.photo(horse, content) for content in "abc")
    of_first = examples.measure(horse, [first.key])
    of_pair = examples.measure(horse, [first.key, second.key], "sole_concavity_at_frog_apex", 6.1)
    of_third = examples.measure(horse, [third.key])
    with book.writing() as writer:
        writer.add_all([horse, first, second, third])
        writer.keep_measures([first.key, second.key, third.key], [of_first, of_pair, of_third])
    assert set(book.measures(horse.key)) == {of_first, of_pair, of_third}
    assert book.measures(horse.key, measure="sole_concavity_at_frog_apex") == (of_pair,)
    assert book.measures(horse.key, foot=Foot.RF) == ()
    new = examples.measure(horse, [second.key], value=51.0)
    with book.writing() as writer:
        writer.keep_measures([second.key], [new])
    assert set(book.measures(horse.key)) == {of_first, new, of_third}
    with pytest.raises(TypeError), book.writing() as writer:
        writer.add(of_first)


def test_one_thread_cannot_write_twice_at_once_and_two_take_turns(book: Book) -> None:
    with book.writing(), pytest.raises(RuntimeError), book.writing():
        pass
    begun = threading.Event()

    def add_other() -> None:
        begun.set()
        with book.writing() as writer:
            writer.add(examples.horse("Second"))

    with book.writing() as writer:
        thread = threading.Thread(target=add_other)
        thread.start()
        begun.wait(5)
        writer.add(examples.horse("First"))
        assert book.every(Horse) == ()  # readers see the last whole state
    thread.join(10)
    assert {horse.name for horse in book.every(Horse)} == {"First", "Second"}


def test_another_program_that_writes_makes_us_wait_then_says_so(
    book: Book, clock: FixedClock, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("hoofbook.records.connecting.BUSY_TIMEOUT_MS", 100)
    with (
        Book.open(book.folder, clock=clock, person="Ben") as other,
        book.writing() as ours,
        refused("book_busy"),
        other.writing() as writer,
    ):
        ours.add(examples.horse())
        writer.add(examples.horse())


def test_a_full_disk_leaves_the_book_as_it_was(book: Book) -> None:
    with book.writing() as writer:
        writer.add(examples.horse("Before"))
    with refused("disk_full"), book.writing() as writer:
        pages = writer._connection.exec_driver_sql("PRAGMA page_count").scalar_one()
        writer._connection.exec_driver_sql(f"PRAGMA max_page_count={pages}")  # SQLite's own way to be full
        writer.add_all([Person(new_key(), "x" * 4000) for _ in range(500)])
    assert [horse.name for horse in book.every(Horse)] == ["Before"]
    assert book.every(Person) == ()


def test_photo_rows_are_found_by_what_they_are_filed_under(book: Book) -> None:
    horse = examples.horse()
    visit = examples.visit(horse)
    filed, loose = examples.photo(horse, "a", visit=visit.key), examples.photo(horse, "b", foot=None)
    with book.writing() as writer:
        writer.add_all([horse, visit, filed, loose])
    assert book.photos(horse.key, visit=visit.key) == (filed,)
    assert book.every(Photo, foot=None) == (loose,)
    with pytest.raises(TypeError, match="no field"):
        book.every(Photo, colour="bay")
