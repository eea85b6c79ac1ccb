"""Verdicts at the planned readings: of one goal, and of all goals of a horse together.

The lines of every look of every goal are fitted in one call. On one day the goals are tested stepwise (Holm 1979): a
goal shown leaves its part of the chance to those not yet shown, at once and on later days. Before the first false
verdict only true changes can have left, so the horse's chance of ever having one stays what it was.
"""

from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from datetime import date
from itertools import chain

from hoofbook.progress.neighbours import Neighbours, neighbour_factors
from hoofbook.progress.plan import chance_at, planned_within, round_start
from hoofbook.progress.series import Reading, own_u
from hoofbook.progress.trend import fit_lines, normal_quantile, t_quantile
from hoofbook.terms.verdict import Verdict


@dataclass(frozen=True, slots=True)
class Look:
    """One planned reading: what was said then and on what it rests.

    `change` from the first tested day to `day` on the fitted line, `low`..`high` its interval at the confidence of
    this look (so a change is shown exactly where the interval leaves nought out), `smallest_change` what it would have
    taken, all in the measure's unit. `t` has the neighbour factor in it, `t_plain` not.
    """

    reading: int
    day: date
    verdict: Verdict
    change: float
    low: float
    high: float
    smallest_change: float
    weeks: float
    t: float
    t_plain: float
    t_needed: float
    goals_unshown: int


@dataclass(frozen=True, slots=True)
class Fit:
    """The line through some readings: days count from `first`, values in the measure's unit (see `trend.Lines`)."""

    first: date
    last: date
    centre: float
    level: float
    slope: float
    level_se: float
    slope_se: float
    slope_se_stated: float
    residual_sd: float
    tau: float
    degrees_of_freedom: float
    neighbours: Neighbours
    stated_sd: float  # root mean square of the stated u, 0 where one states none

    @property
    def span(self) -> float:
        """Days from the first reading to the last."""
        return float((self.last - self.first).days)

    @property
    def change(self) -> float:
        return self.slope * self.span

    def half_width(self, chance: float) -> float:
        """Half of the change's interval at confidence 1 - chance: Student's t on the residuals with the neighbour
        factor, and never narrower than the stated uncertainties alone allow."""
        seen = t_quantile(self.degrees_of_freedom, 1 - chance / 2) * self.slope_se * self.neighbours.slope
        stated = normal_quantile(1 - chance / 2) * self.slope_se_stated
        return max(seen, stated) * self.span


_FIGURES = (
    "centre",
    "level",
    "slope",
    "level_se",
    "slope_se",
    "slope_se_stated",
    "residual_sd",
    "tau",
    "degrees_of_freedom",
)


@dataclass(frozen=True, slots=True)
class Course:
    """Tested readings of one series with the fits at its planned readings, and over `current` where a line can be.

    `current` are the readings of the running round (all of them where nothing is followed).
    """

    tested: tuple[Reading, ...]
    current: tuple[Reading, ...]
    at_looks: tuple[tuple[int, Fit], ...]
    now: Fit | None


def fit_each(rows: Sequence[Sequence[Reading]]) -> list[Fit]:
    """The lines through several groups of three readings or more, in one call."""
    import numpy as np

    if not rows:
        return []
    lengths = np.array([len(row) for row in rows])
    there = np.arange(lengths.max()) < lengths[:, None]
    days, values, u = np.zeros((3, *there.shape))
    own = [own_u(row) for row in rows]
    since = [[reading.day.toordinal() - row[0].day.toordinal() for reading in row] for row in rows]
    days[there] = list(chain.from_iterable(since))
    values[there] = [reading.value for row in rows for reading in row]
    u[there] = list(chain.from_iterable(own))
    lines = fit_lines(days, values, u, there)
    figures = zip(*(getattr(lines, name).tolist() for name in _FIGURES), strict=True)
    weights = lines.weight.tolist()
    found = []
    for place, (row, figure) in enumerate(zip(rows, figures, strict=True)):
        shares = own[place]
        stated = math.sqrt(math.fsum(share * share for share in shares) / len(row)) if all(shares) else 0.0
        neighbours = neighbour_factors(since[place], weights[place][: len(row)])
        known = dict(zip(_FIGURES, figure, strict=True))
        found.append(Fit(first=row[0].day, last=row[-1].day, neighbours=neighbours, stated_sd=stated, **known))
    return found


