from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest

from hoofbook.housekeeping.clock import FixedClock
from hoofbook.records.book import Book
from tests.records.examples import NOON


@pytest.fixture
def clock() -> FixedClock:
    return FixedClock(NOON)


@pytest.fixture
def book(tmp_path: Path, clock: FixedClock) -> Iterator[Book]:
    with Book.make(tmp_path / "book", clock=clock, person="Ann") as made:
        yield made
