"""The tables that go with a Vet case: the same data as numbers, and apart from them what the vet told."""

from __future__ import annotations

from typing import TYPE_CHECKING

from hoofbook.casework.vet_facts import CaseFacts
from hoofbook.casework.vet_films import shown_images
from hoofbook.casework.vet_lines import table_lines
from hoofbook.wording import vet_csv
from hoofbook.wording.vet_case import ABOUT_FILES, IMAGES_FILE, NUMBERS_FILE, PHOTOS_FILE, VETS_FILE

if TYPE_CHECKING:
    from hoofbook.papers.vet_case import Attached


def attached_of(facts: CaseFacts, *, full: bool, images: bool = True) -> tuple[Attached, ...]:
    """The same data as numbers: readings and photos, and apart from them what the vet told and (`images`) gave."""
    from hoofbook.papers.safe_csv import csv_bytes
    from hoofbook.papers.vet_case import Attached

    horse = facts.horse.name
    every = (reading for line in table_lines(facts, every=full) for reading in line.series.readings)
    readings = {(reading.foot, reading.key): reading for reading in every}  # keys alone do not name the foot
    goals = {(place.value, name, by.value): goal[1] for (place, name, by), goal in facts.readings.goals.items()}
    photos = [(photo, facts.day_of(photo)) for photo in facts.photos]
    given = shown_images(facts, full=full) if images else ()
    tables = (
        (NUMBERS_FILE, vet_csv.NUMBER_HEADS, vet_csv.number_rows(horse, readings.values(), goals)),
        (PHOTOS_FILE, vet_csv.PHOTO_HEADS, vet_csv.photo_rows(horse, photos)),
        (VETS_FILE, vet_csv.VET_HEADS, vet_csv.vet_rows(horse, facts.vet_values, facts.trims)),
        (IMAGES_FILE, vet_csv.IMAGE_HEADS, vet_csv.image_rows(horse, given, facts.trims)),
    )
    return tuple(Attached(name, csv_bytes(heads, rows), ABOUT_FILES[name]) for name, heads, rows in tables if rows)
