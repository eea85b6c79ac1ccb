"""Original photos by the hash of their bytes, and the previews made from them.

`photos/ab/abcd....jpg`: the file is safely in place before any row names it, so a crash leaves a spare file at worst,
never a row without its photo. Original bytes never change.
"""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from typing import TYPE_CHECKING

from hoofbook.housekeeping import files
from hoofbook.housekeeping.files import Progress
from hoofbook.housekeeping.files import Streamed as TakenIn
from hoofbook.terms.subjects import Photo, VetImage

if TYPE_CHECKING:
    from hoofbook.records.book import Book

_HASH_LENGTH = 64


class Archive:
    """The photos and previews of the book in `folder`."""

    def __init__(self, folder: Path) -> None:
        self.folder = folder
        self.photos = folder / "photos"
        self.previews = folder / "previews"

    def take_in(self, source: Path, *, progress: Progress | None = None) -> TakenIn:
        """Copies a photo into the book beside its later place, hashing on the way; `keep` or `discard` it next.

        Refused: as `hoofbook.housekeeping.files.stream_in`.
        """
        return files.stream_in(source, self.photos, progress=progress)

    def keep(self, taken: TakenIn, suffix: str) -> Path:
        """Gives the copy its place for ever. The same bytes kept before stay, and the new copy goes."""
        target = self.path(taken.sha256, suffix)
        if target.exists() and target.stat().st_size == taken.size:
            files.remove(taken.temp)
        else:
            files.place(taken.temp, target)
        return target

    def discard(self, taken: TakenIn) -> None:
        files.remove(taken.temp)

    def path(self, photo: Photo | str, suffix: str = "") -> Path:
        """Where the original of a photo, or of a hash with its suffix (".jpg"), lies."""
        sha256, ending = (photo.sha256, photo.suffix) if isinstance(photo, Photo) else (photo, suffix)
        return self.photos / _checked(sha256)[:2] / f"{sha256}{_suffix(ending)}"

    def preview(self, sha256: str, name: str) -> Path:
        """Where the preview `name` ("large.jpg") of an original lies; it need not exist."""
        return self.previews / _checked(sha256)[:2] / f"{sha256}-{files.safe_name(name)}"

    def write_preview(self, sha256: str, name: str, data: bytes) -> Path:
        target = self.preview(sha256, name)
        files.write_atomic(target, data)
        return target

    def originals(self) -> Iterator[Path]:
        """Every file in photos/, temporary ones of a broken-off copy too."""
        if self.photos.is_dir():
            yield from sorted(path for path in self.photos.rglob("*") if path.is_file())


def spare_files(book: Book, archive: Archive) -> tuple[Path, ...]:
    """Files in photos/ that no row names: what a crash between file and row leaves. Nothing is removed."""
    named = {archive.path(photo) for photo in book.every(Photo)}
    named |= {archive.path(image.sha256, image.suffix) for image in book.every(VetImage)}
    return tuple(path for path in archive.originals() if path not in named)


def _checked(sha256: str) -> str:
    if len(sha256) != _HASH_LENGTH or set(sha256) - set("0123456789abcdef"):
        raise ValueError("not the SHA-256 of a photo")
    return sha256


def _suffix(suffix: str) -> str:
    plain = suffix.lower()
    if not (plain.startswith(".") and plain[1:].isalnum() and plain.isascii()):
        raise ValueError(f"not a suffix: {suffix!r}")
    return plain
