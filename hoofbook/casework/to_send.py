"""The To send folder: one per day inside the book, where a person finds what is to go out."""

from __future__ import annotations

from pathlib import Path

from hoofbook.casework.open_book import OpenBook

FOLDER = "to-send"
_MOST = 1000


def to_send_folder(open_book: OpenBook) -> Path:
    """The folder of this day; it need not exist."""
    return open_book.folder / FOLDER / open_book.clock.now().date().isoformat()


def place_to_send(open_book: OpenBook, name: str) -> Path:
    """A place of that name in the folder of this day, or with a number behind it where the name is taken."""
    folder = to_send_folder(open_book)
    stem, suffix = Path(name).stem, Path(name).suffix
    names = (name, *(f"{stem}-{number}{suffix}" for number in range(2, _MOST)))
    return next(folder / each for each in names if not (folder / each).exists())
