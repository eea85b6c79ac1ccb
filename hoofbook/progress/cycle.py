"""Inside a cycle: how fast horn grew between one trim and the next visit, and what each trim took."""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from datetime import date, timedelta
from types import MappingProxyType

from hoofbook.progress.series import Reading, comparable, one_per_visit, u_of_difference
from hoofbook.progress.trend import fit_through_origin, mean_of, t_quantile
from hoofbook.terms.quantity import COVERAGE
from hoofbook.terms.refusal import Refusal
from hoofbook.terms.views import Moment

DAYS = 30
HORIZON_DAYS = 365
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

    @property
    def middle(self) -> date:
        """The day half way through the cycle."""
        return self.after_trim + timedelta(days=self.days // 2)


@dataclass(frozen=True, slots=True)
class Taken:
    """What one trim took off a measure, in its unit, with its 95 % interval; None where a reading states no spread."""

    day: date
    change: float
    low: float | None
    high: float | None


@dataclass(frozen=True, slots=True)
class SeasonRate:
    """Mean rate per 30 days of the cycles whose middle fell in three months, with its 95 % interval.

    `first_month` 12, 3, 6 or 9. `low` and `high` are None where the scatter of single cycles is not known: fewer than
    two cycles in every season.
    """

    first_month: int
    cycles: int
    per_30_days: float
    low: float | None
    high: float | None


@dataclass(frozen=True, slots=True)
class Pooled:
    """Rate per 30 days over several cycles with its 95 % interval, and the sd of single cycles about it.

    `foot_sd` is what of `cycle_sd` the stated spread of the readings does not explain: how unlike the foot's own cycles
    are.
    """

    per_30_days: float
    se: float
    low: float
    high: float
    degrees_of_freedom: float
    cycle_sd: float
    cycles: int
    foot_sd: float


@dataclass(frozen=True, slots=True)
class DayReached:
    """When a measure would come to a value, if this foot goes on as it did.

    `day` the day of the fitted course, `earliest` and `latest` the ends of its 95 % interval; each None where it lies
    more than `HORIZON_DAYS` after the last reading, or is never reached. Days are never before the last reading.
    `passed`: the course leads away from the value: the last reading lies beyond it already.
    """

    value: float
    since: date
    day: date | None
    earliest: date | None
    latest: date | None
    passed: bool = False


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
    where nothing else differs (method, definition, shod state) and no other trim fell between the two readings.
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
    days = (now.day - then.day).days
    trimmed_between = now.days_since_trim is not None and now.days_since_trim < days
    if days <= 0 or trimmed_between:
        return Refusal("growth_needs_both_ends", MappingProxyType({"day": now.day.isoformat()}), now.measure)
    change = now.value - then.value
    per, u = change / days * DAYS, (u_of_difference(now, then) or 0.0) / days * DAYS
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
    stated = math.fsum(cycle.u_per_30_days**2 for cycle in cycles) / len(cycles)
    return Pooled(
        line.slope * DAYS,
        line.slope_se * DAYS,
        (line.slope - half) * DAYS,
        (line.slope + half) * DAYS,
        line.degrees_of_freedom,
        rates.sd,
        len(cycles),
        math.sqrt(max(rates.sd**2 - stated, 0.0)),
    )


def scatter_within(groups: Iterable[Sequence[float]]) -> tuple[float, int]:
    """Standard deviation of single values about the mean of their own group, and its degrees of freedom.

    Root of the mean square within groups of a one-way analysis of variance; (0, 0) where no group has two values.
    """
    squares, freedom = 0.0, 0
    for group in groups:
        mean = math.fsum(group) / len(group)
        squares += math.fsum((value - mean) ** 2 for value in group)
        freedom += len(group) - 1
    return (math.sqrt(squares / freedom), freedom) if freedom else (0.0, 0)


def by_season(cycles: Iterable[Growth]) -> tuple[SeasonRate, ...]:
    """Rates by the three months in which the middle of each cycle fell, from December on; nothing is corrected by them.

    The scatter of single cycles is taken as alike in all seasons, so that a season of two cycles has an interval too.
    """
    seasons: dict[int, list[float]] = {}
    for cycle in cycles:
        seasons.setdefault(cycle.middle.month // 3 * 3 or 12, []).append(cycle.per_30_days)
    sd, freedom = scatter_within(seasons.values())
    factor = t_quantile(freedom, 0.975) if freedom else 0.0
    rates = []
    for first in (12, 3, 6, 9):
        if first in seasons:
            count = len(seasons[first])
            mean, half = math.fsum(seasons[first]) / count, factor * sd / math.sqrt(count)
            ends = (mean - half, mean + half) if freedom else (None, None)
            rates.append(SeasonRate(first, count, mean, *ends))
    return tuple(rates)


def trim_took(readings: Iterable[Reading]) -> tuple[Taken, ...]:
    """Per visit with both moments: before trim minus after trim, in the measure's unit (a trim, never progress)."""
    took = []
    for day, there in sorted(_by_day(readings).items()):
        before, after = there.get(Moment.BEFORE_TRIM), there.get(Moment.AFTER_TRIM)
        if before and after and _alike_but_moment(after, before) is None:
            change, u = before.value - after.value, u_of_difference(before, after)
            half = None if u is None else COVERAGE * u
            took.append(Taken(day, change, *((change - half, change + half) if half is not None else (None, None))))
    return tuple(took)


def _by_day(readings: Iterable[Reading]) -> dict[date, dict[Moment, Reading]]:
    days: dict[date, dict[Moment, Reading]] = {}
    for reading in one_per_visit(readings):
        days.setdefault(reading.day, {})[reading.moment] = reading
    return days


def in_weeks(last: Reading, pooled: Pooled, weeks: Sequence[int] = (4, 5, 6, 7, 8)) -> tuple[Expected, ...]:
    """What the measure would be `weeks` after the last after-trim reading, with a 95 % interval.

    One further cycle of this foot, so its own scatter between cycles, the error of the rate and the stated u of the
    last reading all count; the spread of the readings in the scatter of cycles is taken out first, else it would count
    twice.
    """
    factor = t_quantile(pooled.degrees_of_freedom, 0.975)
    rows = []
    for week in weeks:
        share = week * 7 / DAYS
        u = math.hypot(last.u or 0.0, math.hypot(pooled.se, pooled.foot_sd) * share)
        value = last.value + pooled.per_30_days * share
        rows.append(Expected(week, last.day + timedelta(weeks=week), value, value - factor * u, value + factor * u))
    return tuple(rows)


def day_reached(last: Reading, pooled: Pooled, value: float) -> DayReached:
    """The day on which the measure would come to `value` (its unit) after the last after-trim reading.

    The prediction interval of `in_weeks` turned round: all days on which `value` lies inside it. For a course whose
    spread grows with the days from the last reading that is Fieller's interval for a ratio (Fieller 1954).
    """
    way = 1.0 if value >= last.value else -1.0
    distance = way * (value - last.value)
    rate = way * pooled.per_30_days / DAYS
    factor = t_quantile(pooled.degrees_of_freedom, 0.975)
    reading, slope = factor * (last.u or 0.0), factor * math.hypot(pooled.se, pooled.foot_sd) / DAYS
    expected = distance / rate if rate > 0 else (0.0 if distance == 0 else math.inf)
    first, final = _days_to(distance, rate, reading, slope)
    return DayReached(
        value,
        last.day,
        _day_after(last.day, expected),
        _day_after(last.day, first),
        _day_after(last.day, final),
        passed=rate < 0 < distance,
    )


def _days_to(distance: float, rate: float, reading: float, slope: float) -> tuple[float, float]:
    """Days at which rate * t + / - sqrt(reading**2 + (slope * t)**2) first come to `distance` (0 or more).

    Both are roots of (rate**2 - slope**2) t**2 - 2 rate distance t + distance**2 - reading**2 = 0.
    """
    a, b, c = rate**2 - slope**2, rate * distance, distance**2 - reading**2
    # below nought only where the value lies inside the interval from the first day and the spread outgrows the course
    root = math.sqrt(max(b * b - a * c, 0.0))
    ahead = c / (b + root) if b + root > 0 else math.inf  # the nearer root, without cancellation
    first = max(ahead, 0.0) if c > 0 else 0.0
    final = (b + root) / a if a > 0 and rate > 0 else math.inf
    return first, final


def _day_after(start: date, days: float) -> date | None:
    return start + timedelta(days=round(days)) if days <= HORIZON_DAYS else None
