"""Whole, checked copies of the database, made while it is open."""

from __future__ import annotations

import sqlite3
from contextlib import closing
from pathlib import Path

from hoofbook.housekeeping import files
from hoofbook.records.connecting import book_errors
from hoofbook.terms.refusal import Refusal, Refused


def copy_database(source: sqlite3.Connection, target: Path) -> Path:
    """Copies the database to `target`, checks the copy, and only then gives it its name.

    Refused: `disk_full`, `folder_read_only`, `book_damaged` (the copy, hence the book, is not whole).
    """
    with files.world_errors(target):
        target.parent.mkdir(parents=True, exist_ok=True)
    temp = files.temporary_beside(target)
    try:
        with book_errors(target), closing(sqlite3.connect(temp)) as copy:
            source.backup(copy)
            whole = copy.execute("PRAGMA integrity_check").fetchone()[0] == "ok"
        if not whole:
            raise Refused(Refusal("book_damaged", files.facts_of(target)))
        files.settle_on_disk(temp)
        files.place(temp, target)
    except BaseException:
        files.remove(temp)
        raise
    return target
