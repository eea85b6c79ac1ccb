"""The whole sole: maps of a foot's sole sets, one visit or two, made in a process of their own and kept as previews."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from hoofbook.casework.map_jobs import MapJob, SoleSet, job_of, keep_map, make_map, map_of, sole_sets, waiting_jobs
from hoofbook.casework.open_book import OpenBook, uuid
from hoofbook.casework.pictures import PictureBuffer
from hoofbook.casework.readings import read_readings
from hoofbook.casework.set_places import may_be_mapped, missing_words, places_section
from hoofbook.measure.concavity.map_change import MapChange, depth_range, map_change, section_across, section_along
from hoofbook.measure.concavity.map_measures import for_series, map_quantities
from hoofbook.progress.beside import beside, hand_readings
from hoofbook.progress.series import Reading
from hoofbook.terms.drawing import Drawing
from hoofbook.terms.feet import Foot
from hoofbook.terms.quantity import Quantity
from hoofbook.terms.refusal import Refusal, Refused
from hoofbook.terms.shown import EmptyPlace, Pick, Section
from hoofbook.terms.sole_shape import SoleShape
from hoofbook.wording import hand_beside
from hoofbook.wording import sole_map as words
from hoofbook.wording.places import foot_name

__all__ = ["MapJob", "SoleMapSheet", "keep_map", "make_map", "map_picture", "point_said", "read_sole_map", "save_map"]
SAVED_ZOOM = 6  # px for a cell of half a millimetre
ALL_CODES = ("map_ending_unknown",)


@dataclass(frozen=True, slots=True)
class SoleMapSheet:
    """The map of the chosen visit (None: not made yet), the earlier one it is compared with, and what is said.

    `missing` says what must be marked or taken again before the map can be made; there is no `job` then. `places` tells
    from where the photos were taken; `first_photo` leads to the set on the Bench. `waiting` are all visits of the foot
    whose whole sole is not measured yet and can be.
    """

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
    rows: tuple[tuple[str, str], ...] = ()
    reach: tuple[float, float] = (0.0, 6.0)
    job: MapJob | None = None
    other_job: MapJob | None = None
    waiting: tuple[MapJob, ...] = ()
    missing: tuple[str, ...] = ()
    places: Section | None = None
    first_photo: str = ""
    empty: EmptyPlace | None = None


def _named(sets: Sequence[SoleSet]) -> tuple[str, ...]:
    return words.set_names([(each.day, each.photos[0].moment) for each in sets])


def read_sole_map(open_book: OpenBook, horse: str, foot: str = "", chosen: str = "", against: str = "") -> SoleMapSheet:
    """The sheet of a foot; `chosen` and `against` are sets, named by their first photo. The newest where none is."""
    sets = sole_sets(open_book, uuid(horse))
    feet = [each for each in Foot if sets.get(each)]
    if not feet:
        none = Pick("foot", "", (), ())
        return SoleMapSheet(horse, none, none, none, empty=EmptyPlace(*words.NO_SETS, action="photo_guide"))
    place = Foot(foot) if foot in feet else feet[0]
    here = sets[place]
    now = next((each for each in here if each.key == chosen), here[-1])
    earlier = [each for each in here if each.day < now.day]
    then = next((each for each in earlier if each.key == against), earlier[0] if earlier else None)
    job, other = job_of(open_book, now.group), job_of(open_book, then.group) if then else None
    sole, before = map_of(open_book, now.group), map_of(open_book, then.group) if then else None
    missing = missing_words(job.shots) if sole is None else ()
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
        rows=_rows(open_book, horse, now, sole) if sole is not None else (),
        reach=depth_range(made),
        job=job if sole is None and not missing else None,
        other_job=other if before is None and other is not None and may_be_mapped(other.shots) else None,
        waiting=tuple(each for each in waiting_jobs(open_book, here) if may_be_mapped(each.shots)),
        missing=missing,
        places=places_section(job.shots),
        first_photo=now.key,
    )  # fmt: skip


def _rows(open_book: OpenBook, horse: str, chosen: SoleSet, sole: SoleShape) -> tuple[tuple[str, str], ...]:
    """What is read off the map, by both definitions, what a hand gauge read beside it, and the state of the foot."""
    quantities, _ = map_quantities(sole, tuple(str(photo.key) for photo in chosen.photos))
    readings, like = read_readings(open_book, uuid(horse)), _like(chosen, quantities[0])
    rows = [words.map_row(quantity) for quantity in quantities]
    at_apex = [q for q in quantities if q.name == quantities[0].name and for_series(q).name != q.name]
    for hand in hand_readings(readings.readings, like):
        found = beside(hand, at_apex)
        if found is not None:
            rows.append(hand_beside.row(found))
    same = (reading for reading in readings.readings if set(reading.photos) & {str(p.key) for p in chosen.photos})
    marked = next(same, None)
    return (*rows, words.state_row(marked)) if marked is not None else tuple(rows)


def _like(chosen: SoleSet, quantity: Quantity) -> Reading:
    """The reading at the frog apex that this map would be, to find what stands beside it."""
    photo = chosen.photos[0]
    assert photo.moment is not None
    visit = str(photo.visit) if photo.visit else ""
    name = for_series(quantity).name
    return Reading(chosen.day, quantity.value, quantity.u, photo.moment, measure=name, foot=photo.foot, visit=visit)


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
