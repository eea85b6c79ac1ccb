"""A folder or zip in BagIt form (RFC 8493): made, and opened only after everything in it was looked at.

Whoever opens one trusts nothing that it says of itself: names may not lead out of it, what comes out of a zip is
counted while it comes, every file of the payload must have the SHA-256 or SHA-512 that its lists say. The only caller
of bagit.
"""

from __future__ import annotations

import contextlib
import hashlib
import logging
import os
import re
import shutil
import stat
import struct
import tempfile
import unicodedata
import zipfile
import zlib
from collections.abc import Generator, Iterable, Iterator, Mapping
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path, PurePosixPath
from typing import IO
from urllib.parse import unquote

from hoofbook.housekeeping.child import in_child
from hoofbook.housekeeping.files import facts_of, safe_name, settle_on_disk, temporary_beside, world_errors
from hoofbook.terms.refusal import Refusal, Refused

ALL_CODES = (
    "bundle_not_zip",
    "bundle_no_declaration",
    "bundle_path_outside",
    "bundle_link",
    "bundle_name_twice",
    "bundle_locked",
    "bundle_too_large",
    "bundle_no_checksums",
    "bundle_changed",
    "bundle_file_missing",
    "bundle_file_extra",
    "bundle_damaged",
)
DECLARATION, PAYLOAD, TAG_SUMS = "bagit.txt", "data", "tagmanifest-sha256.txt"
SUMS = ("sha256", "sha512")
_WELL_DECLARED = re.compile(rb"BagIt-Version: (0\.97|1\.0)\r?\nTag-File-Character-Encoding: UTF-8\s*")
_DECLARED = b"BagIt-Version: 1.0\nTag-File-Character-Encoding: UTF-8\n"
_PRESSED_ALREADY = (".jpg", ".png", ".pdf", ".zip")
_WAYS = (zipfile.ZIP_STORED, zipfile.ZIP_DEFLATED)
_NOT_IN_NAMES = frozenset('\\:*?"<>|')
_FOREIGN = "__MACOSX"  # a folder that one system's own zipping puts beside what was zipped
_CHUNK = 1 << 20
_LONGEST_NAME = 200
_NO_ZIP = (zipfile.BadZipFile, ValueError, NotImplementedError, OverflowError, EOFError, struct.error)
logging.getLogger("bagit").addHandler(logging.NullHandler())  # what it finds is told as a refusal


@dataclass(frozen=True, slots=True)
class Limits:
    """What a bundle may hold at most: files, bytes in all, and bytes out for each byte of the zip."""

    files: int = 20_000
    size: int = 20 << 30
    ratio: int = 100


LIMITS = Limits()


@dataclass(frozen=True, slots=True)
class Bag:
    """A bag that was looked through. `sums` are the SHA-256 of its payload by path ("data/records.json")."""

    folder: Path
    sums: Mapping[str, str]


def make_bag(folder: Path, info: Mapping[str, str]) -> None:
    """Makes what lies in `folder` the payload of a bag in the same folder; `info` goes into bag-info.txt.

    In a process of its own, because bagit changes the folder that a program works in, which other threads rely on.
    """
    for _ in in_child(_bagged, str(folder), dict(info)):
        pass
    for path in folder.glob("*.txt"):
        settle_on_disk(path)


def _bagged(folder: str, info: dict[str, str]) -> Generator[int, None, None]:
    import bagit

    yield 0
    bagit.make_bag(folder, bag_info=info, checksums=list(SUMS))
    # bagit declares the draft 0.97; what it writes is as the standard wants it, which is version 1.0
    (Path(folder) / DECLARATION).write_bytes(_DECLARED)
    bagit.Bag(folder).save()


def pack(folder: Path, target: Path, name: str, when: datetime) -> None:
    """Writes the bag in `folder` as a zip whose one folder is called `name` (RFC 8493, 4.2)."""
    stamp = max(when.timetuple()[:6], (1980, 1, 1, 0, 0, 0))
    with world_errors(target):
        with zipfile.ZipFile(target, "w") as packed:
            for path in sorted(item for item in folder.rglob("*") if item.is_file()):
                inside = PurePosixPath(safe_name(name), *path.relative_to(folder).parts)
                info = zipfile.ZipInfo(str(inside), stamp)
                info.external_attr = (stat.S_IFREG | 0o644) << 16
                pressed = path.suffix in _PRESSED_ALREADY
                info.compress_type = zipfile.ZIP_STORED if pressed else zipfile.ZIP_DEFLATED
                info.file_size = path.stat().st_size
                with path.open("rb") as source, packed.open(info, "w") as into:
                    shutil.copyfileobj(source, into, _CHUNK)
        settle_on_disk(target)


def is_bundle(path: Path) -> bool:
    """Whether a file or folder wants to be a bundle; whether it is a good one is told on opening."""
    if path.is_dir():
        marks = (DECLARATION, *(f"manifest-{kind}.txt" for kind in SUMS), f"{PAYLOAD}/records.json")
        return any((path / mark).is_file() for mark in marks)
    return path.suffix.lower() == ".zip"


