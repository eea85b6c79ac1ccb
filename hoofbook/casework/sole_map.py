"""The whole sole: maps of a foot's sole sets, one visit or two, made in a process of their own and kept as previews."""

from __future__ import annotations

import hashlib
from collections.abc import Generator, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from pathlib import Path
from typing import Any
from uuid import UUID

from hoofbook.casework.open_book import OpenBook, uuid
from hoofbook.casework.pictures import PictureBuffer
from hoofbook.casework.shots import group_of, is_set, read_group
from hoofbook.casework.sole_shape import DenseResult, dense_in_child
from hoofbook.measure.concavity.map_change import MapChange, depth_range, map_change, section_across, section_along
from hoofbook.measure.concavity.map_measures import METHOD, map_quantities
from hoofbook.terms.drawing import Drawing
from hoofbook.terms.feet import Foot
from hoofbook.terms.measured import Shot
from hoofbook.terms.refusal import Refusal, Refused
from hoofbook.terms.shown import EmptyPlace, MeasureLine, Pick, Step
from hoofbook.terms.sole_shape import SoleShape
from hoofbook.terms.subjects import Photo
from hoofbook.wording import sole_map as words
from hoofbook.wording.measures import measure_line
from hoofbook.wording.places import foot_name

NAME = "whole-sole.npz"
SAVED_ZOOM = 6  # px for a cell of half a millimetre
ALL_CODES = ("map_ending_unknown",)


@dataclass(frozen=True, slots=True)
class MapJob:
    """What making one map needs, so that it can run without the book: `key` and `name` say where it is kept."""

    shots: tuple[Shot, ...]
    files: Mapping[str, Path]
    key: str


@dataclass(frozen=True, slots=True)
class SoleMapSheet:
    """The map of the chosen visit (None: not made yet), the earlier one it is compared with, and what is said."""

    horse: str
    feet: Pick
    visits: Pick
    others: Pick
    title: str = ""
    now: SoleShape | None = None
    then: SoleShape | None = None
    change: MapChange | None = None
    change_words: str = ""
    completeness: str = ""
    lines: tuple[MeasureLine, ...] = ()
    reach: tuple[float, float] = (0.0, 6.0)
    job: MapJob | None = None
    other_job: MapJob | None = None
    empty: EmptyPlace | None = None


@dataclass(frozen=True, slots=True)
class _Set:
    day: date
    photos: tuple[Photo, ...]

    @property
    def key(self) -> str:
        return str(self.photos[0].key)


def _named(sets: Sequence[_Set]) -> tuple[str, ...]:
    return words.set_names([(each.day, each.photos[0].moment) for each in sets])


def read_sole_map(open_book: OpenBook, horse: str, foot: str = "", chosen: str = "", against: str = "") -> SoleMapSheet:
    """The sheet of a foot; `chosen` and `against` are sets, named by their first photo. The newest where none is."""
    sets = _sets(open_book, uuid(horse))
    feet = [each for each in Foot if sets.get(each)]
    if not feet:
        none = Pick("foot", "", (), ())
        return SoleMapSheet(horse, none, none, none, empty=EmptyPlace(*words.NO_SETS, action="bench"))
    place = Foot(foot) if foot in feet else feet[0]
    here = sets[place]
    now = next((each for each in here if each.key == chosen), here[-1])
    earlier = [each for each in here if each.day < now.day]
    then = next((each for each in earlier if each.key == against), earlier[0] if earlier else None)
    job, other = _job(open_book, now), _job(open_book, then) if then else None
    kept = {item.key: _kept(open_book, item) for item in (job, other) if item is not None}
    sole, before = kept[job.key], kept[other.key] if other else None
    change = map_change(before, sole) if sole is not None and before is not None else None
    made = tuple(each for each in (before, sole) if each is not None)
    return SoleMapSheet(
        horse,
        Pick("foot", "", tuple(feet), tuple(foot_name(each) for each in feet), place.value),
        Pick("visit", "", tuple(s.key for s in here), _named(here), now.key),
        Pick("against", words.COMPARED_WITH, tuple(s.key for s in earlier), _named(earlier),
             then.key if then else ""),
        title=f"{foot_name(place)}, {words.TITLE.lower()}",
        now=sole,
        then=before,
        change=change,
        change_words=words.change_sentence(change, then.day, now.day) if change is not None and then else "",
        completeness=words.completeness_words(sole) if sole is not None else "",
        lines=_lines(sole, job) if sole is not None else (),
        reach=depth_range(made),
        job=job if sole is None else None,
        other_job=other if before is None else None,
    )  # fmt: skip


def _lines(sole: SoleShape, job: MapJob) -> tuple[MeasureLine, ...]:
    quantities, _ = map_quantities(sole, tuple(shot.key for shot in job.shots))
    return tuple(measure_line(quantity) for quantity in quantities)


