"""Measures the photos a marks file names, without a book."""

from __future__ import annotations

from collections.abc import Generator, Sequence
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any

from hoofbook.casework.marks_file import MarksFile, PhotoEntry, check_inside, read_marks_file
from hoofbook.casework.shots import EDITED_CODES, heel_of, measure_shots
from hoofbook.casework.sole_shape import dense_in_child
from hoofbook.terms.card import CardSighting
from hoofbook.terms.measured import Measured, Scale, ScaleSource, Shot, Told
from hoofbook.terms.quantity import Quantity
from hoofbook.terms.refusal import Refusal, Refused, Remark
from hoofbook.terms.shown import Step
from hoofbook.terms.sole_shape import SoleShape
from hoofbook.terms.views import Grade, View

ALL_CODES = ("marks_file_photo_missing",)


@dataclass(frozen=True, slots=True)
class PhotoResult:
    """What was found out about one photo of the file."""

    file: str
    grade: Grade
    scale: Scale
    remarks: tuple[Remark, ...]


@dataclass(frozen=True, slots=True)
class FileResult:
    photos: tuple[PhotoResult, ...]
    quantities: tuple[Quantity, ...]
    refusals: tuple[Refusal, ...]
    measured: tuple[Measured, ...] = ()
    soles: tuple[SoleShape, ...] = ()


def measure_file(path: Path, *, dense: bool = False) -> Generator[Step, None, FileResult]:
    """Reads the marks file, looks at each photo, measures sets together and single photos alone.

    With `dense`, the whole sole of every set is measured too, in a process of its own.

    Raises:
        Refused: for a faulty marks file or a photo that cannot be read.
    """
    file = read_marks_file(path)
    shots: list[Shot] = []
    remarks: dict[str, tuple[Remark, ...]] = {}
    grades: dict[str, Grade] = {}
    for number, entry in enumerate(file.photos):
        yield Step(number, len(file.photos), entry.file)
        shot, grade, found = _look(file, entry)
        shots.append(shot)
        remarks[shot.key], grades[shot.key] = found, grade
    yield Step(len(file.photos), len(file.photos), path.name)
    result = _result(shots, remarks, grades)
    if dense:
        places = {entry.file: file.photo_path(entry) for entry in file.photos}
        return (yield from _with_dense(result, shots, places))
    return result


def _with_dense(
    result: FileResult, shots: Sequence[Shot], places: dict[str, Path]
) -> Generator[Step, None, FileResult]:
    for members in _sets(shots).values():
        if len(members) < 2 or not any(len(shot.marking) for shot in members):
            continue
        found = yield from dense_in_child(members, {shot.key: places[shot.key] for shot in members})
        if isinstance(found, Refusal):
            result = replace(result, refusals=(*result.refusals, found))
        else:
            result = replace(
                result,
                quantities=(*result.quantities, *found.quantities),
                refusals=(*result.refusals, *found.refusals),
                soles=(*result.soles, found.sole),
            )
    return result


def _look(file: MarksFile, entry: PhotoEntry) -> tuple[Shot, Grade, tuple[Remark, ...]]:
    from hoofbook.imaging.card import find_card
    from hoofbook.imaging.pixels import open_grey, read_facts
    from hoofbook.imaging.quality import check_arrival

    place = file.photo_path(entry)
    if not place.is_file():
        raise Refused(Refusal("marks_file_photo_missing", {"file": file.path.name, "photo": entry.file}))
    facts = read_facts(place)
    if isinstance(facts, Refusal):
        raise Refused(Refusal(facts.code, {**facts.facts, "file": entry.file}))
    check_inside(file.path, entry, facts.width, facts.height)
    grey = open_grey(place)
    if isinstance(grey, Refusal):
        raise Refused(Refusal(grey.code, {**grey.facts, "file": entry.file}))
    seen = find_card(grey)
    arrival = check_arrival(facts, seen, grey, view=entry.view, foot=file.foot, moment=file.moment)
    shot = Shot(
        key=entry.file,
        view=entry.view,
        photo_size=(facts.width, facts.height),
        marking=entry.marking,
        foot=file.foot,
        sighting=seen if isinstance(seen, CardSighting) else None,
        card_plane=entry.card_plane,
        card_stands_on=entry.card_stands_on,
        focal_35mm=facts.focal_35mm,
        card_size_mm=entry.card_size_mm,
        placing_px=entry.placing_px,
        ruler=entry.measured_ruler,
        foot_width=entry.foot_width,
        shod=entry.shod,
        from_inside=entry.from_inside,
        edited=any(remark.code in EDITED_CODES for remark in arrival.remarks),
        set_name=entry.set,
        lens_key=f"lens {facts.camera} {facts.lens} {facts.focal_35mm or ''}".strip(),
    )
    return shot, arrival.grade, arrival.remarks


