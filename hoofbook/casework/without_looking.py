"""Marking a photo again without seeing its marks: a photo drawn at random, and what the second pass tells."""

from __future__ import annotations

import random
from dataclasses import dataclass, replace
from types import MappingProxyType

from hoofbook.casework.bench import BenchPhoto, read_bench
from hoofbook.casework.open_book import OpenBook, uuid
from hoofbook.casework.shots import measure_shots, read_group
from hoofbook.terms.marks import Marking, MarkState
from hoofbook.terms.refusal import Refusal, Refused
from hoofbook.terms.subjects import MarkingPass, Photo
from hoofbook.wording import without_looking as words

ALL_CODES = ("no_photo_to_mark_again",)


@dataclass(frozen=True, slots=True)
class AgainSheet:
    """The photo with empty marks; only what the first pass placed is asked for."""

    photo: BenchPhoto


@dataclass(frozen=True, slots=True)
class AgainResult:
    """Both passes and what they say: rows of measure or mark, first, again."""

    first: Marking
    again: Marking
    title: str
    rows: tuple[tuple[str, str], ...]


def draw_photo(open_book: OpenBook, photo: str = "", seed: int | None = None) -> AgainSheet:
    """The named photo, else one drawn at random from all marked photos of the book (`seed` makes it repeatable).

    Raises:
        Refused: `no_photo_to_mark_again` where no photo carries marks yet.
    """
    book = open_book.book
    if photo:
        chosen = book.get(Photo, uuid(photo))
    else:
        marked = {found.photo for found in book.every(MarkingPass) if not found.blind and len(found.marking.confirmed)}
        photos = [kept for kept in book.every(Photo) if kept.key in marked and not kept.set_aside]
        if not photos:
            raise Refused(Refusal("no_photo_to_mark_again", {}))
        chosen = random.Random(seed).choice(sorted(photos, key=lambda kept: str(kept.key)))  # not a secret
    first = book.latest_pass(chosen.key)
    if first is None or not first.marking.confirmed:
        raise Refused(Refusal("no_photo_to_mark_again", {}))
    current = read_bench(open_book, str(chosen.horse), str(chosen.key)).current
    assert current is not None
    asked = tuple(replace(line, required=True) for line in current.lines if line.name in first.marking.confirmed)
    return AgainSheet(replace(current, lines=asked, marking=Marking(), ghost=Marking(), ghost_photo=None, set_keys=()))


def keep_again(open_book: OpenBook, photo: str, marking: Marking) -> AgainResult:
    """Keeps the pass as one made without looking (it never changes a measure) and compares both."""
    from hoofbook.records.keys import new_key

    kept = open_book.book.get(Photo, uuid(photo))
    first = open_book.book.latest_pass(kept.key)
    assert first is not None
    settled = Marking({name: mark for name, mark in marking.marks.items() if mark.state is not MarkState.PROPOSED})
    again = replace(
        first,
        key=new_key(),
        marked_by=open_book.person,
        marked_at=open_book.clock.now(),
        marking=settled,
        blind=True,
    )
    with open_book.book.writing() as writer:
        writer.add(again)
    return AgainResult(
        first.marking, settled, words.compared_title(first.marked_at.date()), _rows(open_book, kept, again)
    )


def _rows(open_book: OpenBook, photo: Photo, again: MarkingPass) -> tuple[tuple[str, str], ...]:
    group = read_group(open_book, photo)
    other = replace(group, passes=MappingProxyType({**group.passes, photo.key: again}))
    before, after = measure_shots(group.shots()), measure_shots(other.shots())
    scale = before.scales.get(str(photo.key))
    rows = [
        words.measure_row(quantity, same)
        for quantity in before.quantities
        if (same := after.quantity(quantity.name, quantity.definition.value)) is not None
    ]
    first, second = group.passes[photo.key].marking.confirmed, again.marking.confirmed
    px_per_mm = scale.px_per_mm if scale is not None else None
    return (
        *rows,
        *(words.mark_row(name, mark, second[name], px_per_mm) for name, mark in first.items() if name in second),
    )
