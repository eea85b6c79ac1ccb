"""Takes photos and marks files into a book: what the command line's `add` and the sample book do."""

from __future__ import annotations

from collections.abc import Generator, Sequence
from dataclasses import dataclass, replace
from datetime import date
from pathlib import Path
from uuid import UUID

from hoofbook.casework.foot_work import add_visit
from hoofbook.casework.horses import HorseForm, add_horse
from hoofbook.casework.marks_file import MarksFile, PhotoEntry, check_inside, is_marks_file, read_marks_file
from hoofbook.casework.open_book import OpenBook
from hoofbook.casework.shots import measure_again
from hoofbook.casework.sole_sets import joined
from hoofbook.casework.taking_in import Arrived, Filing, photos_under, take_one
from hoofbook.terms.feet import Foot
from hoofbook.terms.quantity import Definition
from hoofbook.terms.refusal import Refusal, Refused
from hoofbook.terms.shown import Step
from hoofbook.terms.subjects import HandMeasure, Horse, MarkingPass, Photo
from hoofbook.terms.views import Moment, View

ALL_CODES = ("horse_needed", "visit_day_wrong", "word_unknown")


@dataclass(frozen=True, slots=True)
class Wishes:
    """What was told beside the files: names and words as typed, empty where not told."""

    horse: str = ""
    visit: str = ""
    foot: str = ""
    view: str = ""
    moment: str = ""
    retake: bool = False

    def __post_init__(self) -> None:
        for field, kind in (("foot", Foot), ("view", View), ("moment", Moment)):
            value = getattr(self, field)
            if value and value not in [item.value for item in kind]:
                known = ", ".join(item.value for item in kind)
                raise Refused(Refusal("word_unknown", {"field": field, "found": value, "known": known}))


@dataclass(frozen=True, slots=True)
class Added:
    """What came of it: one `Arrived` per photo, in the order given."""

    photos: tuple[Arrived, ...]

    @property
    def new(self) -> int:
        return sum(1 for arrived in self.photos if arrived.photo is not None and not arrived.known)

    @property
    def known(self) -> int:
        return sum(1 for arrived in self.photos if arrived.known)

    @property
    def refused(self) -> int:
        return sum(1 for arrived in self.photos if arrived.refusal is not None)


@dataclass(frozen=True, slots=True)
class Given:
    """Photos by their paths, and marks files read and found right; nothing of it is in a book yet."""

    photos: tuple[Path, ...]
    marks: tuple[MarksFile, ...]


def look_at_files(paths: Sequence[Path], wishes: Wishes) -> Given:
    """Reads what is given as far as it can be judged before there is a book: photos themselves are judged one by one.

    Raises:
        Refused: `file_missing`, a faulty marks file, no horse for a photo, a day that is none.
    """
    for path in paths:
        if not path.exists():
            raise Refused(Refusal("file_missing", {"file": path.name}))
    files = tuple(read_marks_file(path) for path in paths if is_marks_file(path))
    photos = photos_under([path for path in paths if not is_marks_file(path)])
    _day(wishes.visit)
    if (photos or any(not file.horse for file in files)) and not wishes.horse.strip():
        raise Refused(Refusal("horse_needed", {}))
    return Given(photos, files)


def add_files(open_book: OpenBook, paths: Sequence[Path], wishes: Wishes) -> Generator[Step, None, Added]:
    """Looks at photos and marks files and takes them in. Refused: as `look_at_files`, a book that cannot be written."""
    return (yield from add_given(open_book, look_at_files(paths, wishes), wishes))


def add_given(open_book: OpenBook, given: Given, wishes: Wishes) -> Generator[Step, None, Added]:
    """Takes photos in one by one, then marks files with theirs. Refused: a book that cannot be written."""
    total = len(given.photos) + sum(len(file.photos) for file in given.marks)
    arrived: list[Arrived] = []
    for path in given.photos:
        yield Step(len(arrived), total, path.name)
        arrived.append(_add_photo(open_book, path, wishes))
    for file in given.marks:
        came = yield from _add_marks_file(open_book, file, wishes, len(arrived), total)
        arrived += came
    yield Step(total, total, "")
    return Added(tuple(arrived))


