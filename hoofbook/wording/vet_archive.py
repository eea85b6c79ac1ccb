"""Words in and about files for a vet's archive."""

from __future__ import annotations

from datetime import date

from hoofbook.terms.feet import Foot
from hoofbook.wording.cautions import VET_CASE
from hoofbook.wording.dates import day_month_year
from hoofbook.wording.places import foot_name

KIND = "DICOM files"
STUDY = "Hoof-care record, photos of the outside of the hoof"
CALIBRATED_BY = "Scale card at the foot; true in the plane of the marks only"
MADE_ANEW = "Turned upright and saved anew as JPEG at full size"
COVERED = "Turned upright, parts filled with one colour, saved anew as JPEG"
STEP_CASE = "the Vet case"
NO_PHOTOS = "No photo of these feet is among the files, only the Vet case."


def series_words(foot: Foot, view: str) -> str:
    """`Left fore, lateral view`"""
    return f"{foot_name(foot)}, {view}"


def comments(label: tuple[str, str]) -> str:
    """What stands beside a photo in an archive: its label as on paper, and what it is not."""
    return f"{' · '.join(label)}. {VET_CASE}"


def paper_title(horse: str, day: date) -> str:
    return f"Vet case: {horse}, {day_month_year(day)}"


def to_scale(count: int, photos: int) -> str:
    """How many of the photos say how large a pixel is."""
    return (
        f"{count} of {photos} {'photo' if photos == 1 else 'photos'} with a scale that holds for the plane of the marks"
    )
