"""Photos and the Vet case as DICOM files, for the archive of a vet's practice."""

from __future__ import annotations

import hashlib
import math
import shutil
from collections.abc import Generator
from dataclasses import dataclass
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING

from hoofbook.casework.open_book import OpenBook
from hoofbook.casework.paper_log import log_paper
from hoofbook.casework.photo_lost import opening
from hoofbook.casework.vet_case import VetWishes, case_facts, case_look_again, vet_case_bytes
from hoofbook.casework.vet_facts import CaseFacts
from hoofbook.casework.vet_pictures import CaseLooks
from hoofbook.housekeeping.files import place, safe_name, temporary_beside, world_errors, write_atomic
from hoofbook.terms.measured import ScaleSource
from hoofbook.terms.refusal import Refusal, Refused
from hoofbook.terms.shown import Step
from hoofbook.terms.subjects import Photo
from hoofbook.wording import vet_archive as words
from hoofbook.wording.vet_case import photo_label, view_words
from hoofbook.wording.vet_gaps import NOT_LOGGED

if TYPE_CHECKING:
    from hoofbook.papers.archive_files import ArchiveHorse, ArchivePhoto

ALL_CODES = ("archive_folder_in_use",)
CASE = "vet-case.dcm"
HALF_FOOT_MM = 60.0  # a pixel's size is asked to hold over a foot this large
MOST_OFF = 0.02  # share of the length: 1 mm in 50
_Series = tuple[str, str, str]


@dataclass(frozen=True, slots=True)
class ArchiveMade:
    """The folder, its photos, how many of those say how large a pixel is, and sentences to look at before it goes."""

    folder: Path
    photos: int
    to_scale: int
    look_again: tuple[str, ...]


def make_vet_archive(
    open_book: OpenBook, horse: str, wishes: VetWishes, out: Path
) -> Generator[Step, None, ArchiveMade]:
    """Writes every photo that the case may show, and the case itself, as DICOM files into the new folder `out`.

    The folder comes into being in one step; closing the generator leaves nothing. It is noted in the book by the hash
    of the files' hashes.

    Raises:
        Refused: codes in `ALL_CODES`, what `vet_case` refuses, a photo that cannot be read, a disk that is full.
    """
    if out.exists() and (not out.is_dir() or any(out.iterdir())):
        raise Refused(Refusal("archive_folder_in_use", {"folder": out.name}))
    facts = case_facts(open_book, horse, wishes)
    folder = temporary_beside(out)
    try:
        with world_errors(folder):
            folder.mkdir(parents=True)
        sums, to_scale = yield from _filled(open_book, facts, wishes, folder)
        with world_errors(out):
            if out.exists():
                out.rmdir()
        place(folder, out)
    finally:
        shutil.rmtree(folder, ignore_errors=True)
    again = (*(() if facts.photos else (words.NO_PHOTOS,)), *case_look_again(facts, wishes, facts.photos))
    if open_book.read_only:
        again = (*again, NOT_LOGGED)
    listed = "".join(f"{digest}  {name}\n" for name, digest in sums.items()).encode()
    log_paper(
        open_book, facts.horse.key, words.KIND, listed, file_name=out.name, made_for=facts.vet, keep_bytes=False
    )  # fmt: skip
    return ArchiveMade(out.resolve(), len(facts.photos), to_scale, again)


def _filled(
    open_book: OpenBook, facts: CaseFacts, wishes: VetWishes, folder: Path
) -> Generator[Step, None, tuple[dict[str, str], int]]:
    """Writes all files; returns their SHA-256 by name, and how many photos are to scale."""
    from hoofbook.papers.archive_files import paper_file, photo_file

    looks, horse, sums, to_scale = CaseLooks(open_book, facts), _horse(facts), dict[str, str](), 0
    photos = sorted(facts.photos, key=lambda photo: (*_series(facts, photo), photo.local_time, photo.given_name))
    series: dict[_Series, int] = {}
    numbers: dict[_Series, int] = {}
    for place_, photo in enumerate(photos):
        yield Step(place_, len(photos) + 1, photo.given_name)
        own = _series(facts, photo)
        day = sum(1 for other in series if other[0] == own[0])
        series.setdefault(own, day + 1)
        numbers[own] = numbers.get(own, 0) + 1
        made = _photo(looks, photo, wishes.taken_by, series[own], numbers[own])
        to_scale += made.mm_per_px is not None
        moment = photo.moment.value if photo.moment else ""
        name = safe_name("-".join(part for part in (*own, moment, f"{numbers[own]:02d}") if part)) + ".dcm"
        sums[name] = _write(folder / name, photo_file(horse, made))
    yield Step(len(photos), len(photos) + 1, words.STEP_CASE)
    pdf, _ = vet_case_bytes(open_book, str(facts.horse.key), wishes)
    title, now = words.paper_title(facts.horse.name, facts.today), open_book.clock.now()
    time = f"{now:%H%M%S}"
    began = _began(facts, facts.today) or time
    sums[CASE] = _write(folder / CASE, paper_file(horse, pdf, title, facts.today, time=time, began=began))
    yield Step(len(photos) + 1, len(photos) + 1, "")
    return sums, to_scale


