"""How well this book's own readings repeat: second takes of one foot, over all horses, measure by measure.

A second take is what the Photo tray was told to be one: card lifted, foot put down, photographed again. Two frames of
one stance, or marking one photo twice, say nothing here.
"""

from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date
from typing import TYPE_CHECKING
from uuid import UUID
from weakref import WeakKeyDictionary

from hoofbook.casework.open_book import OpenBook
from hoofbook.progress.agreement import Shrunk, shrunk
from hoofbook.progress.pair import default_scatter
from hoofbook.progress.series import Reading, own_u
from hoofbook.terms.feet import Foot
from hoofbook.terms.quantity import Definition
from hoofbook.terms.subjects import MeasureKept, Photo

if TYPE_CHECKING:
    from hoofbook.records.book import Book
    from hoofbook.records.repeats import TakenAgain

Measure = tuple[str, Definition]


@dataclass(frozen=True, slots=True)
class TakeSet:
    """One foot at one visit and moment, read from more than one take by one person: first take first.

    `stated` is the root mean square of what of the readings' own u can differ between the takes, in their unit.
    """

    measure: str
    definition: Definition
    horse: UUID
    visit: UUID
    foot: Foot
    values: tuple[float, ...]
    stated: float


_kept: WeakKeyDictionary[Book, tuple[int, tuple[TakeSet, ...]]] = WeakKeyDictionary()


def take_sets(open_book: OpenBook) -> tuple[TakeSet, ...]:
    """All second takes of the book with their first; asked of the book anew only after something was written."""
    book = open_book.book
    writes = book.writes()
    kept = _kept.get(book)
    if kept is None or kept[0] != writes:
        kept = (writes, tuple(_sets(book.taken_again())))
        _kept[book] = kept
    return kept[1]


def own_scatter(open_book: OpenBook) -> dict[Measure, Shrunk]:
    """Default and own figure together, for every measure that was ever taken twice."""
    groups: dict[Measure, list[TakeSet]] = defaultdict(list)
    for found in take_sets(open_book):
        groups[found.measure, found.definition].append(found)
    return {key: scatter_of(key[0], sets) for key, sets in groups.items()}


def scatter_of(measure: str, sets: Sequence[TakeSet]) -> Shrunk:
    """The default of a measure and these second takes of it; without any the default alone."""
    stated = math.sqrt(math.fsum(found.stated**2 for found in sets) / len(sets)) if sets else 0.0
    return shrunk(default_scatter(measure), [found.values for found in sets], stated)


def _sets(found: TakenAgain) -> Iterable[TakeSet]:
    photos = {str(photo.key): photo for photo in found.photos}
    groups: dict[tuple[object, ...], list[tuple[bool, str, MeasureKept]]] = defaultdict(list)
    for kept in found.measures:
        own = [photos[key] for key in kept.quantity.photos if key in photos]
        people = {found.people[key] for key in kept.passes if key in found.people}
        if own and len(people) == 1:
            take = any(photo.retake for photo in own)
            groups[_alike(kept, own, people.pop())].append((take, own[0].local_time, kept))
    for group in groups.values():
        takes = sorted(group, key=lambda one: one[:2])  # the first take's frames first, each by time
        second = [kept for is_second, _, kept in takes if is_second]
        if 0 < len(second) < len(takes):
            yield _set((takes[0][2], *second))


def _alike(kept: MeasureKept, photos: Sequence[Photo], person: str) -> tuple[object, ...]:
    """What two takes must share: all that `comparable` asks, the side they were taken from, and who marked them."""
    quantity = kept.quantity
    told = (any(photo.shod for photo in photos), any(photo.from_inside for photo in photos), person)
    where = (kept.horse, kept.visit, kept.foot, kept.moment, photos[0].view)
    return (*where, quantity.name, quantity.definition, quantity.method, *told)


def _set(takes: Sequence[MeasureKept]) -> TakeSet:
    first = takes[0]
    readings = [Reading.of(kept.quantity, date.min, kept.moment) for kept in takes]
    stated = math.sqrt(math.fsum(share**2 for share in own_u(readings)) / len(readings))
    assert first.visit is not None
    quantity = first.quantity
    values = tuple(reading.value for reading in readings)
    return TakeSet(quantity.name, quantity.definition, first.horse, first.visit, first.foot, values, stated)
