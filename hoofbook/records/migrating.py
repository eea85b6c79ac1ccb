"""Bringing a book of an earlier version up, one step at a time, without losing a row.

Each step is one transaction of its own after a backup. Foreign keys are off before the transaction begins, because
SQLite ignores the switch inside one, and a table that is made anew would otherwise take its child rows along; every
reference is checked before the commit. Alembic is imported only here, and only when there is a step to take.
"""

from __future__ import annotations

import sqlite3
from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING

from hoofbook.housekeeping.files import facts_of
from hoofbook.records.connecting import WRITING, engine_for_connection
from hoofbook.terms.refusal import Refusal, Refused

if TYPE_CHECKING:
    from alembic.config import Config

STEPS = Path(__file__).parent / "steps"
SCHEMA = "0003"
"""The newest step; a book with a smaller number is brought up when it is opened."""


def version_of(connection: sqlite3.Connection) -> str:
    """The number of the last step taken in this book."""
    return str(connection.execute("SELECT version_num FROM schema_version").fetchone()[0])


def bring_up(
    connection: sqlite3.Connection, file: Path, back_up: Callable[[str], object], *, steps: Path, to: str
) -> None:
    """Takes every step that is missing; `back_up` is called with the number of the step before each.

    The book is then as the last whole step left it, whatever happens; `connection` has foreign keys on again.
    Refused: `book_damaged` (naming `file`) where a reference leads nowhere afterwards, and what `back_up` refuses.
    """
    for number in _missing(version_of(connection), steps, to):
        back_up(number)
        connection.execute("PRAGMA foreign_keys=OFF")
        try:
            _take(connection, file, number, steps)
        finally:
            connection.execute("PRAGMA foreign_keys=ON")


def _missing(found: str, steps: Path, to: str) -> list[str]:
    from alembic.script import ScriptDirectory

    script = ScriptDirectory.from_config(_configuration(steps))
    return [step.revision for step in reversed(list(script.iterate_revisions(to, found)))]


def _take(plain: sqlite3.Connection, file: Path, number: str, steps: Path) -> None:
    from alembic import command

    configuration = _configuration(steps)
    engine = engine_for_connection(plain).execution_options(**{WRITING: True})
    with engine.begin() as connection:
        configuration.attributes["connection"] = connection
        command.upgrade(configuration, number)
        broken = connection.exec_driver_sql("PRAGMA foreign_key_check").fetchall()
        if broken:
            raise Refused(Refusal("book_damaged", facts_of(file)))


def _configuration(steps: Path) -> Config:
    from alembic.config import Config

    configuration = Config()
    configuration.set_main_option("script_location", str(steps).replace("%", "%%"))
    configuration.set_main_option("path_separator", "os")
    return configuration
