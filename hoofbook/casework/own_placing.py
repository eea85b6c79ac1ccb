"""How closely this book's people place a mark again: passes made without looking, over all horses.

They never change a measure and never stand for a second take: the photo is the same one.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING
from uuid import UUID
from weakref import WeakKeyDictionary

from hoofbook.casework.open_book import OpenBook
from hoofbook.progress.placing import MarkedPhoto, PlacingSpreads, placing_spreads
from hoofbook.terms.marks import Marking, mark_group
from hoofbook.terms.subjects import MarkingPass, Photo

if TYPE_CHECKING:
    from hoofbook.records.book import Book


@dataclass(frozen=True, slots=True)
class Again:
    """One photo, the pass that counted when it was marked without looking, and that later pass (see `rounds`)."""

    photo: Photo
    first: MarkingPass
    again: MarkingPass

    @property
    def one_person(self) -> bool:
        return self.first.marked_by == self.again.marked_by


_known: WeakKeyDictionary[Book, tuple[int, tuple[Again, ...], PlacingSpreads]] = WeakKeyDictionary()


def every_again(open_book: OpenBook) -> tuple[Again, ...]:
    """All passes made without looking, oldest first, each with the pass that counted at the time: what was corrected
    after both were shown is no second opinion."""
    return _read(open_book)[1]


def own_spreads(open_book: OpenBook) -> PlacingSpreads:
    """How closely one person places a mark again, by what the eye has to find, over the whole book."""
    return _read(open_book)[2]


def _read(open_book: OpenBook) -> tuple[int, tuple[Again, ...], PlacingSpreads]:
    """Asked of the book anew only after something was written."""
    book = open_book.book
    writes = book.writes()
    known = _known.get(book)
    if known is None or known[0] != writes:
        found = tuple(_paired(open_book))
        known = (writes, found, placing_spreads(_repeats(found)))
        _known[book] = known
    return known


def askable(marking: Marking) -> tuple[str, ...]:
    """Marks that can be placed again: each a place of its own (numbered ones may lie anywhere along an edge)."""
    return tuple(name for name in marking.confirmed if mark_group(name) == name)


def rounds(first: Marking, later: Iterable[MarkingPass]) -> list[MarkingPass]:
    """Passes of one person, oldest first, joined to whole ones: who left half-way went on with the rest later.

    The last may be unfinished: it has not yet an answer for every mark that can be placed again.
    """
    names = set(askable(first))
    found: list[MarkingPass] = []
    for each in later:
        if found and not is_whole(names, found[-1].marking):
            before = found.pop().marking
            found.append(replace(each, marking=Marking({**before.marks, **each.marking.marks})))
        else:
            found.append(each)
    return found


def is_whole(names: Iterable[str], marking: Marking) -> bool:
    return all(name in marking for name in names)


def _paired(open_book: OpenBook) -> Iterable[Again]:
    marked = open_book.book.marked_again()
    passes: dict[UUID, list[MarkingPass]] = defaultdict(list)
    for each in marked.passes:  # oldest first
        passes[each.photo].append(each)
    for key, photo in marked.photos.items():
        yield from _of_photo(photo, passes[key])


def _of_photo(photo: Photo, passes: Iterable[MarkingPass]) -> Iterable[Again]:
    first: MarkingPass | None = None
    later: dict[tuple[UUID, str], list[MarkingPass]] = defaultdict(list)
    firsts: dict[UUID, MarkingPass] = {}
    for each in passes:
        if not each.blind:
            first = each
        elif first is not None:
            firsts[first.key] = first
            later[first.key, each.marked_by].append(each)
    for (key, _), own in later.items():
        for each in rounds(firsts[key].marking, own):
            yield Again(photo, firsts[key], each)


def _repeats(found: Iterable[Again]) -> Iterable[MarkedPhoto]:
    """By photo and first pass: that pass and what the same person placed later without looking."""
    groups: dict[UUID, list[Again]] = defaultdict(list)
    for each in found:
        if each.one_person:
            groups[each.first.key].append(each)
    for repeats in groups.values():
        photo = repeats[0].photo
        if photo.view is not None:
            markings = [repeats[0].first.marking, *(each.again.marking for each in repeats)]
            yield photo.view, (photo.width, photo.height), markings
