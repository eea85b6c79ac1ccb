"""Takes in what a vet gave (films, pictures, reports): kept as it came, dated, shown with the trims since, and never
measured."""

from __future__ import annotations

from collections.abc import Generator, Sequence
from dataclasses import dataclass, replace
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING

from hoofbook.casework.open_book import OpenBook, uuid
from hoofbook.casework.readings_made import trim_days
from hoofbook.casework.taking_in import photos_under
from hoofbook.casework.trims_since import trims_until
from hoofbook.casework.vet_image_look import Looked, foot_shown, look_at, taken_on
from hoofbook.casework.vet_previews import vet_picture, vet_thumbnail
from hoofbook.terms.feet import Foot
from hoofbook.terms.refusal import Refusal, Refused
from hoofbook.terms.shown import PhotoTile, Step
from hoofbook.terms.subjects import Horse, VetImage
from hoofbook.terms.views import Grade
from hoofbook.wording import vet_images as words

if TYPE_CHECKING:
    from hoofbook.papers.dicom import FoundDicom

ALL_CODES = ("visit_day_wrong", "day_to_come", "word_unknown")


@dataclass(frozen=True, slots=True)
class VetTold:
    """What a person says of it: a foot (or "several"), the view in the vet's words, days as 2025-09-24.

    `received_on` empty: today. Day and foot may be left to a DICOM file that tells them.
    """

    foot: str = ""
    view: str = ""
    taken: str = ""
    received_from: str = ""
    received_on: str = ""
    purpose: str = ""


@dataclass(frozen=True, slots=True)
class TakenVetImage:
    """One file after it was brought in; `known` says that it was in the book already, `shown` that it can be seen."""

    source: Path
    image: VetImage | None = None
    known: bool = False
    shown: bool = False
    refusal: Refusal | None = None


@dataclass(frozen=True, slots=True)
class VetImageShown:
    """One image as a place shows it: its tile, what was told of it, and how many trims there were since (None: it is
    not of one foot); `can_be_shown` is false where its picture is a plain sheet."""

    key: str
    tile: PhotoTile
    rows: tuple[tuple[str, str], ...]
    trims: int | None
    can_be_shown: bool
    says: str = words.NOT_MEASURED


def take_vet_images(
    open_book: OpenBook, horse: str, files: Sequence[Path], told: VetTold
) -> Generator[Step, None, tuple[TakenVetImage, ...]]:
    """Takes several in, one after the other (of a folder the files in it); what is wrong with one file comes back
    beside the others.

    Refused: an unknown word, a day that is none, a book that cannot be written.
    """
    _foot_told(told), _day(told.taken), _received(open_book, told)
    known = {image.key for image in open_book.book.every(VetImage, horse=uuid(horse), set_aside=False)}
    taken: list[TakenVetImage] = []
    every = photos_under(files)
    for file in every:
        yield Step(len(taken), len(every), file.name)
        try:
            image = take_vet_image(open_book, horse, file, told)
        except Refused as error:
            if not error.refusal.code.startswith(("vet_image", "photo_", "file_")):
                raise
            taken.append(TakenVetImage(file, refusal=error.refusal))
            continue
        taken.append(TakenVetImage(file, image, image.key in known, vet_picture(open_book, image).shown))
        known.add(image.key)
    yield Step(len(every), len(every), "")
    return tuple(taken)


def take_vet_image(open_book: OpenBook, horse: str, file: Path, told: VetTold) -> VetImage:
    """Keeps one file unchanged as the vet's and returns it; bytes that this horse has already come back as they are.

    Raises:
        Refused: codes in `ALL_CODES`, those of `vet_image_look`, `papers.dicom` and of reading and writing files.
    """
    kept = open_book.horse(horse)
    taken = open_book.archive.take_in(file)
    try:
        for known in open_book.book.every(VetImage, horse=kept.key, sha256=taken.sha256):
            return _back(open_book, known)
        looked = look_at(taken.temp, file.name)
        foot = foot_shown(looked, _foot_told(told), several=told.foot == words.SEVERAL)
        image = _image(open_book, kept, told, looked, sha256=taken.sha256, foot=foot)
        open_book.archive.keep(taken, looked.suffix)
    finally:
        open_book.archive.discard(taken)
    with open_book.book.writing() as writer:
        writer.add(image)
    vet_thumbnail(open_book, image)
    return image


