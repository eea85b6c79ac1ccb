"""The sample book, made once per test run the way `hoofbook demo` makes it, and copied by whoever writes to it."""

from __future__ import annotations

import shutil
from collections.abc import Iterator
from pathlib import Path

import pytest

from hoofbook.casework.demo import make_sample_book
from hoofbook.casework.open_book import OpenBook, open_book


@pytest.fixture(scope="session")
def sample_book(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Folder of the sample book. Not to be written to: copy it (`own_sample_book`)."""
    folder = tmp_path_factory.mktemp("sample") / "book"
    home = pytest.MonkeyPatch()
    home.setenv("HOOFBOOK_HOME", str(tmp_path_factory.mktemp("home")))
    try:
        for _ in make_sample_book(folder):
            pass
    finally:
        home.undo()
    return folder


@pytest.fixture
def own_sample_book(sample_book: Path, tmp_path: Path) -> Path:
    """A copy that a test may change."""
    return Path(shutil.copytree(sample_book, tmp_path / "own book"))


@pytest.fixture
def opened_sample(own_sample_book: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Iterator[OpenBook]:
    monkeypatch.setenv("HOOFBOOK_HOME", str(tmp_path / "home"))
    opened = open_book(own_sample_book)
    yield opened
    opened.close()
