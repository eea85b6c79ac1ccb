"""What can be read from a book: one thing, all of a kind, and the questions that people ask of it."""

from __future__ import annotations

import contextlib
from collections.abc import Collection, Iterator, Mapping, Sequence
from pathlib import Path
from typing import Any, TypeVar
from uuid import UUID

from msgspec import MsgspecError
from sqlalchemy import ColumnElement, Connection, Select, bindparam, func, select

from hoofbook.housekeeping.files import facts_of
from hoofbook.records import lists, repeats
from hoofbook.records.connecting import book_errors
from hoofbook.records.lists import History, HorseRow
from hoofbook.records.mapping import Shape, columns_of, fields_of, once, shape_of, table_of
from hoofbook.records.repeats import MarkedAgain, TakenAgain
from hoofbook.records.tables import BookTable
from hoofbook.terms import subjects
from hoofbook.terms.refusal import Refusal, Refused
from hoofbook.terms.subjects import (
    Correction,
    FootWork,
    Horse,
    MarkingPass,
    MeasureKept,
    Photo,
    Sighting,
    Visit,
)

Kept = TypeVar("Kept")
Selection = Select[*tuple[Any, ...]]

_ORDER: Mapping[type[Any], tuple[str, ...]] = {
    subjects.Person: ("name",),
    subjects.Yard: ("name",),
    subjects.Horse: ("name",),
    subjects.FootRecord: ("foot",),
    subjects.Goal: ("set_on",),
    subjects.Limit: ("set_on",),
    subjects.Visit: ("day",),
    subjects.Event: ("day",),
    subjects.HandMeasure: ("day",),
    subjects.VetValue: ("film_day",),
    subjects.VetImage: ("day",),
    subjects.Photo: ("taken_at", "given_name"),
    subjects.Sighting: ("seen_at",),
    subjects.MarkingPass: ("marked_at",),
    subjects.MeasureKept: ("computed_at",),
    subjects.PaperMade: ("made_at",),
    subjects.PaperSent: ("told_at",),
    subjects.Correction: ("changed_at",),
}
_OF_VISIT = (subjects.FootWork, subjects.Finding)
_KEYS_AT_ONCE = 10_000  # SQLite takes 32,766 values in one statement (its limits page, from memory)


