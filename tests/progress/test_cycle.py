from __future__ import annotations

import itertools
import math
import random
from dataclasses import replace
from datetime import date, timedelta

import numpy as np
import pytest
import statsmodels.api as sm

from hoofbook.progress.cycle import (
    DayReached,
    Growth,
    Pooled,
    by_season,
    day_reached,
    growth,
    in_weeks,
    pooled_growth,
    scatter_within,
    trim_took,
)
from hoofbook.progress.trend import fit_through_origin, mean_of
from hoofbook.terms.quantity import COVERAGE, Definition, Part
from hoofbook.terms.views import Moment

from .lives import LARKSPUR_DAYS, reading

AFTER = (86.0, 85.0, 84.5, 84.0, 83.5, 83.0, 83.0)
BEFORE = (None, 98.0, 99.5, 97.0, 97.5, 96.5, 95.5)


def toe_lengths() -> list:  # type: ignore[type-arg]
    rows = []
    gaps = [42, *((later - day).days for day, later in itertools.pairwise(LARKSPUR_DAYS))]
    for day, gap, after, before in zip(LARKSPUR_DAYS, gaps, AFTER, BEFORE, strict=True):
        for moment, value in ((Moment.AFTER_TRIM, after), (Moment.BEFORE_TRIM, before)):
            if value is not None:
                known = {"measure": "toe_length", "definition": Definition.ONE, "method": "side 1"}
                rows.append(
                    reading(day, value, 0.7, moment=moment, days_since_trim=gap, key=f"{day} {moment}", **known)
                )
    return rows


def test_growth_of_the_sample_case() -> None:
    """Its own truth: left fore toe 8.6-9.6 mm in 30 days (single cycles ± 1.7-2.0 at 1.0 mm repeat sd a reading)."""
    cycles = growth(toe_lengths())
    assert len(cycles) == 6
    assert min(c.per_30_days for c in cycles) == pytest.approx(8.6, abs=0.05)
    assert max(c.per_30_days for c in cycles) == pytest.approx(9.6, abs=0.05)
    assert cycles[0].per_30_days == pytest.approx((98.0 - 86.0) / 42 * 30)
    assert cycles[0].high - cycles[0].per_30_days == pytest.approx(1.96 * 0.7 * 2**0.5 / 42 * 30, rel=1e-4)
    pooled = pooled_growth(cycles)
    assert pooled is not None
    assert 8.6 < pooled.low < pooled.per_30_days < pooled.high < 9.6
    rows = in_weeks(toe_lengths()[-2], pooled)
    assert [row.weeks for row in rows] == [4, 5, 6, 7, 8]
    assert rows[2].value == pytest.approx(83.0 + pooled.per_30_days * 42 / 30)
    assert rows[0].high - rows[0].low < rows[4].high - rows[4].low


def test_growth_by_published_figures() -> None:
    """Reilly et al. (1998): 30.69 and 35.34 mm in 5 months; 6.14 mm a month, 8.47 mm in 42 days; ratio 1.1515."""
    months = fit_through_origin([5.0, 5.0], [30.69, 30.69], [0.0, 0.0])
    assert months.slope == pytest.approx(6.138, abs=1e-3)
    assert pytest.approx(1.1515, abs=1e-4) == 35.34 / 30.69
    days = 5 * 365.25 / 12
    assert fit_through_origin([days, days], [30.69, 30.69], [0.0, 0.0]).slope * 42 == pytest.approx(8.47, abs=0.01)


def test_only_like_cycles_count() -> None:
    rows = toe_lengths()
    assert len(trim_took(rows)) == 6
    assert (trim_took(rows)[0].day, trim_took(rows)[0].change) == (LARKSPUR_DAYS[1], pytest.approx(13.0))
    shod = [replace(r, shod=True) if r.moment is Moment.BEFORE_TRIM else r for r in rows]
    assert growth(shod) == ()
    assert trim_took(shod) == ()


def test_a_trim_between_two_readings_is_no_growth() -> None:
    """The visit of 25 Feb was not read: before trim on 16 Apr is 50 days after a trim, not the 92 since the reading."""
    rows = [row for row in toe_lengths() if row.day != LARKSPUR_DAYS[1]]
    assert {cycle.before_trim for cycle in growth(rows)} == set(LARKSPUR_DAYS[3:])
    untold = [replace(row, days_since_trim=None) for row in rows]
    assert {cycle.before_trim for cycle in growth(untold)} == set(LARKSPUR_DAYS[2:])


