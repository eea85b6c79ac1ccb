"""Numbers from a notebook: a readings file taken into a book, and a book's readings written as such a file.

What is typed is kept as read by hand and never stands on one line with readings from photos: a measure that has no
definition of its own is kept under "hand gauge".
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING
from uuid import UUID

from hoofbook.casework.notebook_rows import Table, Wrong, by_hand, held_by, is_pair, read_tables, wrong_rows
from hoofbook.casework.open_book import OpenBook
from hoofbook.casework.progress_text import ProgressReport
from hoofbook.casework.readings_file import COLUMNS, TypedReading
from hoofbook.housekeeping.files import write_atomic
from hoofbook.papers.safe_csv import csv_bytes
from hoofbook.terms.feet import Foot, Pair
from hoofbook.terms.refusal import Refusal, Refused
from hoofbook.terms.subjects import Goal, HandMeasure, Horse, Visit, Wanted
from hoofbook.wording.notebook import row_refused, taken_words
from hoofbook.wording.reading_rows import reading_row

if TYPE_CHECKING:
    from hoofbook.records.writing import Writer

ALL_CODES = ("no_readings_to_write",)


@dataclass(frozen=True, slots=True)
class Taken:
    """What came of one readings file: rows kept, rows that were here already, and rows refused with their reason."""

    file: str
    kept: int
    known: int
    refused: tuple[tuple[int, Refusal], ...]

    @property
    def lines(self) -> tuple[str, ...]:
        """In words, for the terminal."""
        told = (taken_words(self.file, self.kept, self.known),)
        return told + tuple(row_refused(line, refusal) for line, refusal in self.refused)


def is_readings_file(path: Path) -> bool:
    return path.suffix.lower() == ".csv"


def take_readings(open_book: OpenBook, path: Path) -> Taken:
    """Reads one file and takes it in. Refused: as `read_tables` and `take_tables`."""
    return take_tables(open_book, read_tables([path], open_book.clock.now().date()))[0]


def take_tables(open_book: OpenBook, tables: Sequence[Table]) -> tuple[Taken, ...]:
    """Takes all of it into the book in one go, or nothing; what is there already is not changed.

    Horses and goals that are new are made (a goal is set on the day of its first row, so that its rows are tested). A
    difference of two feet is not kept, since it follows from both, but its goal is.

    Raises:
        Refused: a book that cannot be written.
    """
    wrong = wrong_rows(tables, held_by(open_book, tables))
    return tuple(
        Taken(table.file, kept, known, wrong[place])
        for place, (table, (kept, known)) in enumerate(zip(tables, _write(open_book, tables, wrong), strict=True))
    )


def nothing_to_keep(tables: Sequence[Table]) -> tuple[Taken, ...] | None:
    """What came of them where no row can be kept and no goal made in a new book: then none need be made."""
    wrong = wrong_rows(tables, {})
    for place, table in enumerate(tables):
        out = {line for line, _ in wrong[place]}
        if any(row.line not in out or (is_pair(row.foot) and row.goal) for row in table.rows):
            return None
    return tuple(Taken(table.file, 0, 0, wrong[place]) for place, table in enumerate(tables))


def _write(open_book: OpenBook, tables: Sequence[Table], wrong: Sequence[Wrong]) -> list[tuple[int, int]]:
    """In one transaction: new horses, goals and readings. By file how many rows were kept and how many were here."""
    counts = [[0, 0] for _ in tables]
    out = [{line for line, _ in each} for each in wrong]
    rows = [(place, row) for place, table in enumerate(tables) for row in table.rows]
    with open_book.book.writing() as writer:
        pen = _Pen(open_book, writer)
        for place, row in sorted(rows, key=lambda item: item[1].day):
            if row.line not in out[place]:
                counts[place][0 if pen.keep(row) else 1] += 1
            elif is_pair(row.foot) and row.goal:
                pen.set_goal(row)
    return [(kept, known) for kept, known in counts]


class _Pen:
    """Writes rows into an open transaction and knows what is there already."""

    def __init__(self, open_book: OpenBook, writer: Writer) -> None:
        self._open_book = open_book
        self._writer = writer
        self._horses = {kept.name.casefold(): kept for kept in open_book.book.every(Horse)}
        self._here: dict[UUID, set[tuple[object, ...]]] = {}
        self._goals: dict[UUID, set[tuple[object, ...]]] = {}
        self._visits: dict[UUID, dict[date, UUID]] = {}

    def keep(self, row: TypedReading) -> bool:
        """False where the very same reading was here already."""
        horse = self._horse(row.horse)
        if row.goal:
            self.set_goal(row)
        hand = _hand(self._open_book, row, horse, self._visits[horse].get(row.day))
        if _same(hand) in self._here[horse]:
            return False
        self._writer.add(hand)
        self._here[horse].add(_same(hand))
        return True

    def set_goal(self, row: TypedReading) -> None:
        from hoofbook.records.keys import new_key

        horse = self._horse(row.horse)
        foot, less = (row.foot.foot, row.foot.less) if isinstance(row.foot, Pair) else (row.foot, None)
        definition = by_hand(row.definition)
        if (foot, less, row.measure, definition) in self._goals[horse]:
            return
        self._goals[horse].add((foot, less, row.measure, definition))
        wanted = row.wanted or Wanted.KEEP
        self._writer.add(Goal(new_key(), horse, foot, row.measure, definition, wanted, row.day, less=less))

    def _horse(self, name: str) -> UUID:
        """Its key; a horse that is new is made."""
        from hoofbook.records.keys import new_key

        book = self._open_book.book
        known = self._horses.get(name.casefold())
        if known is None:
            known = self._horses[name.casefold()] = self._writer.add(Horse(new_key(), name))
        key = known.key
        if key not in self._here:
            self._here[key] = {_same(each) for each in book.every(HandMeasure, horse=key)}
            self._goals[key] = {(g.foot, g.less, g.measure, g.definition) for g in book.every(Goal, horse=key)}
            self._visits[key] = {visit.day: visit.key for visit in book.every(Visit, horse=key)}
        return key


def _hand(open_book: OpenBook, row: TypedReading, horse: UUID, visit: UUID | None) -> HandMeasure:
    from hoofbook.records.keys import new_key

    assert isinstance(row.foot, Foot)
    return HandMeasure(
        new_key(),
        horse,
        visit,
        row.day,
        row.foot,
        row.moment,
        row.measure,
        by_hand(row.definition),
        row.value,
        row.u,
        open_book.person,
        days_since_trim=row.days_since_trim,
    )


def _same(hand: HandMeasure) -> tuple[object, ...]:
    return hand.day, hand.foot, hand.moment, hand.measure, hand.definition, hand.value


def write_readings(report: ProgressReport, target: Path) -> int:
    """Writes all readings of a report as a readings file; returns how many rows.

    `u` is each reading's whole standard uncertainty: what two readings share is not told in a table.

    Raises:
        Refused: `no_readings_to_write`, a folder that cannot be written.
    """
    rows = [
        reading_row(told.horse, reading, is_goal=told.is_goal, wanted=told.wanted)
        for told in report.told
        for reading in told.progress.tested + told.progress.untested
    ]
    if not rows:
        raise Refused(Refusal("no_readings_to_write", {}))
    write_atomic(target, csv_bytes(COLUMNS, rows))
    return len(rows)
