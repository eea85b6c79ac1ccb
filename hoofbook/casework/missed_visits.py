"""Visits at which a measure could have been read and was not."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from hoofbook.casework.readings import HorseReadings
from hoofbook.casework.readings_made import trim_days
from hoofbook.progress.gaps import Gap, gaps, missed_since
from hoofbook.progress.series import Series
from hoofbook.terms.feet import Pair, Place
from hoofbook.terms.subjects import VisitKind

_TRIMMING = (VisitKind.ROUTINE, VisitKind.FIRST, VisitKind.WITH_VET)


@dataclass(frozen=True, slots=True)
class Missing:
    """Where readings are missing: between those there are, and at visits since the newest."""

    gaps: tuple[Gap, ...]
    since: tuple[date, ...]

    @property
    def visits(self) -> tuple[date, ...]:
        return (*(day for gap in self.gaps for day in gap.missed), *self.since)


def missing_visits(readings: HorseReadings, place: Place, series: Series) -> Missing:
    """A visit counts where this foot (of a pair: both) was trimmed, or nobody said what was done."""
    history = readings.history
    feet = {place.foot, place.less} if isinstance(place, Pair) else {place}
    trimmed = [set(days) for foot, days in trim_days(history.visits, history.works).items() if foot in feet]
    both = set.intersection(*trimmed) if len(trimmed) == len(feet) else set()
    told = {work.visit for work in history.works if work.work is not None}
    untold = {visit.day for visit in history.visits if visit.key not in told and visit.kind in _TRIMMING}
    return Missing(gaps(series, both | untold), missed_since(series, both | untold))
