"""Chances of showing a change, against scipy's noncentral t and a simulation of the program's own verdicts."""

from __future__ import annotations

import math
from datetime import timedelta

import numpy as np
import pytest
from scipy.stats import nct, norm, t

from hoofbook.progress.change import Followed, judge, judge_goals
from hoofbook.progress.power import (
    ENOUGH,
    MOST_REPEATS,
    Chance,
    Outlook,
    chance_of_showing,
    outlook,
    scatter_of,
)
from hoofbook.terms.quantity import Part
from hoofbook.terms.refusal import Refusal
from hoofbook.terms.subjects.horses import Wanted

from .lives import even_days, reading, series_of
from .test_change import by_matrices

SHARES = {4: 0.1, 7: 0.4, 13: 0.3, 25: 0.2}


def started(u: float | None = None, count: int = 1, **more: object):  # type: ignore[no-untyped-def]
    rows = [reading(day, 3.0 + 0.01 * (-1) ** i, u, **more) for i, day in enumerate(even_days(count))]
    return judge(series_of(rows), wanted=Wanted.MORE)


@pytest.mark.parametrize("number", SHARES)
@pytest.mark.parametrize("goals", [1, 3])
@pytest.mark.parametrize("step", [0.05, 0.3, 1.0, 2.5])
def test_without_a_stated_u_it_is_the_noncentral_t(number: int, goals: int, step: float) -> None:
    """scipy.stats.nct: noncentrality step * sqrt(n (n**2 - 1) / 12), n - 2 degrees, the look's t times the factor
    for neighbours (full matrices below ten readings, sqrt(1.3 / 0.7) from there)."""
    found = chance_of_showing(started(), number, change=step * (number - 1), goals_unshown=goals, tau=1.0)
    days = [42.0 * i for i in range(number)]
    factor = by_matrices(days, [1.0] * number)[0] if number < 10 else math.sqrt(1.3 / 0.7)
    needed = t.isf(0.05 * SHARES[number] / goals / 2, number - 2) * factor
    shift = step * math.sqrt(number * (number**2 - 1) / 12)
    assert found.chance == pytest.approx(nct.sf(needed, number - 2, shift), abs=2e-6)
    assert (found.reading, found.more_visits) == (number, number - 1)
    assert found.day == even_days(1)[0] + timedelta(42 * (number - 1))


def test_known_scatter_alone_is_the_normal_one() -> None:
    """Where all scatter is the stated u and the residuals show next to none, the floor decides: power of a z test."""
    found = chance_of_showing(started(0.5), 25, change=1.2, tau=0.0)
    spread = 0.5 / math.sqrt(25 * (25**2 - 1) / 12)
    z = norm.isf(0.05 * 0.2 / 2)
    upper = norm.sf(z - 1.2 / 24 / spread)
    assert found.chance < upper
    assert chance_of_showing(started(0.5), 25, change=3.0, tau=0.0).chance > 0.99


def test_the_size_seen_with_eighty_per_cent() -> None:
    progress = started(0.5)
    for number in SHARES:
        found = chance_of_showing(progress, number, change=1.0)
        again = chance_of_showing(progress, number, change=found.likely_change)
        assert again.chance == pytest.approx(ENOUGH, abs=1e-6)


@pytest.mark.parametrize(("number", "step"), [(7, 1.0), (13, 0.4), (25, 0.15)])
def test_simulated_verdicts_come_as_often_as_said(number: int, step: float) -> None:
    """Lives drawn with a steady change: the share shown by `judge_goals` lies within chance error (3.3 sd)."""
    random, lives, u, between = np.random.default_rng(7), 400, 0.5, 0.8
    days, sd = even_days(number), math.hypot(0.5, 0.8)
    shown = 0
    for _ in range(lives):
        values = random.normal(0, sd, number) + step * sd * np.arange(number)
        rows = [reading(d, float(v), u) for d, v in zip(days, values, strict=True)]
        found = judge_goals([Followed(series_of(rows), Wanted.MORE)])[0]
        shown += found.looks[-1].change > 0 and found.looks[-1].verdict.is_change
    said = chance_of_showing(started(u), number, change=step * sd * (number - 1), tau=between).chance
    assert shown / lives == pytest.approx(said, abs=3.3 * math.sqrt(said * (1 - said) / lives))


