"""Kept measures and hand readings of one horse as dated readings, and its goals judged together."""

from __future__ import annotations

from bisect import bisect_left
from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from datetime import date
from typing import TYPE_CHECKING
from uuid import UUID
from weakref import WeakKeyDictionary

from hoofbook.casework.open_book import OpenBook
from hoofbook.progress.change import Followed, Progress, judge, judge_goals
from hoofbook.progress.pairs import pair_readings
from hoofbook.progress.series import HAND, Reading, Series, build_series
from hoofbook.terms.feet import Foot, Pair, Place
from hoofbook.terms.quantity import Definition
from hoofbook.terms.subjects import (
    FootWork,
    Goal,
    HandMeasure,
    MarkingPass,
    MeasureKept,
    Photo,
    SoleState,
    Visit,
    Work,
)
from hoofbook.terms.views import CardPlane, CardStand, Moment

if TYPE_CHECKING:
    from hoofbook.records.book import Book
    from hoofbook.records.lists import History

Followable = tuple[Place, str, Definition]
"""A measure of one foot or pair by one definition: what a goal names and a series holds."""


@dataclass(frozen=True, slots=True)
class HorseReadings:
    """All readings of a horse, photo and hand, and how its goals stand."""

    history: History
    readings: tuple[Reading, ...]
    goals: Mapping[Followable, tuple[Goal, Progress]]
    _by_measure: dict[tuple[Place | None, str], list[Reading]] = field(
        default_factory=lambda: defaultdict(list), init=False, repr=False, compare=False
    )
    _had: dict[tuple[Place | None, str, Definition, Moment], None] = field(
        default_factory=dict, init=False, repr=False, compare=False
    )

    def __post_init__(self) -> None:
        for reading in self.readings:
            self._by_measure[reading.foot, reading.measure].append(reading)
            self._had[reading.foot, reading.measure, reading.definition, reading.moment] = None

    def of(self, foot: Foot, measure: str) -> Sequence[Reading]:
        """Every reading of one measure of one foot, whatever its definition and moment."""
        return self._by_measure.get((foot, measure), ())

    def series(self, foot: Place, measure: str, definition: Definition, moment: Moment = Moment.AFTER_TRIM) -> Series:
        """Readings of one measure that may stand on one line, and those that may not with their reason."""
        feet = (foot.foot, foot.less) if isinstance(foot, Pair) else (foot,)
        own = [reading for one in feet for reading in self.of(one, measure)]
        return series_asked(own, foot, measure, definition, moment)

    def progress(self, foot: Place, measure: str, definition: Definition) -> Progress:
        """How the measure stands: judged where it is a goal, else its interval alone."""
        goal = self.goals.get((foot, measure, definition))
        return goal[1] if goal else judge(self.series(foot, measure, definition))

    def measures_of(self, foot: Place, moment: Moment | None = None) -> tuple[tuple[str, Definition], ...]:
        """What was ever read on this foot, or on both feet of this pair; with `moment` what was read at that moment."""
        if isinstance(foot, Pair):
            other = set(self.measures_of(foot.less, moment))
            return tuple(item for item in self.measures_of(foot.foot, moment) if item in other)
        own = (had for had in self._had if had[0] is foot and (moment is None or had[3] is moment))
        return tuple(dict.fromkeys((measure, definition) for _, measure, definition, _ in own))


def readings_asked(
    readings: Iterable[Reading],
    foot: Place,
    measure: str,
    definition: Definition,
    moment: Moment = Moment.AFTER_TRIM,
) -> list[Reading]:
    """The readings a series is built from, and those of other moments: they are left out there, with their reason."""
    return [
        reading
        for reading in readings
        if (reading.foot, reading.measure) == (foot, measure)
        and (reading.definition is definition or reading.moment is not moment)
    ]


def series_asked(
    readings: Sequence[Reading],
    place: Place,
    measure: str,
    definition: Definition,
    moment: Moment = Moment.AFTER_TRIM,
) -> Series:
    """The series of a foot, or of the difference of a pair."""
    if not isinstance(place, Pair):
        own = readings_asked(readings, place, measure, definition, moment)
        return build_series(own, measure=measure, definition=definition, moment=moment, foot=place)
    both = [
        reading
        for foot in (place.foot, place.less)
        for reading in readings_asked(readings, foot, measure, definition, moment)
    ]
    found, alone = pair_readings(both, place)
    series = build_series(found, measure=measure, definition=definition, moment=moment, foot=place)
    wished = [pair for pair in alone if (pair[0].moment, pair[0].definition) == (moment, definition)]
    left = sorted((*series.left_out, *wished), key=lambda pair: (pair[0].day, pair[0].key))
    return replace(series, left_out=tuple(left))


def followed_place(goal: Goal) -> Place:
    """The foot of a goal, or the pair whose difference it follows."""
    return Pair.of(goal.foot) if goal.less else goal.foot


_kept: WeakKeyDictionary[Book, tuple[UUID, int, HorseReadings]] = WeakKeyDictionary()


