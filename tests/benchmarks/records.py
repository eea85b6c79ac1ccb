"""Lists, histories and saving against raw sqlite3 running the same statements on the same book, in one run.

    python tests/benchmarks/records.py

A generated book of 300 horses, 12,000 visits and 36,000 photos (one horse with 300). The floor fetches plain tuples;
ours returns typed, frozen values. Saving is compared in wall time, because it is mostly waiting for the disk.
Exit code 1 where a ratio is above its goal.
"""

from __future__ import annotations

import sqlite3
import sys
import tempfile
import time
from collections.abc import Callable
from datetime import UTC, date, datetime, timedelta
from pathlib import Path
from uuid import UUID

from sqlalchemy import event

from hoofbook.housekeeping.clock import FixedClock
from hoofbook.records.book import DATABASE, Book
from hoofbook.records.keys import new_key
from hoofbook.terms.feet import Foot
from hoofbook.terms.marks import Mark, Marking
from hoofbook.terms.subjects import FootWork, Horse, MarkingPass, Person, Photo, Visit, Work, Yard
from hoofbook.terms.views import Moment, View
from tests.benchmarks.timing import race

HORSES, VISITS, PHOTOS, PHOTOS_OF_ONE = 300, 40, 120, 300
NOON = datetime(2026, 3, 2, 12, tzinfo=UTC)
GOALS = {"list": 1.5, "history": 2.0, "save a visit": 2.0}


def build(folder: Path) -> tuple[Book, UUID]:
    book = Book.make(folder, clock=FixedClock(NOON), person="Ann")
    people = [Person(new_key(), f"Owner {n}") for n in range(60)]
    yards = [Yard(new_key(), f"Yard {n}") for n in range(20)]
    horses = [
        Horse(new_key(), f"Horse {n}", owner=people[n % 60].key, yard=yards[n % 20].key, next_due=date(2026, 4, 1))
        for n in range(HORSES)
    ]
    with book.writing() as writer:
        writer.add_all([*people, *yards, *horses])
        for number, horse in enumerate(horses):
            visits = [Visit(new_key(), horse.key, date(2021, 1, 1) + timedelta(weeks=6 * n)) for n in range(VISITS)]
            writer.add_all(visits)
            writer.add_all(FootWork(new_key(), v.key, foot, work=Work.TRIM) for v in visits[:10] for foot in Foot)
            photos = [photo(horse, visits[n % VISITS], n) for n in range(PHOTOS_OF_ONE if number == 150 else PHOTOS)]
            writer.add_all(photos)
            if number == 150:
                writer.add_all(marking_pass(taken) for taken in photos)
    return book, horses[150].key


def photo(horse: Horse, visit: Visit, number: int) -> Photo:
    filed = {"visit": visit.key, "foot": list(Foot)[number % 4], "view": View.SOLAR, "moment": Moment.AFTER_TRIM}
    taken = NOON + timedelta(minutes=number)
    return Photo(new_key(), horse.key, f"{number:064x}", ".jpg", 4032, 3024, **filed, taken_at=taken, added_at=taken)


def marking_pass(of: Photo) -> MarkingPass:
    marks = {f"rim_{n:02}": Mark(1000 / 3 + n, 200 / 7 + n, zoom=2.0) for n in range(1, 14)}
    return MarkingPass(new_key(), of.key, "Ann", NOON, Marking(marks))


def same_statements(book: Book, ask: Callable[[], object]) -> Callable[[], object]:
    """What `ask` sends to the database, sent by sqlite3 alone."""
    sent: list[tuple[str, tuple[object, ...]]] = []

    def note(connection: object, cursor: object, text: str, values: tuple[object, ...], *rest: object) -> None:
        if text != "BEGIN":  # sqlite3 alone needs none to read
            sent.append((text, values))

    engine = book._opened.engine
    event.listen(engine, "before_cursor_execute", note)
    ask()
    event.remove(engine, "before_cursor_execute", note)
    plain = sqlite3.connect(book.folder / DATABASE, isolation_level=None)

    def run() -> object:
        return [plain.execute(text, values).fetchall() for text, values in sent]

    return run


