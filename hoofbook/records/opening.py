"""Opening the database of a book: as it is, brought up from an earlier version, or for looking only."""

from __future__ import annotations

import shutil
import sqlite3
import struct
import tempfile
from collections.abc import Callable
from contextlib import closing
from dataclasses import dataclass
from pathlib import Path

from sqlalchemy import Engine

from hoofbook.housekeeping import files
from hoofbook.housekeeping.clock import Clock
from hoofbook.records import migrating
from hoofbook.records.backups import copy_database
from hoofbook.records.connecting import engine_for_connection, engine_for_file, open_file, settle
from hoofbook.terms.refusal import Refusal, Refused

APPLICATION_ID = 0x486F6F66  # says in the file's header whose file it is (SQLite's "application_id")
_HEADER = 100
_MAGIC = b"SQLite format 3\x00"


@dataclass(frozen=True, slots=True)
class Opened:
    """A database that is open, and how it is let go of."""

    engine: Engine
    close: Callable[[], None]


def can_write(file: Path) -> bool:
    """True where the database and its folder can really be written to."""
    try:
        with file.open("r+b"):
            pass
    except OSError:
        return False
    return files.is_writable_folder(file.parent)


def open_for_writing(file: Path, clock: Clock) -> Opened:
    """Refused: `book_damaged`, `not_a_book`, `book_newer`, `book_busy`, and `disk_full` while a backup is made."""
    _check_whole(file)
    with closing(open_file(file)) as connection:
        if _check_version(connection, file) != migrating.SCHEMA:
            settle(connection)
            _bring_up(connection, file, lambda number: _back_up(connection, file, number, clock))
    engine = engine_for_file(file, read_only=False)
    return Opened(engine, engine.dispose)


def open_for_looking(file: Path) -> Opened:
    """Opens without writing anything beside the book.

    A transaction that a crash cut short is undone in a copy elsewhere; an earlier version is brought up in memory.
    """
    _check_whole(file)
    immutable = not _opens(file)
    if immutable and _has_journal(file):
        return _open_copy(file)
    with closing(open_file(file, mode="ro", immutable=immutable)) as connection:
        if _check_version(connection, file) != migrating.SCHEMA:
            return _open_in_memory(connection, file)
    engine = engine_for_file(file, read_only=True, immutable=immutable)
    return Opened(engine, engine.dispose)


def _opens(file: Path) -> bool:
    """False where the file system gives no locks, or the file is such that SQLite wants to write beside it."""
    try:
        with closing(open_file(file, mode="ro")) as connection:
            connection.execute("SELECT count(*) FROM sqlite_master").fetchone()
    except sqlite3.OperationalError:
        return False
    except sqlite3.DatabaseError:
        return True  # not to be cured by another way of opening; the next look tells
    return True


def _open_copy(file: Path) -> Opened:
    folder = Path(tempfile.mkdtemp(prefix="hoofbook-"))
    try:
        with files.world_errors(file):
            for source in (file, _journal(file)):
                shutil.copyfile(source, folder / source.name)
        copy = folder / file.name
        with closing(open_file(copy)) as connection:
            connection.execute("SELECT count(*) FROM sqlite_master").fetchone()  # undoes what was cut short
        opened = open_for_looking(copy)
    except BaseException:
        shutil.rmtree(folder, ignore_errors=True)
        raise

    def close() -> None:
        opened.close()
        shutil.rmtree(folder, ignore_errors=True)

    return Opened(opened.engine, close)


def _open_in_memory(source: sqlite3.Connection, file: Path) -> Opened:
    memory = sqlite3.connect(":memory:", isolation_level=None, check_same_thread=False)
    source.backup(memory)
    _bring_up(memory, file, lambda number: None)
    memory.execute("PRAGMA query_only=ON")
    engine = engine_for_connection(memory)

    def close() -> None:
        engine.dispose()
        memory.close()

    return Opened(engine, close)


def _bring_up(connection: sqlite3.Connection, file: Path, back_up: Callable[[str], object]) -> None:
    migrating.bring_up(connection, file, back_up, steps=migrating.STEPS, to=migrating.SCHEMA)


def _back_up(connection: sqlite3.Connection, file: Path, number: str, clock: Clock) -> None:
    name = f"before-step-{number}-{clock.now():%Y%m%d-%H%M%S}.sqlite"
    copy_database(connection, file.parent / "backups" / name)


def _check_whole(file: Path) -> None:
    """Refuses a file that is shorter than its own header says, and one that is no database at all."""
    with files.world_errors(file, reading=True), file.open("rb") as reading:
        head = reading.read(_HEADER)
    facts = files.facts_of(file)
    if len(head) < _HEADER or not head.startswith(_MAGIC):
        raise Refused(Refusal("book_damaged", facts))
    page, pages = struct.unpack(">H", head[16:18])[0], struct.unpack(">I", head[28:32])[0]
    if not _has_journal(file) and file.stat().st_size < pages * (65536 if page == 1 else page):
        raise Refused(Refusal("book_damaged", facts))


def _check_version(connection: sqlite3.Connection, file: Path) -> str:
    facts = files.facts_of(file)
    if connection.execute("PRAGMA application_id").fetchone()[0] != APPLICATION_ID:
        raise Refused(Refusal("not_a_book", facts))
    found = migrating.version_of(connection)
    if found > migrating.SCHEMA:
        raise Refused(Refusal("book_newer", {**facts, "found": found, "known": migrating.SCHEMA}))
    return found


def _journal(file: Path) -> Path:
    return file.with_name(f"{file.name}-journal")


def _has_journal(file: Path) -> bool:
    journal = _journal(file)
    return journal.is_file() and journal.stat().st_size > 0