def read_vet_images(open_book: OpenBook, horse: str) -> tuple[VetImageShown, ...]:
    """All of one horse, newest first, each with the trims of its foot from its day up to today."""
    history = open_book.book.history(uuid(horse))
    trims, today = trim_days(history.visits, history.works), open_book.clock.now().date()
    shown = []
    for image in sorted(history.vet_images, key=lambda each: (each.day, each.key), reverse=True):
        count = trims_until(trims.get(image.foot, ()), image.day, today) if image.foot else None
        small, can_be_shown = vet_thumbnail(open_book, image)
        tile = PhotoTile(
            key=str(image.key),
            thumbnail=small,
            original=open_book.archive.path(image.sha256, image.suffix),
            caption=words.caption(image),
            note=words.tile_note(image, count, shown=can_be_shown),
            grade=Grade.PICTURE_ONLY.value,
        )
        shown.append(VetImageShown(str(image.key), tile, words.rows(image, count), count, can_be_shown))
    return tuple(shown)


def set_vet_image_aside(open_book: OpenBook, key: str) -> None:
    """Takes it out of lists and papers; the file stays. Refused: `key_unknown`, `not_in_book`."""
    kept = open_book.book.get(VetImage, uuid(key))
    with open_book.book.writing() as writer:
        writer.change(replace(kept, set_aside=True))


def _back(open_book: OpenBook, known: VetImage) -> VetImage:
    if not known.set_aside:
        return known
    with open_book.book.writing() as writer:
        return writer.change(replace(known, set_aside=False))


def _foot_told(told: VetTold) -> Foot | None:
    """The foot that was told; None where none was, or several."""
    if told.foot in ("", words.SEVERAL):
        return None
    known = [*(foot.value for foot in Foot), words.SEVERAL]
    if told.foot not in known:
        raise Refused(Refusal("word_unknown", {"field": "foot", "found": told.foot, "known": ", ".join(known)}))
    return Foot(told.foot)


def _day(text: str) -> date | None:
    try:
        return date.fromisoformat(text) if text else None
    except ValueError as error:
        raise Refused(Refusal("visit_day_wrong", {"found": text})) from error


def _received(open_book: OpenBook, told: VetTold) -> date:
    """When it came: as told, else today. Refused: `visit_day_wrong`, `day_to_come`."""
    today = open_book.clock.now().date()
    day = _day(told.received_on) or today
    if day > today:
        raise Refused(Refusal("day_to_come", {"found": told.received_on}))
    return day


def _image(
    open_book: OpenBook, horse: Horse, told: VetTold, looked: Looked, *, sha256: str, foot: Foot | None
) -> VetImage:
    from hoofbook.records.keys import new_key

    today = open_book.clock.now().date()
    day = taken_on(looked, _day(told.taken), today)
    return VetImage(
        key=new_key(),
        horse=horse.key,
        day=day,
        sha256=sha256,
        suffix=looked.suffix,
        foot=foot,
        view=told.view.strip() or looked.view,
        given_name=looked.name,
        received_from=told.received_from.strip(),
        received_on=_received(open_book, told),
        purpose=told.purpose.strip(),
        note=_note(looked.told, horse.name, day),
    )


def _note(found: FoundDicom | None, horse: str, day: date) -> str:
    """What the file itself says that is not as it was told: left to be seen, since either may be wrong."""
    if found is None:
        return ""
    parts = [
        words.file_says_day(found.day) if found.day and found.day != day else "",
        words.file_names(found.horse) if found.horse and horse.casefold() not in found.horse.casefold() else "",
        words.first_of(found.frames) if found.frames > 1 else "",
    ]
    return " ".join(part for part in parts if part)
