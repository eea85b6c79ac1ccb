"""Whether a measure changed: verdicts at planned readings, intervals in between, the difference of two readings.

When verdicts fall and what each may spend stands in `plan`; how the goals of a horse share it in `looks`.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from datetime import date

from hoofbook.progress.looks import Course, Fit, Look, courses, looks_alone, looks_together
from hoofbook.progress.neighbours import NEIGHBOUR_CORRELATION, NEIGHBOUR_FACTOR
from hoofbook.progress.pair import PairChange, default_scatter, pair_change
from hoofbook.progress.plan import FALSE_ALARM, PLANNED_READINGS, ROUND, chance_at, planned_after, share_at
from hoofbook.progress.series import Reading, Series
from hoofbook.progress.trend import Robust, t_quantile, theil_sen
from hoofbook.terms.refusal import Refusal
from hoofbook.terms.subjects.horses import Wanted
from hoofbook.terms.verdict import Verdict

__all__ = [
    "FALSE_ALARM",
    "NEIGHBOUR_CORRELATION",
    "NEIGHBOUR_FACTOR",
    "PLANNED_READINGS",
    "ROUND",
    "Followed",
    "Look",
    "PairChange",
    "Progress",
    "Trend",
    "as_wanted",
    "default_scatter",
    "judge",
    "judge_all",
    "judge_goals",
    "pair_change",
    "planned_after",
    "share_at",
]
_OTHER_THINGS = ("another_foot", "another_measure", "another_definition")  # were never meant for this series


@dataclass(frozen=True, slots=True)
class Trend:
    """A fitted line over days with two pointwise 95 % bands: where the line is, and where a further visit would fall.

    Values in the measure's unit. `level_se`, `slope_se` and `scatter` (sd of one like reading about the line) hold
    the likeness of neighbouring visits; `coverage_factor` is Student's t.
    """

    first_day: date
    last_day: date
    centre: float  # days after first_day
    level: float  # value at centre
    slope: float  # per day
    slope_se: float
    level_se: float
    scatter: float
    coverage_factor: float

    def value_at(self, day: date) -> float:
        return self.level + self.slope * self._away(day)

    def band_at(self, day: date) -> tuple[float, float]:
        """Where the line itself may be on that day."""
        return self._about(day, self.coverage_factor * self._line_se(day))

    def prediction_at(self, day: date) -> tuple[float, float]:
        """Where one further reading of a like visit on that day would fall."""
        return self._about(day, self.coverage_factor * math.hypot(self._line_se(day), self.scatter))

    def _away(self, day: date) -> float:
        return (day - self.first_day).days - self.centre

    def _line_se(self, day: date) -> float:
        return math.hypot(self.level_se, self.slope_se * self._away(day))

    def _about(self, day: date, half: float) -> tuple[float, float]:
        return self.value_at(day) - half, self.value_at(day) + half


@dataclass(frozen=True, slots=True)
class Progress:
    """What may be said of one series now.

    `change` with `low`..`high` is over `current`, the tested readings since the last new baseline (first to last day,
    `weeks`). `verdict` is None between the planned readings and for measures that are no goal (`looks[-1]` is the last
    one given, with its day); `next_look` is the planned reading at which the next falls. `assumed` holds what is a
    default: "neighbour_correlation", "between_visit_scatter".
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
    tau: float | None = None
    assumed: tuple[str, ...] = ()
    refusal: Refusal | None = None
    at_look: bool = False
    goals_unshown: int = 1
    pair: PairChange | None = None
    current: tuple[Reading, ...] = ()

    @property
    def robust(self) -> Robust | None:
        """Median slope of all pairs of the current readings, worked out when it is asked for."""
        import numpy as np

        days = np.array([reading.day.toordinal() for reading in self.current], dtype=float)
        return theil_sen(days, np.array([reading.value for reading in self.current]))


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
    `goal=False`) there are no verdicts, only the interval. `tau`: the scatter between visits where only two readings
    are compared; None takes the book's own (`Series.own`), and without that the default.
    """
    tested, untested = _parted(series, set_on, prompted_by)
    followed = wanted is not None if goal is None else goal
    course = courses([tested], followed=followed)[0]
    here = _now(series, course, untested, wanted, tau)
    if not followed:
        return here
    unshown = goals_unshown if callable(goals_unshown) else (lambda _day, fixed=goals_unshown: fixed)
    return _with_verdict(here, looks_alone(course, unshown), unshown(tested[-1].day) if tested else 1)


def judge_all(every: Sequence[Series], *, tau: float | None = None) -> tuple[Progress, ...]:
    """Many series that are no goals, their lines in one call: intervals and trends, no verdicts."""
    found = courses([series.readings for series in every], followed=False)
    return tuple(_now(series, course, (), None, tau) for series, course in zip(every, found, strict=True))


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

    The chance of a false verdict at each look is divided by the goals set and not ended by that day and not yet shown
    (itself counted), so what was said on a day stays said, whatever is shown on a later one.
    """
    parted = [_parted(goal.series, goal.set_on, goal.prompted_by) for goal in goals]
    every = courses([tested for tested, _ in parted])
    together = looks_together(every, lambda number, day: _runs(goals[number], day))
    return tuple(
        _with_verdict(_now(goal.series, course, untested, goal.wanted, tau), looks, unshown)
        for goal, course, (_, untested), looks, unshown in zip(
            goals, every, parted, together.looks, together.unshown, strict=True
        )
    )


