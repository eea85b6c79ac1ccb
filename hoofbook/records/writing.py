"""Writing to a book: adding, changing with every old value kept, and what may never be changed or removed."""

from __future__ import annotations

import sqlite3
from collections.abc import Iterable, Sequence
from dataclasses import replace
from datetime import datetime
from itertools import groupby
from pathlib import Path
from typing import Any, TypeVar
from uuid import UUID

from sqlalchemy import Connection, Executable, delete, insert, select, update
from sqlalchemy.exc import IntegrityError

from hoofbook.records.keys import new_key
from hoofbook.records.mapping import (
    as_text,
    fields_of,
    has_revision,
    table_of,
    to_row,
    whole_as_text,
)
from hoofbook.records.reading import Snapshot
from hoofbook.records.tables import BookTable, MeasurePhotoTable
from hoofbook.terms import subjects
from hoofbook.terms.refusal import Refusal, Refused
from hoofbook.terms.subjects import Correction, MeasureKept, Photo

Kept = TypeVar("Kept")

REMOVABLE = frozenset(
    [
        subjects.Person,
        subjects.Yard,
        subjects.Horse,
        subjects.FootRecord,
        subjects.Goal,
        subjects.Limit,
        subjects.Visit,
        subjects.FootWork,
        subjects.Finding,
        subjects.Event,
        subjects.HandMeasure,
        subjects.VetValue,
    ]
)
"""What may be removed once nothing refers to it any more; its last state stays readable among the corrections."""


