"""The only place that writes files: whole or not at all, and the world's errors as refusals.

A file is written under another name in the same folder, put safely on the disk, and then takes the place of the old
one in one step. Whatever goes wrong, the old file is whole and nothing half-written is left. The rules hold on
Windows and macOS too: no links, no times of files as evidence, names in `[a-z0-9._-]`.
"""

from __future__ import annotations

import contextlib
import errno
import hashlib
import os
import stat
import sys
import time
import unicodedata
import uuid
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from pathlib import Path

from hoofbook.terms.refusal import Refusal, Refused

Progress = Callable[[int, int], None]
"""Called with (bytes done, bytes in all); raising in it stops the copy, and the temporary file is removed."""

TEMPORARY_SUFFIX = ".part"
_CHUNK = 1 << 20
_PATIENCE_S = 2.0  # virus scanners and sync programs on Windows hold a new file for a moment
_BINARY = getattr(os, "O_BINARY", 0)
_WINDOWS_HELD = (32, 33)  # ERROR_SHARING_VIOLATION, ERROR_LOCK_VIOLATION
_FULL = (errno.ENOSPC, getattr(errno, "EDQUOT", errno.ENOSPC))
_HELD = (errno.EBUSY, getattr(errno, "ETXTBSY", errno.EBUSY), errno.EAGAIN)
_LONGEST_NAME = 200  # letters that every system takes, with what is hung on while a file is being written
_ABSENT = (errno.ENOENT, errno.ENOTDIR, errno.ENODEV, errno.ENXIO)
_DEVICE_NAMES = frozenset(
    ["con", "prn", "aux", "nul", *(f"com{n}" for n in range(1, 10)), *(f"lpt{n}" for n in range(1, 10))]
)


@dataclass(frozen=True, slots=True)
class Streamed:
    """A copy that lies beside its future place: its file, the SHA-256 of its bytes, and how many there are."""

    temp: Path
    sha256: str
    size: int


def facts_of(path: Path) -> dict[str, str]:
    """What a refusal says of the file it is about."""
    return {"file": path.name, "folder": str(path.parent)}


def refusal_of(error: OSError, path: Path, *, reading: bool = False) -> Refusal:
    """What a person is told when the disk or folder does not do as asked; `path` is the file it was about.

    A file that may not be read is `file_not_allowed`, one that may not be written `folder_read_only`. A name that
    cannot be written to is told apart from a disk that fails: another cable would not help.
    """
    facts = facts_of(path)
    if error.errno in _FULL:
        return Refusal("disk_full", facts)
    if getattr(error, "winerror", None) in _WINDOWS_HELD or error.errno in _HELD:
        return Refusal("file_locked", facts)
    if error.errno in (errno.EROFS, errno.EACCES, errno.EPERM):
        return Refusal("file_not_allowed" if reading else "folder_read_only", facts)
    in_the_way = None if reading else _in_the_way(error, path)
    if in_the_way is not None:
        return in_the_way
    if error.errno in _ABSENT:
        return Refusal("file_missing", facts)
    return Refusal("disk_failed", {**facts, "reason": error.strerror or type(error).__name__})


def _in_the_way(error: OSError, path: Path) -> Refusal | None:
    """Why nothing can be written under this name on any disk; None where the name is not what is wrong."""
    facts = facts_of(path)
    if error.errno == errno.EISDIR:
        return Refusal("name_is_folder", facts)
    if error.errno == errno.ENAMETOOLONG:
        return Refusal("name_too_long", {"longest": _LONGEST_NAME})
    return Refusal("folder_is_file", facts) if error.errno in (errno.EEXIST, errno.ENOTDIR) else None


@contextlib.contextmanager
def world_errors(path: Path, *, reading: bool = False) -> Iterator[None]:
    """Turns every OSError inside into `Refused`."""
    try:
        yield
    except OSError as error:
        raise Refused(refusal_of(error, path, reading=reading)) from error


def write_atomic(path: Path, data: bytes) -> None:
    """Writes `data` as the whole of `path`, making its folder when it is not there.

    Refused: `disk_full`, `folder_read_only`, `file_locked`, `name_is_folder`, `name_too_long`, `folder_is_file`,
    `disk_failed`; the old file is then as it was.
    """
    with world_errors(path):
        path.parent.mkdir(parents=True, exist_ok=True)
        temp = temporary_beside(path)
        try:
            _write_through(temp, data)
            _replace(temp, path)
        except BaseException:
            _forget(temp)
            raise
        _sync_folder(path.parent)


def write_text_atomic(path: Path, text: str) -> None:
    """Like `write_atomic`, UTF-8, line ends as they are in `text`."""
    write_atomic(path, text.encode("utf-8"))


def stream_in(source: Path, folder: Path, *, progress: Progress | None = None) -> Streamed:
    """Copies `source` once into a temporary file in `folder`, hashing on the way, and puts it safely on the disk.

    `source` may be on a card or telephone that is pulled out any moment: the copy is refused (`file_changed`) when
    its length is not the length the source had. Other refusals: `file_missing`, `file_not_allowed`,
    `disk_full`, `folder_read_only`, `disk_failed`. After any refusal no temporary file is left.
    """
    temp = temporary_beside(folder / "incoming")
    if not source.is_file():
        raise Refused(Refusal("file_missing", facts_of(source)))
    with world_errors(source, reading=True):
        reading = source.open("rb")
    with reading:
        try:
            with world_errors(temp):
                folder.mkdir(parents=True, exist_ok=True)
                writing = _create(temp)
            try:
                digest, size, expected = _pump(reading.fileno(), writing, source, temp, progress)
                with world_errors(temp):
                    _sync(writing)
            finally:
                os.close(writing)
            if size != expected:
                raise Refused(Refusal("file_changed", facts_of(source)))
        except BaseException:
            _forget(temp)
            raise
    return Streamed(temp, digest, size)


