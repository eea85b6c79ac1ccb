"""Who of a Handover is who in this book: what is proposed, and what is taken where only the horse's name was told."""

from __future__ import annotations

from typing import Any

from hoofbook.casework.handover_merge import NEW
from hoofbook.casework.open_book import OpenBook
from hoofbook.casework.taking_handover import HandoverContents, HandoverTaken
from hoofbook.terms.refusal import Refusal, Refused
from hoofbook.terms.subjects import Horse, Person, PersonRole, Yard

ALL_CODES = ("handover_horse_there",)


def proposed_matches(open_book: OpenBook, contents: HandoverContents) -> dict[str, str]:
    """For each person and yard the one of this book with the same key, else of the same role and name, else "new";
    for the horse the one with the same key, else "new"."""
    book = open_book.book
    matches = {}
    for handed in (contents.horse, *contents.people):
        kind: type[Any] = {"horse": Horse, "yard": Yard}.get(handed.role, Person)
        role = {"role": PersonRole(handed.role)} if kind is Person else {}
        rows = book.every(kind, **role)
        same = [row for row in rows if str(row.key) == handed.key]
        alike = [row for row in rows if row.name.strip().casefold() == handed.name.strip().casefold()]
        found = same or (alike if kind is not Horse and len(alike) == 1 else [])
        matches[handed.key] = str(found[0].key) if found else NEW
    return matches


def matches_by_name(open_book: OpenBook, contents: HandoverContents, horse: str) -> dict[str, str]:
    """The proposed matches, with the horse of this book called `horse`, or a new one where that is empty.

    Refused: `horse_unknown`; `handover_horse_there` where no horse is named and it is here already.
    """
    matches = proposed_matches(open_book, contents)
    handed = contents.horse
    if horse.strip():
        return {**matches, handed.key: str(open_book.horse_named(horse).key)}
    plain = handed.name.strip().casefold()
    there = [own for own in open_book.book.every(Horse) if own.name.strip().casefold() == plain]
    if there or matches[handed.key] != NEW:
        raise Refused(Refusal("handover_horse_there", {"horse": handed.name}))
    return matches


def handover_document(taken: HandoverTaken) -> dict[str, Any]:
    """What came of one Handover, for machine reading."""
    return {
        "file": taken.file,
        "horse": taken.name,
        "key": taken.horse,
        "new_horse": taken.new_horse,
        "added": dict(taken.added),
        "already": taken.already,
    }