def _result(shots: Sequence[Shot], remarks: dict[str, tuple[Remark, ...]], grades: dict[str, Grade]) -> FileResult:
    measured = _measure_all(shots)
    photos = []
    for shot in shots:
        own = next((item for item in measured if shot.key in item.scales or shot.key in item.grades), Measured())
        photos.append(
            PhotoResult(
                shot.key,
                _worse(grades[shot.key], own.grades.get(shot.key, grades[shot.key])),
                own.scales.get(shot.key, Scale(ScaleSource.NONE)),
                remarks[shot.key] + own.remarks.get(shot.key, ()),
            )
        )
    return FileResult(
        tuple(photos),
        tuple(quantity for item in measured for quantity in item.quantities),
        tuple(refusal for item in measured for refusal in item.refusals),
        measured,
    )


def _measure_all(shots: Sequence[Shot]) -> tuple[Measured, ...]:
    """Sets first: their heel separation tells side photos of the same foot where the near heel lies."""
    sets = _sets(shots)
    out = [measure_shots(members) for members in sets.values() if any(len(shot.marking) for shot in members)]
    heel = heel_of(quantity for item in out for quantity in item.quantities)
    for shot in shots:
        if shot.view is not View.SOLAR and len(shot.marking):
            out.append(measure_shots([_with_heel(shot, heel)]))
    return tuple(out)


def _sets(shots: Sequence[Shot]) -> dict[str, list[Shot]]:
    sets: dict[str, list[Shot]] = {}
    for shot in shots:
        if shot.view is View.SOLAR:
            sets.setdefault(shot.set_name or f"one {shot.key}", []).append(shot)
    return sets


def _with_heel(shot: Shot, heel: Told | None) -> Shot:
    return shot if heel is None else replace(shot, heel_half_separation=heel)


def _worse(one: Grade, other: Grade) -> Grade:
    order = (Grade.FULL, Grade.ANGLES_AND_RATIOS, Grade.PICTURE_ONLY)
    return max(one, other, key=order.index)


def result_document(result: FileResult) -> dict[str, Any]:
    """The JSON document of the command line (numbers as computed, sentences as the window says them)."""
    from hoofbook.wording.refusals import sentence as refusal_sentence
    from hoofbook.wording.remarks import sentence as remark_sentence

    return {
        "photos": [
            {
                "file": photo.file,
                "grade": photo.grade.value,
                "scale": {
                    "source": photo.scale.source.value,
                    "px_per_mm": photo.scale.px_per_mm,
                    "turn_deg": photo.scale.turn_deg,
                    "tilt_deg": photo.scale.tilt_deg,
                    "distance_mm": photo.scale.distance_mm,
                    "focal_px": photo.scale.focal_px,
                },
                "warnings": [{"code": item.code, "text": remark_sentence(item)} for item in photo.remarks],
            }
            for photo in result.photos
        ],
        "measures": [measure_document(quantity) for quantity in result.quantities],
        "refusals": [
            {"name": item.name, "code": item.code, "reason": refusal_sentence(item)} for item in result.refusals
        ],
        "soles": [{"completeness": sole.completeness, "cell_mm": sole.step} for sole in result.soles],
    }


def measure_document(quantity: Quantity) -> dict[str, Any]:
    """One measure as JSON: `u` the standard uncertainty, `low`..`high` the 95 % interval."""
    return {
        "name": quantity.name,
        "definition": quantity.definition.value,
        "value": quantity.value,
        "unit": quantity.unit.value,
        "u": quantity.u,
        "low": quantity.low,
        "high": quantity.high,
        "view": quantity.view,
        "photos": list(quantity.photos),
        "method": quantity.method,
        "parts": [{"source": part.source, "u": part.u} for part in quantity.parts],
    }
