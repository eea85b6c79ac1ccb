"""What must not matter to a verdict: units, the order readings come in, and where the calendar starts."""

from __future__ import annotations

from datetime import date, timedelta

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from hoofbook.progress.change import Progress, judge
from hoofbook.terms.subjects.horses import Wanted

from .lives import reading, series_of

VALUES = st.lists(
    st.tuples(st.integers(14, 90), st.floats(-5, 15), st.sampled_from((None, 0.2, 0.5, 1.1))), min_size=4, max_size=14
)


def judged(
    rows: list[tuple[int, float, float | None]], *, start: date, factor: float = 1.0, goals: int = 2
) -> Progress:
    day, readings = start, []
    for gap, value, u in rows:
        day += timedelta(days=gap)
        readings.append(reading(day, factor * value, None if u is None else factor * u, key=str(len(readings))))
    return judge(series_of(readings[::-1]), wanted=Wanted.MORE, goals_unshown=goals)


@settings(deadline=None, max_examples=60)
@given(VALUES)
def test_units_and_calendar_do_not_matter(rows: list[tuple[int, float, float | None]]) -> None:
    plain = judged(rows, start=date(2020, 1, 1))
    other = judged(rows, start=date(2024, 3, 1), factor=25.4)
    assert [look.verdict for look in plain.looks] == [look.verdict for look in other.looks]
    for one, two in zip(plain.looks, other.looks, strict=True):
        assert two.change == pytest.approx(25.4 * one.change, rel=1e-6, abs=1e-6)
        assert two.smallest_change == pytest.approx(25.4 * one.smallest_change, rel=1e-5, abs=1e-6)


@settings(deadline=None, max_examples=60)
@given(VALUES)
def test_more_goals_never_show_more(rows: list[tuple[int, float, float | None]]) -> None:
    few, many = judged(rows, start=date(2020, 1, 1), goals=1), judged(rows, start=date(2020, 1, 1), goals=8)
    for one, two in zip(few.looks, many.looks, strict=True):
        assert two.smallest_change >= one.smallest_change
        assert one.verdict.is_change or not two.verdict.is_change


@settings(deadline=None, max_examples=60)
@given(VALUES)
def test_turning_the_values_over_turns_the_verdict_over(rows: list[tuple[int, float, float | None]]) -> None:
    up = judged(rows, start=date(2020, 1, 1))
    down = judged([(gap, -value, u) for gap, value, u in rows], start=date(2020, 1, 1))
    for one, two in zip(up.looks, down.looks, strict=True):
        assert two.change == pytest.approx(-one.change, abs=1e-7)
        assert one.verdict.is_change is two.verdict.is_change
        assert not one.verdict.is_change or one.verdict is not two.verdict