class Writer(Snapshot):
    """One transaction: everything in it is kept, or nothing. It also reads, then with what it has written."""

    def __init__(self, file: Path, connection: Connection, person: str, now: datetime) -> None:
        super().__init__(file, connection)
        self._stamp = {"changed_at": now, "changed_by": person}
        self.wrote = False

    def add(self, subject: Kept) -> Kept:
        """Adds one subject as it is. Refused: `already_in_book` (its key, or the foot of that horse or visit, is
        there), `not_in_book` (it refers to something that is not)."""
        self.add_all([subject])
        return subject

    def add_all(self, added: Iterable[Any]) -> None:
        """Adds many subjects in the order given (what is referred to comes first)."""
        for kind, group in groupby(added, key=type):
            if kind is MeasureKept:
                raise TypeError("computed measures are kept by keep_measures")
            rows = [{**self._stamp, **to_row(subject)} for subject in group]
            self._write(kind, insert(table_of(kind)), rows)

    def change(self, subject: Kept) -> Kept:
        """Keeps the new state of a subject and logs every changed field; returns it with its new revision.

        Refused: `never_changed` (marks, sightings, papers, corrections are only ever added), `changed_elsewhere`
        (somebody kept another state since this one was read; nothing is written), `not_in_book`.
        """
        kind = type(subject)
        if not has_revision(kind):
            raise Refused(Refusal("never_changed", {"subject": table_of(kind).name}))
        key: UUID = subject.key  # type: ignore[attr-defined]
        old = self.get(kind, key)
        revision: int = old.revision  # type: ignore[attr-defined]
        if subject.revision != revision:  # type: ignore[attr-defined]
            raise Refused(self._changed_elsewhere(kind, key))
        changed = [name for name in fields_of(kind) if getattr(old, name) != getattr(subject, name)]
        if not changed:
            return old
        new = replace(subject, revision=revision + 1)  # type: ignore[type-var]
        table = table_of(kind)
        values = {**self._stamp, **to_row(new)}
        self._write(kind, update(table).where(table.c.key == key, table.c.revision == revision).values(values))
        self._log(kind, key, [(name, as_text(getattr(old, name)), as_text(getattr(new, name))) for name in changed])
        return new

    def set_aside(self, photo: Photo, aside: bool = True) -> Photo:
        """Takes a photo out of lists and series, or back in; photos are never deleted."""
        return self.change(replace(photo, set_aside=aside))

    def remove(self, subject: Any) -> None:
        """Removes what may be removed; its last state is logged as one correction of the whole.

        Refused: `never_removed` (photos, marks, sightings, papers, corrections), `still_in_use` (something refers to
        it), `changed_elsewhere`, `not_in_book`.
        """
        kind = type(subject)
        table = table_of(kind)
        if kind not in REMOVABLE:
            raise Refused(Refusal("never_removed", {"subject": table.name}))
        old = self.get(kind, subject.key)
        if old.revision != subject.revision:
            raise Refused(self._changed_elsewhere(kind, subject.key))
        self._write(kind, delete(table).where(table.c.key == subject.key))
        self._log(kind, subject.key, [("", whole_as_text(old), "")])

    def keep_measures(self, photos: Iterable[UUID], measures: Sequence[MeasureKept]) -> None:
        """Puts `measures` in the place of all kept measures that were computed from any of these photos.

        Each measure names its photos in `quantity.photos` (their keys as text; ValueError where one is no key).
        """
        link: Any = MeasurePhotoTable.__table__
        old = select(link.c.measure_id).where(link.c.photo_id.in_(list(photos)))
        keys = list(self._connection.scalars(old.distinct()))
        if keys:
            self._write(MeasureKept, delete(link).where(link.c.measure_id.in_(keys)))
            table = table_of(MeasureKept)
            self._write(MeasureKept, delete(table).where(table.c.key.in_(keys)))
        if measures:
            rows = [{**self._stamp, **to_row(measure)} for measure in measures]
            self._write(MeasureKept, insert(table_of(MeasureKept)), rows)
        links = [
            {"key": new_key(), "measure_id": measure.key, "photo_id": UUID(photo), **self._stamp}
            for measure in measures
            for photo in measure.quantity.photos
        ]
        if links:
            self._write(MeasureKept, insert(link), links)

    def count_write(self) -> None:
        """Counts this transaction in the book's own row, where it wrote anything."""
        if self.wrote:
            table: Any = BookTable.__table__
            self._connection.execute(update(table).values(writes=table.c.writes + 1, **self._stamp))

    def _log(self, kind: type[Any], key: UUID, changes: Sequence[tuple[str, str, str]]) -> None:
        person, now = str(self._stamp["changed_by"]), self._stamp["changed_at"]
        assert isinstance(now, datetime)
        name = table_of(kind).name
        self.add_all([Correction(new_key(), name, key, field, old, new, person, now) for field, old, new in changes])

    def _changed_elsewhere(self, kind: type[Any], key: UUID) -> Refusal:
        table = table_of(kind)
        who = self._connection.scalar(select(table.c.changed_by).where(table.c.key == key))
        return Refusal("changed_elsewhere", {"subject": table.name, "changed_by": who or ""})

    def _write(self, kind: type[Any], statement: Executable, rows: list[dict[str, Any]] | None = None) -> None:
        try:
            self._connection.execute(statement, rows)
        except IntegrityError as error:
            refusal = _integrity_refusal(error.orig, table_of(kind).name, removing=statement.is_delete)
            if refusal is None:
                raise
            raise Refused(refusal) from error
        self.wrote = True


def _integrity_refusal(error: object, subject: str, *, removing: bool) -> Refusal | None:
    """What a person can mend; a broken CHECK is a fault of ours and stays an error."""
    extended = getattr(error, "sqlite_errorcode", 0)
    if extended in (sqlite3.SQLITE_CONSTRAINT_UNIQUE, sqlite3.SQLITE_CONSTRAINT_PRIMARYKEY):
        return Refusal("already_in_book", {"subject": subject})
    if extended in (sqlite3.SQLITE_CONSTRAINT_FOREIGNKEY, sqlite3.SQLITE_CONSTRAINT_TRIGGER):
        return Refusal("still_in_use" if removing else "not_in_book", {"subject": subject})
    return None
