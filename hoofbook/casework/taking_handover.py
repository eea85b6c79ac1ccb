"""Taking a Handover into a book: looked through whole, then its pictures, then all its records in one transaction."""

from __future__ import annotations

from collections.abc import Generator, Mapping
from dataclasses import dataclass
from datetime import date
from pathlib import Path
from types import MappingProxyType
from typing import TYPE_CHECKING, Any

from hoofbook.casework.handover import RECORDS
from hoofbook.casework.handover_check import check
from hoofbook.casework.handover_merge import NEW, Merge, merged
from hoofbook.casework.handover_records import KINDS, Handover, from_json
from hoofbook.casework.measuring_anew import look_through_again
from hoofbook.casework.open_book import OpenBook, uuid
from hoofbook.casework.shots import measure_again
from hoofbook.casework.taking_in import write_previews
from hoofbook.casework.vet_image_look import look_at
from hoofbook.housekeeping.files import world_errors
from hoofbook.terms.refusal import Refusal, Refused
from hoofbook.terms.shown import Step
from hoofbook.terms.subjects import Horse, Person, Photo, VetImage, Yard
from hoofbook.wording import handover as words

if TYPE_CHECKING:
    from hoofbook.papers.bundle import Bag

ALL_CODES = ("handover_records_missing", "handover_photo_bad")
LARGEST_RECORDS = 512 << 20  # bytes
_SMALL = 256  # px: enough to know that a picture can be decoded to its end


@dataclass(frozen=True, slots=True)
class Handed:
    """A person, the yard or the horse of a Handover: its key there, its role ("owner", "yard", "horse") and name."""

    key: str
    role: str
    name: str


@dataclass(frozen=True, slots=True)
class HandoverContents:
    """What is in a Handover. `counts` by table of the book; `problems` are sentences to look at, none of them bars it
    from being taken in."""

    file: str
    horse: Handed
    horse_words: str
    people: tuple[Handed, ...]
    counts: Mapping[str, int]
    counted: str
    made_by: str
    made_on: date
    program: str
    problems: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class HandoverTaken:
    """What came of it: the horse's key and name here, rows added by table, and all of it in sentences."""

    file: str
    horse: str
    name: str
    new_horse: bool
    added: Mapping[str, int]
    already: int
    lines: tuple[str, ...]


def is_handover(path: Path) -> bool:
    """Whether a file or folder is meant as a Handover."""
    from hoofbook.papers.bundle import is_bundle

    return is_bundle(path)


def look_at_handover(path: Path) -> HandoverContents:
    """Looks a Handover through as it is when it is taken in, and tells what is in it; nothing is kept.

    Raises:
        Refused: why it cannot be taken in.
    """
    from hoofbook.papers.bundle import opened
    from hoofbook.records.mapping import table_of

    with opened(path) as bag:
        handover = _read(bag, path.name)
    horse = handover.the_horse
    owner = next((person for person in handover.of(Person) if person.key == horse.owner), None)
    permission = words.permission_received(owner)
    counts = {table_of(kind).name: len(handover.of(kind)) for kind in KINDS}
    return HandoverContents(
        file=path.name,
        horse=Handed(str(horse.key), "horse", horse.name),
        horse_words=words.horse_words(horse),
        people=(
            *(Handed(str(person.key), person.role.value, person.name) for person in handover.of(Person)),
            *(Handed(str(yard.key), "yard", yard.name) for yard in handover.of(Yard)),
        ),
        counts=MappingProxyType(counts),
        counted=words.counted(counts),
        made_by=handover.made_by,
        made_on=handover.made_at.date(),
        program=handover.program,
        problems=(permission,) if permission else (),
    )


def take_handover(open_book: OpenBook, path: Path, matches: Mapping[str, str]) -> Generator[Step, None, HandoverTaken]:
    """Takes a Handover in. `matches`: key in the Handover to a key of this book, or "new"; see
    `handover_matches`.

    Nothing that is in the book changes. Until the last step the book is as it was; closing the generator before leaves
    spare pictures at most.

    Raises:
        Refused: a Handover that is not right, a match that does not fit, a book that cannot be written.
    """
    from hoofbook.papers.bundle import opened

    if open_book.book.read_only_because is not None:
        raise Refused(open_book.book.read_only_because)
    with opened(path, open_book.folder) as bag:
        handover = _read(bag, path.name)
        with open_book.book.one_state() as state:
            planned = merged(state, handover, matches, path.name)
        yield from _keep_pictures(open_book, bag, handover, planned, path.name)
    with open_book.book.writing() as writer:
        merge = merged(writer, handover, matches, path.name)
        writer.add_all(merge.rows)
        writer.keep_measures([photo.key for photo in merge.of(Photo)], merge.measures)
    look_through_again(open_book, [kept.quantity.method for kept in merge.measures])
    if merge.again:
        measure_again(open_book, [photo for photo in open_book.book.photos(merge.horse) if photo.key in merge.again])
    return _taken(open_book, handover, merge, matches, path.name)


