"""What was made for others: its bytes kept by hash, a row that says what it told, and the same bytes again."""

from __future__ import annotations

import hashlib
from collections.abc import Sequence
from pathlib import Path
from uuid import UUID

from hoofbook import __version__
from hoofbook.casework.open_book import OpenBook
from hoofbook.housekeeping.files import world_errors, write_atomic
from hoofbook.terms.refusal import Refusal, Refused
from hoofbook.terms.subjects import PaperMade

ALL_CODES = ("paper_not_kept",)
KEPT_IN = "papers"


def log_paper(
    open_book: OpenBook,
    horse: UUID,
    kind: str,
    made: bytes | Path,
    *,
    file_name: str,
    made_for: str = "",
    numbers: Sequence[str] = (),
    keep_bytes: bool = True,
) -> PaperMade | None:
    """The row of a paper just made, after its bytes lie in the book: a crash between leaves a spare file, never a row
    without one. None where the book is for looking only. Without `keep_bytes` only their hash is noted (a bundle of
    photos the book has already); only then may `made` be a file instead, too large to hold."""
    from hoofbook.records.keys import new_key

    if open_book.read_only:
        return None
    digest = hashlib.sha256(made).hexdigest() if isinstance(made, bytes) else _digest(made)
    if keep_bytes and isinstance(made, bytes):
        write_atomic(kept_file(open_book, digest, Path(file_name).suffix.lower()), made)
    now = open_book.clock.now()
    paper = PaperMade(new_key(), horse, now, kind, made_for, digest, file_name, __version__, tuple(numbers))
    with open_book.book.writing() as writer:
        writer.add(paper)
    return paper


def made_again(open_book: OpenBook, paper: PaperMade) -> bytes:
    """The bytes of a paper as it was made. Refused: `paper_not_kept` where they are gone or are not the same."""
    file = kept_file(open_book, paper.sha256, Path(paper.file_name).suffix.lower())
    if not file.is_file():
        raise Refused(Refusal("paper_not_kept", {"file": paper.file_name}))
    with world_errors(file, reading=True):
        data = file.read_bytes()
    if hashlib.sha256(data).hexdigest() != paper.sha256:
        raise Refused(Refusal("paper_not_kept", {"file": paper.file_name}))
    return data


def _digest(file: Path) -> str:
    with world_errors(file, reading=True), file.open("rb") as source:
        return hashlib.file_digest(source, "sha256").hexdigest()


def kept_file(open_book: OpenBook, sha256: str, suffix: str) -> Path:
    """Where the bytes of a paper lie; they need not be there."""
    return open_book.folder / KEPT_IN / sha256[:2] / f"{sha256}{suffix}"
