"""Whether a measure changed: verdicts at planned readings, intervals in between, the difference of two readings.

Five in a hundred horses may be told a change that is none, once over their life and not at each look. The chance is
spent at planned readings 4, 7, 13 and 25 in shares of 10, 40, 30 and 20 % (an alpha-spending plan; Lan and DeMets 1983)
and divided by the number of goals of the horse not yet shown (Bonferroni). After reading 25 a new baseline begins.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from datetime import date
from types import MappingProxyType

from hoofbook.progress.pair import PairChange, default_scatter, pair_change
from hoofbook.progress.series import Reading, Series, own_u
from hoofbook.progress.trend import Lines, Robust, fit_lines, normal_quantile, t_quantile, theil_sen
from hoofbook.terms.refusal import Refusal
from hoofbook.terms.subjects.horses import Wanted
from hoofbook.terms.verdict import Verdict

__all__ = [
    "Followed",
    "Look",
    "PairChange",
    "Progress",
    "Trend",
    "as_wanted",
    "default_scatter",
    "judge",
    "judge_goals",
    "pair_change",
    "planned_after",
]
PLANNED_READINGS: Mapping[int, float] = MappingProxyType({4: 0.10, 7: 0.40, 13: 0.30, 25: 0.20})
ROUND = 25
FALSE_ALARM = 0.05
NEIGHBOUR_CORRELATION = 0.3  # assumed until estimated: readings of neighbouring visits resemble each other
NEIGHBOUR_FACTOR = math.sqrt((1 + NEIGHBOUR_CORRELATION) / (1 - NEIGHBOUR_CORRELATION))
_OTHER_THINGS = ("another_foot", "another_measure", "another_definition")  # were never meant for this series


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
class Trend:
    """A fitted line over days, with its pointwise 95 % band. Values in the measure's unit."""

    first_day: date
    last_day: date
    centre: float  # days after first_day
    level: float  # value at centre
    slope: float  # per day
    slope_se: float
    level_se: float
    coverage_factor: float

    def value_at(self, day: date) -> float:
        return self.level + self.slope * ((day - self.first_day).days - self.centre)

    def band_at(self, day: date) -> tuple[float, float]:
        away = (day - self.first_day).days - self.centre
        half = self.coverage_factor * math.hypot(self.level_se, self.slope_se * away)
        return self.value_at(day) - half, self.value_at(day) + half


@dataclass(frozen=True, slots=True)
class Progress:
    """What may be said of one series now.

    `change` with `low`..`high` is over all tested readings (first to last day, `weeks`). `verdict` is None between the
    planned readings and for measures that are no goal (`looks[-1]` is the last one given, with its day); `next_look` is
    the planned reading at which the next falls. `assumed` holds what is a default: "neighbour_correlation",
    "between_visit_scatter".
    """

    series: Series
    tested: tuple[Reading, ...]
    untested: tuple[Reading, ...]
    looks: tuple[Look, ...] = ()
    verdict: Verdict | None = None
    as_wanted: bool | None = None
    wanted: Wanted | None = None
    next_look: int | None = None
    change: float | None = None
    low: float | None = None
    high: float | None = None
    weeks: float | None = None
    confidence: float = 0.95
    smallest_change_shown: float | None = None
    trend: Trend | None = None
    robust: Robust | None = None
    tau: float | None = None
    assumed: tuple[str, ...] = ()
    refusal: Refusal | None = None
    at_look: bool = False
    goals_unshown: int = 1
    pair: PairChange | None = field(default=None)


@dataclass(frozen=True, slots=True)
class _Fit:
    lines: Lines
    span: float
    first: date
    last: date
    used: tuple[Reading, ...]

    @property
    def change(self) -> float:
        return float(self.lines.slope[0]) * self.span

    def half_width(self, alpha: float) -> float:
        """Half of the change's interval at confidence 1 - alpha: Student's t on the residuals with the neighbour
        factor, and never narrower than the stated uncertainties alone allow."""
        freedom = float(self.lines.degrees_of_freedom[0])
        seen = t_quantile(freedom, 1 - alpha / 2) * float(self.lines.slope_se[0]) * NEIGHBOUR_FACTOR
        stated = normal_quantile(1 - alpha / 2) * float(self.lines.slope_se_stated[0])
        return max(seen, stated) * self.span


def planned_after(count: int) -> int:
    """The next planned reading after `count` readings."""
    rounds, within = divmod(count, ROUND)
    return next((rounds * ROUND + look for look in PLANNED_READINGS if look > within), (rounds + 1) * ROUND + 4)


