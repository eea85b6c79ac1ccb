"""One book: a folder with its database, its photos, its previews and its backups."""

from __future__ import annotations

import contextlib
import threading
from collections.abc import Callable, Iterator
from pathlib import Path
from types import TracebackType
from typing import Any

from sqlalchemy import Connection, insert

from hoofbook.housekeeping import files
from hoofbook.housekeeping.clock import Clock
from hoofbook.records import migrating
from hoofbook.records.columns import Base
from hoofbook.records.connecting import WRITING, book_errors, engine_for_file, open_file, settle
from hoofbook.records.in_use import BookCopy, Sign, other_copies, read_sign, refusal_elsewhere
from hoofbook.records.keys import new_key
from hoofbook.records.opening import APPLICATION_ID, Opened, can_write, open_for_looking, open_for_writing
from hoofbook.records.reading import Reading
from hoofbook.records.tables import VERSION, BookTable
from hoofbook.records.writing import Writer
from hoofbook.terms.refusal import Refusal, Refused

DATABASE = "book.sqlite"
FOLDERS = ("photos", "previews", "backups")

_PATIENCE_S = 5.0


class Book(Reading):
    """An open book. Reading may happen in several threads at once; writing is one transaction at a time.

    `read_only_because` says why a book was opened for looking only: `folder_read_only`, `book_in_use` (another
    machine has it open) or `book_left_open` (another machine had it open and did not close it); None otherwise.
    """

    def __init__(self, folder: Path, opened: Opened, clock: Clock, person: str, because: Refusal | None) -> None:
        self.folder = folder
        self.file = folder / DATABASE
        self.person = person
        self.read_only_because = because
        self._opened = opened
        self._clock = clock
        self._sign = Sign(folder, clock)
        self._writing = threading.Lock()
        self._writer_thread: int | None = None
        self._reading_turn = threading.RLock()
        self._reader: Connection | None = None
        self._depth = 0

    @property
    def read_only(self) -> bool:
        return self.read_only_because is not None

    @classmethod
    def make(cls, folder: Path, *, clock: Clock, person: str) -> Book:
        """Makes a new book in `folder` and opens it. The database appears whole or not at all.

        Refused: `book_exists`, `folder_read_only`, `disk_full`.
        """
        file = folder / DATABASE
        if file.exists():
            raise Refused(Refusal("book_exists", files.facts_of(file)))
        with files.world_errors(file):
            for name in FOLDERS:
                (folder / name).mkdir(parents=True, exist_ok=True)
        temp = files.temporary_beside(file)
        try:
            with book_errors(file):
                _make_database(temp, clock, person)
            files.place(temp, file)
        except BaseException:
            files.remove(temp)
            raise
        return cls.open(folder, clock=clock, person=person)

    @classmethod
    def open(
        cls,
        folder: Path,
        *,
        clock: Clock,
        person: str,
        take_over: bool = False,
        writable: Callable[[Path], bool] = can_write,
    ) -> Book:
        """Opens the book in `folder`; for looking only where it cannot be written or another machine has it.

        `take_over`: the person says that no other machine writes to it. `writable` answers whether a database file
        and its folder can be written to. Refused: `book_missing`, `not_a_book`, `book_newer`, `book_damaged`,
        `book_busy`; and, when an earlier version is brought up, `disk_full`.
        """
        file = folder / DATABASE
        if not file.is_file():
            raise Refused(Refusal("book_missing", files.facts_of(file)))
        because = None if writable(file) else Refusal("folder_read_only", files.facts_of(file))
        if because is None and not take_over:
            because = refusal_elsewhere(read_sign(folder), clock.now(), Sign(folder, clock).machine)
        with book_errors(file):
            opened = open_for_writing(file, clock) if because is None else open_for_looking(file)
        book = cls(folder, opened, clock, person, because)
        if because is None:
            book._sign.renew(take_over=take_over)
        return book

    def close(self) -> None:
        """Lets go of the file; a closed book is one database file and its photos."""
        with self._reading_turn:
            if self._reader is not None:
                self._reader.close()
                self._reader = None
            self._opened.close()
        if not self.read_only:
            self._sign.take_away()

    def renew_sign(self) -> None:
        """Says to other machines that the book is still open; a window calls it once a minute."""
        if not self.read_only:
            self._sign.renew()

    def other_copies(self) -> tuple[BookCopy, ...]:
        """Databases beside the book's own, as sync programs leave them after a conflict."""
        return other_copies(self.file)

    def __enter__(self) -> Book:
        return self

    def __exit__(
        self, kind: type[BaseException] | None, error: BaseException | None, trace: TracebackType | None
    ) -> None:
        self.close()

    @contextlib.contextmanager
    def writing(self) -> Iterator[Writer]:
        """One transaction. An error inside leaves the book as it was.

        Refused: what `read_only_because` says, `book_busy`, `disk_full`, and what `Writer` refuses. RuntimeError
        where a thread that writes already begins a second transaction.
        """
        if self.read_only_because is not None:
            raise Refused(self.read_only_because)
        if self._writer_thread == threading.get_ident():
            raise RuntimeError("this thread is writing to the book already")
        if not self._writing.acquire(timeout=_PATIENCE_S):
            raise Refused(Refusal("book_busy", files.facts_of(self.file)))
        self._writer_thread = threading.get_ident()
        try:
            with book_errors(self.file), self._opened.engine.connect() as plain:
                connection = plain.execution_options(**{WRITING: True})
                with connection.begin():
                    writer = Writer(self.file, connection, self.person, self._clock.now())
                    yield writer
                    writer.count_write()
            self._sign.renew()
        finally:
            self._writer_thread = None
            self._writing.release()

    @contextlib.contextmanager
    def _connected(self) -> Iterator[Connection]:
        """The one connection that reads, kept open; threads take turns, as no question takes long."""
        with self._reading_turn:
            if self._reader is None:
                self._reader = self._opened.engine.connect()
            self._depth += 1
            try:
                yield self._reader
            finally:
                self._depth -= 1
                if self._depth == 0:
                    self._reader.rollback()  # lets writers in; the next question sees what they wrote


def _make_database(file: Path, clock: Clock, person: str) -> None:
    plain = open_file(file, mode="rwc")
    settle(plain).execute(f"PRAGMA application_id={APPLICATION_ID}")
    plain.close()
    engine = engine_for_file(file, read_only=False)
    table: Any = BookTable.__table__
    try:
        with engine.begin() as connection:
            Base.metadata.create_all(connection)
            connection.execute(insert(VERSION).values(version_num=migrating.SCHEMA))
            now = clock.now()
            row = {"key": new_key(), "made_at": now, "writes": 0, "changed_at": now, "changed_by": person}
            connection.execute(insert(table).values(row))
    finally:
        engine.dispose()
