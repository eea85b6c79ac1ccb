"""Whether the records of a Handover fit together and can be true, before any of them goes into a book.

The types of single fields were looked at when they were read; here is what only shows in the whole: what refers to
what, names that this program knows, sizes, days.
"""

from __future__ import annotations

import dataclasses
import re
from collections.abc import Callable, Iterator, Mapping
from datetime import date, datetime
from types import MappingProxyType
from typing import Any
from uuid import UUID

from hoofbook.casework.handover_records import KINDS, Handover, wrong
from hoofbook.terms import subjects
from hoofbook.terms.card import CardSighting
from hoofbook.terms.marks import is_mark_name
from hoofbook.terms.quantity import MEASURES
from hoofbook.terms.subjects import (
    Correction,
    FootRecord,
    FootWork,
    Horse,
    MarkingPass,
    MeasureKept,
    Photo,
    Sighting,
    VetImage,
    Visit,
)
from hoofbook.terms.views import View
from hoofbook.wording.handover import is_known_remark

FIRST_YEAR, LAST_YEAR = 1900, 2200
LARGEST_SIDE = 60_000  # px
_SHA256 = re.compile(r"[0-9a-f]{64}")
_FILE = re.compile(r"(photos|vets-images)/[a-z0-9][a-z0-9._-]{0,120}\.[a-z0-9]{1,8}")
_PICTURES = ("jpg", "png")
_REFERS: Mapping[str, type[Any]] = MappingProxyType(
    {
        "horse": Horse,
        "visit": Visit,
        "prompted_by": Visit,
        "photo": Photo,
        "yard": subjects.Yard,
        "owner": subjects.Person,
        "payer": subjects.Person,
        "contact": subjects.Person,
        "vet": subjects.Person,
    }
)
_ABOVE_ZERO = ("placing_px", "ruler_mm", "foot_width_mm", "focal_35mm")
_NOT_BELOW_ZERO = ("foot_width_u_mm", "u", "size_mm", "interval_weeks")
_ONE_A_FOOT: tuple[type[Any], ...] = (FootRecord, FootWork)


def check(handover: Handover, sums: Mapping[str, str], name: str) -> None:
    """Refused: `handover_records_wrong` with the first row that does not fit; `sums` are those of the payload."""
    for place in _faults(handover, sums):
        raise wrong(name, place)


def _faults(handover: Handover, sums: Mapping[str, str]) -> Iterator[str]:
    from hoofbook.records.mapping import table_of

    keys = {kind: {row.key for row in handover.of(kind)} for kind in KINDS}
    if len(handover.of(Horse)) != 1 or keys[Horse] != {handover.horse}:
        yield "horse"
    if not (FIRST_YEAR <= handover.made_at.year < LAST_YEAR) or len(handover.made_by) > 1000:
        yield "made_at"
    if sum(map(len, keys.values())) != len(set().union(*keys.values())):
        yield "key"
    for kind in KINDS:
        table = table_of(kind).name
        if len(keys[kind]) != len(handover.of(kind)):
            yield f"{table}, key"
        for number, row in enumerate(handover.of(kind), 1):
            for fault in (*_of_any(row, keys), *_OF.get(kind, _nothing)(row)):
                yield f"{table} {number}, {fault}"
    yield from _twice_a_foot(handover)
    yield from _lost(handover, keys)
    yield from _files(handover, sums)


def _nothing(row: Any) -> Iterator[str]:
    yield from ()


def _of_any(row: Any, keys: Mapping[type[Any], set[UUID]]) -> Iterator[str]:
    """References, days, and numbers that only make sense above nothing."""
    for field in dataclasses.fields(row):
        value = getattr(row, field.name)
        kind = _REFERS.get(field.name)
        if kind is not None and isinstance(value, UUID) and value not in keys[kind]:
            yield field.name
        if isinstance(value, date | datetime) and not FIRST_YEAR <= value.year < LAST_YEAR:
            yield field.name
        if field.name in _ABOVE_ZERO and value is not None and value <= 0:
            yield field.name
        if field.name in _NOT_BELOW_ZERO and value is not None and not 0 <= value <= LARGEST_SIDE:
            yield field.name
        if field.name == "measure" and value not in MEASURES:
            yield field.name