def test_what_a_trim_took_forgets_what_both_readings_share() -> None:
    """JCGM 100:2008, 5.2.2, example: difference of two quantities with one common source of equal share: it cancels."""
    day = LARKSPUR_DAYS[1]
    parts = {
        Moment.BEFORE_TRIM: (Part("card print", 0.6), Part("photo a mark", 0.3)),
        Moment.AFTER_TRIM: (Part("card print", 0.6), Part("photo b mark", 0.4)),
    }
    rows = [
        reading(day, value, math.hypot(*(part.u for part in own)), moment=moment, key=str(moment), parts=own)
        for (moment, own), value in zip(parts.items(), (98.0, 85.0), strict=True)
    ]
    took = trim_took(rows)[0]
    assert took.change == 13.0
    assert took.high is not None and took.high - took.change == pytest.approx(COVERAGE * 0.5)  # 3, 4, 5
    unstated = trim_took([replace(row, u=None, parts=()) for row in rows])[0]
    assert (unstated.low, unstated.high) == (None, None)


INSTRUMENTS = (
    (196.3052, 196.1240, 196.1890, 196.2569, 196.3403),
    (196.3042, 196.3825, 196.1669, 196.3257, 196.0422),
    (196.1303, 196.2005, 196.2889, 196.0343, 196.1811),
    (196.2795, 196.1748, 196.1494, 196.1485, 195.9885),
    (196.2119, 196.1051, 196.1850, 196.0052, 196.2090),
)


def test_scatter_within_groups_by_certified_values() -> None:
    """NIST StRD, analysis of variance, SiRstv: certified residual standard deviation on 20 degrees of freedom."""
    sd, freedom = scatter_within(INSTRUMENTS)
    assert sd == pytest.approx(1.04076068334656e-01, rel=1e-9)
    assert freedom == 20
    assert scatter_within([(1.0,), (2.0,)]) == (0.0, 0)


def cycles_of(rates: dict[date, float]) -> list[Growth]:
    days = 42
    return [
        Growth(
            middle - timedelta(days=21),
            middle + timedelta(days=21),
            days,
            rate * days / 30,
            rate,
            0.5,
            rate - 1,
            rate + 1,
        )
        for middle, rate in rates.items()
    ]


def test_seasons_against_a_linear_model() -> None:
    """statsmodels OLS on one dummy variable per season: means and their 95 % intervals."""
    chance = random.Random(5)
    middles = [date(2023, 1, 9) + timedelta(days=42 * number) for number in range(20)]
    rates = {day: 8.0 + (1.5 if day.month in (9, 10, 11) else 0.0) + chance.gauss(0, 0.6) for day in middles}
    found = by_season(cycles_of(rates))
    firsts = [12, 3, 6, 9]
    assert [season.first_month for season in found] == firsts
    month_to_first = {m: f for f in firsts for m in ((f - 1) % 12 + 1, f % 12 + 1, (f + 1) % 12 + 1)}
    design = np.array([[float(month_to_first[day.month] == first) for first in firsts] for day in middles])
    fit = sm.OLS(np.array(list(rates.values())), design).fit()
    for season, mean, (low, high) in zip(found, fit.params, fit.conf_int(), strict=True):
        assert (season.per_30_days, season.low, season.high) == pytest.approx((mean, low, high))
    assert sum(season.cycles for season in found) == 20
    assert by_season([]) == ()
    alone = by_season(cycles_of({date(2025, 1, 9): 8.0, date(2025, 12, 31): 9.0, date(2025, 7, 1): 7.0}))
    assert [(s.first_month, s.cycles) for s in alone] == [(12, 2), (6, 1)]
    single = by_season(cycles_of({date(2025, 1, 9): 8.0}))
    assert (single[0].low, single[0].high) == (None, None)


def steady(rate: float, se: float = 0.0, cycle_sd: float = 0.0, cycles: int = 6) -> Pooled:
    return Pooled(rate, se, rate, rate, cycles - 1.0, cycle_sd, cycles, cycle_sd)


def test_days_to_grow_by_published_figures() -> None:
    """Reilly et al. (1998): 30.69 mm in 5 months of 365.25 / 12 days, so 8.47 mm take 42 days and 30.69 mm take 152."""
    month = 365.25 / 12
    pooled = steady(30.69 / (5 * month) * 30)
    last = reading(date(2025, 1, 1), 80.0, 0.0, measure="toe_length", definition=Definition.ONE)
    assert day_reached(last, pooled, 88.47).day == date(2025, 1, 1) + timedelta(days=42)
    whole = day_reached(last, pooled, 80.0 + 30.69)
    assert whole.day == whole.earliest == date(2025, 1, 1) + timedelta(days=152)
    assert whole.latest == whole.day


