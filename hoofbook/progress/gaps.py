"""Where a line through readings has nothing to stand on: visits without a reading, and far longer pauses than usual."""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date
from itertools import pairwise
from statistics import median

from hoofbook.progress.series import Series

LONG = 1.5  # times the usual days between visits (common practice, no source)
_FEWEST = 3  # intervals from which "usual" is taken


@dataclass(frozen=True, slots=True)
class Gap:
    """A stretch between two neighbouring readings of a series.

    `missed` are the visits in it at which this was not read; `usual` the usual days between visits where the stretch is
    longer than `LONG` times that, else None.
    """

    after: date
    before: date
    missed: tuple[date, ...] = ()
    usual: int | None = None

    @property
    def days(self) -> int:
        return (self.before - self.after).days


def gaps(series: Series, visits: Iterable[date]) -> tuple[Gap, ...]:
    """The gaps of a series, oldest first. `visits` are days on which the foot could have been read.

    A visit whose reading was left out of the series counts as missed too: the line has nothing there either.
    """
    days = sorted(set(series.days))
    known = sorted({*visits, *days})
    steps = [(later - earlier).days for earlier, later in pairwise(known)]
    usual = round(median(steps)) if len(steps) >= _FEWEST else None
    found = []
    for after, before in pairwise(days):
        missed = tuple(known[bisect_right(known, after) : bisect_left(known, before)])
        long = usual is not None and (before - after).days > LONG * usual
        if missed or long:
            found.append(Gap(after, before, missed, usual if long else None))
    return tuple(found)


def missed_since(series: Series, visits: Iterable[date]) -> tuple[date, ...]:
    """Visits after the newest reading at which this was not read."""
    days = series.days
    return tuple(sorted(day for day in set(visits) if days and day > days[-1]))
