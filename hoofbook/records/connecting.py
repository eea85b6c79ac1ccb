"""How the book's database is opened, and what its errors mean to a person.

One file, rollback journal, every commit on the disk (`journal_mode=DELETE, synchronous=EXTRA`), foreign keys on. The
driver begins no transaction by itself (`isolation_level=None`); ours begin with BEGIN for reading and BEGIN IMMEDIATE
for writing, so that a writer waits at the start (5 s) and never half way.
"""

from __future__ import annotations

import contextlib
import sqlite3
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

from sqlalchemy import Connection, Engine, create_engine, event
from sqlalchemy.exc import DBAPIError
from sqlalchemy.pool import QueuePool, StaticPool

from hoofbook.housekeeping.files import facts_of
from hoofbook.terms.refusal import Refusal, Refused

BUSY_TIMEOUT_MS = 5000
WRITING = "hoofbook_writing"

_CODES = {
    sqlite3.SQLITE_BUSY: "book_busy",
    sqlite3.SQLITE_LOCKED: "book_busy",
    sqlite3.SQLITE_READONLY: "folder_read_only",
    sqlite3.SQLITE_PERM: "folder_read_only",
    sqlite3.SQLITE_IOERR: "disk_failed",
    sqlite3.SQLITE_CORRUPT: "book_damaged",
    sqlite3.SQLITE_NOTADB: "book_damaged",
    sqlite3.SQLITE_FULL: "disk_full",
    sqlite3.SQLITE_CANTOPEN: "book_missing",
}


def refusal_of(error: sqlite3.Error, file: Path) -> Refusal | None:
    """What a person is told of an error of the world; None where it is a fault of ours."""
    code = _CODES.get(getattr(error, "sqlite_errorcode", 0) & 0xFF)
    if code is None:
        return None
    facts = facts_of(file)
    if code == "disk_failed":
        facts["reason"] = str(error)
    return Refusal(code, facts)


@contextlib.contextmanager
def book_errors(file: Path) -> Iterator[None]:
    """Turns errors of the world (full, busy, damaged) into `Refused`; faults of ours pass through."""
    try:
        yield
    except DBAPIError as error:
        refusal = refusal_of(error.orig, file) if isinstance(error.orig, sqlite3.Error) else None
        if refusal is None:
            raise
        raise Refused(refusal) from error
    except sqlite3.Error as error:
        refusal = refusal_of(error, file)
        if refusal is None:
            raise
        raise Refused(refusal) from error


def open_file(file: Path, *, mode: str = "rw", immutable: bool = False) -> sqlite3.Connection:
    """A plain connection to an existing file. `mode` "rw" or "ro" (or "rwc" to make it)."""
    address = f"{_address(file)}?mode={mode}{'&immutable=1' if immutable else ''}"
    connection = sqlite3.connect(
        address, uri=True, isolation_level=None, check_same_thread=False, timeout=BUSY_TIMEOUT_MS / 1000
    )
    connection.execute("PRAGMA foreign_keys=ON")
    connection.execute(f"PRAGMA busy_timeout={BUSY_TIMEOUT_MS}")
    if mode == "ro":
        connection.execute("PRAGMA query_only=ON")
    return connection


def _address(file: Path) -> str:
    """The file as SQLite wants it in a URI: no authority, so a share of Windows gets two slashes more."""
    address = file.resolve().as_uri()
    return address if address.startswith("file:///") else address.replace("file://", "file:////", 1)


def settle(connection: sqlite3.Connection) -> sqlite3.Connection:
    """How a book that may be written is kept: no side files when closed, and nothing lost when the power goes."""
    connection.execute("PRAGMA journal_mode=DELETE")
    connection.execute("PRAGMA synchronous=EXTRA")
    return connection


def engine_for_file(file: Path, *, read_only: bool, immutable: bool = False) -> Engine:
    """An engine whose connections are opened and settled as above; one per thread that works at the same time."""

    def connect() -> sqlite3.Connection:
        return open_file(file, mode="ro", immutable=immutable) if read_only else settle(open_file(file))

    return _engine(connect, QueuePool)


def engine_for_connection(connection: sqlite3.Connection) -> Engine:
    """An engine over one connection that is open already (a book in memory)."""
    return _engine(lambda: connection, StaticPool)


def _engine(connect: Callable[[], sqlite3.Connection], pool: Any) -> Engine:
    engine = create_engine("sqlite://", creator=connect, poolclass=pool)

    @event.listens_for(engine, "begin")
    def begin(connection: Connection) -> None:
        writing = connection.get_execution_options().get(WRITING, False)
        plain = connection.connection.dbapi_connection
        assert isinstance(plain, sqlite3.Connection)
        plain.execute("BEGIN IMMEDIATE" if writing else "BEGIN")

    return engine
