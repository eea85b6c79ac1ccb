"""Marking a photo again without seeing its marks: which photo, what is asked, and what both passes come to."""

from __future__ import annotations

import random
from collections.abc import Sequence
from dataclasses import dataclass, replace
from uuid import UUID

from hoofbook.casework.bench import BenchPhoto, MarkLine, read_bench
from hoofbook.casework.marked_again import both_measured
from hoofbook.casework.open_book import OpenBook, uuid
from hoofbook.casework.own_placing import Again, askable, every_again, is_whole
from hoofbook.casework.shots import measure_shots, read_group
from hoofbook.terms.drawing import Drawing
from hoofbook.terms.marks import Marking, MarkState, mark_group
from hoofbook.terms.refusal import Refusal, Refused
from hoofbook.terms.subjects import MarkingPass, Photo
from hoofbook.terms.views import View
from hoofbook.wording import without_looking as words
from hoofbook.wording.marks import mark_label, mark_sentence

ALL_CODES = ("no_photo_to_mark_again",)


@dataclass(frozen=True, slots=True)
class AgainSheet:
    """The photo with empty marks; only what the first pass placed is asked for, less what was placed before leaving
    half-way. `said` tells who marks and how many photos there are so far."""

    photo: BenchPhoto
    said: str


@dataclass(frozen=True, slots=True)
class AgainResult:
    """Both passes and what they say. `drawing` (frame photo) shows the first marks beside those of `again`; `places`
    are the marks of both by name, for looking at one closely."""

    again: Marking
    first: Marking
    title: str
    rows: tuple[tuple[str, str], ...]
    drawing: Drawing


def draw_photo(open_book: OpenBook, photo: str = "", seed: int | None = None) -> AgainSheet:
    """The named photo; else one left half-way, else one drawn at random from all marked photos of the book among those
    that this person marked again least often (`seed` makes it repeatable).

    Raises:
        Refused: `no_photo_to_mark_again` where no photo has marks that can be placed again.
    """
    for key in (uuid(photo),) if photo else _candidates(open_book, seed):
        sheet = _sheet(open_book, key)
        if sheet is not None:
            return sheet
    raise Refused(Refusal("no_photo_to_mark_again", {}))


def _candidates(open_book: OpenBook, seed: int | None) -> Sequence[UUID]:
    half = [each.photo.key for each in _own(open_book) if _is_half(open_book, each)]
    drawn = list(open_book.book.photos_with_marks(open_book.person))
    random.Random(seed).shuffle(drawn)  # not a secret
    return [*half, *(key for key, _ in sorted(drawn, key=lambda found: found[1]))]


def _is_half(open_book: OpenBook, each: Again) -> bool:
    """True where this person left a photo half-way whose first marks still count."""
    if is_whole(askable(each.first.marking), each.again.marking):
        return False
    latest = open_book.book.latest_pass(each.photo.key)
    return latest is not None and latest.key == each.first.key


def _own(open_book: OpenBook) -> list[Again]:
    return [each for each in every_again(open_book) if each.again.marked_by == open_book.person]


def _sheet(open_book: OpenBook, key: UUID) -> AgainSheet | None:
    photo, first = open_book.book.get(Photo, key), open_book.book.latest_pass(key)
    if first is None or photo.view is None or photo.view is View.WHOLE or not askable(first.marking):
        return None
    answered = _answered(open_book, first)
    current = read_bench(open_book, str(photo.horse), str(key)).current
    assert current is not None
    names = [name for name in askable(first.marking) if name not in answered]
    order = {line.name: number for number, line in enumerate(current.lines)}
    names.sort(key=lambda name: order.get(name, len(order)))
    asked = tuple(
        MarkLine(name, mark_label(name), mark_sentence(photo.view, name), True, mark_group(name)) for name in names
    )
    blank = replace(current, lines=asked, marking=Marking(), ghost=Marking(), ghost_photo=None, set_keys=())
    return AgainSheet(blank, words.who_marks(open_book.person, len({each.photo.key for each in _own(open_book)})))


def _answered(open_book: OpenBook, first: MarkingPass) -> Marking:
    """What this person placed of the photo before leaving half-way."""
    own = [each for each in _own(open_book) if each.first.key == first.key]
    if not own or is_whole(askable(first.marking), own[-1].again.marking):
        return Marking()
    return own[-1].again.marking


def keep_again(open_book: OpenBook, photo: str, marking: Marking) -> AgainResult:
    """Keeps a pass as one made without looking (it never changes a measure), whole or as far as it came, and compares
    it with the first."""
    from hoofbook.records.keys import new_key

    kept = open_book.book.get(Photo, uuid(photo))
    first = open_book.book.latest_pass(kept.key)
    assert first is not None
    settled = {name: mark for name, mark in marking.marks.items() if mark.state is not MarkState.PROPOSED}
    fresh = replace(
        first,
        key=new_key(),
        marked_by=open_book.person,
        marked_at=open_book.clock.now(),
        marking=Marking(settled),
        blind=True,
    )
    before = _answered(open_book, first)
    with open_book.book.writing() as writer:
        writer.add(fresh)
    return _compared(open_book, Again(kept, first, replace(fresh, marking=Marking({**before.marks, **settled}))))


def _compared(open_book: OpenBook, each: Again) -> AgainResult:
    group = read_group(open_book, each.photo)
    scale = measure_shots(group.shots()).scales.get(str(each.photo.key))
    px_per_mm = scale.px_per_mm if scale is not None else None
    first, again = each.first.marking.confirmed, each.again.marking.confirmed
    both = {name: (mark, again[name]) for name, mark in first.items() if name in again}
    rows = [words.mark_row(name, *marks, px_per_mm) for name, marks in both.items()]
    if len(group.photos) == 1:
        rows += [words.measure_row(quantity, same) for quantity, same in both_measured(group, each)]
    return AgainResult(
        again=Marking({name: marks[1] for name, marks in both.items()}),
        first=Marking({name: marks[0] for name, marks in both.items()}),
        title=words.compared_title(each.first.marked_at.date(), each.first.marked_by, each.again.marked_by),
        rows=tuple(rows),
        drawing=words.both_marks(both, each.photo.width, each.photo.height),
    )
