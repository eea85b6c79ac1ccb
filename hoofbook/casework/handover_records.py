"""All records of one horse as one JSON document, and back: what a Handover holds beside its pictures."""

from __future__ import annotations

import json
from collections.abc import Mapping
from dataclasses import dataclass, replace
from datetime import datetime
from typing import TYPE_CHECKING, Any, TypeVar
from uuid import UUID

import msgspec

from hoofbook import PRODUCT_NAME, __version__
from hoofbook.casework.open_book import OpenBook
from hoofbook.terms import subjects
from hoofbook.terms.refusal import Refusal, Refused
from hoofbook.terms.subjects import Horse, MeasureKept, Person, Photo, VetImage

if TYPE_CHECKING:
    from hoofbook.records.reading import Reading

ALL_CODES = ("handover_newer", "handover_records_wrong")
VERSION = 1
KINDS: tuple[type[Any], ...] = (
    subjects.Person,
    subjects.Yard,
    subjects.Horse,
    subjects.FootRecord,
    subjects.Visit,
    subjects.Goal,
    subjects.Limit,
    subjects.FootWork,
    subjects.Finding,
    subjects.Photo,
    subjects.Sighting,
    subjects.MarkingPass,
    subjects.MeasureKept,
    subjects.Event,
    subjects.HandMeasure,
    subjects.VetValue,
    subjects.VetImage,
    subjects.MeasuredAnew,
    subjects.Correction,
)
"""What is handed over, what is referred to before what refers to it. Papers made stay with who made them."""

_PEOPLE = ("owner", "payer", "contact", "vet")
Kept = TypeVar("Kept")


@dataclass(frozen=True, slots=True)
class HandedFile:
    """The picture of one photo, or of one image of the vet's: where it lies below data/, and the SHA-256 of its
    bytes there and of the original that it was made from."""

    key: UUID
    file: str
    sha256: str
    original_sha256: str = ""


@dataclass(frozen=True, slots=True)
class Handover:
    """One horse with everything filed under it, as it is handed on. Photos name the bytes of their `files`."""

    horse: UUID
    records: Mapping[type[Any], tuple[Any, ...]]
    files: tuple[HandedFile, ...]
    made_at: datetime
    made_by: str
    program: str = f"{PRODUCT_NAME} {__version__}"

    def of(self, kind: type[Kept]) -> tuple[Kept, ...]:
        return self.records.get(kind, ())

    @property
    def the_horse(self) -> Horse:
        return next(horse for horse in self.of(Horse) if horse.key == self.horse)


@dataclass(frozen=True, slots=True)
class _Document:
    version: int
    program: str
    made_at: datetime
    made_by: str
    horse: UUID
    files: tuple[HandedFile, ...]
    records: dict[str, tuple[msgspec.Raw, ...]]


def gather(open_book: OpenBook, horse: UUID, *, vets_images: bool) -> Mapping[type[Any], tuple[Any, ...]]:
    """Everything of one horse, all of one state of the book; photos set aside stay behind with what hangs on them.

    People go with their name, role, telephone and the two permissions that a Handover is about; the farrier's own
    notes about them stay. Refused: `not_in_book`.
    """
    with open_book.book.one_state() as state:
        history = state.history(horse)
        photos = {photo.key: photo for photo in history.photos}
        found: dict[type[Any], tuple[Any, ...]] = {
            subjects.Person: _people(state, history.horse),
            subjects.Yard: (state.get(subjects.Yard, history.horse.yard),) if history.horse.yard else (),
            subjects.Horse: (history.horse,),
            subjects.FootRecord: history.feet,
            subjects.Visit: history.visits,
            subjects.Goal: history.goals,
            subjects.Limit: state.every(subjects.Limit, horse=horse),
            subjects.FootWork: history.works,
            subjects.Finding: history.findings,
            subjects.Photo: history.photos,
            subjects.Sighting: _of_photos(state, subjects.Sighting, photos),
            subjects.MarkingPass: _of_photos(state, subjects.MarkingPass, photos),
            subjects.MeasureKept: tuple(kept for kept in state.measures(horse) if _all_there(kept, photos)),
            subjects.Event: history.events,
            subjects.HandMeasure: history.hand_measures,
            subjects.VetValue: history.vet_values,
            subjects.VetImage: history.vet_images if vets_images else (),
            subjects.MeasuredAnew: state.every(subjects.MeasuredAnew, horse=horse),
        }
        people = {person.key for person in (*found[subjects.Person], *found[subjects.Yard])}
        keys = {subject.key for rows in found.values() for subject in rows} - people
        return {**found, subjects.Correction: state.corrections_among(keys)}


