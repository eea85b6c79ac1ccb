"""An own book and settings folder per test."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import UTC, datetime
from pathlib import Path

import pytest

from hoofbook.casework.open_book import OpenBook, make_book
from hoofbook.housekeeping.clock import FixedClock
from hoofbook.housekeeping.settings import Settings

NOW = datetime(2025, 9, 30, 16, tzinfo=UTC)


@pytest.fixture(autouse=True)
def own_home(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    home = tmp_path / "home"
    monkeypatch.setenv("HOOFBOOK_HOME", str(home))
    return home


@pytest.fixture
def book(tmp_path: Path) -> Iterator[OpenBook]:
    opened = make_book(tmp_path / "book", Settings(person="Demo Farrier"), FixedClock(NOW))
    yield opened
    opened.close()