def courses(groups: Sequence[tuple[Reading, ...]], *, followed: bool = True) -> list[Course]:
    """One course for each group of tested readings, by day; without `followed` no looks and no rounds."""
    wanted: list[tuple[int, int, Sequence[Reading]]] = []
    for number, tested in enumerate(groups):
        count = len(tested)
        ends = [*planned_within(count), count] if followed else [count]
        for end in dict.fromkeys(ends):
            row = tested[round_start(end) if followed else 0 : end]
            if len(row) >= 3 and row[0].day != row[-1].day:
                wanted.append((number, end, row))
    fits: dict[tuple[int, int], Fit] = {
        (number, end): fit for (number, end, _), fit in zip(wanted, fit_each([row for *_, row in wanted]), strict=True)
    }
    found = []
    for number, tested in enumerate(groups):
        count = len(tested)
        planned = planned_within(count) if followed else ()
        looks = tuple((reading, fits[number, reading]) for reading in planned if (number, reading) in fits)
        current = tested[round_start(count) if followed else 0 :]
        found.append(Course(tested, current, looks, fits.get((number, count))))
    return found


def looks_alone(course: Course, unshown: Callable[[date], int]) -> tuple[Look, ...]:
    """The looks of one goal, `unshown` goals of its horse dividing the chance on the day of each."""
    return tuple(look_at(fit, reading, max(1, unshown(fit.last))) for reading, fit in course.at_looks)


@dataclass(frozen=True, slots=True)
class Together:
    """The looks of each goal of a horse, and how many goals were unshown on the day of its last reading."""

    looks: tuple[tuple[Look, ...], ...]
    unshown: tuple[int, ...]


def looks_together(every: Sequence[Course], runs: Callable[[int, date], bool]) -> Together:
    """The looks of all goals of a horse, day by day; `runs` says whether goal n is followed on a day."""
    shown: dict[int, date] = {}
    due: dict[date, list[tuple[int, int, Fit]]] = defaultdict(list)
    for number, course in enumerate(every):
        for reading, fit in course.at_looks:
            due[fit.last].append((number, reading, fit))

    def unshown(number: int, day: date) -> int:
        others = (place for place in range(len(every)) if place != number and runs(place, day))
        return 1 + sum(not (place in shown and shown[place] <= day) for place in others)

    found: dict[tuple[int, int], Look] = {}
    for day in sorted(due):
        waiting = due[day]
        while waiting:  # each step tests with what the steps before it have shown
            step = {key[:2]: look_at(key[2], key[1], unshown(key[0], day)) for key in waiting}
            found |= step
            new = [number for (number, _), look in step.items() if look.verdict.is_change and number not in shown]
            if not new:
                break
            shown |= dict.fromkeys(new, day)
            waiting = [key for key in waiting if not step[key[:2]].verdict.is_change]
    return Together(
        tuple(tuple(found[number, reading] for reading, _ in course.at_looks) for number, course in enumerate(every)),
        tuple(unshown(n, course.tested[-1].day) if course.tested else 1 for n, course in enumerate(every)),
    )


def look_at(fit: Fit, reading: int, goals: int) -> Look:
    """What is said at a planned reading with `goals` goals unshown."""
    chance = chance_at(reading, goals)
    half, change = fit.half_width(chance), fit.change
    if abs(change) > half:
        verdict = Verdict.INCREASE_SHOWN if change > 0 else Verdict.DECREASE_SHOWN
    else:
        verdict = Verdict.NO_CHANGE_SHOWN
    slope = abs(fit.slope)
    t_plain = slope / fit.slope_se if fit.slope_se > 0 else (math.inf if slope > 0 else 0.0)
    return Look(
        reading=reading,
        day=fit.last,
        verdict=verdict,
        change=change,
        low=change - half,
        high=change + half,
        smallest_change=half,
        weeks=fit.span / 7,
        t=t_plain / fit.neighbours.slope,
        t_plain=t_plain,
        t_needed=t_quantile(fit.degrees_of_freedom, 1 - chance / 2),
        goals_unshown=goals,
    )