def _read(bag: Bag, name: str) -> Handover:
    """The records, checked, and every picture opened once."""
    file = bag.folder / "data" / RECORDS
    if f"data/{RECORDS}" not in bag.sums:
        raise Refused(Refusal("handover_records_missing", {"file": name}))
    with world_errors(file, reading=True):
        if file.stat().st_size > LARGEST_RECORDS:
            raise Refused(Refusal("handover_records_missing", {"file": name}))
        handover = from_json(file.read_bytes(), name)
    check(handover, bag.sums, name)
    photos = {photo.key: photo for photo in handover.of(Photo)}
    images = {image.key: image for image in handover.of(VetImage)}
    for handed in handover.files:
        path = bag.folder / "data" / handed.file
        good = _opens(path, photos[handed.key]) if handed.key in photos else _shows(path, images[handed.key])
        if not good:
            raise Refused(Refusal("handover_photo_bad", {"path": handed.file}))
    return handover


def _opens(path: Path, photo: Photo) -> bool:
    """Whether the picture can be decoded to its end and is the one that was marked, by its size."""
    from hoofbook.imaging.pixels import open_upright, read_facts

    facts = read_facts(path)
    if isinstance(facts, Refusal) or isinstance(open_upright(path, _SMALL), Refusal):
        return False
    return (facts.width, facts.height, facts.suffix) == (photo.width, photo.height, photo.suffix)


def _shows(path: Path, image: VetImage) -> bool:
    """Whether what the vet gave is whole, and of the kind that it is said to be."""
    try:
        return look_at(path, path.name).suffix == image.suffix
    except Refused:
        return False


def _keep_pictures(
    open_book: OpenBook, bag: Bag, handover: Handover, planned: Merge, name: str
) -> Generator[Step, None, None]:
    """Puts the pictures of new rows into the archive, each held once more against its hash on the way."""
    pictures: tuple[type[Any], ...] = (Photo, VetImage)
    wanted = {row.key: row for kind in pictures for row in planned.of(kind)}
    files = [file for file in handover.files if file.key in wanted]
    for done, file in enumerate(files):
        yield Step(done, len(files), file.file)
        taken = open_book.archive.take_in(bag.folder / "data" / file.file)
        try:
            if taken.sha256 != file.sha256:
                raise Refused(Refusal("bundle_changed", {"file": name, "path": file.file}))
            row = wanted[file.key]
            kept = open_book.archive.keep(taken, row.suffix)
        finally:
            open_book.archive.discard(taken)
        if isinstance(row, Photo):
            write_previews(open_book, kept, taken.sha256)
    yield Step(len(files), len(files), "")


def _taken(
    open_book: OpenBook, handover: Handover, merge: Merge, matches: Mapping[str, str], name: str
) -> HandoverTaken:
    horse = open_book.book.get(Horse, merge.horse)
    lines = [words.taken_words(name, horse.name, merge.new_horse, merge.counts)]
    people: tuple[type[Any], ...] = (Person, Yard)
    for kind in people:
        for row in handover.of(kind):
            own = matches.get(str(row.key), NEW)
            if own not in (NEW, str(row.key)):
                role = row.role.value if isinstance(row, Person) else "yard"
                lines.append(words.matched_words(role, row.name, open_book.book.get(kind, uuid(own)).name))
    if merge.already:
        lines.append(words.already_words(merge.already))
    lines += [words.stayed_out(table, count) for table, count in merge.stayed_out.items()]
    if merge.same_days:
        lines.append(words.same_day_words(merge.same_days))
    counts = MappingProxyType(dict(merge.counts))
    return HandoverTaken(name, str(horse.key), horse.name, merge.new_horse, counts, merge.already, tuple(lines))