class Reading:
    """Reading from a book, or from inside a transaction that writes to it (then with what it has written)."""

    file: Path

    def _connected(self) -> contextlib.AbstractContextManager[Connection]:
        raise NotImplementedError

    @contextlib.contextmanager
    def one_state(self) -> Iterator[Reading]:
        """Several questions to one state of the book, whatever others write meanwhile."""
        with self._connected() as connection:
            yield Snapshot(self.file, connection)

    def get(self, kind: type[Kept], key: UUID) -> Kept:
        """One subject. Refused: `not_in_book`."""
        found = self._read(kind, _by_key(kind), {"key": key})
        if not found:
            raise Refused(Refusal("not_in_book", {"subject": table_of(kind).name}))
        return found[0]

    def every(self, kind: type[Kept], **equals: Any) -> tuple[Kept, ...]:
        """All subjects of a class whose fields equal what is given (None: not told), in their usual order."""
        unknown = set(equals) - set(fields_of(kind))
        if unknown:
            raise TypeError(f"{kind.__name__} has no field {', '.join(sorted(unknown))}")
        given = {name: value for name, value in equals.items() if value is not None}
        absent = tuple(sorted(set(equals) - set(given)))
        return self._read(kind, _where(kind, tuple(sorted(given)), absent), given)

    def horse_by_name(self, name: str) -> Horse | None:
        """The horse of that name, capitals and outer spaces aside. Refused: `horse_name_twice`."""
        wanted = name.strip().casefold()
        keys = [key for key, given in self._rows(lists.horse_names()) if given.strip().casefold() == wanted]
        if len(keys) > 1:
            raise Refused(Refusal("horse_name_twice", {"name": name, "count": len(keys)}))
        return self.get(Horse, keys[0]) if keys else None

    def horse_lines(self) -> tuple[HorseRow, ...]:
        """The list of horses, by name, in one statement."""
        shape, statement = lists.horse_lines()
        return self._shaped(shape, statement, {})

    def history(self, horse: UUID) -> History:
        """Everything filed under one horse, in one statement per kind. Refused: `not_in_book`."""
        with self.one_state() as state:
            return History(
                horse=state.get(Horse, horse),
                feet=state.every(subjects.FootRecord, horse=horse),
                goals=state.every(subjects.Goal, horse=horse),
                visits=state.every(Visit, horse=horse),
                works=state._read(FootWork, _of_visits(FootWork), {"horse": horse}),
                findings=state._read(subjects.Finding, _of_visits(subjects.Finding), {"horse": horse}),
                photos=state.photos(horse),
                events=state.every(subjects.Event, horse=horse),
                hand_measures=state.every(subjects.HandMeasure, horse=horse),
                vet_values=state.every(subjects.VetValue, horse=horse),
                vet_images=state.every(subjects.VetImage, horse=horse, set_aside=False),
                papers=state.every(subjects.PaperMade, horse=horse),
            )

    def photos(self, horse: UUID, **equals: Any) -> tuple[Photo, ...]:
        """Photos of one horse by time, those set aside only where `set_aside=True` asks for them."""
        return self.every(Photo, **{"set_aside": False, **equals, "horse": horse})

    def photo_by_hash(self, sha256: str) -> tuple[Photo, ...]:
        """Every filing of the same original bytes, those set aside too."""
        return self.every(Photo, sha256=sha256)

    def latest_pass(self, photo: UUID) -> MarkingPass | None:
        """The marks that count: the newest pass that was not a blind repetition."""
        found = self._read(MarkingPass, _latest_pass(), {"photo": photo})
        return found[0] if found else None

    def latest_passes(self, horse: UUID) -> dict[UUID, MarkingPass]:
        """The marks that count, by photo, for all photos of one horse."""
        found = self._read(MarkingPass, _newest(MarkingPass, "marked_at"), {"horse": horse})
        return {marking_pass.photo: marking_pass for marking_pass in found}

    def sightings(self, horse: UUID) -> dict[UUID, Sighting]:
        """The newest card sighting by photo, for all photos of one horse."""
        found = self._read(Sighting, _newest(Sighting, "seen_at"), {"horse": horse})
        return {sighting.photo: sighting for sighting in found}

    def measures(self, horse: UUID, **equals: Any) -> tuple[MeasureKept, ...]:
        """Kept measures of one horse; besides fields, `measure` and `definition` of the quantity may be asked for."""
        columns = table_of(MeasureKept).c
        extra = {name: equals.pop(name) for name in ("measure", "definition") if name in equals}
        if not extra:
            return self.every(MeasureKept, **{**equals, "horse": horse})
        asked = {**equals, "horse": horse}
        statement = _where(MeasureKept, tuple(sorted(asked)), ())
        return self._read(
            MeasureKept, statement.where(*(columns[name] == value for name, value in extra.items())), asked
        )

    def taken_again(self) -> TakenAgain:
        """Every foot and visit of the book with a retake, in three statements."""
        with self.one_state() as state:
            return TakenAgain(
                state._read(Photo, repeats.photos_of_takes(), {}),
                state._read(MeasureKept, repeats.measures_of_takes(), {}),
                dict(tuple(row) for row in state._rows(repeats.people_of_takes())),
            )

    def marked_again(self) -> MarkedAgain:
        """Every photo of the book that was marked again without looking, with all its passes, in two statements."""
        with self.one_state() as state:
            photos = state._read(Photo, repeats.photos_marked_again(), {})
            passes = state._read(MarkingPass, repeats.passes_of_marked_again(), {})
        return MarkedAgain({photo.key: photo for photo in photos}, passes)

    def photos_with_marks(self, person: str) -> tuple[tuple[UUID, int], ...]:
        """Every photo with marks that count, and how often `person` marked it again without looking."""
        return tuple((key, int(times)) for key, times in self._rows(repeats.photos_with_marks(), {"person": person}))

    def corrections(self, subject_key: UUID) -> tuple[Correction, ...]:
        """Every changed field of one subject, oldest first."""
        return self.every(Correction, subject_key=subject_key)

    def corrections_among(self, subject_keys: Collection[UUID]) -> tuple[Correction, ...]:
        """Every changed field of any of these subjects, oldest first."""
        found = self.among(Correction, "subject_key", subject_keys)
        return tuple(sorted(found, key=lambda correction: (correction.changed_at, correction.key)))

    def among(self, kind: type[Kept], name: str, keys: Collection[UUID]) -> tuple[Kept, ...]:
        """All subjects of a class whose field `name` is any of these keys, in as few statements as hold them."""
        ordered_keys = sorted(keys)
        return tuple(
            row
            for start in range(0, len(ordered_keys), _KEYS_AT_ONCE)
            for row in self._read(kind, _among(kind, name), {"keys": ordered_keys[start : start + _KEYS_AT_ONCE]})
        )

    def writes(self) -> int:
        """How many transactions have written to this book since it was made."""
        return int(self._rows(_writes())[0][0])

    def _read(self, kind: type[Kept], statement: Selection, values: Mapping[str, Any]) -> tuple[Kept, ...]:
        return self._shaped(shape_of(kind), statement, values)

    def _shaped(self, shape: Shape[Kept], statement: Selection, values: Mapping[str, Any]) -> tuple[Kept, ...]:
        with book_errors(self.file), self._connected() as connection:
            rows = plain_rows(connection, statement, values)
            try:
                return shape.values(rows, connection.dialect)
            except (LookupError, ValueError, MsgspecError) as error:  # a value that no version of ours wrote
                raise Refused(Refusal("book_damaged", facts_of(self.file))) from error

    def _rows(self, statement: Selection, values: Mapping[str, Any] | None = None) -> Sequence[Any]:
        with book_errors(self.file), self._connected() as connection:
            return connection.execute(statement, values or {}).all()


