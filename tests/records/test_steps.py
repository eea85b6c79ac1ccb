"""The steps and the tables say the same."""

from __future__ import annotations

import sqlite3
from contextlib import closing
from pathlib import Path

from alembic.config import Config
from alembic.script import ScriptDirectory

from hoofbook.records import migrating
from hoofbook.records.book import DATABASE, Book
from hoofbook.records.connecting import WRITING, engine_for_connection


def lines(connection: sqlite3.Connection) -> dict[str, list[str]]:
    """Every table and index with its lines in a fixed order (the order of constraints means nothing)."""
    found = connection.execute("SELECT name, sql FROM sqlite_master WHERE sql IS NOT NULL ORDER BY name").fetchall()
    return {name: sorted(line.strip().strip(",") for line in text.split("\n")) for name, text in found}


def test_the_steps_from_nothing_make_the_tables_of_a_new_book(book: Book) -> None:
    from alembic import command

    configuration = Config()
    configuration.set_main_option("script_location", str(migrating.STEPS))
    configuration.set_main_option("path_separator", "os")
    with closing(sqlite3.connect(":memory:", isolation_level=None)) as plain:
        with engine_for_connection(plain).execution_options(**{WRITING: True}).begin() as connection:
            configuration.attributes["connection"] = connection
            command.upgrade(configuration, "head")
        stepped = lines(plain)
    with closing(sqlite3.connect(book.folder / DATABASE)) as plain:
        made = lines(plain)
    stepped.pop("schema_version")  # the migration library names the key of its own table in its own way
    made.pop("schema_version")
    assert stepped == made


def test_the_newest_step_is_the_one_the_program_knows() -> None:
    configuration = Config()
    configuration.set_main_option("script_location", str(migrating.STEPS))
    configuration.set_main_option("path_separator", "os")
    script = ScriptDirectory.from_config(configuration)
    assert script.get_heads() == [migrating.SCHEMA]
    numbers = [step.revision for step in script.walk_revisions()]
    assert numbers == sorted(numbers, reverse=True)
    assert {path.stem for path in Path(migrating.STEPS, "versions").glob("step_*.py")} == {f"step_{n}" for n in numbers}
