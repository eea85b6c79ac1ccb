"""The open book: what every place takes first."""

from __future__ import annotations

import json
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path
from typing import TYPE_CHECKING
from uuid import UUID

from hoofbook.housekeeping.clock import Clock, FixedClock, SystemClock
from hoofbook.housekeeping.files import write_text_atomic
from hoofbook.housekeeping.settings import Settings, books_folder, home, load
from hoofbook.terms.refusal import Refusal, Refused
from hoofbook.terms.subjects import Horse
from hoofbook.wording.horses import sample_book_name

if TYPE_CHECKING:
    from hoofbook.records.archive import Archive
    from hoofbook.records.book import Book

SAMPLE_FOLDER = "Sample book"
AS_OF = "as-of.json"  # stands in a sample book: the day on which its story is told
ALL_CODES = ("horse_unknown", "horse_needed", "key_unknown")


@dataclass(frozen=True, slots=True)
class OpenBook:
    """Records, archive, clock, person and settings of one open book."""

    book: Book
    archive: Archive
    clock: Clock
    person: str
    settings: Settings

    @property
    def folder(self) -> Path:
        return self.book.folder

    @property
    def name(self) -> str:
        """The book as it is called at the foot of the list: its folder, or the sample book with its day."""
        return sample_book_name(self.clock.now().date()) if self.is_sample else self.book.folder.name

    @property
    def is_sample(self) -> bool:
        return is_sample(self.folder)

    @property
    def read_only(self) -> bool:
        return self.book.read_only

    def close(self) -> None:
        self.book.close()

    def renew_sign(self) -> None:
        """Says to other machines that the book is still open here; a window calls it once a minute."""
        self.book.renew_sign()

    def horse(self, key: str) -> Horse:
        """The horse with this key. Refused: `key_unknown`."""
        return self.book.get(Horse, uuid(key))

    def horse_named(self, name: str) -> Horse:
        """The horse with this name. Refused: `horse_needed`; `horse_unknown`, with the names there are."""
        if not name.strip():
            raise Refused(Refusal("horse_needed", {}))
        found = self.book.horse_by_name(name)
        if found is None:
            names = ", ".join(horse.name for horse in self.book.every(Horse)[:8])
            raise Refused(Refusal("horse_unknown", {"horse": name, "known": names}))
        return found


def uuid(text: str) -> UUID:
    """A key as the book keeps it. Refused: `key_unknown`."""
    try:
        return UUID(text)
    except ValueError as error:
        raise Refused(Refusal("key_unknown", {"key": text})) from error


def open_book(folder: Path, settings: Settings | None = None, clock: Clock | None = None) -> OpenBook:
    """Opens the book in `folder` (for looking only where it cannot be written).

    Raises:
        Refused: `book_missing`, `book_newer`, `book_damaged`, `book_busy`.
    """
    from hoofbook.records.archive import Archive
    from hoofbook.records.book import Book

    settings = settings or load()
    clock = clock or clock_of(folder)
    person = settings.person
    return OpenBook(Book.open(folder, clock=clock, person=person), Archive(folder), clock, person, settings)


def make_book(folder: Path, settings: Settings | None = None, clock: Clock | None = None) -> OpenBook:
    """Makes an empty book in `folder`, which may exist but must not hold a book, and opens it."""
    from hoofbook.records.archive import Archive
    from hoofbook.records.book import Book

    settings, clock = settings or load(), clock or SystemClock()
    person = settings.person
    return OpenBook(Book.make(folder, clock=clock, person=person), Archive(folder), clock, person, settings)


def write_as_of(folder: Path, now: datetime) -> None:
    """Fixes the day of a sample book, so that it reads the same whenever it is opened."""
    write_text_atomic(folder / AS_OF, json.dumps({"as_of": now.isoformat()}))


def is_sample(folder: Path) -> bool:
    return (folder / AS_OF).exists()


def clock_of(folder: Path) -> Clock:
    """The clock of the book in `folder`, whether there is one or not: that of a sample book stands still."""
    try:
        told = json.loads((folder / AS_OF).read_text(encoding="utf-8"))
        return FixedClock(datetime.fromisoformat(told["as_of"]))
    except (OSError, ValueError, KeyError, TypeError):
        return SystemClock()


def open_or_make(folder: Path, settings: Settings | None = None) -> OpenBook:
    """The book in `folder`, made first where there is none."""
    return open_book(folder, settings) if (folder / "book.sqlite").exists() else make_book(folder, settings)


def default_folder() -> Path:
    """Where a person's own book lies unless they say otherwise."""
    return books_folder()


def sample_folder() -> Path:
    """Where the sample book is made from the window."""
    return home() / SAMPLE_FOLDER
