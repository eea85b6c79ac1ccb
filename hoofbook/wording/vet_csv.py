"""The numbers, photos and quoted values of a Vet case as rows of plain text: codes, ISO days, points as decimals."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from datetime import date

from hoofbook.progress.change import Progress
from hoofbook.progress.series import HAND, Reading
from hoofbook.terms.feet import Foot
from hoofbook.terms.quantity import COVERAGE
from hoofbook.terms.subjects import Photo, VetImage, VetValue
from hoofbook.wording.reading_rows import HEADS, reading_row

NUMBER_HEADS = (
    *HEADS,
    "low_95",
    "high_95",
    "read_from",
    "photos",
    "method",
    "marked_by",
    "sole_pared",
    "sole_state",
    "shod",
)
PHOTO_HEADS = (
    "horse",
    "foot",
    "view",
    "date",
    "time",
    "moment",
    "shod",
    "card_plane",
    "file",
    "sha256",
)
VET_HEADS = ("horse", "foot", "film_date", "name", "value", "unit", "told_by", "note", "trims_until_photos")
IMAGE_HEADS = (
    "horse",
    "foot",
    "view_as_told",
    "taken",
    "received_from",
    "received_on",
    "purpose",
    "file",
    "sha256",
    "trims_until_photos",
)
Rows = tuple[tuple[str, ...], ...]


def number_rows(horse: str, readings: Iterable[Reading], goals: Mapping[tuple[str, str, str], Progress]) -> Rows:
    """One row a reading: the columns of a readings file first, so that it can be read in again, then what it rests on.

    `goals` by foot, measure and definition (their values).
    """
    return tuple(_number_row(horse, reading, goals) for reading in sorted(readings, key=_order) if reading.foot)


def _order(reading: Reading) -> tuple[str, ...]:
    return (reading.foot or "", reading.measure, reading.definition.value, reading.day.isoformat(), reading.key)


def _number_row(horse: str, reading: Reading, goals: Mapping[tuple[str, str, str], Progress]) -> tuple[str, ...]:
    assert reading.foot is not None
    goal = goals.get((reading.foot.value, reading.measure, reading.definition.value))
    half = None if reading.u is None else COVERAGE * reading.u
    wanted = goal.wanted if goal else None
    return (
        *reading_row(horse, reading, is_goal=goal is not None, wanted=wanted, number=_plain),
        "" if half is None else _plain(reading.value - half),
        "" if half is None else _plain(reading.value + half),
        "hand" if reading.method == HAND else "photos",
        str(len(reading.photos)) if reading.photos else "",
        reading.method,
        reading.person,
        reading.sole_pared.value,
        reading.sole_state.value,
        "yes" if reading.shod else "no",
    )


def photo_rows(horse: str, photos: Sequence[tuple[Photo, date]]) -> Rows:
    """One row a photo, with the SHA-256 of its unchanged original."""
    return tuple(
        (
            horse,
            photo.foot.value if photo.foot else "",
            photo.view.value if photo.view else "",
            day.isoformat(),
            photo.local_time[11:19],
            photo.moment.value if photo.moment else "",
            "yes" if photo.shod else "no",
            photo.card_plane.value,
            photo.given_name,
            photo.sha256,
        )
        for photo, day in photos
    )


def vet_rows(horse: str, values: Sequence[VetValue], trims: Mapping[tuple[date, Foot], int | None]) -> Rows:
    """The vet's own values as quoted, each with the trims between film and photos."""
    return tuple(
        (
            horse,
            value.foot.value,
            value.film_day.isoformat(),
            value.name,
            _plain(value.value),
            value.unit,
            value.told_by,
            value.note,
            "" if (count := trims.get((value.film_day, value.foot))) is None else str(count),
        )
        for value in values
    )


def image_rows(horse: str, images: Sequence[VetImage], trims: Mapping[tuple[date, Foot], int | None]) -> Rows:
    """What the vet gave, with the SHA-256 of each unchanged file and the trims between it and the photos."""
    return tuple(
        (
            horse,
            image.foot.value if image.foot else "",
            image.view,
            image.day.isoformat(),
            image.received_from,
            image.received_on.isoformat() if image.received_on else "",
            image.purpose,
            image.given_name,
            image.sha256,
            "" if not image.foot or (count := trims.get((image.day, image.foot))) is None else str(count),
        )
        for image in images
    )


def _plain(value: float) -> str:
    """Six significant figures, never with an exponent: more than any reading holds."""
    text = f"{value:.6g}"
    return text if "e" not in text else f"{value:f}"
