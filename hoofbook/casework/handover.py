"""The Handover: one horse's whole record as a folder or zip in BagIt form, for the next farrier or another computer."""

from __future__ import annotations

import hashlib
import shutil
from collections.abc import Generator, Mapping
from dataclasses import dataclass
from datetime import date
from pathlib import Path
from uuid import UUID

from hoofbook.casework.handover_records import HandedFile, Handover, gather, to_json, with_files
from hoofbook.casework.handover_tables import tables_of
from hoofbook.casework.open_book import OpenBook
from hoofbook.casework.paper_log import log_paper
from hoofbook.casework.photo_days import day_of
from hoofbook.casework.vet_case import VetWishes, vet_case_bytes
from hoofbook.housekeeping.files import place, safe_name, temporary_beside, world_errors, write_atomic
from hoofbook.terms.refusal import Refusal, Refused
from hoofbook.terms.shown import Step
from hoofbook.terms.subjects import Horse, Person, Photo, VetImage, Visit
from hoofbook.wording import handover as words

ALL_CODES = ("handover_there", "handover_kind_unknown", "handover_photo_lost")
PHOTOS, VETS, TABLES = "photos", "vets-images", "tables"
RECORDS, CASE = "records.json", "case.pdf"
_WITH_PLACE_AND_DATE = (".jpg", ".jpeg", ".png")  # of what a vet gives: a photo of a film tells where it was taken


@dataclass(frozen=True, slots=True)
class HandoverWishes:
    """`vets_images`: the vet's images go on too, which is only done when somebody says so; `made_for`: who gets it."""

    vets_images: bool = False
    made_for: str = ""


@dataclass(frozen=True, slots=True)
class HandoverMade:
    """The folder or zip, how many photos are in it, what the owner allowed, and sentences to look at before it goes."""

    file: Path
    photos: int
    permission: str
    look_again: tuple[str, ...]


def make_handover(
    open_book: OpenBook, horse: str, wishes: HandoverWishes, out: Path
) -> Generator[Step, None, HandoverMade]:
    """Writes the Handover in one step: a zip where `out` ends with .zip, else a folder; and notes that it was made.

    Closing the generator leaves nothing behind.

    Raises:
        Refused: codes in `ALL_CODES`, an unknown horse, a photo that cannot be read, or where it cannot be written.
    """
    zipped = out.suffix.lower() == ".zip"
    if out.suffix and not zipped:
        raise Refused(Refusal("handover_kind_unknown", {"file": out.name}))
    _not_there(out)
    kept = open_book.horse(horse)
    with world_errors(out):
        out.parent.mkdir(parents=True, exist_ok=True)
    folder = temporary_beside(out)
    packed = temporary_beside(out)
    try:
        with world_errors(folder):
            folder.mkdir()
        photos = yield from _filled(open_book, kept, wishes, folder)
        if zipped:
            from hoofbook.papers.bundle import pack

            pack(folder, packed, out.stem, open_book.clock.now())
        _not_there(out)
        place(packed if zipped else folder, out)
    finally:
        shutil.rmtree(folder, ignore_errors=True)
        packed.unlink(missing_ok=True)
    _log(open_book, kept, out, wishes)
    owner = open_book.book.get(Person, kept.owner) if kept.owner else None
    permission = words.permission_words(owner)
    again = _look_again(open_book, kept, wishes)
    return HandoverMade(out.resolve(), photos, permission, again if _allowed(owner) else (permission, *again))


def _not_there(out: Path) -> None:
    if out.exists() or out.is_symlink():
        raise Refused(Refusal("handover_there", {"file": out.name}))


def _allowed(owner: Person | None) -> bool:
    return owner is not None and owner.consent_vet is not None


def _filled(open_book: OpenBook, horse: Horse, wishes: HandoverWishes, folder: Path) -> Generator[Step, None, int]:
    """Puts everything into `folder` and makes a bag of it; the number of photos."""
    from hoofbook.papers.bundle import make_bag

    records = gather(open_book, horse.key, vets_images=wishes.vets_images)
    photos: tuple[Photo, ...] = records[Photo]
    images: tuple[VetImage, ...] = records[VetImage]
    total, taken = len(photos) + len(images) + 2, set[str]()
    files: dict[UUID, HandedFile] = {}
    for photo in photos:
        yield Step(len(files), total, photo.given_name)
        day = day_of(photo, records[Visit])
        files[photo.key] = _one_photo(open_book, photo, day, folder, taken)
    for image in images:
        yield Step(len(files), total, image.given_name)
        files[image.key] = _one_image(open_book, image, folder, taken)
    yield Step(total - 2, total, words.STEP_CASE)
    asked = VetWishes(words.QUESTION, size="full", vets_images=wishes.vets_images)
    case, attached = vet_case_bytes(open_book, str(horse.key), asked)
    now = open_book.clock.now()
    handover = Handover(horse.key, with_files(records, files), tuple(files.values()), now, open_book.person)
    write_atomic(folder / CASE, case)
    write_atomic(folder / RECORDS, to_json(handover))
    for name, data in {**{item.name: item.data for item in attached}, **tables_of(handover)}.items():
        write_atomic(folder / TABLES / safe_name(name), data)
    yield Step(total - 1, total, words.STEP_CHECKSUMS)
    make_bag(folder, _about(open_book, handover))
    yield Step(total, total, "")
    return len(photos)


