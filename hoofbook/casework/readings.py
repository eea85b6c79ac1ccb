"""Kept measures and hand readings of one horse as dated readings, and its goals judged together."""

from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from typing import TYPE_CHECKING
from uuid import UUID
from weakref import WeakKeyDictionary

from hoofbook.casework.open_book import OpenBook
from hoofbook.casework.own_scatter import Measure, own_scatter
from hoofbook.casework.readings_made import readings_of
from hoofbook.progress.agreement import Shrunk, Standing
from hoofbook.progress.change import Followed, Progress, judge, judge_goals
from hoofbook.progress.pairs import pair_readings
from hoofbook.progress.series import Reading, Series, build_series
from hoofbook.terms.feet import Foot, Pair, Place
from hoofbook.terms.quantity import Definition
from hoofbook.terms.subjects import Goal
from hoofbook.terms.views import Moment

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
    own: Mapping[Measure, Shrunk] = field(default_factory=dict)  # how well this book's second takes repeat
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
        series = series_asked(own, foot, measure, definition, moment)
        return replace(series, own=own_of(self.own, foot, measure, definition))

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
    own = own_scatter(open_book)
    found = HorseReadings(history, readings, judged_goals(history.goals, readings, own), own)
    _kept[book] = (horse, writes, found)
    return found


def own_of(own: Mapping[Measure, Shrunk], place: Place, measure: str, definition: Definition) -> Shrunk | None:
    """How well readings of this measure repeat in this book; a pair's difference holds the scatter of two feet."""
    found = own.get((measure, definition))
    if found is None or not isinstance(place, Pair) or found.standing is Standing.ASSUMED:
        return found
    return replace(found, sd=math.sqrt(2.0) * found.sd, tau=math.sqrt(2.0) * found.tau)


def judged_goals(
    goals: Sequence[Goal], readings: Sequence[Reading], own: Mapping[Measure, Shrunk]
) -> dict[Followable, tuple[Goal, Progress]]:
    """All goals of one horse judged together: the chance of a false verdict is shared between them."""
    followed = []
    for goal in goals:
        place = followed_place(goal)
        series = series_asked(readings, place, goal.measure, goal.definition)
        series = replace(series, own=own_of(own, place, goal.measure, goal.definition))
        followed.append(
            Followed(series, goal.wanted, goal.set_on, str(goal.prompted_by) if goal.prompted_by else "", goal.ended_on)
        )
    judged = judge_goals(followed)
    return {
        (followed_place(goal), goal.measure, goal.definition): (goal, progress)
        for goal, progress in zip(goals, judged, strict=True)
        if goal.ended_on is None
    }