def _add_photo(open_book: OpenBook, path: Path, wishes: Wishes) -> Arrived:
    horse = _horse(open_book, wishes.horse)
    visit = _visit(open_book, horse, _day(wishes.visit)) if wishes.visit else None
    filing = Filing(
        horse.key,
        visit,
        Foot(wishes.foot) if wishes.foot else None,
        View(wishes.view) if wishes.view else None,
        Moment(wishes.moment) if wishes.moment else None,
        retake=wishes.retake,
    )
    came = take_one(open_book, path, filing)
    if came.photo is None or came.known:
        return came
    return replace(came, photo=joined(open_book, came.photo))


def _add_marks_file(
    open_book: OpenBook, file: MarksFile, wishes: Wishes, done: int, total: int
) -> Generator[Step, None, list[Arrived]]:
    horse = _horse(open_book, wishes.horse or file.horse)
    day = _day(wishes.visit) or file.day
    visit = _visit(open_book, horse, day) if day else None
    arrived: list[Arrived] = []
    for entry in file.photos:
        yield Step(done + len(arrived), total, entry.file)
        filing = Filing(
            horse.key,
            visit,
            Foot(wishes.foot) if wishes.foot else file.foot,
            entry.view,
            Moment(wishes.moment) if wishes.moment else file.moment,
            entry.set,
            entry.card_plane,
            entry.card_stands_on,
            entry.shod,
            entry.from_inside,
            wishes.retake or entry.retake,
        )
        came = take_one(open_book, file.photo_path(entry), filing)
        arrived.append(came)
        if came.photo is not None:
            _keep_marks(open_book, file, entry, came.photo)
    measure_again(open_book, [came.photo for came in arrived if came.photo is not None])
    return arrived


def _keep_marks(open_book: OpenBook, file: MarksFile, entry: PhotoEntry, photo: Photo) -> None:
    from hoofbook.records.keys import new_key

    check_inside(file.path, entry, photo.width, photo.height)
    last = open_book.book.latest_pass(photo.key)
    ruler, width = entry.ruler, entry.foot_width_mm
    marks = MarkingPass(
        key=new_key(),
        photo=photo.key,
        marked_by=open_book.person,
        marked_at=open_book.clock.now(),
        marking=entry.marking,
        placing_px=entry.placing_px,
        ruler_a=ruler.a if ruler else None,
        ruler_b=ruler.b if ruler else None,
        ruler_mm=ruler.mm if ruler else None,
        foot_width_mm=width.value if width else None,
        foot_width_u_mm=width.u if width else None,
        card_size_mm=entry.card_size_mm,
    )
    same = last is not None and replace(last, key=marks.key, marked_by=marks.marked_by, marked_at=marks.marked_at)
    if entry.marks and same != marks:
        with open_book.book.writing() as writer:
            writer.add(marks)
            if entry.gauge_mm is not None and photo.visit is not None and photo.foot and photo.moment and file.day:
                writer.add(_gauge(open_book, file.day, photo, entry.gauge_mm))


def _gauge(open_book: OpenBook, day: date, photo: Photo, value: float) -> HandMeasure:
    from hoofbook.records.keys import new_key

    assert photo.foot is not None and photo.moment is not None
    return HandMeasure(
        new_key(),
        photo.horse,
        photo.visit,
        day,
        photo.foot,
        photo.moment,
        "sole_concavity_at_frog_apex",
        Definition.HAND_GAUGE,
        value,
        read_by=open_book.person,
    )


def _horse(open_book: OpenBook, name: str) -> Horse:
    if not name.strip():
        raise Refused(Refusal("horse_needed", {}))
    found = open_book.book.horse_by_name(name)
    return found or open_book.horse(add_horse(open_book, HorseForm(name)))


def _visit(open_book: OpenBook, horse: Horse, day: date | None) -> UUID:
    return UUID(add_visit(open_book, str(horse.key), day))


def _day(text: str) -> date | None:
    if not text:
        return None
    try:
        return date.fromisoformat(text)
    except ValueError as error:
        raise Refused(Refusal("visit_day_wrong", {"found": text})) from error