@contextlib.contextmanager
def opened(path: Path, beside: Path | None = None, limits: Limits = LIMITS) -> Iterator[Bag]:
    """The bag of a zip (unpacked into a folder in `beside`, else among temporary files, and removed again) or folder.

    Raises:
        Refused: codes in `ALL_CODES`; `file_missing`, `file_not_allowed`, `disk_full`.
    """
    if path.is_dir():
        _look_through(path, limits)
        yield _checked(path, path)
        return
    if not path.is_file():
        raise Refused(Refusal("file_missing", facts_of(path)))
    folder = temporary_beside((beside or Path(tempfile.gettempdir())) / "handover")
    try:
        yield _checked(_unpacked(path, folder, limits), path)
    finally:
        shutil.rmtree(folder, ignore_errors=True)


def _refused(code: str, bundle: Path, inside: str = "") -> Refused:
    return Refused(Refusal(code, {"file": bundle.name, "path": inside}))


def _safe(name: str, bundle: Path) -> tuple[str, ...]:
    """The parts of a path inside a bundle. Refused: `bundle_path_outside` where it could lead out of its folder, or
    is no name on some system."""
    parts = tuple(name.split("/"))
    for part in parts:
        odd = any(sign in _NOT_IN_NAMES or not sign.isprintable() for sign in part)
        ends = part != part.strip(" ") or part.endswith(".") or not 0 < len(part) <= _LONGEST_NAME
        if odd or ends or part.startswith("~") or (part.isascii() and safe_name(part) == _without_device(part)):
            raise _refused("bundle_path_outside", bundle, name)
    return parts


def _without_device(part: str) -> str:
    """What `safe_name` makes of a device's name ("con.txt"), and of nothing else."""
    first, dot, rest = part.lower().partition(".")
    return f"{first}-{dot}{rest}"


def _all_apart(paths: Iterable[tuple[str, ...]], bundle: Path) -> None:
    """Refused: `bundle_name_twice` where two files are one on a disk that ignores case, or a file is a folder too."""
    seen: set[tuple[str, ...]] = set()
    folders: set[tuple[str, ...]] = set()
    for parts in paths:
        plain = tuple(unicodedata.normalize("NFC", part).casefold() for part in parts)
        if plain in seen:
            raise _refused("bundle_name_twice", bundle, "/".join(parts))
        seen.add(plain)
        folders |= {plain[:end] for end in range(1, len(plain))}
    for both in seen & folders:
        raise _refused("bundle_name_twice", bundle, "/".join(both))


def _look_through(folder: Path, limits: Limits) -> None:
    """Walks a folder without following anything."""
    files = size = 0
    waiting = [folder]
    while waiting:
        with world_errors(folder, reading=True), os.scandir(waiting.pop()) as entries:
            for entry in entries:
                inside = Path(entry.path).relative_to(folder).as_posix()
                _safe(inside, folder)
                kind = entry.stat(follow_symlinks=False)
                if not (stat.S_ISDIR(kind.st_mode) or stat.S_ISREG(kind.st_mode)) or _is_junction(entry):
                    raise _refused("bundle_link", folder, inside)
                if stat.S_ISDIR(kind.st_mode):
                    waiting.append(Path(entry.path))
                else:
                    files, size = files + 1, size + kind.st_size
                if files > limits.files or size > limits.size or len(waiting) > limits.files:
                    raise _refused("bundle_too_large", folder)


def _is_junction(entry: os.DirEntry[str]) -> bool:
    return bool(getattr(entry, "is_junction", lambda: False)())