def save_with(book: Book, horse: UUID) -> Callable[[], object]:
    def run() -> None:
        visit = Visit(new_key(), horse, date(2026, 3, 2))
        owner = book_horse
        with book.writing() as writer:
            writer.add(visit)
            writer.add_all(photo(owner, visit, n) for n in range(8))

    book_horse = book.get(Horse, horse)
    return run


def save_plain(book: Book, horse: UUID) -> Callable[[], object]:
    """The rows of `save_with`, written by sqlite3 with the same pragmas, values ready made."""
    plain = sqlite3.connect(book.folder / DATABASE, isolation_level=None)
    for pragma in ("journal_mode=DELETE", "synchronous=EXTRA", "foreign_keys=ON"):
        plain.execute(f"PRAGMA {pragma}")
    columns = {name: [row[1] for row in plain.execute(f"PRAGMA table_info({name})")] for name in ("visit", "photo")}
    rows = {
        name: list(plain.execute(f"SELECT * FROM {name} WHERE horse_id = ? LIMIT 1", (horse.hex,)).fetchone())
        for name in columns
    }
    text = {name: f"INSERT INTO {name} VALUES ({','.join('?' * len(found))})" for name, found in columns.items()}

    def run() -> None:
        visit = new_key().hex
        plain.execute("BEGIN IMMEDIATE")
        plain.execute(text["visit"], [visit, *rows["visit"][1:]])
        place = columns["photo"].index("visit_id")
        for _ in range(8):
            values = [new_key().hex, *rows["photo"][1:]]
            values[place] = visit
            plain.execute(text["photo"], values)
        plain.execute("UPDATE book SET writes = writes + 1")
        plain.execute("COMMIT")

    return run


def in_turn(candidates: dict[str, Callable[[], object]], rounds: int) -> dict[str, tuple[float, float]]:
    """Like `race`, by the clock on the wall."""
    spent: dict[str, list[float]] = {name: [] for name in candidates}
    for _ in range(rounds):
        for name, run in candidates.items():
            start = time.perf_counter()
            run()
            spent[name].append((time.perf_counter() - start) * 1e3)
    return {name: (sorted(t)[len(t) // 2], sorted(t)[round(0.95 * (len(t) - 1))]) for name, t in spent.items()}


def main() -> int:
    failed = 0
    with tempfile.TemporaryDirectory() as place:
        start = time.process_time()
        book, horse = build(Path(place) / "book")
        size = (book.folder / DATABASE).stat().st_size / 1e6
        print(f"built {size:.0f} MB in {time.process_time() - start:.1f} s of CPU")

        def list_ten() -> object:
            return [book.horse_lines() for _ in range(10)]

        def history() -> object:
            return book.history(horse)

        floors = {"list": same_statements(book, list_ten), "history": same_statements(book, history)}
        ours = {"list": list_ten, "history": history}
        tables = {name: race({"floor": floors[name], "ours": ours[name]}, rounds=25) for name in ours}
        passes = race({"all marks": lambda: book.latest_passes(horse)}, rounds=5)
        tables["save a visit"] = in_turn({"floor": save_plain(book, horse), "ours": save_with(book, horse)}, 40)
        book.close()
    for name, found in tables.items():
        ratio = found["ours"][0] / found["floor"][0]
        verdict = "met" if ratio <= GOALS[name] else "NOT MET"
        failed |= ratio > GOALS[name]
        figures = "  ".join(f"{who} {median:.2f} ms (95 % {high:.2f})" for who, (median, high) in found.items())
        print(f"{name:<14}{figures}  {ratio:.2f} x, goal {GOALS[name]} x: {verdict}")
    print(f"marks of one horse, 300 passes of 13: {passes['all marks'][0]:.2f} ms")
    return int(failed)


if __name__ == "__main__":
    sys.exit(main())