def test_the_day_turns_the_table_of_weeks_round() -> None:
    """On the earliest and the latest day the value lies at the two ends of what is expected on that day."""
    pooled = steady(9.0, 0.25, 0.9)
    last = reading(date(2025, 1, 1), 83.0, 0.6, measure="toe_length", definition=Definition.ONE)
    found = day_reached(last, pooled, 95.0)
    assert found.day == date(2025, 2, 10)
    for week in range(3, 10):
        row = in_weeks(last, pooled, (week,))[0]
        assert found.earliest is not None and found.latest is not None
        assert (row.low <= 95.0 <= row.high) == (found.earliest < row.day < found.latest)


@pytest.mark.parametrize(
    ("value", "rate", "scatter", "reached"),
    [
        (84.0, 9.0, 0.9, "now"),  # inside the spread of the last reading
        (95.0, 1.0, 0.9, "perhaps early, never for certain"),
        (95.0, -9.0, 0.9, "away"),
        (71.0, -9.0, 0.9, "within"),  # a measure that falls
        (70.0, 9.0, 0.9, "away"),
        (800.0, 9.0, 0.9, "not within a year"),
        (83.0, 9.0, 0.9, "now"),
    ],
)
def test_a_value_may_be_reached_already_or_not_within_a_year(
    value: float, rate: float, scatter: float, reached: str
) -> None:
    last = reading(date(2025, 1, 1), 83.0, 0.6, measure="toe_length", definition=Definition.ONE)
    found = day_reached(last, steady(rate, 0.25, scatter), value)
    expected = {
        "now": found.earliest == last.day and found.latest is not None,
        "perhaps early, never for certain": found.earliest is not None and found.latest is None,
        "away": (found.day, found.earliest, found.latest) == (None, None, None),
        "within": None not in (found.day, found.earliest, found.latest),
        "not within a year": (found.day, found.earliest, found.latest) == (None, None, None),
    }
    assert expected[reached], found


def lives_until(seed: int, lives: int) -> float:
    """Share of made-up feet whose true day lies in the interval: six cycles read, the seventh foretold."""
    chance = random.Random(seed)
    inside = 0
    for _ in range(lives):
        usual = chance.gauss(9.0, 0.8)
        own = [chance.gauss(usual, 0.7) for _ in range(7)]  # a cycle's rate, mm in 30 days
        cycles = []
        for rate in own[:6]:
            change = rate * 42 / 30 + chance.gauss(0, 0.7 * 2**0.5)
            per, u = change / 42 * 30, 0.7 * 2**0.5 / 42 * 30
            cycles.append(Growth(date(2025, 1, 1), date(2025, 2, 12), 42, change, per, u, per - u, per + u))
        pooled = pooled_growth(cycles)
        assert pooled is not None
        last = reading(date(2025, 9, 30), 83.0 + chance.gauss(0, 0.7), 0.7, measure="toe_length")
        found: DayReached = day_reached(last, pooled, 95.0)
        true = last.day + timedelta(days=round(12.0 / own[6] * 30))
        inside += (found.earliest or date.max) <= true <= (found.latest or date.max)
    return inside / lives


def test_the_interval_of_the_day_holds_95_percent() -> None:
    """2,000 seeded lives: not below 95 % by more than three standard errors. Student's t on the few cycles is used for
    the last reading too, whose spread is known, so it may be wider, but not by much."""
    assert 0.95 - 3 * math.sqrt(0.95 * 0.05 / 2000) <= lives_until(7, 2000) <= 0.975


def test_pooled_rate_of_alike_cycles_is_their_mean() -> None:
    """Equal days and spreads: the line through nought is the mean, its error the sd over root n (JCGM 100, 4.2.3)."""
    cycles = cycles_of({date(2025, 1, 9): 8.0, date(2025, 3, 1): 9.0, date(2025, 5, 1): 9.4})
    pooled, mean = pooled_growth(cycles), mean_of([8.0, 9.0, 9.4])
    assert pooled is not None
    assert (pooled.per_30_days, pooled.se, pooled.low) == pytest.approx((mean.value, mean.se, mean.low))
