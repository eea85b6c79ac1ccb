"""Who has a book open, and which of two copies was written to.

`in-use.json` lies in the book's folder while it is open for writing: machine, process, when opened, when last
renewed. It guards shared and synced folders, where the database's own locks do not reach; on one machine those
locks suffice. A sign that was not renewed for a while was left by a crash, or lies on a machine that sleeps: only the
person can know, so they are asked.
"""

from __future__ import annotations

import json
import os
import platform
import sqlite3
import uuid
from contextlib import closing, suppress
from dataclasses import dataclass, field
from datetime import UTC, datetime, timedelta
from pathlib import Path

from hoofbook.housekeeping import files
from hoofbook.housekeeping.clock import Clock
from hoofbook.records.connecting import open_file
from hoofbook.terms.refusal import Refusal, Refused

FILE_NAME = "in-use.json"
RENEW_EVERY = timedelta(minutes=1)
STALE_AFTER = timedelta(minutes=3)


@dataclass(frozen=True, slots=True)
class InUse:
    """A sign as it was read. `machine` is the computer's own name."""

    machine: str
    process: int
    opened_at: datetime
    renewed_at: datetime
    token: str

    def is_stale(self, now: datetime) -> bool:
        return now - self.renewed_at > STALE_AFTER


@dataclass(frozen=True, slots=True)
class BookCopy:
    """A database beside the book's own: a conflict copy of a sync program, or a copy made by hand."""

    file: Path
    same_book: bool
    writes: int
    changed_at: str


def read_sign(folder: Path) -> InUse | None:
    """The sign in a book's folder; None where there is none or it cannot be read."""
    try:
        stored = json.loads((folder / FILE_NAME).read_text(encoding="utf-8"))
        opened, renewed = (_moment(stored[name]) for name in ("opened_at", "renewed_at"))
        return InUse(str(stored["machine"]), int(stored["process"]), opened, renewed, str(stored["token"]))
    except (OSError, ValueError, KeyError, TypeError):
        return None


def refusal_elsewhere(sign: InUse | None, now: datetime, machine: str) -> Refusal | None:
    """Why a book that another machine has open, or left open, is opened for looking only."""
    if sign is None or sign.machine == machine:
        return None
    code = "book_left_open" if sign.is_stale(now) else "book_in_use"
    return Refusal(code, {"machine": sign.machine, "renewed_at": sign.renewed_at.isoformat()})


@dataclass
class Sign:
    """Our own sign in one folder. Failing to write it stops nothing: it only helps others."""

    folder: Path
    clock: Clock
    machine: str = field(default_factory=lambda: platform.node() or "unnamed")
    token: str = field(default_factory=lambda: uuid.uuid4().hex)
    _opened_at: datetime | None = None
    _renewed_at: datetime | None = None

    def renew(self, *, take_over: bool = False) -> None:
        """Writes the sign where it is due: every minute, and not over the fresh one of another window here."""
        now = self.clock.now()
        if self._renewed_at is not None and now - self._renewed_at < RENEW_EVERY and not take_over:
            return
        there = read_sign(self.folder)
        if there is not None and there.token != self.token and not (take_over or there.is_stale(now)):
            return
        self._opened_at = self._opened_at or now
        self._renewed_at = now
        text = {
            "machine": self.machine,
            "process": os.getpid(),
            "opened_at": self._opened_at.isoformat(),
            "renewed_at": now.isoformat(),
            "token": self.token,
        }
        with suppress(Refused):
            files.write_text_atomic(self.folder / FILE_NAME, json.dumps(text, indent=1) + "\n")

    def take_away(self) -> None:
        """Removes the sign if it is ours."""
        there = read_sign(self.folder)
        if there is not None and there.token == self.token:
            with suppress(Refused):
                files.remove(self.folder / FILE_NAME)


def other_copies(file: Path) -> tuple[BookCopy, ...]:
    """Other databases in the book's folder, with how often each was written to. They are listed, never removed."""
    own = _identity(file)
    found = []
    for other in sorted(file.parent.glob("*.sqlite*")):
        if other == file or other.name.endswith(("-journal", files.TEMPORARY_SUFFIX)):
            continue
        identity = _identity(other)
        if identity is not None:
            found.append(BookCopy(other, own is not None and identity[0] == own[0], identity[1], identity[2]))
    return tuple(found)


def _identity(file: Path) -> tuple[str, int, str] | None:
    try:
        with closing(open_file(file, mode="ro")) as connection:
            key, writes, changed_at = connection.execute("SELECT key, writes, changed_at FROM book").fetchone()
            return str(key), int(writes), str(changed_at)
    except (sqlite3.Error, TypeError):
        return None


def _moment(text: str) -> datetime:
    moment = datetime.fromisoformat(text)
    return moment if moment.tzinfo else moment.replace(tzinfo=UTC)