def _runs(goal: Followed, day: date) -> bool:
    return not (goal.set_on and goal.set_on > day) and not (goal.ended_on and goal.ended_on <= day)


def _parted(series: Series, set_on: date | None, prompted_by: str) -> tuple[tuple[Reading, ...], tuple[Reading, ...]]:
    """The readings that are tested, and those shown only."""
    if set_on is None and not prompted_by:
        return series.readings, ()
    tested: list[Reading] = []
    untested: list[Reading] = []
    for reading in series.readings:
        before = set_on is not None and reading.day < set_on
        prompted = bool(prompted_by) and reading.visit == prompted_by
        (untested if before or prompted else tested).append(reading)
    return tuple(tested), tuple(untested)


def _with_verdict(here: Progress, looks: tuple[Look, ...], unshown: int) -> Progress:
    count = len(here.tested)
    plain = {"looks": looks, "next_look": planned_after(count)}
    if looks:
        last = looks[-1]
        plain["goals_unshown"] = last.goals_unshown
        if last.reading < count:
            return replace(here, **plain)  # type: ignore[arg-type]
        return replace(
            here,
            **plain,  # type: ignore[arg-type]
            verdict=last.verdict,
            as_wanted=as_wanted(last.verdict, here.wanted),
            at_look=True,
            low=last.low,
            high=last.high,
            confidence=1 - chance_at(last.reading, last.goals_unshown),
            smallest_change_shown=last.smallest_change,
        )
    if count:
        plain["goals_unshown"] = max(1, unshown)
    if count <= 1:
        left = [refusal for _, refusal in here.series.left_out if refusal.code not in _OTHER_THINGS]
        if left:
            return replace(here, **plain, verdict=Verdict.NOT_COMPARABLE, refusal=left[-1])  # type: ignore[arg-type]
        if count == 1:
            return replace(here, **plain, verdict=Verdict.FIRST_READING)  # type: ignore[arg-type]
    return replace(here, **plain)  # type: ignore[arg-type]


def as_wanted(verdict: Verdict, wanted: Wanted | None) -> bool | None:
    """True or False for a shown change of a goal; None where nothing was shown or nothing wanted."""
    if wanted is None or not verdict.is_change:
        return None
    wish = {Wanted.MORE: Verdict.INCREASE_SHOWN, Wanted.LESS: Verdict.DECREASE_SHOWN, Wanted.KEEP: None}
    return verdict is wish[wanted]


def _now(
    series: Series, course: Course, untested: tuple[Reading, ...], wanted: Wanted | None, tau: float | None
) -> Progress:
    """The interval over the current readings, without a verdict."""
    known = {"wanted": wanted, "current": course.current}
    fit = course.now
    if fit is not None:
        half = fit.half_width(FALSE_ALARM)
        return Progress(
            series,
            course.tested,
            untested,
            change=fit.change,
            low=fit.change - half,
            high=fit.change + half,
            weeks=fit.span / 7,
            smallest_change_shown=half,
            trend=_trend(fit),
            tau=fit.tau,
            assumed=("neighbour_correlation",),
            **known,  # type: ignore[arg-type]
        )
    nothing = Progress(series, course.tested, untested, **known)  # type: ignore[arg-type]
    if len(course.current) < 2:
        return nothing
    pair = pair_change(course.current[0], course.current[-1], series.own if tau is None else tau)
    if isinstance(pair, Refusal):
        return replace(nothing, refusal=pair)
    return _from_pair(nothing, pair)


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


def _trend(fit: Fit) -> Trend:
    return Trend(
        first_day=fit.first,
        last_day=fit.last,
        centre=fit.centre,
        level=fit.level,
        slope=fit.slope,
        slope_se=fit.slope_se * fit.neighbours.slope,
        level_se=fit.level_se * fit.neighbours.level,
        scatter=max(fit.residual_sd * fit.neighbours.scatter, fit.stated_sd),
        coverage_factor=t_quantile(fit.degrees_of_freedom, 1 - FALSE_ALARM / 2),
    )
