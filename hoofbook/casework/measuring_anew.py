"""After a better method: all visits measured again from their marks, and what each goal said before and says now.

The sentences of before are kept first and those of now last, so that a broken-off run goes on where it stopped and
still knows both. Every photo or set is written whole.
"""

from __future__ import annotations

from collections.abc import Generator, Iterable
from dataclasses import dataclass, replace
from uuid import UUID

from hoofbook.casework.open_book import OpenBook, uuid
from hoofbook.casework.readings import HorseReadings, followed_place, read_readings
from hoofbook.casework.shots import measure_again
from hoofbook.housekeeping.files import remove, write_atomic
from hoofbook.measure.methods import is_outdated, present_methods
from hoofbook.terms.feet import Pair, Place, place_of
from hoofbook.terms.quantity import Definition
from hoofbook.terms.shown import Section, Step
from hoofbook.terms.subjects import Goal, Horse, MeasuredAnew, Photo
from hoofbook.wording import measuring_anew as words
from hoofbook.wording.verdicts import full_sentence

CHECKED = "previews/measured-by.txt"  # methods the whole book was last looked through for; can be made again


@dataclass(frozen=True, slots=True)
class _Work:
    horse: UUID
    photos: tuple[Photo, ...]
    methods: frozenset[str]


def outdated(open_book: OpenBook) -> int:
    """How many photos carry measures of an earlier method."""
    return sum(len(each.photos) for each in _work(open_book))


def _work(open_book: OpenBook) -> tuple[_Work, ...]:
    found = []
    for horse in open_book.book.every(Horse):
        old = [kept.quantity for kept in open_book.book.measures(horse.key) if is_outdated(kept.quantity.method)]
        if old:
            keys = {key for quantity in old for key in quantity.photos}
            photos = tuple(photo for photo in open_book.book.photos(horse.key) if str(photo.key) in keys)
            found.append(_Work(horse.key, photos, frozenset(quantity.method for quantity in old)))
    return tuple(found)


def measure_anew(open_book: OpenBook) -> Generator[Step, None, int]:
    """Measures all of it; returns how many photos. Closing the generator keeps what is done; the rest follows later.

    Raises:
        Refused: a read-only book, a full disk.
    """
    if _checked(open_book):
        return 0
    work = _work(open_book)
    total = sum(len(each.photos) for each in work)
    done = 0
    for each in work:
        _keep_before(open_book, each)
        for photo in each.photos:
            yield Step(done, total, words.WORKING)
            measure_again(open_book, [photo])
            done += 1
        _keep_after(open_book, each.horse)
    yield Step(total, total, words.WORKING)
    write_atomic(open_book.folder / CHECKED, _present().encode("utf-8"))
    return total


def _checked(open_book: OpenBook) -> bool:
    """True where the whole book was looked through for these methods: a large one is not read at every start."""
    try:
        return (open_book.folder / CHECKED).read_text(encoding="utf-8") == _present()
    except OSError:
        return False


def look_through_again(open_book: OpenBook, methods: Iterable[str]) -> None:
    """Has the whole book looked through once more when measures of these methods came into it from elsewhere."""
    if any(is_outdated(method) for method in methods):
        remove(open_book.folder / CHECKED)


def _present() -> str:
    return "\n".join(sorted(present_methods())) + "\n"


def _keep_before(open_book: OpenBook, work: _Work) -> None:
    """What each goal says now, unless a broken-off run kept it already."""
    from hoofbook.records.keys import new_key

    readings = read_readings(open_book, work.horse)
    begun = {_where(row) for row in open_book.book.every(MeasuredAnew, horse=work.horse) if not row.new_words}
    rows = [
        MeasuredAnew(
            new_key(),
            work.horse,
            goal.foot,
            goal.less,
            goal.measure,
            goal.definition,
            open_book.clock.now(),
            ", ".join(sorted(work.methods)),
            "",
            full_sentence(progress),
            "",
        )
        for goal, progress in readings.goals.values()
        if _uses(readings, goal, work.methods) and (followed_place(goal), goal.measure, goal.definition) not in begun
    ]
    if rows:
        with open_book.book.writing() as writer:
            writer.add_all(rows)


def _uses(readings: HorseReadings, goal: Goal, methods: frozenset[str]) -> bool:
    return any(r.measure == goal.measure and r.method in methods for r in readings.readings)


def _where(row: MeasuredAnew) -> tuple[Place, str, Definition]:
    return Pair.of(row.foot) if row.less else row.foot, row.measure, row.definition


def _keep_after(open_book: OpenBook, horse: UUID) -> None:
    begun = [row for row in open_book.book.every(MeasuredAnew, horse=horse) if not row.new_words]
    readings = read_readings(open_book, horse)
    changed = []
    for row in begun:
        progress = readings.progress(*_where(row))
        methods = sorted({reading.method for reading in progress.series.readings})
        said = full_sentence(progress)
        changed.append(replace(row, new_method=", ".join(methods), new_words=said, at=open_book.clock.now()))
    if changed:
        with open_book.book.writing() as writer:
            for row in changed:
                writer.change(row)


def unseen(open_book: OpenBook, horse: str, foot: str, measure: str, definition: str) -> Section | None:
    """Old and new sentence of one goal, until a person has seen them."""
    row = _unseen_row(open_book, horse, foot, measure, definition)
    return words.section(row) if row is not None else None


def mark_seen(open_book: OpenBook, horse: str, foot: str, measure: str, definition: str) -> None:
    row = _unseen_row(open_book, horse, foot, measure, definition)
    if row is not None:
        with open_book.book.writing() as writer:
            writer.change(replace(row, seen=True))


def _unseen_row(open_book: OpenBook, horse: str, foot: str, measure: str, definition: str) -> MeasuredAnew | None:
    if not foot:
        return None
    wanted = (place_of(foot), measure, Definition(definition))
    rows = [row for row in open_book.book.every(MeasuredAnew, horse=uuid(horse), seen=False) if row.new_words]
    return next((row for row in reversed(rows) if _where(row) == wanted), None)


def unseen_lines(open_book: OpenBook, horse: UUID) -> tuple[str, ...]:
    """For the command line: what was said before and what is said now, of every goal not seen yet."""
    rows = open_book.book.every(MeasuredAnew, horse=horse, seen=False)
    return tuple(line for row in rows if row.new_words for line in words.lines(row))
