from __future__ import annotations

import pytest

from hoofbook.progress.cycle import growth, in_weeks, pooled_growth, trim_took
from hoofbook.progress.trend import fit_through_origin
from hoofbook.terms.quantity import Definition
from hoofbook.terms.views import Moment

from .lives import LARKSPUR_DAYS, reading

AFTER = (86.0, 85.0, 84.5, 84.0, 83.5, 83.0, 83.0)
BEFORE = (None, 98.0, 99.5, 97.0, 97.5, 96.5, 95.5)


def toe_lengths() -> list:  # type: ignore[type-arg]
    rows = []
    for day, after, before in zip(LARKSPUR_DAYS, AFTER, BEFORE, strict=True):
        for moment, value in ((Moment.AFTER_TRIM, after), (Moment.BEFORE_TRIM, before)):
            if value is not None:
                known = {"measure": "toe_length", "definition": Definition.ONE, "method": "side 1"}
                rows.append(reading(day, value, 0.7, moment=moment, key=f"{day} {moment}", **known))
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
    assert trim_took(rows)[0] == (LARKSPUR_DAYS[1], pytest.approx(13.0))
    from dataclasses import replace

    shod = [replace(r, shod=True) if r.moment is Moment.BEFORE_TRIM else r for r in rows]
    assert growth(shod) == ()
    assert trim_took(shod) == ()
