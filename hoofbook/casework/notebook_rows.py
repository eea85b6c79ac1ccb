"""Rows of readings files before they go into a book: read, found right, and held against each other and the book."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date
from pathlib import Path

from hoofbook.casework.open_book import OpenBook
from hoofbook.casework.progress_text import typed_reading
from hoofbook.casework.readings_file import TypedReading, read_readings_file
from hoofbook.progress.derived import contradictions, parts_of
from hoofbook.progress.series import HAND, Reading
from hoofbook.terms.feet import Pair, Place
from hoofbook.terms.quantity import Definition
from hoofbook.terms.refusal import Refusal
from hoofbook.terms.subjects import HandMeasure, Horse

ALL_CODES = ("pair_rows_not_kept",)
Wrong = tuple[tuple[int, Refusal], ...]
"""Rows that cannot be kept: line and why."""


@dataclass(frozen=True, slots=True)
class Table:
    """A readings file that was read and found right; nothing of it is in a book yet."""

    file: str
    rows: tuple[TypedReading, ...]


def read_tables(paths: Iterable[Path], today: date) -> tuple[Table, ...]:
    """Reads readings files for a book that stands at `today`. Refused: as `read_readings_file`."""
    return tuple(Table(path.name, read_readings_file(path, today)) for path in paths)


def held_by(open_book: OpenBook, tables: Sequence[Table]) -> dict[str, list[Reading]]:
    """What the book holds already, by horse, in the way in which rows are looked at."""
    book, named = open_book.book, {row.horse.casefold() for table in tables for row in table.rows}
    return {
        horse.name.casefold(): [_as_typed(hand) for hand in book.every(HandMeasure, horse=horse.key)]
        for horse in book.every(Horse)
        if horse.name.casefold() in named
    }


def _as_typed(hand: HandMeasure) -> Reading:
    return Reading(
        hand.day,
        hand.value,
        hand.u,
        hand.moment,
        measure=hand.measure,
        definition=hand.definition,
        foot=hand.foot,
        method=HAND,
        key=str(hand.key),
        visit=hand.day.isoformat(),
    )


def wrong_rows(tables: Sequence[Table], held: Mapping[str, list[Reading]]) -> list[Wrong]:
    """By file: the rows that cannot be kept, with their line and why."""
    rows = [(f"{place} {row.line}", row) for place, table in enumerate(tables) for row in table.rows]
    wrong: dict[str, Refusal] = {}
    for horse in dict.fromkeys(row.horse.casefold() for _, row in rows):  # one horse's parts say nothing of another's
        new = [replace(typed_reading(row), key=key) for key, row in rows if row.horse.casefold() == horse]
        wrong |= _contradicting(new, held.get(horse, []))
    found: list[Wrong] = []
    for place, table in enumerate(tables):
        told = {row.line: _pair_refused(row) for row in table.rows if is_pair(row.foot)}
        told |= {row.line: wrong[key] for row in table.rows if (key := f"{place} {row.line}") in wrong}
        found.append(tuple(sorted(told.items())))
    return found


def _contradicting(new: Sequence[Reading], held: Sequence[Reading]) -> dict[str, Refusal]:
    """New readings, by key, that contradict each other or what is held. Where a held value and its new parts do not
    agree, the parts are what came last."""
    fresh = {reading.key: reading for reading in new}
    known = {reading.key for reading, _ in contradictions(held)}
    wrong: dict[str, Refusal] = {}
    for stored, refusal in contradictions([*held, *new]):
        if stored.key in fresh:
            wrong[stored.key] = refusal
        elif stored.key not in known:
            parts = parts_of(stored.measure)
            wrong |= {
                reading.key: refusal
                for reading in new
                if reading.measure in parts and _beside(reading) == _beside(stored)
            }
    return wrong


def _beside(reading: Reading) -> tuple[object, ...]:
    return reading.visit, reading.foot, reading.moment, by_hand(reading.definition)


def _pair_refused(row: TypedReading) -> Refusal:
    return Refusal("pair_rows_not_kept", {"place": row.foot.value})


def is_pair(place: Place) -> bool:
    return isinstance(place, Pair)


def by_hand(definition: Definition) -> Definition:
    """Under which definition a typed number is kept."""
    return Definition.HAND_GAUGE if definition is Definition.ONE else definition
