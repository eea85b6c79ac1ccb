"""Readings of a horse are read once while the book stays as it was. No outside source: the book is asked both ways."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

import pytest

from hoofbook.casework.open_book import OpenBook
from hoofbook.casework.readings import read_readings
from hoofbook.records.book import Book
from hoofbook.records.keys import new_key
from hoofbook.terms.feet import Foot, Pair
from hoofbook.terms.quantity import Definition
from hoofbook.terms.subjects import HandMeasure
from hoofbook.terms.views import Moment
from tests.samples import opened_sample, own_sample_book, sample_book

__all__ = ["opened_sample", "own_sample_book", "sample_book"]


def test_what_was_written_since_is_read(opened_sample: OpenBook, monkeypatch: pytest.MonkeyPatch) -> None:
    horse = opened_sample.horse_named("Larkspur").key
    first = read_readings(opened_sample, horse)
    asked: list[str] = []
    history = Book.history

    def counted(book: Book, key: object) -> object:
        asked.append("history")
        return history(book, key)  # type: ignore[arg-type]

    monkeypatch.setattr(Book, "history", counted)
    assert read_readings(opened_sample, horse) is first
    assert asked == []
    with opened_sample.book.writing() as writer:
        writer.add(
            HandMeasure(
                new_key(),
                horse,
                None,
                date(2025, 9, 30),
                Foot.LH,
                Moment.AFTER_TRIM,
                "toe_length",
                Definition.ONE,
                84.0,
            )
        )
    again = read_readings(opened_sample, horse)
    assert asked == ["history"]
    assert len(again.readings) == len(first.readings) + 1


def test_the_quick_lists_say_what_the_readings_say(opened_sample: OpenBook) -> None:
    readings = read_readings(opened_sample, opened_sample.horse_named("Larkspur").key)
    for foot in Foot:
        every = {(r.measure, r.definition) for r in readings.readings if r.foot is foot}
        assert set(readings.measures_of(foot)) == every
        for item in every:
            shown = bool(readings.series(foot, *item).readings)
            assert (item in readings.measures_of(foot, Moment.AFTER_TRIM)) is shown
    both = set(readings.measures_of(Foot.LF)) & set(readings.measures_of(Foot.RF))
    assert set(readings.measures_of(Pair.LF_LESS_RF)) == both
    some = readings.of(Foot.LF, "toe_angle")
    assert list(some) == [r for r in readings.readings if (r.foot, r.measure) == (Foot.LF, "toe_angle")]
    assert readings.of(Foot.LF, "no such") == ()
    assert replace(readings).measures_of(Foot.LF) == readings.measures_of(Foot.LF)
    assert readings.series(Foot.LF, "toe_angle", Definition.ONE).foot is Foot.LF