def _unpacked(path: Path, folder: Path, limits: Limits) -> Path:
    """Unpacks the one bag of a zip into `folder`, counting what comes out; the bag's own folder."""
    with world_errors(path, reading=True):
        reading = path.open("rb")
    with reading:
        try:
            with zipfile.ZipFile(reading) as packed:
                wanted = _entries(packed, path, limits)
                with world_errors(folder):
                    folder.mkdir()
                left = min(limits.size, limits.ratio * max(path.stat().st_size, _CHUNK // limits.ratio))
                for info, parts in wanted:
                    target = folder.joinpath(*parts)
                    with world_errors(target):
                        target.parent.mkdir(parents=True, exist_ok=True)
                    left -= _one_out(packed, info, target, left, path)
        except _NO_ZIP as error:
            raise _refused("bundle_not_zip", path) from error
    return folder


def _one_out(packed: zipfile.ZipFile, info: zipfile.ZipInfo, target: Path, left: int, bundle: Path) -> int:
    """Bytes that came out. What the zip says of its length is not believed: they are counted."""
    size = 0
    try:
        with packed.open(info) as source, world_errors(target), target.open("xb") as into:
            while chunk := _chunk(source, bundle, info):
                size += len(chunk)
                if size > left:
                    raise _refused("bundle_too_large", bundle, info.filename)
                into.write(chunk)
    except (zlib.error, zipfile.BadZipFile, EOFError, NotImplementedError, RuntimeError) as error:
        raise _refused("bundle_damaged", bundle, info.filename) from error
    return size


def _chunk(source: IO[bytes], bundle: Path, info: zipfile.ZipInfo) -> bytes:
    try:
        return source.read(_CHUNK)
    except OSError as error:
        raise _refused("bundle_damaged", bundle, info.filename) from error


def _entries(packed: zipfile.ZipFile, bundle: Path, limits: Limits) -> list[tuple[zipfile.ZipInfo, tuple[str, ...]]]:
    """The files of the bag with their paths from its own folder. Every name in the zip is looked at, used or not."""
    found = []
    listed = packed.infolist()
    if len(listed) > limits.files:
        raise _refused("bundle_too_large", bundle)
    for info in listed:
        given = info.orig_filename  # `filename` was mended already, and cut at a zero byte
        parts = _safe(given.removesuffix("/"), bundle)
        kind = stat.S_IFMT(info.external_attr >> 16)
        if kind not in (0, stat.S_IFREG, stat.S_IFDIR):
            raise _refused("bundle_link", bundle, given)
        if info.flag_bits & 0x1:
            raise _refused("bundle_locked", bundle, given)
        if info.compress_type not in _WAYS:
            raise _refused("bundle_damaged", bundle, given)
        if not given.endswith("/"):
            found.append((info, parts))
    _all_apart((parts for _, parts in found), bundle)
    paths = {parts for _, parts in found}
    tops = {parts[0] for parts in paths if len(parts) > 1 and parts[0] != _FOREIGN}
    base: tuple[str, ...] = () if (DECLARATION,) in paths else tuple(tops)
    if len(base) > 1 or (*base, DECLARATION) not in paths:
        raise _refused("bundle_no_declaration", bundle)
    return [(info, parts[len(base) :]) for info, parts in found if parts[: len(base)] == base]


def _checked(folder: Path, bundle: Path) -> Bag:
    """Holds every file against the lists of the bag, with bagit and (for what it lets pass) before it."""
    if not (folder / DECLARATION).is_file():
        raise _refused("bundle_no_declaration", bundle)
    with world_errors(folder / DECLARATION, reading=True):
        if not _WELL_DECLARED.fullmatch((folder / DECLARATION).read_bytes()):
            raise _refused("bundle_damaged", bundle, DECLARATION)
    if (folder / "fetch.txt").exists():
        raise _refused("bundle_file_missing", bundle, "fetch.txt")
    lists = [folder / f"manifest-{kind}.txt" for kind in SUMS]
    if not any(path.is_file() for path in lists):
        raise _refused("bundle_no_checksums", bundle)
    for path in (*folder.glob("manifest-*.txt"), *folder.glob("tagmanifest-*.txt")):
        _look_at_list(path, bundle)
    return Bag(folder, _sums(folder, bundle))


def _look_at_list(path: Path, bundle: Path) -> None:
    """Every name in a list of checksums must stay in the folder; bagit would let a neighbour's name pass."""
    try:
        lines = path.read_bytes().decode("utf-8").splitlines()
    except UnicodeDecodeError as error:
        raise _refused("bundle_damaged", bundle, path.name) from error
    for line in lines:
        parts = line.split(maxsplit=1)
        if len(parts) == 2:
            _safe(unquote(parts[1].lstrip("*").strip()), bundle)


def _sums(folder: Path, bundle: Path) -> Mapping[str, str]:
    import bagit

    try:
        bag = bagit.Bag(str(folder))
        bag.validate()
    except bagit.BagValidationError as error:
        raise _told(error, bundle) from error
    except (bagit.BagError, OSError, ValueError, LookupError, TypeError, AttributeError) as error:
        raise _refused("bundle_damaged", bundle) from error
    sums = {}
    for path, known in bag.payload_entries().items():
        plain = path.replace(os.sep, "/")
        if not set(SUMS) & set(known):
            raise _refused("bundle_no_checksums", bundle, plain)
        sums[plain] = str(known.get(SUMS[0], "")).lower() or _sha256(folder / path)
    return sums


def _sha256(path: Path) -> str:
    with world_errors(path, reading=True), path.open("rb") as source:
        return hashlib.file_digest(source, "sha256").hexdigest()


def _told(error: Exception, bundle: Path) -> Refused:
    """What bagit found, for a person: the first file that is not as the lists say."""
    import bagit

    codes = (
        (bagit.ChecksumMismatch, "bundle_changed"),
        (bagit.FileMissing, "bundle_file_missing"),
        (bagit.UnexpectedFile, "bundle_file_extra"),
    )
    for kind, code in codes:
        for detail in getattr(error, "details", ()):
            if isinstance(detail, kind):
                return _refused(code, bundle, str(detail.path).replace(os.sep, "/"))
    oxum = "Payload-Oxum" in str(error)
    return _refused("bundle_changed" if oxum else "bundle_damaged", bundle)
