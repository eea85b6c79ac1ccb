"""One book: a folder with its database, its photos, its previews and its backups."""

from __future__ import annotations

import contextlib
import threading
from collections.abc import Callable, Iterator
from pathlib import Path
from types import TracebackType
from typing import Any

from sqlalchemy import Connection, Engine, insert

from hoofbook.housekeeping import files
from hoofbook.housekeeping.clock import Clock
from hoofbook.records.columns import Base
from hoofbook.records.connecting import WRITING, book_errors, engine_for_file, open_file, settle
from hoofbook.records.keys import new_key
from hoofbook.records.reading import Reading
from hoofbook.records.tables import VERSION, BookTable
from hoofbook.records.writing import Writer
from hoofbook.terms.refusal import Refusal, Refused

DATABASE = "book.sqlite"
FOLDERS = ("photos", "previews", "backups")
APPLICATION_ID = 0x486F6F66  # says in the file's header whose file it is (SQLite "application_id")
SCHEMA = "0001"
"""The newest step of `hoofbook/records/steps`; a book with a smaller number is brought up when it is opened."""

_PATIENCE_S = 5.0


class Book(Reading):
    """An open book. Reading may happen in several threads at once; writing is one transaction at a time."""

    def __init__(self, folder: Path, engine: Engine, clock: Clock, person: str, *, read_only: bool) -> None:
        self.folder = folder
        self.file = folder / DATABASE
        self.read_only = read_only
        self.person = person
        self._engine = engine
        self._clock = clock
        self._writing = threading.Lock()
        self._writer_thread: int | None = None

    @classmethod
    def make(cls, folder: Path, *, clock: Clock, person: str) -> Book:
        """Makes a new book in `folder` and opens it. The database appears whole or not at all.

        Refused: `book_exists`, `folder_read_only`, `disk_full`.
        """
        file = folder / DATABASE
        if file.exists():
            raise Refused(Refusal("book_exists", {"folder": str(folder)}))
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
    def open(cls, folder: Path, *, clock: Clock, person: str, writable: Callable[[Path], bool] | None = None) -> Book:
        """Opens the book in `folder`, for looking only where nothing can be written there.

        `writable` answers whether a folder can be written to (default: by trying). Refused: `book_missing`,
        `not_a_book`, `book_newer`, `book_damaged`, `book_busy`.
        """
        file = folder / DATABASE
        if not file.is_file():
            raise Refused(Refusal("book_missing", {"folder": str(folder)}))
        read_only = not (writable or _is_writable)(file)
        with book_errors(file):
            _check_version(file)
            engine = engine_for_file(file, read_only=read_only)
        return cls(folder, engine, clock, person, read_only=read_only)

    def close(self) -> None:
        """Lets go of the file; a closed book is one database file and its photos."""
        self._engine.dispose()

    def __enter__(self) -> Book:
        return self

    def __exit__(
        self, kind: type[BaseException] | None, error: BaseException | None, trace: TracebackType | None
    ) -> None:
        self.close()

    @contextlib.contextmanager
    def writing(self) -> Iterator[Writer]:
        """One transaction. An error inside leaves the book as it was.

        Refused: `folder_read_only`, `book_busy`, `disk_full`, and what `Writer` refuses. RuntimeError where a thread
        that writes already begins a second transaction.
        """
        if self.read_only:
            raise Refused(Refusal("folder_read_only", {"file": DATABASE, "folder": str(self.folder)}))
        if self._writer_thread == threading.get_ident():
            raise RuntimeError("this thread is writing to the book already")
        if not self._writing.acquire(timeout=_PATIENCE_S):
            raise Refused(Refusal("book_busy", {"file": DATABASE, "folder": str(self.folder)}))
        self._writer_thread = threading.get_ident()
        try:
            with book_errors(self.file), self._engine.connect() as plain:
                connection = plain.execution_options(**{WRITING: True})
                with connection.begin():
                    writer = Writer(self.file, connection, self.person, self._clock.now())
                    yield writer
                    writer.count_write()
        finally:
            self._writer_thread = None
            self._writing.release()

    def _connected(self) -> contextlib.AbstractContextManager[Connection]:
        return self._engine.connect()


def _is_writable(file: Path) -> bool:
    try:
        with file.open("r+b"):
            pass
    except OSError:
        return False
    return files.is_writable_folder(file.parent)


def _make_database(file: Path, clock: Clock, person: str) -> None:
    plain = open_file(file, mode="rwc")
    settle(plain).execute(f"PRAGMA application_id={APPLICATION_ID}")
    plain.close()
    engine = engine_for_file(file, read_only=False)
    table: Any = BookTable.__table__
    try:
        with engine.begin() as connection:
            Base.metadata.create_all(connection)
            connection.execute(insert(VERSION).values(version_num=SCHEMA))
            now = clock.now()
            row = {"key": new_key(), "made_at": now, "writes": 0, "changed_at": now, "changed_by": person}
            connection.execute(insert(table).values(row))
    finally:
        engine.dispose()


def _check_version(file: Path) -> None:
    plain = open_file(file, mode="ro")
    try:
        if plain.execute("PRAGMA application_id").fetchone()[0] != APPLICATION_ID:
            raise Refused(Refusal("not_a_book", {"file": file.name, "folder": str(file.parent)}))
        found = plain.execute("SELECT version_num FROM schema_version").fetchone()[0]
    finally:
        plain.close()
    if found > SCHEMA:
        raise Refused(Refusal("book_newer", {"folder": str(file.parent), "found": found, "known": SCHEMA}))