def _about(open_book: OpenBook, handover: Handover) -> Mapping[str, str]:
    """Labels of RFC 8493, 2.2.2; nothing that tells of this computer."""
    labels = {
        "Bagging-Date": handover.made_at.date().isoformat(),
        "Bag-Software-Agent": handover.program,
        "Contact-Name": open_book.person,
        "External-Description": words.DESCRIPTION,
        "External-Identifier": str(handover.horse),
    }
    return {label: told for label, told in labels.items() if told}


def _one_photo(open_book: OpenBook, photo: Photo, day: date, folder: Path, taken: set[str]) -> HandedFile:
    """The photo's one picture with its covered parts filled, under a name that says what it shows."""
    from hoofbook.imaging.primary_picture import primary_picture

    try:
        data, suffix = primary_picture(open_book.archive.path(photo), photo.covered)
    except Refused as error:
        told = photo.given_name or day.isoformat()
        raise Refused(Refusal("handover_photo_lost", {"file": told})) from error
    shows = (word.value for word in (photo.foot, photo.view, photo.moment) if word)
    name = _unique("-".join((day.isoformat(), *shows)), suffix, taken)
    return _written(folder, f"{PHOTOS}/{name}", data, photo)


def _one_image(open_book: OpenBook, image: VetImage, folder: Path, taken: set[str]) -> HandedFile:
    """What the vet gave, as it came; from a JPEG or PNG what tells of place and camera is taken out."""
    path, suffix = open_book.archive.path(image.sha256, image.suffix), image.suffix.lower()
    try:
        if suffix in _WITH_PLACE_AND_DATE:
            data, suffix = _without_place(path)
        else:
            with world_errors(path, reading=True):
                data = path.read_bytes()
    except Refused as error:
        raise Refused(Refusal("handover_photo_lost", {"file": image.given_name})) from error
    shows = (image.foot.value if image.foot else "", image.view)
    name = _unique("-".join((image.day.isoformat(), *(word for word in shows if word))), suffix, taken)
    return _written(folder, f"{VETS}/{name}", data, image)


def _without_place(path: Path) -> tuple[bytes, str]:
    from hoofbook.imaging.plain_png import plain_png
    from hoofbook.imaging.primary_picture import primary_picture

    if path.suffix == ".png":
        with world_errors(path, reading=True):
            plain = plain_png(path.read_bytes())
        if plain is not None:
            return plain, ".png"
    return primary_picture(path)


def _unique(stem: str, suffix: str, taken: set[str]) -> str:
    plain = safe_name(stem.replace(".", "-"), longest=60)
    count = 1
    while (name := f"{plain}{f'-{count}' if count > 1 else ''}{suffix}") in taken:
        count += 1
    taken.add(name)
    return name


def _written(folder: Path, file: str, data: bytes, of: Photo | VetImage) -> HandedFile:
    write_atomic(folder / file, data)
    return HandedFile(of.key, file, hashlib.sha256(data).hexdigest(), of.sha256)


def _log(open_book: OpenBook, horse: Horse, out: Path, wishes: HandoverWishes) -> None:
    """Of a zip its own hash, of a folder that of the list of its lists. The bytes are not kept a second time: the book
    has every photo and record in them already, and a book must not grow by all its photos with each Handover."""
    from hoofbook.papers.bundle import TAG_SUMS

    made = out if out.is_file() else out / TAG_SUMS
    log_paper(
        open_book, horse.key, words.KIND, made, file_name=out.name, made_for=wishes.made_for, keep_bytes=False
    )  # fmt: skip


def _look_again(open_book: OpenBook, horse: Horse, wishes: HandoverWishes) -> tuple[str, ...]:
    aside = len(open_book.book.photos(horse.key, set_aside=True))
    images = open_book.book.every(VetImage, horse=horse.key, set_aside=False)
    lines = [words.set_aside_stay(aside)] if aside else []
    if images:
        lines.append(words.VETS_AS_THEY_CAME if wishes.vets_images else words.vets_stay(len(images)))
    if open_book.read_only:
        lines.append(words.READ_ONLY)
    return tuple(lines)
