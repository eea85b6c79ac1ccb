"""What the tests of Handovers share: making and taking them, an empty book, and what a book holds."""

from __future__ import annotations

import shutil
from collections.abc import Generator, Iterator
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

import bagit
import pytest

from hoofbook.casework.handover import HandoverMade, HandoverWishes, make_handover
from hoofbook.casework.handover_matches import matches_by_name
from hoofbook.casework.open_book import OpenBook, make_book, open_book
from hoofbook.casework.progress_document import document
from hoofbook.casework.progress_text import progress_of_book, sentences
from hoofbook.casework.taking_handover import HandoverTaken, look_at_handover, take_handover
from hoofbook.housekeeping.clock import FixedClock
from hoofbook.housekeeping.settings import Settings
from hoofbook.records.book import DATABASE
from hoofbook.terms import subjects
from hoofbook.terms.subjects import Goal, Horse, MarkingPass, MeasureKept, Photo, Sighting

LAST_DAY = datetime(2025, 9, 30, 16, tzinfo=UTC)


def finished(work: Generator[Any, None, Any]) -> Any:
    while True:
        try:
            next(work)
        except StopIteration as end:
            return end.value


def hand_on(book: OpenBook, name: str, out: Path, wishes: HandoverWishes | None = None) -> HandoverMade:
    made = finished(make_handover(book, str(book.horse_named(name).key), wishes or HandoverWishes(), out))
    assert isinstance(made, HandoverMade)
    return made


def take_in(book: OpenBook, path: Path, horse: str = "") -> HandoverTaken:
    taken = finished(take_handover(book, path, matches_by_name(book, look_at_handover(path), horse)))
    assert isinstance(taken, HandoverTaken)
    return taken


@pytest.fixture(scope="session")
def larkspur_zip(sample_book: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The first sample horse handed on as a zip."""
    return _handed_on(sample_book, tmp_path_factory, "Larkspur", "Larkspur's records.zip")


@pytest.fixture(scope="session")
def copper_folder(sample_book: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The second sample horse handed on as a folder."""
    return _handed_on(sample_book, tmp_path_factory, "Copper", "copper")


def _handed_on(sample_book: Path, folders: pytest.TempPathFactory, horse: str, name: str) -> Path:
    folder = folders.mktemp("handed on")
    with pytest.MonkeyPatch.context() as home:
        home.setenv("HOOFBOOK_HOME", str(folder / "home"))
        book = open_book(Path(shutil.copytree(sample_book, folder / "book")))
        try:
            return hand_on(book, horse, folder / name).file
        finally:
            book.close()


@pytest.fixture
def next_book(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Iterator[OpenBook]:
    """The next farrier's empty book, on the day on which the sample story ends."""
    monkeypatch.setenv("HOOFBOOK_HOME", str(tmp_path / "home"))
    book = make_book(tmp_path / "next book", Settings(person="Next Farrier"), FixedClock(LAST_DAY))
    yield book
    book.close()


def said(book: OpenBook, horse: str) -> tuple[Any, Any]:
    report = progress_of_book(book, horse)
    return document(report), sentences(report)


def rows_of(book: OpenBook, horse: Horse) -> dict[type, dict[Any, Any]]:
    photos = [photo.key for photo in book.book.photos(horse.key)]
    found: dict[type, list[Any]] = {
        subjects.Visit: list(book.book.every(subjects.Visit, horse=horse.key)),
        Photo: list(book.book.photos(horse.key)),
        MeasureKept: list(book.book.measures(horse.key)),
        Goal: list(book.book.every(Goal, horse=horse.key)),
        subjects.Event: list(book.book.every(subjects.Event, horse=horse.key)),
        subjects.HandMeasure: list(book.book.every(subjects.HandMeasure, horse=horse.key)),
        subjects.VetValue: list(book.book.every(subjects.VetValue, horse=horse.key)),
        MarkingPass: [row for key in photos for row in book.book.every(MarkingPass, photo=key)],
        Sighting: [row for key in photos for row in book.book.every(Sighting, photo=key)],
    }
    history = book.book.history(horse.key)
    found[subjects.FootWork] = list(history.works)
    found[subjects.Finding] = list(history.findings)
    return {kind: {row.key: row for row in rows} for kind, rows in found.items()}


def state(book: OpenBook) -> tuple[bytes, list[str]]:
    """The database byte for byte, and every file of the book but its previews and its sign."""
    names = sorted(str(p.relative_to(book.folder)) for p in book.folder.rglob("*") if p.is_file())
    kept = [name for name in names if not name.startswith(("previews", "in-use"))]
    return (book.folder / DATABASE).read_bytes(), kept


def rebagged(folder: Path) -> None:
    """Checksums made right again with the bagit library, as somebody would who changed a file on purpose."""
    bagit.Bag(str(folder)).save(manifests=True)