def test_more_readings_and_more_repeats_never_show_less() -> None:
    progress = started(0.6, count=4)
    per = [chance_of_showing(progress, 7, change=2.0, repeats=n).chance for n in range(1, 9)]
    assert per == sorted(per)
    asked = outlook(progress, per_30_days=0.4)
    assert isinstance(asked, Outlook)
    assert [c.reading for c in asked.chances] == [7, 13, 25]
    assert [c.more_visits for c in asked.chances] == [3, 9, 21]
    assert [c.chance for c in asked.chances] == sorted(c.chance for c in asked.chances)
    assert asked.chances[0].change == pytest.approx(0.4 * 6 * 42 / 30)
    assert asked.enough is not None and asked.enough.chance >= ENOUGH
    before = [c for c in asked.chances if c.reading < asked.enough.reading]
    assert all(c.chance < ENOUGH for c in before)


def test_repeats_shrink_own_scatter_and_never_that_between_visits() -> None:
    """With k repeats from now on the standard error is that of u / sqrt(k) beside the same scatter between visits."""
    progress = started(2.0)
    many = chance_of_showing(progress, 13, change=4.0, repeats=10**6, tau=0.5)
    own = 1e-3 * 2.0
    sd = math.hypot(own, 0.5)
    assert chance_of_showing(started(own), 13, change=4.0, tau=0.5).chance == pytest.approx(many.chance, abs=0.02)
    shift = 4.0 / 12 * math.sqrt(13 * (13**2 - 1) / 12) / sd
    assert many.chance <= nct.sf(t.isf(0.05 * 0.3 / 2, 11) * math.sqrt(1.3 / 0.7), 11, shift) + 1e-6
    hopeless = outlook(progress, change=1.0, tau=2.0)
    assert isinstance(hopeless, Outlook)
    assert hopeless.with_repeats is None
    helped = outlook(started(2.0, count=4), change=11.0, tau=0.3)
    assert isinstance(helped, Outlook)
    assert helped.with_repeats is not None
    fewest = helped.with_repeats.repeats
    assert 1 < fewest <= MOST_REPEATS
    assert chance_of_showing(started(2.0, count=4), 7, change=11.0, repeats=fewest - 1, tau=0.3).chance < ENOUGH


def test_what_readings_share_is_not_their_own() -> None:
    """The print of the card moves all readings together: it neither hides a change nor shrinks with repeats."""
    shared = (Part("card a print", 0.9), Part("photo mark", 0.3))
    rows = [
        reading(day, 3.0, 0.95, parts=(shared[0], Part(f"photo {i} mark", 0.3))) for i, day in enumerate(even_days(3))
    ]
    assert scatter_of(judge(series_of(rows), wanted=Wanted.MORE)).own == pytest.approx(0.3)


def test_scatter_is_the_default_until_the_series_has_its_own() -> None:
    wild = [2.0, 4.0, 1.5, 4.5, 2.0, 4.0, 1.5, 4.5]
    rows = [reading(day, value, 0.3) for day, value in zip(even_days(8), wild, strict=True)]
    few, enough = judge(series_of(rows[:3]), wanted=Wanted.MORE), judge(series_of(rows), wanted=Wanted.MORE)
    assert scatter_of(judge(series_of(rows[:1]), wanted=Wanted.MORE)).between == 0.8
    assert scatter_of(judge(series_of(rows[:1]), wanted=Wanted.MORE)).assumed == ("between_visit_scatter",)
    assert scatter_of(few).between == pytest.approx(max(0.8, few.tau or 0.0))
    assert scatter_of(enough).between == enough.tau
    assert scatter_of(enough).assumed == ()


def test_after_reading_25_the_plan_begins_anew() -> None:
    asked = outlook(started(0.5, count=25), change=3.0)
    assert isinstance(asked, Outlook)
    assert [c.reading for c in asked.chances] == [29, 32, 38, 50]
    again = outlook(started(0.5, count=1), change=3.0, tau=0.0)
    assert isinstance(again, Outlook)
    assert asked.chances[1].chance == pytest.approx(again.chances[1].chance, abs=1e-3)


def test_nothing_to_go_by_is_refused() -> None:
    for size in (None, 0.0, math.nan, math.inf):
        refused = outlook(started(), change=size)
        assert isinstance(refused, Refusal) and refused.code == "chance_needs_a_size"
    empty = judge(series_of([reading(even_days(1)[0], 1.0)]), wanted=Wanted.MORE, set_on=even_days(2)[1])
    refused = outlook(empty, change=1.0)
    assert isinstance(refused, Refusal) and refused.code == "chance_needs_a_reading"


def test_a_change_downwards_is_as_likely_as_one_upwards() -> None:
    up, down = (chance_of_showing(started(0.5), 7, change=size) for size in (2.0, -2.0))
    assert isinstance(up, Chance)
    assert up.chance == down.chance
