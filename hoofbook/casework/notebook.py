"""Numbers from a notebook: a readings file taken into a book, and a book's readings written as such a file.

What is typed is kept as read by hand and never stands on one line with readings from photos: a measure that has no
definition of its own is kept under "hand gauge".
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from pathlib import Path
from uuid import UUID

from hoofbook.casework.open_book import OpenBook
from hoofbook.casework.progress_text import ProgressReport, Told, typed_reading
from hoofbook.casework.readings_file import COLUMNS, TypedReading, read_readings_file
from hoofbook.housekeeping.files import write_atomic
from hoofbook.papers.safe_csv import csv_bytes
from hoofbook.progress.derived import contradictions
from hoofbook.progress.series import Reading
from hoofbook.terms.feet import Foot, Pair, Place
from hoofbook.terms.quantity import MEASURES, Definition
from hoofbook.terms.refusal import Refusal, Refused
from hoofbook.terms.subjects import Goal, HandMeasure, Horse, Visit, Wanted
from hoofbook.wording.notebook import row_refused, taken_words

ALL_CODES = ("pair_rows_not_kept", "no_readings_to_write")


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
    """Takes a readings file into the book in one go; nothing there is changed.

    Horses and goals that are new are made (a goal is set on the day of its first row, so that its rows are tested).

    Raises:
        Refused: a faulty file (as `read_readings_file`), a book that cannot be written.
    """
    rows = read_readings_file(path)
    wrong = {
        reading.key: refusal
        for horse in {row.horse.casefold() for row in rows}  # one horse's parts say nothing of another's
        for reading, refusal in contradictions([typed_reading(r) for r in rows if r.horse.casefold() == horse])
    }
    refused = [(row.line, wrong[f"line {row.line}"]) for row in rows if f"line {row.line}" in wrong]
    refused += [
        (row.line, Refusal("pair_rows_not_kept", {"place": row.foot.value})) for row in rows if _is_pair(row.foot)
    ]
    out = {line for line, _ in refused}
    sound = [row for row in rows if row.line not in out]
    kept, known = _write(open_book, sound)
    return Taken(path.name, kept, known, tuple(sorted(refused, key=lambda item: item[0])))


def _is_pair(place: Place) -> bool:
    return isinstance(place, Pair)


def by_hand(definition: Definition) -> Definition:
    """Under which definition a typed number is kept."""
    return Definition.HAND_GAUGE if definition is Definition.ONE else definition


def _write(open_book: OpenBook, rows: Iterable[TypedReading]) -> tuple[int, int]:
    """In one transaction: new horses, goals and readings. Returns how many rows were kept and how many were here."""
    from hoofbook.records.keys import new_key

    book, new, known = open_book.book, 0, 0
    horses: dict[str, Horse] = {kept.name.casefold(): kept for kept in book.every(Horse)}
    here: dict[UUID, set[tuple[object, ...]]] = {}
    goals: dict[UUID, set[tuple[object, ...]]] = {}
    visits: dict[UUID, dict[object, UUID]] = {}
    with book.writing() as writer:
        for row in sorted(rows, key=lambda item: item.day):
            horse = horses.get(row.horse.casefold())
            if horse is None:
                horse = horses[row.horse.casefold()] = writer.add(Horse(new_key(), row.horse))
            if horse.key not in here:
                here[horse.key] = {_same(each) for each in book.every(HandMeasure, horse=horse.key)}
                goals[horse.key] = {(g.foot, g.measure, g.definition) for g in book.every(Goal, horse=horse.key)}
                visits[horse.key] = {visit.day: visit.key for visit in book.every(Visit, horse=horse.key)}
            hand = _hand(open_book, row, horse.key, visits[horse.key].get(row.day))
            if _same(hand) in here[horse.key]:
                known += 1
                continue
            writer.add(hand)
            here[horse.key].add(_same(hand))
            new += 1
            where = (hand.foot, hand.measure, hand.definition)
            if row.goal and where not in goals[horse.key]:
                goals[horse.key].add(where)
                writer.add(Goal(new_key(), horse.key, *where, row.wanted or Wanted.KEEP, row.day))
    return new, known


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
    )


def _same(hand: HandMeasure) -> tuple[object, ...]:
    return hand.day, hand.foot, hand.moment, hand.measure, hand.definition, hand.value


def write_readings(report: ProgressReport, target: Path) -> int:
    """Writes all readings of a report as a readings file; returns how many rows.

    `u` is each reading's whole standard uncertainty: what two readings share is not told in a table.

    Raises:
        Refused: `no_readings_to_write`, a folder that cannot be written.
    """
    rows = [_row(told, reading) for told in report.told for reading in told.progress.tested + told.progress.untested]
    if not rows:
        raise Refused(Refusal("no_readings_to_write", {}))
    write_atomic(target, csv_bytes(COLUMNS, rows))
    return len(rows)


def _row(told: Told, reading: Reading) -> tuple[str, ...]:
    series = told.progress.series
    return (
        told.horse,
        series.foot.value if series.foot else "",
        series.measure,
        series.definition.value,
        reading.day.isoformat(),
        reading.moment.value,
        "" if reading.days_since_trim is None else str(reading.days_since_trim),
        repr(reading.value),
        MEASURES[series.measure].value,
        "" if reading.u is None else repr(reading.u),
        "yes" if told.is_goal else "no",
        told.wanted.value if told.wanted else "",
    )