def _people(state: Reading, horse: Horse) -> tuple[Person, ...]:
    keys = dict.fromkeys(key for name in _PEOPLE if (key := getattr(horse, name)) is not None)
    people = (state.get(Person, key) for key in keys)
    return tuple(replace(person, note="", consent_teaching=None, consent_publish=None) for person in people)


def _of_photos(state: Reading, kind: type[Kept], photos: Mapping[UUID, Photo]) -> tuple[Kept, ...]:
    return state.among(kind, "photo", photos)


def _all_there(kept: MeasureKept, photos: Mapping[UUID, Photo]) -> bool:
    return all(UUID(key) in photos for key in kept.quantity.photos)


def with_files(records: Mapping[type[Any], tuple[Any, ...]], files: Mapping[UUID, HandedFile]) -> dict[type[Any], Any]:
    """The records with every photo and image named after the bytes that are handed on."""
    done = dict(records)
    for kind in (Photo, VetImage):
        done[kind] = tuple(
            replace(row, sha256=files[row.key].sha256, suffix="." + files[row.key].file.rpartition(".")[2])
            for row in records.get(kind, ())
        )
    return done


def to_json(handover: Handover) -> bytes:
    """The document, one record a line, in UTF-8."""
    from hoofbook.records.mapping import table_of, whole_as_text

    head = {
        "version": VERSION,
        "program": handover.program,
        "made_at": handover.made_at.isoformat(),
        "made_by": handover.made_by,
        "horse": str(handover.horse),
    }
    files = [
        json.dumps({"key": str(f.key), "file": f.file, "sha256": f.sha256, "original_sha256": f.original_sha256})
        for f in handover.files
    ]
    tables = [
        f"{json.dumps(table_of(kind).name)}: {_lines(whole_as_text(row) for row in handover.of(kind))}"
        for kind in KINDS
    ]
    lines = [f"{json.dumps(name)}: {json.dumps(value, ensure_ascii=False)}" for name, value in head.items()]
    lines += [f'"files": {_lines(files)}', '"records": {\n' + ",\n".join(tables) + "\n}"]
    return ("{\n" + ",\n".join(lines) + "\n}\n").encode("utf-8")


def _lines(rows: Any) -> str:
    joined = ",\n".join(rows)
    return f"[\n{joined}\n]" if joined else "[]"


def from_json(data: bytes, name: str) -> Handover:
    """The document read again; `name` is what the Handover is called in a refusal.

    Refused: `handover_newer`, and `handover_records_wrong` with the first place that cannot be.
    """
    from hoofbook.records.mapping import table_of
    from hoofbook.records.whole import whole_from_text

    document = _document(data, name)
    tables = {table_of(kind).name: kind for kind in KINDS}
    unknown = sorted(set(document.records) - set(tables))
    if unknown:
        raise wrong(name, ascii(unknown[0][:40]))
    records = {}
    for table, kind in tables.items():
        rows = []
        for number, raw in enumerate(document.records.get(table, ()), 1):
            try:
                rows.append(whole_from_text(kind, bytes(raw).decode("utf-8")))
            except ValueError as error:
                raise wrong(name, f"{table} {number}, {str(error).partition(':')[0][:80]}") from error
        records[kind] = tuple(rows)
    d = document
    return Handover(d.horse, records, d.files, d.made_at, d.made_by, d.program)


def _document(data: bytes, name: str) -> _Document:
    try:
        version = msgspec.json.decode(data, type=dict[str, msgspec.Raw]).get("version")
        found = msgspec.json.decode(version or b"null", type=int)
        if found != VERSION:
            raise Refused(Refusal("handover_newer", {"file": name, "found": found, "known": VERSION}))
        return msgspec.json.decode(data, type=_Document)
    except (msgspec.MsgspecError, UnicodeError, RecursionError, OverflowError) as error:
        place = str(error).rpartition("`")[0].rpartition("`")[2] or "as a whole"
        raise wrong(name, place[:80]) from error


def wrong(name: str, place: str) -> Refused:
    """What a Handover says that cannot be, by its place."""
    return Refused(Refusal("handover_records_wrong", {"file": name, "place": place}))