def place(temp: Path, target: Path) -> None:
    """Gives the safely written `temp` its place and name, in one step; the folder's entry is safe on return."""
    with world_errors(target):
        target.parent.mkdir(parents=True, exist_ok=True)
        _replace(temp, target)
        _sync_folder(target.parent)


def settle_on_disk(path: Path) -> None:
    """Puts a file that another library wrote safely on the disk."""
    with world_errors(path):
        handle = os.open(path, os.O_RDWR | _BINARY)
        try:
            _sync(handle)
        finally:
            os.close(handle)


def remove(path: Path) -> None:
    """Removes a file; a read-only one too; one that is not there is no error."""
    with world_errors(path):
        try:
            _patiently(path.unlink)
        except PermissionError:
            path.chmod(stat.S_IREAD | stat.S_IWRITE)
            path.unlink()
        except FileNotFoundError:
            return
        _sync_folder(path.parent)


def is_writable_folder(path: Path) -> bool:
    """True where a file can really be made in the folder (permissions alone do not tell on Windows or shares)."""
    probe = temporary_beside(path / "probe")
    try:
        os.close(_create(probe))
    except OSError:
        return False
    _forget(probe)
    return True


def safe_name(text: str, *, longest: int = 80) -> str:
    """A file name that every system takes and that keeps its place when cases are ignored: `[a-z0-9._-]`."""
    plain = unicodedata.normalize("NFKD", text).encode("ascii", "ignore").decode("ascii").lower()
    kept = "".join(sign if sign.isalnum() or sign in "._-" else "-" for sign in plain)
    while "--" in kept:
        kept = kept.replace("--", "-")
    kept = kept[:longest].strip("-. ")
    if not kept:
        return "unnamed"
    first, dot, rest = kept.partition(".")
    return f"{first}-{dot}{rest}" if first in _DEVICE_NAMES else kept


def temporary_beside(path: Path) -> Path:
    """A name nobody else uses, in the same folder (so that taking the place is one step on one disk)."""
    return path.with_name(f"{path.name}.{uuid.uuid4().hex}{TEMPORARY_SUFFIX}")


def is_temporary(path: Path) -> bool:
    """True for what a crash may leave behind and nobody needs."""
    return path.name.endswith(TEMPORARY_SUFFIX)


def _create(path: Path) -> int:
    return os.open(path, os.O_WRONLY | os.O_CREAT | os.O_EXCL | _BINARY, 0o644)


def _write_through(path: Path, data: bytes) -> None:
    handle = _create(path)
    try:
        _write_all(handle, memoryview(data))
        _sync(handle)
    finally:
        os.close(handle)


def _write_all(handle: int, data: memoryview) -> None:
    done = 0
    while done < len(data):
        done += os.write(handle, data[done:])


def _pump(reading: int, writing: int, source: Path, temp: Path, progress: Progress | None) -> tuple[str, int, int]:
    """Moves all bytes; (sha256, bytes moved, bytes the source said it has). Reading errors name the source."""
    digest = hashlib.sha256()
    size = 0
    with world_errors(source, reading=True):
        expected = os.fstat(reading).st_size
    while True:
        with world_errors(source, reading=True):
            chunk = os.read(reading, _CHUNK)
        if not chunk:
            break
        digest.update(chunk)
        with world_errors(temp):
            _write_all(writing, memoryview(chunk))
        size += len(chunk)
        if progress is not None:
            progress(size, expected)
    return digest.hexdigest(), size, expected


def _sync(handle: int) -> None:
    """Puts the file on the disk itself; macOS needs F_FULLFSYNC for that, as fsync stops at the drive's cache."""
    if sys.platform == "darwin":
        import fcntl

        try:
            fcntl.fcntl(handle, fcntl.F_FULLFSYNC)
            return
        except OSError:
            pass  # shares and some sticks do not know it
    os.fsync(handle)


def _sync_folder(folder: Path) -> None:
    """Puts the folder's entry on the disk where the system lets a folder be opened (Windows does not)."""
    if os.name == "nt":
        return
    try:
        handle = os.open(folder, os.O_RDONLY)
    except OSError:
        return
    try:
        os.fsync(handle)
    except OSError:
        pass  # some shares refuse to sync a folder; the file itself is safe
    finally:
        os.close(handle)


def _replace(temp: Path, target: Path) -> None:
    try:
        _patiently(lambda: temp.replace(target))
    except PermissionError:
        if not target.exists():
            raise
        target.chmod(stat.S_IREAD | stat.S_IWRITE)  # a read-only file cannot be replaced on Windows
        temp.replace(target)


def _patiently(action: Callable[[], object]) -> None:
    """Tries again for a while when another program holds the file."""
    end = time.monotonic() + _PATIENCE_S
    while True:
        try:
            action()
            return
        except PermissionError:
            if time.monotonic() > end:
                raise
            time.sleep(0.05)


def _forget(temp: Path) -> None:
    with contextlib.suppress(OSError):
        temp.unlink(missing_ok=True)
