"""The form of a Handover: what goes out with a horse, and who of one that came in is who in this book."""

from __future__ import annotations

from collections.abc import Generator, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from hoofbook.casework.handover import HandoverMade, HandoverWishes, make_handover
from hoofbook.casework.handover_matches import proposed_matches
from hoofbook.casework.handover_merge import NEW
from hoofbook.casework.open_book import OpenBook
from hoofbook.casework.taking_handover import Handed, HandoverContents, look_at_handover
from hoofbook.casework.to_send import place_to_send
from hoofbook.housekeeping.files import safe_name
from hoofbook.terms.shown import Pick, Step
from hoofbook.terms.subjects import Horse, Person, PersonRole, VetImage, Yard
from hoofbook.wording import handover as words

FEW = 8  # names that can be looked over at once


@dataclass(frozen=True, slots=True)
class HandoverForm:
    """What may go out: `vets_images` is how many images of the vet's there are."""

    horse: str
    permission: str
    vets_images: int
    file_name: str
    read_only: bool


@dataclass(frozen=True, slots=True)
class HandoverSeen:
    """One that came in, before it is taken: what is in it, and per person, yard and horse who it is here."""

    path: Path
    contents: HandoverContents
    lines: tuple[str, ...]
    picks: tuple[Pick, ...]


def read_handover_form(open_book: OpenBook, horse: str) -> HandoverForm:
    """Refused: `key_unknown`, `not_in_book`."""
    kept = open_book.horse(horse)
    owner = open_book.book.get(Person, kept.owner) if kept.owner else None
    return HandoverForm(
        horse=horse,
        permission=words.permission_words(owner),
        vets_images=len(open_book.book.every(VetImage, horse=kept.key, set_aside=False)),
        file_name=f"{safe_name(kept.name)}-handover.zip",
        read_only=open_book.read_only,
    )


def hand_over(
    open_book: OpenBook, horse: str, wishes: HandoverWishes, out: Path | None = None
) -> Generator[Step, None, HandoverMade]:
    """The Handover in `out`, or in the To send folder of today. Refused: as `make_handover`."""
    place = out or place_to_send(open_book, read_handover_form(open_book, horse).file_name)
    return make_handover(open_book, horse, wishes, place)


def see_handover(open_book: OpenBook, path: Path) -> HandoverSeen:
    """Looks one through that came in. Refused: why it cannot be taken in."""
    contents = look_at_handover(path)
    matches = proposed_matches(open_book, contents)
    handed = (contents.horse, *contents.people)
    lines = (words.came_from(contents.made_by, contents.made_on), contents.horse_words, contents.counted)
    picks = tuple(_pick(open_book, each, matches[each.key]) for each in handed)
    return HandoverSeen(path, contents, (*lines, *contents.problems), picks)


def _alike(rows: Sequence[Any], handed: Handed, chosen: str) -> list[Any]:
    """All where they are few; of many those that share a word of the name, and the one that is proposed."""
    if len(rows) <= FEW:
        return list(rows)
    told = set(handed.name.casefold().split())
    return [row for row in rows if str(row.key) == chosen or told & set(row.name.casefold().split())]


def _pick(open_book: OpenBook, handed: Handed, chosen: str) -> Pick:
    kind: type[Any] = {"horse": Horse, "yard": Yard}.get(handed.role, Person)
    role = {"role": PersonRole(handed.role)} if kind is Person else {}
    rows = _alike(open_book.book.every(kind, **role), handed, chosen)
    options = (NEW, *(str(row.key) for row in rows))
    labels = (words.AS_NEW, *(row.name for row in rows))
    return Pick(handed.key, words.who_is(handed.role, handed.name), options, labels, chosen)