def share_at(reading: int) -> float | None:
    """Share of the false-alarm chance that is spent at this reading, None where none is planned."""
    return PLANNED_READINGS.get((reading - 1) % ROUND + 1)


def judge(
    series: Series,
    *,
    wanted: Wanted | None = None,
    goals_unshown: int | Callable[[date], int] = 1,
    set_on: date | None = None,
    prompted_by: str = "",
    goal: bool | None = None,
    tau: float | None = None,
) -> Progress:
    """What may be said of `series`.

    Readings before `set_on` and those of visit `prompted_by` are shown but not tested. `goals_unshown` is how many
    goals of the horse were not yet shown, now or as a function of the day of a look. Without `wanted` (or with
    `goal=False`) there are no verdicts, only the interval. `tau`: the book's own scatter, for two readings.
    """
    is_goal = wanted is not None if goal is None else goal
    unshown = goals_unshown if callable(goals_unshown) else (lambda _day, fixed=goals_unshown: fixed)
    tested = tuple(r for r in series.readings if not _excluded(r, set_on, prompted_by))
    untested = tuple(r for r in series.readings if _excluded(r, set_on, prompted_by))
    start = max(0, (len(tested) - 1) // ROUND * ROUND)
    looks = _all_looks(tested, unshown) if is_goal else ()
    here = _now(series, tested[start:], tau)
    here = replace(here, tested=tested, untested=untested, wanted=wanted, looks=looks)
    if not is_goal:
        return here
    return _with_verdict(here, unshown)


@dataclass(frozen=True, slots=True)
class Followed:
    """A goal of a horse with its series: what `judge_goals` needs of it."""

    series: Series
    wanted: Wanted | None
    set_on: date | None = None
    prompted_by: str = ""
    ended_on: date | None = None


def judge_goals(goals: Sequence[Followed], *, tau: float | None = None) -> tuple[Progress, ...]:
    """All goals of ONE horse judged together, look after look in the order of their days.

    The chance of a false verdict at each look is divided by the goals set and not ended by that day and not shown on
    an earlier one (itself counted), so what was said on a day stays said, whatever is shown later.
    """
    at: dict[tuple[int, date], int] = {}
    shown: dict[int, date] = {}
    tested = [
        tuple(r for r in goal.series.readings if not _excluded(r, goal.set_on, goal.prompted_by)) for goal in goals
    ]
    steps = sorted(
        (used[reading - 1].day, number, reading)
        for number, used in enumerate(tested)
        for reading in range(1, len(used) + 1)
    )
    for day, number, reading in steps:
        at[number, day] = 1 + sum(
            _runs(other, day) and not (place in shown and shown[place] < day)
            for place, other in enumerate(goals)
            if place != number
        )
        if share_at(reading) is not None and number not in shown:
            start = (reading - 1) // ROUND * ROUND
            if _look(tested[number][start:reading], reading, at[number, day]).verdict.is_change:
                shown[number] = day
    return tuple(
        judge(
            goal.series,
            wanted=goal.wanted,
            goals_unshown=lambda day, number=number: at[number, day],  # type: ignore[misc]
            set_on=goal.set_on,
            prompted_by=goal.prompted_by,
            goal=True,
            tau=tau,
        )
        for number, goal in enumerate(goals)
    )


def _runs(goal: Followed, day: date) -> bool:
    return not (goal.set_on and goal.set_on > day) and not (goal.ended_on and goal.ended_on <= day)


def _excluded(reading: Reading, set_on: date | None, prompted_by: str) -> bool:
    before = set_on is not None and reading.day < set_on
    return before or bool(prompted_by and reading.visit == prompted_by)


def _with_verdict(here: Progress, unshown: Callable[[date], int]) -> Progress:
    count = len(here.tested)
    here = replace(here, next_look=planned_after(count))
    if here.looks:
        last = here.looks[-1]
        here = replace(here, goals_unshown=last.goals_unshown)
        if last.reading < count:
            return here
        return replace(
            here,
            verdict=last.verdict,
            as_wanted=as_wanted(last.verdict, here.wanted),
            at_look=True,
            low=last.low,
            high=last.high,
            confidence=1 - _alpha(last.reading, last.goals_unshown),
            smallest_change_shown=last.smallest_change,
        )
    if count:
        here = replace(here, goals_unshown=max(1, unshown(here.tested[-1].day)))
    if count <= 1:
        left = [refusal for _, refusal in here.series.left_out if refusal.code not in _OTHER_THINGS]
        if left:
            return replace(here, verdict=Verdict.NOT_COMPARABLE, refusal=left[-1])
        if count == 1:
            return replace(here, verdict=Verdict.FIRST_READING)
    return here


def as_wanted(verdict: Verdict, wanted: Wanted | None) -> bool | None:
    """True or False for a shown change of a goal; None where nothing was shown or nothing wanted."""
    if wanted is None or not verdict.is_change:
        return None
    wish = {Wanted.MORE: Verdict.INCREASE_SHOWN, Wanted.LESS: Verdict.DECREASE_SHOWN, Wanted.KEEP: None}
    return verdict is wish[wanted]


def _alpha(reading: int, goals: int) -> float:
    return FALSE_ALARM * (share_at(reading) or 0.0) / max(1, goals)


def _all_looks(tested: Sequence[Reading], unshown: Callable[[date], int]) -> tuple[Look, ...]:
    looks = []
    for reading in range(1, len(tested) + 1):
        if share_at(reading) is not None:
            start = (reading - 1) // ROUND * ROUND
            look = _look(tested[start:reading], reading, max(1, unshown(tested[reading - 1].day)))
            looks.append(look)
    return tuple(looks)


def _look(used: Sequence[Reading], reading: int, goals: int) -> Look:
    fit = _fit(used)
    alpha = _alpha(reading, goals)
    half = fit.half_width(alpha)
    change = fit.change
    if abs(change) > half:
        verdict = Verdict.INCREASE_SHOWN if change > 0 else Verdict.DECREASE_SHOWN
    else:
        verdict = Verdict.NO_CHANGE_SHOWN
    error = float(fit.lines.slope_se[0])
    slope = abs(float(fit.lines.slope[0]))
    t_plain = slope / error if error > 0 else (math.inf if slope > 0 else 0.0)
    needed = t_quantile(float(fit.lines.degrees_of_freedom[0]), 1 - alpha / 2)
    return Look(
        reading=reading,
        day=used[-1].day,
        verdict=verdict,
        change=change,
        low=change - half,
        high=change + half,
        smallest_change=half,
        weeks=fit.span / 7,
        t=t_plain / NEIGHBOUR_FACTOR,
        t_plain=t_plain,
        t_needed=needed,
        goals_unshown=goals,
    )


def _fit(used: Sequence[Reading]) -> _Fit:
    import numpy as np

    first, last = used[0].day, used[-1].day
    days = np.array([[(reading.day - first).days for reading in used]], dtype=float)
    values = np.array([[reading.value for reading in used]], dtype=float)
    return _Fit(fit_lines(days, values, np.array([own_u(used)])), float((last - first).days), first, last, tuple(used))


def _now(series: Series, used: Sequence[Reading], tau: float | None) -> Progress:
    """The interval over all tested readings of this round, without a verdict."""
    nothing = Progress(series, (), ())
    if len(used) < 2:
        return nothing
    if len(used) == 2 or used[0].day == used[-1].day:
        pair = pair_change(used[0], used[-1], tau)
        if isinstance(pair, Refusal):
            return replace(nothing, refusal=pair)
        return _from_pair(nothing, pair)
    fit = _fit(used)
    half = fit.half_width(FALSE_ALARM)
    return replace(
        nothing,
        change=fit.change,
        low=fit.change - half,
        high=fit.change + half,
        weeks=fit.span / 7,
        smallest_change_shown=half,
        trend=_trend(fit),
        robust=_robust(used),
        tau=float(fit.lines.tau[0]),
        assumed=("neighbour_correlation",),
    )


def _from_pair(nothing: Progress, pair: PairChange) -> Progress:
    return replace(
        nothing,
        change=pair.change,
        low=pair.low,
        high=pair.high,
        weeks=(pair.now - pair.then).days / 7,
        smallest_change_shown=pair.high - pair.change,
        tau=pair.tau,
        assumed=("between_visit_scatter",) if pair.tau_assumed else (),
        pair=pair,
    )


def _trend(fit: _Fit) -> Trend:
    lines = fit.lines
    factor = t_quantile(float(lines.degrees_of_freedom[0]), 1 - FALSE_ALARM / 2) * NEIGHBOUR_FACTOR
    return Trend(
        fit.first,
        fit.last,
        float(lines.centre[0]),
        float(lines.level[0]),
        float(lines.slope[0]),
        float(lines.slope_se[0]),
        float(lines.level_se[0]),
        factor,
    )


def _robust(used: Sequence[Reading]) -> Robust | None:
    import numpy as np

    days = np.array([(reading.day - used[0].day).days for reading in used], dtype=float)
    return theil_sen(days, np.array([reading.value for reading in used]))
