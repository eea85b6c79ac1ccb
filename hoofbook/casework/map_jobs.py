"""Making maps of the whole sole: which sets have one, making one away from the book, keeping it with its readings.

The map itself is kept beside the previews (it can be made again at any time), what is read off it as measures of the
same photos, under names of their own (`map_measures.for_series`): no series mixes them with marked places.
"""

from __future__ import annotations

import hashlib
from collections.abc import Generator, Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING
from uuid import UUID

from hoofbook.casework.own_placing import own_spreads
from hoofbook.casework.shots import Group, group_of, is_set, read_group
from hoofbook.casework.sole_shape import DenseResult, dense_in_child
from hoofbook.casework.whole_sole import readings_of_maps
from hoofbook.measure.concavity.map_measures import METHOD, for_series, is_of_map
from hoofbook.terms.feet import Foot
from hoofbook.terms.measured import Shot
from hoofbook.terms.refusal import Refusal
from hoofbook.terms.shown import Step
from hoofbook.terms.sole_shape import SoleShape
from hoofbook.terms.subjects import MeasureKept, Photo

if TYPE_CHECKING:
    from hoofbook.casework.open_book import OpenBook

NAME = "whole-sole.npz"


@dataclass(frozen=True, slots=True)
class MapJob:
    """What making one map needs, so that it can run without the book: `key` says where it is kept."""

    shots: tuple[Shot, ...]
    files: Mapping[str, Path]
    key: str


@dataclass(frozen=True, slots=True)
class SoleSet:
    """A marked set of sole photos and its day; `kept` = its readings off a map are in the book."""

    day: date
    group: Group
    kept: bool

    @property
    def photos(self) -> tuple[Photo, ...]:
        return self.group.photos

    @property
    def key(self) -> str:
        return str(self.photos[0].key)


def sole_sets(open_book: OpenBook, horse: UUID) -> dict[Foot, list[SoleSet]]:
    """Marked sole sets of two photos or more by foot, oldest first."""
    book = open_book.book
    photos = [photo for photo in book.photos(horse) if is_set(photo) and photo.visit and photo.foot]
    days = {visit.key: visit.day for visit in book.history(horse).visits}
    passes, sightings, placing = book.latest_passes(horse), book.sightings(horse), own_spreads(open_book).own
    kept = {frozenset(each.passes) for each in readings_of_maps(open_book, horse) if each.quantity.method == METHOD}
    found: dict[Foot, list[SoleSet]] = {}
    done: set[UUID] = set()
    for photo in photos:
        if photo.key in done:
            continue
        members = group_of(photo, photos)
        keys = {member.key for member in members}
        done |= keys
        marks = {key: each for key, each in passes.items() if key in keys}
        if len(marks) >= 2 and photo.foot is not None and photo.visit in days:
            seen = {key: each for key, each in sightings.items() if key in keys}
            group = Group(members, seen, marks, None, placing)
            has = frozenset(each.key for each in marks.values()) in kept
            found.setdefault(photo.foot, []).append(SoleSet(days[photo.visit], group, has))
    return {foot: sorted(items, key=lambda item: item.day) for foot, items in found.items()}


def job_of(open_book: OpenBook, group: Group) -> MapJob:
    files = {str(photo.key): open_book.archive.path(photo) for photo in group.photos}
    return MapJob(group.shots(), files, key_of(group))


def key_of(group: Group) -> str:
    """Names the map of exactly these photos, these marks and this method."""
    sources = [METHOD, *(photo.sha256 for photo in group.photos), *sorted(str(m.key) for m in group.passes.values())]
    return hashlib.sha256(" ".join(sources).encode("ascii")).hexdigest()


def map_of(open_book: OpenBook, group: Group) -> SoleShape | None:
    """The map that was kept of this set; None: not made yet."""
    from hoofbook.imaging.map_files import from_bytes

    place = open_book.archive.preview(key_of(group), NAME)
    return from_bytes(place.read_bytes()) if place.is_file() else None


def waiting_jobs(open_book: OpenBook, sets: Iterable[SoleSet]) -> tuple[MapJob, ...]:
    """Of these sets, those without a map or without its readings; a read-only book keeps none and waits for none."""
    if open_book.read_only:
        return ()
    archive = open_book.archive
    groups = [one.group for one in sets if not (one.kept and archive.preview(key_of(one.group), NAME).is_file())]
    return tuple(job_of(open_book, group) for group in groups)


def make_map(job: MapJob) -> Generator[Step, None, DenseResult | Refusal]:
    """Measures the whole sole in a process of its own; closing the generator stops it."""
    return (yield from dense_in_child(job.shots, job.files))


def keep_map(open_book: OpenBook, job: MapJob, made: DenseResult) -> None:
    """Keeps a map and what was read off it. A read-only book keeps none.

    Where photos were marked anew in the meantime the map is kept under its own name and nothing is read off it.
    """
    from hoofbook.imaging.map_files import to_bytes

    if open_book.read_only:
        return
    open_book.archive.write_preview(job.key, NAME, to_bytes(made.sole))
    group = read_group(open_book, open_book.book.get(Photo, UUID(job.shots[0].key)))
    if key_of(group) == job.key:
        _keep_readings(open_book, group, made)


def _keep_readings(open_book: OpenBook, group: Group, made: DenseResult) -> None:
    """Puts the readings beside the marked measures of the same photos, in the place of earlier readings off a map."""
    from hoofbook.records.keys import new_key

    first, keys = group.photos[0], [photo.key for photo in group.photos]
    if first.foot is None or first.moment is None:
        return
    marked = _marked(open_book, first.horse, {str(key) for key in keys})
    passes, now = tuple(each.key for each in group.passes.values()), open_book.clock.now()
    rows = [
        MeasureKept(new_key(), first.horse, first.visit, first.foot, first.moment, for_series(quantity), passes, now)
        for quantity in made.quantities
    ]
    with open_book.book.writing() as writer:
        writer.keep_measures(keys, [*marked, *rows])


def _marked(open_book: OpenBook, horse: UUID, photos: set[str]) -> Sequence[MeasureKept]:
    kept = open_book.book.measures(horse)
    return [each for each in kept if not is_of_map(each.quantity) and photos.intersection(each.quantity.photos)]
