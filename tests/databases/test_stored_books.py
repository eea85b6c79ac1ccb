"""Books as earlier versions left them open in this one, with every row and every value."""

from __future__ import annotations

import dataclasses
import json
import shutil
from datetime import timedelta
from pathlib import Path
from typing import Any

import pytest

from hoofbook.housekeeping.clock import FixedClock
from hoofbook.records import migrating
from hoofbook.records.book import DATABASE, Book
from hoofbook.records.tables import TABLES
from hoofbook.terms.subjects import Horse
from tests.databases.make import NOON, everything, fill

STORED = sorted(path for path in Path(__file__).parent.iterdir() if (path / DATABASE).is_file())


def told(folder: Path) -> dict[str, list[dict[str, Any]]]:
    content: dict[str, list[dict[str, Any]]] = json.loads((folder / "content.json").read_text(encoding="utf-8"))
    return content


def test_there_is_one_for_every_version() -> None:
    newest = int(migrating.SCHEMA)
    assert [path.name for path in STORED] == [f"{number:04}" for number in range(1, newest + 1)]


@pytest.mark.parametrize("stored", STORED, ids=lambda path: path.name)
@pytest.mark.parametrize("writable", [True, False])
def test_every_row_survives(stored: Path, tmp_path: Path, writable: bool) -> None:
    folder = tmp_path / "book"
    folder.mkdir()
    shutil.copyfile(stored / DATABASE, folder / DATABASE)
    with Book.open(folder, clock=FixedClock(NOON), person="Ben", writable=lambda file: writable) as book:
        found = everything(book)
        assert book.writes() == 2
        for name, rows in told(stored).items():
            assert len(found[name]) == len(rows) > 0, name
            for row, now in zip(rows, found[name], strict=True):
                assert {field: now[field] for field in row if field in now} == row, name
        if writable:
            (horse,) = book.every(Horse)
            with book.writing() as writer:
                writer.change(dataclasses.replace(horse, note="still writable"))


def test_a_book_of_one_of_everything_comes_back_equal(tmp_path: Path) -> None:
    clock = FixedClock(NOON)
    with Book.make(tmp_path / "book", clock=clock, person="Ann") as book:
        fill(book)
        before = {kind: book.every(kind) for kind in TABLES}
    clock.advance(timedelta(days=1))
    with Book.open(tmp_path / "book", clock=clock, person="Ben") as book:
        assert {kind: book.every(kind) for kind in TABLES} == before
    assert all(before.values())