def _sets(open_book: OpenBook, horse: UUID) -> dict[Foot, list[_Set]]:
    """Marked sole sets of two photos or more by foot, oldest first."""
    book = open_book.book
    photos = [photo for photo in book.photos(horse) if is_set(photo) and photo.visit and photo.foot]
    days = {visit.key: visit.day for visit in book.history(horse).visits}
    passes = book.latest_passes(horse)
    found: dict[Foot, list[_Set]] = {}
    done: set[UUID] = set()
    for photo in photos:
        if photo.key in done:
            continue
        group = group_of(photo, photos)
        done |= {member.key for member in group}
        marked = sum(member.key in passes for member in group)
        if marked >= 2 and photo.foot is not None and photo.visit in days:
            found.setdefault(photo.foot, []).append(_Set(days[photo.visit], group))
    return {foot: sorted(items, key=lambda item: item.day) for foot, items in found.items()}


def _job(open_book: OpenBook, chosen: _Set) -> MapJob:
    group = read_group(open_book, chosen.photos[0])
    shots = group.shots()
    sources = [METHOD, *(photo.sha256 for photo in group.photos), *sorted(str(m.key) for m in group.passes.values())]
    key = hashlib.sha256(" ".join(sources).encode("ascii")).hexdigest()
    return MapJob(shots, {str(photo.key): open_book.archive.path(photo) for photo in group.photos}, key)


def _kept(open_book: OpenBook, job: MapJob) -> SoleShape | None:
    from hoofbook.imaging.map_files import from_bytes

    place = open_book.archive.preview(job.key, NAME)
    return from_bytes(place.read_bytes()) if place.is_file() else None


def make_map(job: MapJob) -> Generator[Step, None, DenseResult | Refusal]:
    """Measures the whole sole in a process of its own; closing the generator stops it."""
    return (yield from dense_in_child(job.shots, job.files))


def keep_map(open_book: OpenBook, job: MapJob, made: DenseResult) -> None:
    """Keeps a map beside the previews: it can be made again at any time. A read-only book keeps none."""
    from hoofbook.imaging.map_files import to_bytes

    if not open_book.read_only:
        open_book.archive.write_preview(job.key, NAME, to_bytes(made.sole))


def map_picture(sheet: SoleMapSheet, view: str, zoom: int, lamp_deg: float = 135.0) -> PictureBuffer | None:
    """The picture of one view (`depth`, `lamp`, `change`), BGRA with holes left clear; None where it is not made."""
    pixels = _pixels(sheet, view, zoom, lamp_deg)
    return None if pixels is None else PictureBuffer(pixels.shape[1], pixels.shape[0], pixels.data, float(zoom))


def _pixels(sheet: SoleMapSheet, view: str, zoom: int, lamp_deg: float) -> Any:
    from hoofbook.imaging.relief import change_picture, depth_picture, lamp_picture

    if sheet.now is None or (view == "change" and sheet.change is None):
        return None
    if view == "change" and sheet.change is not None:
        return change_picture(sheet.change.change, sheet.change.beyond, sheet.reach[1], zoom)
    if view == "lamp":
        return lamp_picture(sheet.now.depth, lamp_deg, zoom)
    return depth_picture(sheet.now.depth, *sheet.reach, zoom)


def point_said(sheet: SoleMapSheet, toe: float, right: float) -> str:
    """What a pointer on the map is told."""
    assert sheet.now is not None
    return words.point_words(sheet.now.at(toe, right), toe, right, sheet.now.toward_lateral)


def sections_drawn(
    sheet: SoleMapSheet, toe: float, right: float, size: tuple[float, float], text_size: float
) -> tuple[Drawing, Drawing]:
    """Heel to toe and side to side through a place in mm from the frog apex; the earlier visit lies dashed behind."""
    made = tuple(each for each in (sheet.then, sheet.now) if each is not None)
    low, high = sheet.reach
    along = tuple(section_along(each, right) for each in made)
    across = tuple(section_across(each, toe) for each in made)
    return (
        words.section_chart(along, low, high, size=size, text_size=text_size, title=words.SECTION_ALONG),
        words.section_chart(across, low, high, size=size, text_size=text_size, title=words.SECTION_ACROSS),
    )


def save_map(sheet: SoleMapSheet, target: Path, view: str = "depth", lamp_deg: float = 135.0) -> None:
    """Writes the map by the ending of `target`: .png the picture shown, .csv the grid, .ply the mesh.

    Raises:
        Refused: as any write; `map_ending_unknown`.
    """
    from hoofbook.housekeeping.files import write_atomic
    from hoofbook.imaging.map_files import as_csv, as_ply, as_png

    assert sheet.now is not None
    ending = target.suffix.lower()
    if ending == ".csv":
        data = as_csv(sheet.now).encode("utf-8")
    elif ending == ".ply":
        data = as_ply(sheet.now)
    elif ending == ".png":
        data = as_png(_pixels(sheet, view, SAVED_ZOOM, lamp_deg))
    else:
        raise Refused(Refusal("map_ending_unknown", {"file": target.name}))
    write_atomic(target, data)
