"""What a Handover adds to a book: rows that are new there, with people and horse as they were matched.

Nothing that is in the book is ever changed: a row whose key is there stays as it is, and what the book says already in
words of its own (a record of a foot, a goal that is followed) keeps the Handover's out.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field, replace
from types import MappingProxyType
from typing import TYPE_CHECKING, Any
from uuid import UUID

from hoofbook.casework.handover_records import KINDS, Handover
from hoofbook.casework.open_book import uuid
from hoofbook.terms.refusal import Refusal, Refused
from hoofbook.terms.subjects import (
    Correction,
    FootRecord,
    FootWork,
    Goal,
    Horse,
    Limit,
    MarkingPass,
    MeasureKept,
    Person,
    Photo,
    Sighting,
    Visit,
    Yard,
)

if TYPE_CHECKING:
    from hoofbook.records.reading import Reading

ALL_CODES = ("handover_horse_there", "handover_horse_other", "handover_key_taken")
NEW = "new"
_MATCHED: tuple[type[Any], ...] = (Person, Yard, Horse)
_HORSES_PEOPLE = ("owner", "payer", "contact", "vet", "yard")


def _followed(row: Any) -> tuple[Any, ...]:
    return row.foot, row.measure, row.definition, getattr(row, "less", None)


_OWN: Mapping[type[Any], tuple[str, Callable[[Any], Any]]] = MappingProxyType(
    {
        FootRecord: ("horse", lambda row: row.foot),
        FootWork: ("visit", lambda row: row.foot),
        Goal: ("horse", lambda row: None if row.ended_on else _followed(row)),
        Limit: ("horse", _followed),
    }
)
"""Of which a horse or visit has one for each place: what it hangs on, and the place (None: any number of them)."""


@dataclass(slots=True)
class Merge:
    """Rows to add in their order, computed measures apart from them, and what a report tells.

    `again` are photos whose measures have to be computed anew: they were here, and got marks that are new.
    """

    horse: UUID
    new_horse: bool
    rows: list[Any] = field(default_factory=list)
    measures: list[MeasureKept] = field(default_factory=list)
    added: set[UUID] = field(default_factory=set)
    again: set[UUID] = field(default_factory=set)
    already: int = 0
    stayed_out: Counter[str] = field(default_factory=Counter)
    same_days: int = 0

    def of(self, kind: type[Any]) -> list[Any]:
        return [row for row in self.rows if isinstance(row, kind)]

    @property
    def counts(self) -> Mapping[str, int]:
        """How many rows are added, by table."""
        from hoofbook.records.mapping import table_of

        return Counter(table_of(type(row)).name for row in (*self.rows, *self.measures))


def merged(book: Reading, handover: Handover, matches: Mapping[str, str], name: str) -> Merge:
    """What the Handover called `name` adds to the book as it is now.

    `matches`: of each person, yard and the horse the key of the one in this book, or "new"; those not named are found
    by their own key. Refused: codes in `ALL_CODES`, `key_unknown`, `not_in_book`.
    """
    known = {row.key: _matched(book, row, matches) for kind in _MATCHED for row in handover.of(kind)}
    horse = handover.the_horse
    own = known[horse.key]
    _horse_fits(book, horse, own)
    merge = Merge(own or horse.key, own is None)
    for kind in KINDS:
        if kind is MeasureKept:
            continue
        rows = handover.of(kind)
        there = {} if kind in _MATCHED else {own.key: own for own in book.among(kind, "key", {row.key for row in rows})}
        for row in rows:
            found, own_row = known.get(row.key) if kind in _MATCHED else None, there.get(row.key)
            if found is not None or own_row is not None:
                _same_horse(book, merge, row, own_row, name)
                merge.already += 1
                continue
            _one_more(book, merge, _pointing(row, merge.horse, known))
    _measures(book, merge, handover)
    return merge


def _matched(book: Reading, row: Any, matches: Mapping[str, str]) -> UUID | None:
    """The key in this book of a person, yard or horse; None where it is new."""
    wanted = matches.get(str(row.key), NEW)
    if wanted != NEW:
        kept: UUID = book.get(type(row), uuid(wanted)).key
        return kept
    return row.key if _own_row(book, type(row), row.key) is not None else None


def _own_row(book: Reading, kind: type[Any], key: UUID) -> Any:
    found = book.every(kind, key=key)
    return found[0] if found else None


def _horse_fits(book: Reading, horse: Horse, own: UUID | None) -> None:
    there = _own_row(book, Horse, horse.key)
    if there is not None and own != there.key:
        raise Refused(Refusal("handover_horse_other", {"horse": there.name}))
    plain = horse.name.strip().casefold()
    if own is None and any(other.name.strip().casefold() == plain for other in book.every(Horse)):
        raise Refused(Refusal("handover_horse_there", {"horse": horse.name}))


def _same_horse(book: Reading, merge: Merge, row: Any, own: Any, name: str) -> None:
    """A row that is here already must hang on the same horse, and a photo be the one that was marked."""
    if own is None:
        return
    horse = getattr(own, "horse", None)
    referred: tuple[tuple[str, type[Any]], ...] = (("visit", Visit), ("photo", Photo))
    for field_name, kind in referred:
        if horse is None and isinstance(getattr(own, field_name, None), UUID):
            horse = book.get(kind, getattr(own, field_name)).horse
    other_photo = isinstance(own, Photo) and (own.width, own.height) != (row.width, row.height)
    if (horse is not None and horse != merge.horse) or other_photo:
        raise Refused(Refusal("handover_key_taken", {"file": name}))


def _pointing(row: Any, horse: UUID, known: Mapping[UUID, UUID | None]) -> Any:
    """The row with its horse, people and yard as they are called in this book."""
    if isinstance(row, Horse):
        people: dict[str, Any] = {
            name: known[key] or key for name in _HORSES_PEOPLE if (key := getattr(row, name)) is not None
        }
        return replace(row, **people)
    return replace(row, horse=horse) if hasattr(row, "horse") else row


def _one_more(book: Reading, merge: Merge, row: Any) -> None:
    if isinstance(row, Correction):
        if any(
            row.subject_key == other.key for other in merge.rows
        ):  # of a row that stayed as it was here it is untrue
            merge.rows.append(row)
        return
    if _has_its_own(book, merge, row):
        return
    if isinstance(row, Visit) and book.every(Visit, horse=merge.horse, day=row.day):
        merge.same_days += 1
    if isinstance(row, MarkingPass | Sighting) and row.photo not in merge.added:
        merge.again.add(row.photo)
    merge.rows.append(row)
    merge.added.add(row.key)


def _has_its_own(book: Reading, merge: Merge, row: Any) -> bool:
    from hoofbook.records.mapping import table_of

    hangs_on, place_of = _OWN.get(type(row), ("", None))
    if place_of is None or (place := place_of(row)) is None:
        return False
    others = book.every(type(row), **{hangs_on: getattr(row, hangs_on)})
    if not any(place_of(other) == place for other in others):
        return False
    merge.stayed_out[table_of(type(row)).name] += 1
    return True


def _measures(book: Reading, merge: Merge, handover: Handover) -> None:
    """Measures come along where all their photos are new; where some are not, they are computed anew here."""
    new = {str(photo.key) for photo in merge.of(Photo)}
    for kept in handover.of(MeasureKept):
        photos = set(kept.quantity.photos)
        if photos <= new:
            merge.measures.append(replace(kept, horse=merge.horse))
        elif photos & new:
            merge.again |= {UUID(key) for key in photos}
        else:
            merge.already += 1