def _write(file: Path, data: bytes) -> str:
    write_atomic(file, data)
    return hashlib.sha256(data).hexdigest()


def _series(facts: CaseFacts, photo: Photo) -> _Series:
    """One day, foot and view, by which a viewer lists them."""
    foot = photo.foot.value if photo.foot else ""
    return facts.day_of(photo).isoformat(), foot, view_words(photo)


def _clock(photo: Photo) -> str:
    """The photo's own clock as HHMMSS, empty where it tells none."""
    return photo.local_time[11:19].replace(":", "")


def _began(facts: CaseFacts, day: date) -> str:
    """When the first photo of that day was taken, of whatever foot: the same for every choice of photos."""
    times = [_clock(photo) for photo in facts.readings.history.photos if facts.day_of(photo) == day]
    return min((time for time in times if time), default="")


def _horse(facts: CaseFacts) -> ArchiveHorse:
    from hoofbook.papers.archive_files import ArchiveHorse

    kept = facts.horse
    return ArchiveHorse(
        str(kept.key),
        kept.name,
        owner=facts.owner.name if facts.owner else "",
        sex=kept.sex,
        breed=kept.breed,
        born=kept.born,
        identity=kept.identity,
    )


def _photo(looks: CaseLooks, photo: Photo, taken_by: str, series: int, number: int) -> ArchivePhoto:
    from hoofbook.imaging.baseline_jpeg import baseline_jpeg
    from hoofbook.papers.archive_files import ArchivePhoto

    assert photo.foot is not None  # a case shows photos of feet alone
    day = looks.facts.day_of(photo)
    with opening(day, photo.given_name):
        jpeg = baseline_jpeg(looks.archive.path(photo), photo.covered)
    changed = "" if jpeg.as_taken else (words.COVERED if photo.covered else words.MADE_ANEW)
    return ArchivePhoto(
        key=str(photo.key),
        jpeg=jpeg.data,
        columns=jpeg.width,
        rows=jpeg.height,
        grey=jpeg.grey,
        day=day,
        time=_clock(photo),
        foot=photo.foot,
        view=view_words(photo),
        comments=words.comments(photo_label(looks.facts.horse.name, photo, day, taken_by.strip())),
        began=_began(looks.facts, day),
        series=series,
        number=number,
        taken_by=taken_by.strip(),
        changed=changed,
        mm_per_px=mm_per_px(looks, photo),
    )


def mm_per_px(looks: CaseLooks, photo: Photo) -> float | None:
    """Millimetres a pixel in the plane of the marks, where one number is true over the whole foot; else None.

    The scale must come from the card, since only that tells from where the lens looked, and the photo must be marked,
    since only then the plane is known. Seen under an angle a plane is shortened by 1 - cos(angle), and half a foot
    (60 mm) away from its middle it is nearer or farther by 60 sin(angle), so larger or smaller by that over the
    distance: both together must stay within 2 in 100. The scale of the picture as it is laid on paper and that of the
    fit to the marks must agree as well. From 1 m that lets 8 degrees pass, from 0.4 m 6.
    """
    scale, to_mm = looks.scale(photo), looks.at(photo).to_mm
    if scale is None or to_mm is None or scale.source is not ScaleSource.CARD or not scale.px_per_mm:
        return None
    if scale.turn_deg is None or scale.tilt_deg is None or not scale.distance_mm:
        return None
    if slant_off(scale.turn_deg, scale.tilt_deg, scale.distance_mm) > MOST_OFF:
        return None
    (a, _, _), (d, _, _) = to_mm
    size = math.hypot(a, d)
    return size if abs(size * scale.px_per_mm - 1.0) <= MOST_OFF else None


def slant_off(turn_deg: float, tilt_deg: float, distance_mm: float) -> float:
    """The share by which lengths over a foot are off where its plane is seen under an angle, at most."""
    cosine = math.cos(math.radians(turn_deg)) * math.cos(math.radians(tilt_deg))
    sine = math.sqrt(max(0.0, 1.0 - cosine * cosine))
    return (1.0 - cosine) + HALF_FOOT_MM * sine / distance_mm