def plain_rows(connection: Connection, statement: Selection, values: Mapping[str, Any]) -> Sequence[Sequence[Any]]:
    """Rows as the driver gives them; shapes convert them, so nothing else need handle each one."""
    result = connection.execute(statement, values)
    try:
        assert result.cursor is not None
        rows: Sequence[Sequence[Any]] = result.cursor.fetchall()
    finally:
        result.close()
    return rows


class Snapshot(Reading):
    """Reading over one open transaction."""

    def __init__(self, file: Path, connection: Connection) -> None:
        self.file = file
        self._connection = connection

    def _connected(self) -> contextlib.AbstractContextManager[Connection]:
        return contextlib.nullcontext(self._connection)


def ordered(kind: type[Any]) -> tuple[ColumnElement[Any], ...]:
    columns = columns_of(kind)
    names = _ORDER.get(kind, ())
    return (*(func.lower(columns[n]) if n == "name" else columns[n] for n in names), columns["key"])


@once
def _writes() -> Selection:
    return select(BookTable.writes)


@once
def _by_key(kind: type[Any]) -> Selection:
    return shape_of(kind).select.where(table_of(kind).c.key == bindparam("key"))


@once
def _where(kind: type[Any], given: tuple[str, ...], absent: tuple[str, ...]) -> Selection:
    columns = columns_of(kind)
    conditions = [columns[name] == bindparam(name) for name in given] + [columns[name].is_(None) for name in absent]
    return shape_of(kind).select.where(*conditions).order_by(*ordered(kind))


@once
def _among(kind: type[Any], name: str) -> Selection:
    wanted = columns_of(kind)[name].in_(bindparam("keys", expanding=True))
    return shape_of(kind).select.where(wanted).order_by(*ordered(kind))


@once
def _of_visits(kind: type[Any]) -> Selection:
    """What hangs on the visits of one horse, in the order of the visits."""
    visit = table_of(Visit)
    columns = columns_of(kind)
    return (
        shape_of(kind)
        .select.join(visit, visit.c.key == columns["visit"])
        .where(visit.c.horse_id == bindparam("horse"))
        .order_by(visit.c.day, visit.c.key, columns["foot"], columns["key"])
    )


@once
def _latest_pass() -> Selection:
    columns = columns_of(MarkingPass)
    return (
        shape_of(MarkingPass)
        .select.where(columns["photo"] == bindparam("photo"), columns["blind"].is_(False))
        .order_by(columns["marked_at"].desc(), columns["key"].desc())
        .limit(1)
    )


@once
def _newest(kind: type[Any], moment: str) -> Selection:
    """The newest row per photo of one horse."""
    photo = table_of(Photo)
    columns = columns_of(kind)
    place = func.row_number().over(
        partition_by=columns["photo"], order_by=(columns[moment].desc(), columns["key"].desc())
    )
    ranked = select(columns["key"].label("key"), place.label("place")).join(photo, photo.c.key == columns["photo"])
    ranked = ranked.where(photo.c.horse_id == bindparam("horse"))
    if kind is MarkingPass:
        ranked = ranked.where(columns["blind"].is_(False))
    newest = ranked.subquery()
    return shape_of(kind).select.join(newest, newest.c.key == columns["key"]).where(newest.c.place == 1)
