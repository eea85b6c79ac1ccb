"""Inside a cycle: how fast horn grew between one trim and the next visit, and what each trim took."""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from datetime import date, timedelta
from types import MappingProxyType

from hoofbook.progress.series import Reading, comparable, one_per_visit, own_u
from hoofbook.progress.trend import fit_through_origin, mean_of, t_quantile
from hoofbook.terms.quantity import COVERAGE
from hoofbook.terms.refusal import Refusal
from hoofbook.terms.views import Moment

DAYS = 30
ALL_CODES = ("growth_needs_both_ends",)


@dataclass(frozen=True, slots=True)
class Growth:
    """One cycle's change of a length or angle, in the measure's unit per 30 days, with its 95 % interval."""

    after_trim: date
    before_trim: date
    days: int
    change: float
    per_30_days: float
    u_per_30_days: float
    low: float
    high: float


@dataclass(frozen=True, slots=True)
class Pooled:
    """Rate per 30 days over several cycles with its 95 % interval, and the sd of single cycles about it."""

    per_30_days: float
    se: float
    low: float
    high: float
    degrees_of_freedom: float
    cycle_sd: float
    cycles: int


@dataclass(frozen=True, slots=True)
class Expected:
    """What a measure would be some weeks after the last trim, if this foot goes on as it did, with a 95 % interval."""

    weeks: int
    day: date
    value: float
    low: float
    high: float


def growth(readings: Iterable[Reading]) -> tuple[Growth, ...]:
    """Before trim of each visit minus after trim of the visit before it, for one measure of one foot.

    These two moments are never on one line; their difference is what happened inside the cycle. A cycle counts only
    where nothing else differs (method, definition, shod state).
    """
    by_visit = _by_day(readings)
    days = sorted(by_visit)
    cycles = []
    for earlier, later in itertools.pairwise(days):
        then, now = by_visit[earlier].get(Moment.AFTER_TRIM), by_visit[later].get(Moment.BEFORE_TRIM)
        if then is not None and now is not None:
            cycle = _cycle(then, now)
            if isinstance(cycle, Growth):
                cycles.append(cycle)
    return tuple(cycles)


def _cycle(then: Reading, now: Reading) -> Growth | Refusal:
    refusal = _alike_but_moment(then, now)
    if refusal is not None:
        return refusal
    one, other = own_u((then, now))
    days = (now.day - then.day).days
    if days <= 0:
        return Refusal("growth_needs_both_ends", MappingProxyType({"day": now.day.isoformat()}), now.measure)
    change = now.value - then.value
    per, u = change / days * DAYS, math.hypot(one, other) / days * DAYS
    return Growth(then.day, now.day, days, change, per, u, per - COVERAGE * u, per + COVERAGE * u)


def _alike_but_moment(after: Reading, before: Reading) -> Refusal | None:
    """Growth and trim are the two things asked across moments: all else must agree as for any comparison."""
    return comparable(replace(after, moment=Moment.AFTER_TRIM), replace(before, moment=Moment.AFTER_TRIM))


def pooled_growth(cycles: Sequence[Growth]) -> Pooled | None:
    """One rate for all cycles: change = rate x days through nought, weighted by the stated u, scatter from the cycles
    themselves (Student's t on cycles - 1). None for fewer than two cycles."""
    if len(cycles) < 2:
        return None
    line = fit_through_origin(
        [cycle.days for cycle in cycles],
        [cycle.change for cycle in cycles],
        [cycle.u_per_30_days * cycle.days / DAYS for cycle in cycles],
    )
    half = t_quantile(line.degrees_of_freedom, 0.975) * line.slope_se
    rates = mean_of([cycle.per_30_days for cycle in cycles])
    return Pooled(
        line.slope * DAYS,
        line.slope_se * DAYS,
        (line.slope - half) * DAYS,
        (line.slope + half) * DAYS,
        line.degrees_of_freedom,
        rates.sd,
        len(cycles),
    )


def trim_took(readings: Iterable[Reading]) -> tuple[tuple[date, float], ...]:
    """Per visit with both moments: before trim minus after trim, in the measure's unit (a trim, never progress)."""
    took = []
    for day, there in sorted(_by_day(readings).items()):
        before, after = there.get(Moment.BEFORE_TRIM), there.get(Moment.AFTER_TRIM)
        if before and after and _alike_but_moment(after, before) is None:
            took.append((day, before.value - after.value))
    return tuple(took)


def _by_day(readings: Iterable[Reading]) -> dict[date, dict[Moment, Reading]]:
    days: dict[date, dict[Moment, Reading]] = {}
    for reading in one_per_visit(readings):
        days.setdefault(reading.day, {})[reading.moment] = reading
    return days


def in_weeks(last: Reading, pooled: Pooled, weeks: Sequence[int] = (4, 5, 6, 7, 8)) -> tuple[Expected, ...]:
    """What the measure would be `weeks` after the last after-trim reading: one further cycle, so the scatter of
    single cycles and the stated u of the last reading both count."""
    factor = t_quantile(pooled.degrees_of_freedom, 0.975)
    rows = []
    for week in weeks:
        share = week * 7 / DAYS
        u = math.hypot(last.u or 0.0, math.hypot(pooled.se, pooled.cycle_sd) * share)
        value = last.value + pooled.per_30_days * share
        rows.append(Expected(week, last.day + timedelta(weeks=week), value, value - factor * u, value + factor * u))
    return tuple(rows)
