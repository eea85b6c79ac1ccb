"""Photos of the book as measuring sees them, and their measures kept up to date."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from types import MappingProxyType
from typing import TYPE_CHECKING
from uuid import UUID

from hoofbook.casework.open_book import OpenBook
from hoofbook.casework.own_placing import own_spreads
from hoofbook.terms.marks import Marking
from hoofbook.terms.measured import Measured, Placing, Ruler, Shot, Told
from hoofbook.terms.quantity import Quantity
from hoofbook.terms.subjects import MarkingPass, MeasureKept, Photo, Sighting
from hoofbook.terms.views import View

if TYPE_CHECKING:
    from hoofbook.records.writing import Writer


@dataclass(frozen=True, slots=True)
class Group:
    """Photos that are measured together: one photo, or the photos of one sole set, with their newest marks."""

    photos: tuple[Photo, ...]
    sightings: Mapping[UUID, Sighting]
    passes: Mapping[UUID, MarkingPass]
    heel: Told | None = None
    placing: Placing | None = None

    def shots(self, markings: Mapping[str, Marking] | None = None) -> tuple[Shot, ...]:
        """As measuring sees them; `markings` (by photo key) stand in for the kept passes."""
        return tuple(
            shot_of(
                photo,
                self.sightings.get(photo.key),
                self.passes.get(photo.key),
                heel=self.heel,
                placing=self.placing,
                marking=(markings or {}).get(str(photo.key)),
            )
            for photo in self.photos
        )


def shot_of(
    photo: Photo,
    sighting: Sighting | None,
    marks: MarkingPass | None,
    *,
    heel: Told | None = None,
    placing: Placing | None = None,
    marking: Marking | None = None,
) -> Shot:
    """One photo of the book as measuring sees it; `marking` stands in for the kept pass (a gesture on the Bench)."""
    told = marks if marks is not None else None
    return Shot(
        key=str(photo.key),
        view=photo.view or View.WHOLE,
        photo_size=(photo.width, photo.height),
        marking=marking if marking is not None else (told.marking if told else Marking()),
        foot=photo.foot,
        sighting=sighting.card if sighting else None,
        card_plane=photo.card_plane,
        card_stands_on=photo.card_stands_on,
        focal_35mm=photo.focal_35mm,
        card_size_mm=told.card_size_mm if told else None,
        placing_px=told.placing_px if told else None,
        placing=placing,
        ruler=_ruler(told),
        foot_width=_foot_width(told),
        heel_half_separation=heel,
        shod=photo.shod,
        from_inside=photo.from_inside,
        edited=any(remark.code in EDITED_CODES for remark in photo.remarks),
        set_name=photo.set_name,
        lens_key=f"lens {photo.camera} {photo.focal_35mm or ''}".strip(),
        person_key=told.marked_by if told else "person",
    )


EDITED_CODES = ("photo_edited", "photo_cropped", "photo_shrunk")


def _ruler(told: MarkingPass | None) -> Ruler | None:
    if told is None or told.ruler_a is None or told.ruler_b is None or told.ruler_mm is None:
        return None
    return Ruler(told.ruler_a, told.ruler_b, told.ruler_mm)


def _foot_width(told: MarkingPass | None) -> Told | None:
    if told is None or told.foot_width_mm is None:
        return None
    return Told(told.foot_width_mm, told.foot_width_u_mm or 1.0)


def measure_shots(shots: Sequence[Shot]) -> Measured:
    """Measures one photo, or the sole photos of one set together."""
    if len(shots) > 1:
        from hoofbook.measure.concavity import measure_set

        return measure_set(shots)
    from hoofbook.measure import measure_shot
    from hoofbook.measure.photo_check import check_marked

    shot = shots[0]
    measured = measure_shot(shot)
    known = measured.remarks.get(shot.key, ())
    new = tuple(remark for remark in check_marked(shot, measured) if remark not in known)
    return replace(measured, remarks=MappingProxyType({**measured.remarks, shot.key: known + new})) if new else measured


def is_set(photo: Photo) -> bool:
    return photo.view is View.SOLAR and bool(photo.set_name)


def group_of(photo: Photo, photos: Iterable[Photo]) -> tuple[Photo, ...]:
    """The photos measured together with `photo`, in the order they were taken."""
    if not is_set(photo):
        return (photo,)
    same = [
        other
        for other in photos
        if is_set(other)
        and (other.visit, other.foot, other.moment, other.set_name, other.retake)
        == (photo.visit, photo.foot, photo.moment, photo.set_name, photo.retake)
        and not other.picture_only
    ]
    return tuple(sorted(same, key=lambda other: (other.local_time, other.given_name))) or (photo,)


def read_group(open_book: OpenBook, photo: Photo) -> Group:
    """The group of `photo` with its sightings, newest marks and the heel separation known for this foot and visit."""
    book = open_book.book
    photos = group_of(photo, book.photos(photo.horse, visit=photo.visit, foot=photo.foot))
    keys = {member.key for member in photos}
    sightings = {key: seen for key, seen in book.sightings(photo.horse).items() if key in keys}
    passes = {key: marks for key, marks in book.latest_passes(photo.horse).items() if key in keys}
    measures = book.measures(photo.horse, visit=photo.visit, foot=photo.foot)
    heel = heel_of(kept.quantity for kept in measures)
    return Group(photos, sightings, passes, heel, own_spreads(open_book).own)


def heel_of(quantities: Iterable[Quantity]) -> Told | None:
    """Half the heel separation from the best sole photo of the same foot and visit, None where there is none."""
    found = [quantity for quantity in quantities if quantity.name == "heel_separation"]
    if not found:
        return None
    from hoofbook.measure.solar import heel_half_separation

    return heel_half_separation(min(found, key=lambda quantity: quantity.u))


def keep_measures(open_book: OpenBook, writer: Writer, group: Group, measured: Measured) -> None:
    """Replaces what was computed from these photos by `measured`; readings off a map of the same marks stay."""
    from hoofbook.casework.whole_sole import still_true
    from hoofbook.records.keys import new_key

    first = group.photos[0]
    keys = [photo.key for photo in group.photos]
    if first.foot is None or first.moment is None:
        writer.keep_measures(keys, [])
        return
    passes = tuple(marks.key for marks in group.passes.values())
    now = open_book.clock.now()
    kept = [
        MeasureKept(new_key(), first.horse, first.visit, first.foot, first.moment, quantity, passes, now)
        for quantity in measured.quantities
    ]
    writer.keep_measures(keys, [*kept, *still_true(open_book, group)])


def measure_again(open_book: OpenBook, photos: Sequence[Photo]) -> None:
    """Computes and keeps the measures of these photos and their sets: sole first, since side views use its width."""
    done: set[UUID] = set()
    for photo in sorted(photos, key=lambda item: item.view is not View.SOLAR):
        if photo.key in done or photo.view is None or photo.picture_only:
            continue
        group = read_group(open_book, photo)
        done |= {member.key for member in group.photos}
        if group.passes:
            measured = measure_shots(group.shots())
            with open_book.book.writing() as writer:
                keep_measures(open_book, writer, group, measured)
