"""The place Bench: the photos of a horse, marked one by one or as a set."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from pathlib import Path
from uuid import UUID

from hoofbook.casework.bench_live import Live, LiveSession, live_of
from hoofbook.casework.bench_proposals import ghost_of, propose
from hoofbook.casework.open_book import OpenBook, uuid
from hoofbook.casework.shots import group_of, keep_measures, measure_again, measure_shots, read_group
from hoofbook.casework.tiles import preview_of, tile_of
from hoofbook.terms.marks import MARK_KINDS, Marking, MarkState, mark_group
from hoofbook.terms.shown import EmptyPlace, PhotoTile
from hoofbook.terms.subjects import MarkingPass, Photo
from hoofbook.terms.views import View
from hoofbook.wording.bench import (
    ALL_MARKED,
    NO_BENCH_PHOTOS,
    card_words,
    marked_note,
    photo_subtitle,
    photo_title,
    progress_words,
)
from hoofbook.wording.cautions import MEASURING
from hoofbook.wording.marks import mark_label, mark_sentence
from hoofbook.wording.remarks import sentence as remark_sentence

__all__ = [
    "BenchPhoto",
    "BenchSheet",
    "MarkLine",
    "mark_lines",
    "next_mark",
    "propose",
    "read_bench",
    "save_pass",
    "start_live",
]
CRACK_MARKS = ("crack_hairline", "crack_top")
HEEL_MARKS = ("heel_", "shoe_heel")
SET_COUNTS = (("rim", 6), ("sole_edge", 6))
_SET_EXTRA = ("heel_medial", "heel_lateral", "widest_medial", "widest_lateral", "toe_tip")


@dataclass(frozen=True, slots=True)
class MarkLine:
    """One landmark to place, in marking order."""

    name: str
    label: str
    sentence: str
    required: bool
    group: str


@dataclass(frozen=True, slots=True)
class BenchPhoto:
    """The photo on the Bench with its marks and what the card says. `ghost` holds proposals, never counted."""

    key: str
    original: Path
    preview: Path
    title: str
    subtitle: str
    view: str
    foot: str
    moment: str
    set_keys: tuple[str, ...]
    width: int
    height: int
    lines: tuple[MarkLine, ...]
    marking: Marking
    ghost: Marking
    ghost_photo: Path | None
    card_sentence: str
    card_good: bool
    card_details: str
    remarks: tuple[str, ...]
    caution: str


@dataclass(frozen=True, slots=True)
class BenchSheet:
    horse: str
    strip: tuple[PhotoTile, ...]
    current: BenchPhoto | None
    empty: EmptyPlace | None = None
    progress: str = ""


def read_bench(open_book: OpenBook, horse: str, photo: str = "") -> BenchSheet:
    """The photos of the current photo's visit, and the photo itself.

    Where none is named: of the newest visit the first photo without marks, else its first.
    """
    kept = open_book.horse(horse)
    photos = [item for item in open_book.book.photos(kept.key) if item.view not in (None, View.WHOLE)]
    if not photos:
        return BenchSheet(horse, (), None, EmptyPlace(*NO_BENCH_PHOTOS, action="photos_in"))
    passes = open_book.book.latest_passes(kept.key)
    current = _current(photos, passes, photo)
    same = [item for item in photos if (item.visit, item.foot) == (current.visit, current.foot)]
    same += [item for item in photos if item.visit == current.visit and item.foot != current.foot]
    strip = tuple(
        tile_of(open_book, item, marked_note(_count(passes, item)), marks=passes.get(item.key)) for item in same
    )
    todo = [item for item in same if not item.picture_only]
    done = sum(1 for item in todo if _count(passes, item) > 0)
    words = progress_words(done, len(todo)) if done < len(todo) else ALL_MARKED
    return BenchSheet(horse, strip, _bench_photo(open_book, current, photos, passes), None, words)


def _current(photos: Sequence[Photo], passes: Mapping[UUID, MarkingPass], wanted: str) -> Photo:
    for item in photos:
        if str(item.key) == wanted:
            return item
    newest = max(photos, key=lambda item: item.local_time)
    same_visit = sorted((item for item in photos if item.visit == newest.visit), key=lambda item: item.local_time)
    unmarked = [item for item in same_visit if item.key not in passes and not item.picture_only]
    return (unmarked or same_visit)[0]


def _count(passes: Mapping[UUID, MarkingPass], photo: Photo) -> int:
    found = passes.get(photo.key)
    return len(found.marking.confirmed) if found else 0


def _bench_photo(
    open_book: OpenBook, photo: Photo, photos: Sequence[Photo], passes: Mapping[UUID, MarkingPass]
) -> BenchPhoto:
    group = read_group(open_book, photo)
    members = group_of(photo, photos)
    marking = passes[photo.key].marking if photo.key in passes else Marking()
    ghost, ghost_photo = ghost_of(open_book, photo, photos, passes, group) if not marking else (Marking(), None)
    measured = measure_shots(group.shots()) if group.passes else None
    shot = next(item for item in group.shots() if item.key == str(photo.key))
    scale = measured.scales.get(shot.key) if measured else None
    sentence, good, details = card_words(shot.sighting, scale, photo.view or View.WHOLE)
    found = photo.remarks + (measured.remarks.get(shot.key, ()) if measured else ())
    return BenchPhoto(
        key=str(photo.key),
        original=open_book.archive.path(photo),
        preview=preview_of(open_book, photo),
        title=photo_title(photo.foot, photo.view, len(members), from_inside=photo.from_inside),
        subtitle=photo_subtitle(photo.moment, photo.local_time, photo.shod),
        view=photo.view.value if photo.view else "",
        foot=photo.foot.value if photo.foot else "",
        moment=photo.moment.value if photo.moment else "",
        set_keys=tuple(str(item.key) for item in members),
        width=photo.width,
        height=photo.height,
        lines=mark_lines(
            photo.view or View.WHOLE, in_set=len(members) > 1, shod=photo.shod, from_inside=photo.from_inside
        ),
        marking=marking,
        ghost=ghost,
        ghost_photo=ghost_photo,
        card_sentence=sentence,
        card_good=good,
        card_details=details,
        remarks=tuple(dict.fromkeys(remark_sentence(remark) for remark in found)),
        caution=MEASURING,
    )


def mark_lines(
    view: View, *, in_set: bool = False, shod: bool = False, from_inside: bool = False
) -> tuple[MarkLine, ...]:
    """The landmarks of a photo in marking order; a sole set starts with its wall edge, sole edge and frog.

    A side view is taken from the inside because of a crack there: its two marks are asked for, those of the mid plane
    may follow; the heel it shows is not the one that is measured.
    """
    names: list[tuple[str, bool]]
    if in_set:
        names = [(f"{group}_{number:02d}", True) for group, count in SET_COUNTS for number in range(1, count + 1)]
        names += [("frog_apex", True)] + [(name, False) for name in _SET_EXTRA]
    else:
        names = [
            (kind.name, kind.required or (shod and kind.name.startswith("shoe_")))
            for kind in MARK_KINDS[view]
            if shod or not kind.name.startswith("shoe_")
        ]
        if from_inside and view is View.LATERAL:
            names = [(name, True) for name in CRACK_MARKS] + [
                (name, False) for name, _ in names if name not in CRACK_MARKS and not name.startswith(HEEL_MARKS)
            ]
    return tuple(
        MarkLine(name, mark_label(name), mark_sentence(view, name), required, mark_group(name))
        for name, required in names
    )


def next_mark(lines: Sequence[MarkLine], marking: Marking) -> str | None:
    """The landmark to place next: the first required one that is neither placed nor said to be unseen."""
    for line in lines:
        if line.required and (line.name not in marking or marking.marks[line.name].state is MarkState.PROPOSED):
            return line.name
    return None


def start_live(open_book: OpenBook, photo: str) -> LiveSession:
    """Live measures of the photo and its set while marks move; needs the book only here."""
    kept = open_book.book.get(Photo, uuid(photo))
    return LiveSession(read_group(open_book, kept))


def save_pass(open_book: OpenBook, photo: str, marking: Marking, *, zoom: float = 0.0) -> Live:
    """Keeps a new pass of marks (older ones stay), computes and keeps the measures of the photo and its set."""
    from hoofbook.records.keys import new_key

    kept = open_book.book.get(Photo, uuid(photo))
    last = open_book.book.latest_pass(kept.key)
    settled = Marking({name: mark for name, mark in marking.marks.items() if mark.state is not MarkState.PROPOSED})
    if last is None or last.marking != settled:
        base = last or MarkingPass(new_key(), kept.key, "", open_book.clock.now(), settled)
        fresh = replace(
            base,
            key=new_key(),
            marked_by=open_book.person,
            marked_at=open_book.clock.now(),
            marking=settled,
            blind=False,
        )
        with open_book.book.writing() as writer:
            writer.add(fresh)
    group = read_group(open_book, kept)
    measured = measure_shots(group.shots())
    with open_book.book.writing() as writer:
        keep_measures(open_book, writer, group, measured)
    if kept.view is View.SOLAR and measured.quantity("heel_separation") is not None:
        sides = open_book.book.photos(kept.horse, visit=kept.visit, foot=kept.foot, view=View.LATERAL)
        measure_again(open_book, sides)
    return live_of(measured, keys=[str(member.key) for member in group.photos])
