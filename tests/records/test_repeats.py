"""What was done more than once is found over all horses, in a handful of statements."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta

from sqlalchemy import event

from hoofbook.records.book import Book
from hoofbook.terms.feet import Foot
from tests.records import examples
from tests.records.examples import NOON


def test_takes_are_found_with_what_lies_beside_them(book: Book) -> None:
    horse, other = examples.horse(), examples.horse("Other")
    visit, later = examples.visit(horse), examples.visit(other)
    filed = {"visit": visit.key, "foot": Foot.LF}
    first = examples.photo(horse, "a", taken_at=NOON, **filed)
    again = examples.photo(horse, "b", taken_at=NOON + timedelta(minutes=3), retake=True, **filed)
    aside = examples.photo(horse, "c", set_aside=True, **filed)
    elsewhere = examples.photo(horse, "d", visit=visit.key, foot=Foot.RF)
    unsorted = examples.photo(other, "e", visit=later.key, foot=None, retake=True)
    passes = [examples.marking_pass(first), examples.marking_pass(elsewhere)]
    kept = examples.measure(horse, [first.key], visit=visit.key, foot=Foot.LF)
    apart = examples.measure(horse, [elsewhere.key], visit=visit.key, foot=Foot.RF)
    with book.writing() as writer:
        writer.add_all([horse, other, visit, later, first, again, aside, elsewhere, unsorted, *passes])
        writer.keep_measures([first.key], [kept])
        writer.keep_measures([elsewhere.key], [apart])
    statements: list[str] = []
    event.listen(book._opened.engine, "before_cursor_execute", lambda *given: statements.append(given[2]))
    found = book.taken_again()
    assert sum(text.startswith("SELECT") for text in statements) == 3
    assert [photo.key for photo in found.photos] == [first.key, again.key]
    assert [measure.key for measure in found.measures] == [kept.key]
    assert found.people == {passes[0].key: "Ann"}


def test_photos_marked_again_come_with_every_pass(book: Book) -> None:
    horse = examples.horse()
    photo, plain = examples.photo(horse, "a"), examples.photo(horse, "b")
    first = examples.marking_pass(photo, NOON)
    again = examples.marking_pass(photo, NOON + timedelta(days=1), 3.0, blind=True)
    by_bob = replace(examples.marking_pass(photo, NOON + timedelta(days=2), 4.0, blind=True), marked_by="Bob")
    other = examples.marking_pass(plain, NOON)
    with book.writing() as writer:
        writer.add_all([horse, photo, plain, by_bob, first, again, other])
    found = book.marked_again()
    assert dict(found.photos) == {photo.key: photo}
    assert found.passes == (first, again, by_bob)
    assert dict(book.photos_with_marks("Ann")) == {photo.key: 1, plain.key: 0}
    assert dict(book.photos_with_marks("Cass")) == {photo.key: 0, plain.key: 0}


def test_a_photo_with_blind_marks_alone_has_none_that_count(book: Book) -> None:
    horse = examples.horse()
    photo = examples.photo(horse)
    with book.writing() as writer:
        writer.add_all([horse, photo, examples.marking_pass(photo, blind=True)])
    assert book.photos_with_marks("Ann") == ()
    assert book.taken_again().photos == ()
