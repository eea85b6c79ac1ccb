"""The book's own repeatability: second takes of one foot, and photos marked again without looking."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from types import MappingProxyType
from uuid import UUID

from hoofbook.casework.open_book import OpenBook, uuid
from hoofbook.casework.readings import read_readings
from hoofbook.casework.shots import Group, measure_shots, read_group
from hoofbook.progress.agreement import (
    ENOUGH_SETS,
    IccForm,
    intraclass,
    limits_of_agreement,
    person_effect,
    shrunk,
    within,
)
from hoofbook.progress.change import default_scatter
from hoofbook.progress.series import Reading
from hoofbook.terms.feet import Foot
from hoofbook.terms.refusal import Refusal
from hoofbook.terms.shown import Section
from hoofbook.terms.subjects import MarkingPass, Photo
from hoofbook.wording import repeatability as words

SHOWN = ("toe_angle", "heel_angle", "toe_length", "heel_height", "sole_concavity_at_frog_apex")


@dataclass(frozen=True, slots=True)
class TakeSet:
    """One foot at one visit read from more than one take: the values, first take first."""

    measure: str
    horse: UUID
    foot: Foot
    values: tuple[float, ...]


@dataclass(frozen=True, slots=True)
class BlindPair:
    """One photo's measure from the marks that count and from a pass made without looking, and who placed each."""

    measure: str
    photo: UUID
    first: float
    again: float
    people: tuple[str, str]


def take_sets(open_book: OpenBook) -> tuple[TakeSet, ...]:
    """All second takes of the book, over all horses."""
    horses = dict.fromkeys(photo.horse for photo in open_book.book.every(Photo, retake=True))
    return tuple(found for horse in horses for found in _of_horse(horse, read_readings(open_book, horse).readings))


def _of_horse(horse: UUID, readings: Iterable[Reading]) -> Iterable[TakeSet]:
    groups: dict[tuple[object, ...], list[Reading]] = {}
    for reading in readings:
        if reading.photos:
            where = (reading.visit, reading.foot, reading.moment, reading.definition, reading.method, reading.shod)
            groups.setdefault((reading.measure, *where), []).append(reading)
    for group in groups.values():
        takes = sorted(group, key=lambda reading: reading.retake)
        second = [reading for reading in takes if reading.retake]
        if second and len(second) < len(takes) and isinstance(takes[0].foot, Foot):
            first = [reading for reading in takes if not reading.retake][:1]
            values = tuple(reading.value for reading in (*first, *second))
            yield TakeSet(takes[0].measure, horse, takes[0].foot, values)


def sets_in_book(open_book: OpenBook) -> int:
    """How many feet were taken twice (one measure of each is enough to count)."""
    found = take_sets(open_book)
    return max((sum(each.measure == measure for each in found) for measure in SHOWN), default=0)


def ask_for_take(open_book: OpenBook, horse: str) -> str:
    """A calm line for the Photo tray while the book has few second takes and the newest visit has none; else empty."""
    photos = [photo for photo in open_book.book.photos(uuid(horse)) if photo.visit is not None and photo.local_time]
    if not photos:
        return ""
    newest = max(photos, key=lambda photo: photo.local_time).visit
    if any(photo.retake for photo in photos if photo.visit == newest):
        return ""
    sets = sets_in_book(open_book)
    return words.ask_for_take(sets) if sets < ENOUGH_SETS else ""


def own_figures(open_book: OpenBook) -> tuple[Section, ...]:
    """What is assumed and what is own, measure by measure, for the place How measured."""
    found = take_sets(open_book)
    by_measure: dict[str, list[TakeSet]] = {}
    for each in found:
        by_measure.setdefault(each.measure, []).append(each)
    rows = tuple(
        words.row(measure, shrunk(default_scatter(measure), [each.values for each in by_measure.get(measure, ())]))
        for measure in SHOWN
    )
    said = (words.HEAD, words.WHY) if found else (words.HEAD, words.NONE_YET, words.WHY)
    sections = [Section(words.TITLE, said, rows)]
    sections += _agreement(by_measure)
    return (*sections, _placing(open_book))


def _agreement(by_measure: Mapping[str, Sequence[TakeSet]]) -> list[Section]:
    """Plot, limits and intraclass correlation of the measure with most second takes."""
    most = max(by_measure, key=lambda measure: len(by_measure[measure]), default="")
    pairs = [(each.values[0], each.values[1]) for each in by_measure.get(most, ())]
    limits = limits_of_agreement(pairs)
    if isinstance(limits, Refusal):
        return []
    said = [words.limits_words(most, limits)]
    icc = intraclass(pairs, IccForm.ONE_SINGLE)
    if not isinstance(icc, Refusal):
        said.append(words.icc_words(icc))
    return [Section(words.AGREEMENT_TITLE, tuple(said), drawing=words.agreement_plot(most, limits))]


def blind_pairs(open_book: OpenBook) -> tuple[BlindPair, ...]:
    """Measures of every photo marked again without looking, from both passes."""
    book = open_book.book
    found: list[BlindPair] = []
    for again in book.every(MarkingPass, blind=True):
        photo = book.get(Photo, again.photo)
        group = read_group(open_book, photo)
        first = group.passes.get(photo.key)
        if first is not None:
            found += _pair(group, photo, first, again)
    return tuple(found)


def _pair(group: Group, photo: Photo, first: MarkingPass, again: MarkingPass) -> Iterable[BlindPair]:
    other = replace(group, passes=MappingProxyType({**group.passes, photo.key: again}))
    before, after = (measure_shots(each.shots()) for each in (group, other))
    for quantity in before.quantities:
        if quantity.name in SHOWN:
            same = after.quantity(quantity.name, quantity.definition.value)
            if same is not None:
                people = (first.marked_by, again.marked_by)
                yield BlindPair(quantity.name, photo.key, quantity.value, same.value, people)


def _placing(open_book: OpenBook) -> Section:
    pairs = blind_pairs(open_book)
    if not pairs:
        return Section(words.PLACING_TITLE, (words.BLIND_WHY, words.BLIND_NONE))
    rows, said = [], [words.BLIND_WHY]
    for measure in SHOWN:
        same = [(p.first, p.again) for p in pairs if p.measure == measure and p.people[0] == p.people[1]]
        spread = within(same)
        if not isinstance(spread, Refusal):
            rows.append(words.placing_row(measure, spread))
        said += _people(measure, [p for p in pairs if p.measure == measure and p.people[0] != p.people[1]])
    return Section(words.PLACING_TITLE, tuple(said), tuple(rows))


def _people(measure: str, pairs: Sequence[BlindPair]) -> Iterable[str]:
    for who in dict.fromkeys(pair.people for pair in pairs):
        effect = person_effect([(pair.first, pair.again) for pair in pairs if pair.people == who])
        if not isinstance(effect, Refusal):
            yield words.person_words(measure, *who, effect)