def _photo(photo: Photo) -> Iterator[str]:
    if not (0 < photo.width <= LARGEST_SIDE and 0 < photo.height <= LARGEST_SIDE):
        yield "width, height"
    if any(not 0 <= share <= 1 for box in photo.covered for share in box):
        yield "covered"
    if not all(is_known_remark(remark) for remark in photo.remarks):
        yield "remarks"
    if photo.local_time:
        try:
            datetime.fromisoformat(photo.local_time)
        except ValueError:
            yield "local_time"


def _sighting(sighting: Sighting) -> Iterator[str]:
    card: CardSighting | None = sighting.card
    if card is not None and any(corner.spread_px <= 0 for corner in card.corners):
        yield "card"


def _marks(row: MarkingPass) -> Iterator[str]:
    if not all(any(is_mark_name(view, name) for view in View) for name in row.marking.marks):
        yield "marking"
    if any(abs(side) > 10 * LARGEST_SIDE for mark in row.marking.marks.values() for side in (mark.x, mark.y)):
        yield "marking"
    if row.card_size_mm is not None and min(row.card_size_mm) <= 0:
        yield "card_size_mm"


def _measure(kept: MeasureKept) -> Iterator[str]:
    if MEASURES.get(kept.quantity.name) is not kept.quantity.unit:
        yield "quantity"


def _image(image: VetImage) -> Iterator[str]:
    if not re.fullmatch(r"\.[a-z0-9]{1,8}", image.suffix):
        yield "suffix"


def _correction(row: Correction) -> Iterator[str]:
    from hoofbook.records.mapping import table_of

    if row.subject not in {table_of(kind).name for kind in KINDS}:
        yield "subject"


_OF: Mapping[type[Any], Callable[[Any], Iterator[str]]] = MappingProxyType(
    {
        Photo: _photo,
        Sighting: _sighting,
        MarkingPass: _marks,
        MeasureKept: _measure,
        VetImage: _image,
        Correction: _correction,
    }
)


def _twice_a_foot(handover: Handover) -> Iterator[str]:
    """A foot has one record, and one record of work at a visit."""
    for kind in _ONE_A_FOOT:
        places = [(getattr(row, "visit", None), row.foot) for row in handover.of(kind)]
        if len(set(places)) != len(places):
            yield kind.__name__


def _lost(handover: Handover, keys: Mapping[type[Any], set[UUID]]) -> Iterator[str]:
    """Measures of photos, and corrections of rows, that are not in the Handover."""
    photos = {str(key) for key in keys[Photo]}
    for number, kept in enumerate(handover.of(MeasureKept), 1):
        if not kept.quantity.photos or not set(kept.quantity.photos) <= photos:
            yield f"measure {number}, photos"
    every = set().union(*keys.values())
    for number, row in enumerate(handover.of(Correction), 1):
        if row.subject_key not in every:
            yield f"correction {number}, subject_key"


def _files(handover: Handover, sums: Mapping[str, str]) -> Iterator[str]:
    """Every photo and image has its one file, of the bytes that its row names; no file is nobody's."""
    pictures: tuple[type[Any], ...] = (Photo, VetImage)
    rows = {row.key: row for kind in pictures for row in handover.of(kind)}
    if sorted(map(str, rows)) != sorted(str(file.key) for file in handover.files):
        yield "files"
        return
    for number, file in enumerate(handover.files, 1):
        row, suffix = rows[file.key], file.file.rpartition(".")[2]
        fits = _FILE.fullmatch(file.file) and _SHA256.fullmatch(file.sha256)
        plain = suffix in _PICTURES or isinstance(row, VetImage)
        if not (fits and plain and sums.get(f"data/{file.file}") == file.sha256):
            yield f"files {number}"
        if (row.sha256, row.suffix) != (file.sha256, f".{suffix}"):
            yield f"files {number}, sha256"