def read_readings(open_book: OpenBook, horse: UUID) -> HorseReadings:
    """Everything read on one horse, in a handful of queries; again, while the book stays as it was, in one."""
    book = open_book.book
    writes = book.writes()
    kept = _kept.get(book)
    if kept is not None and kept[:2] == (horse, writes):
        return kept[2]
    history = book.history(horse)
    passes = book.latest_passes(horse)
    readings = tuple(readings_of(history, book.measures(horse), passes))
    found = HorseReadings(history, readings, judged_goals(history.goals, readings))
    _kept[book] = (horse, writes, found)
    return found


def readings_of(
    history: History, measures: Iterable[MeasureKept], passes: Mapping[UUID, MarkingPass]
) -> Iterable[Reading]:
    """Kept measures and hand measures as readings with what may stand in the way of comparing them."""
    context = _Context(
        {visit.key: visit for visit in history.visits},
        {(work.visit, work.foot): work for work in history.works},
        {str(photo.key): photo for photo in history.photos},
        passes,
        trim_days(history.visits, history.works),
    )
    for kept in measures:
        visit = context.visits.get(kept.visit) if kept.visit else None
        if visit is not None:
            yield context.of_measure(kept, visit)
    for hand in history.hand_measures:
        yield context.of_hand(hand)


@dataclass(frozen=True, slots=True)
class _Context:
    visits: Mapping[UUID, Visit]
    works: Mapping[tuple[UUID, Foot], FootWork]
    photos: Mapping[str, Photo]
    passes: Mapping[UUID, MarkingPass]
    trims: Mapping[Foot, Sequence[date]]

    def of_measure(self, kept: MeasureKept, visit: Visit) -> Reading:
        photos = [self.photos[key] for key in kept.quantity.photos if key in self.photos]
        people = {self.passes[photo.key].marked_by for photo in photos if photo.key in self.passes}
        # a card held on the lifted foot gives only the scale: where it lies plays no part
        planes = {photo.card_plane for photo in photos if photo.card_stands_on is not CardStand.FOOT}
        return Reading.of(
            kept.quantity,
            visit.day,
            kept.moment,
            foot=kept.foot,
            visit=str(visit.key),
            key=f"{visit.key} {kept.quantity.name} {kept.quantity.definition} {kept.moment}",
            shod=any(photo.shod for photo in photos),
            retake=any(photo.retake for photo in photos),
            person=" and ".join(sorted(people)),
            card_plane=CardPlane.UNSURE if CardPlane.UNSURE in planes else next(iter(planes), None),
            **self._sole(visit, kept.foot, kept.moment),
        )

    def of_hand(self, hand: HandMeasure) -> Reading:
        visit = self.visits.get(hand.visit) if hand.visit else None
        return Reading(
            day=hand.day,
            value=hand.value,
            u=hand.u,
            moment=hand.moment,
            measure=hand.measure,
            definition=hand.definition,
            foot=hand.foot,
            method=HAND,
            key=str(hand.key),
            visit=str(hand.visit) if hand.visit else "",
            person=hand.read_by,
            **(self._sole(visit, hand.foot, hand.moment) if visit else {}),  # type: ignore[arg-type]
        )

    def _sole(self, visit: Visit, foot: Foot, moment: Moment) -> dict[str, object]:
        trims = self.trims.get(foot, ())
        before = bisect_left(trims, visit.day)
        work = self.works.get((visit.key, foot))
        found: dict[str, object] = {"days_since_trim": (visit.day - trims[before - 1]).days if before else None}
        if work is not None:
            after = moment in (Moment.AFTER_TRIM, Moment.FINISHED)
            state = work.sole_after if after else work.sole_before
            found |= {
                "sole_pared": work.sole_pared,
                "sole_state": state or SoleState.NOT_LOOKED,
                "sole_wet": work.sole_wet or visit.weather == "wet",
            }
        return found


def trim_days(visits: Iterable[Visit], works: Iterable[FootWork]) -> dict[Foot, list[date]]:
    """Days on which each foot was trimmed, oldest first."""
    days = {visit.key: visit.day for visit in visits}
    trims: dict[Foot, list[date]] = {}
    for work in works:
        if work.work not in (None, Work.NOTHING, Work.TIGHTENED, Work.BOOT, Work.PAD_ONLY, Work.REPAIR):
            trims.setdefault(work.foot, []).append(days[work.visit])
    return {foot: sorted(found) for foot, found in trims.items()}


def judged_goals(goals: Sequence[Goal], readings: Sequence[Reading]) -> dict[Followable, tuple[Goal, Progress]]:
    """All goals of one horse judged together: the chance of a false verdict is shared between them."""
    followed = []
    for goal in goals:
        series = series_asked(readings, followed_place(goal), goal.measure, goal.definition)
        followed.append(
            Followed(series, goal.wanted, goal.set_on, str(goal.prompted_by) if goal.prompted_by else "", goal.ended_on)
        )
    judged = judge_goals(followed)
    return {
        (followed_place(goal), goal.measure, goal.definition): (goal, progress)
        for goal, progress in zip(goals, judged, strict=True)
        if goal.ended_on is None
    }
