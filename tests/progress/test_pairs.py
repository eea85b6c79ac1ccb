"""Left against right: the difference of a pair and its own trend."""

from __future__ import annotations

import math
from datetime import date

import pytest
from hypothesis import given
from hypothesis import strategies as st

from hoofbook.progress.change import Followed, judge_goals
from hoofbook.progress.pairs import pair_readings
from hoofbook.progress.series import Reading, build_series
from hoofbook.terms.feet import Foot, Pair, place_of
from hoofbook.terms.quantity import Definition, Part
from hoofbook.terms.subjects.horses import Wanted
from hoofbook.terms.subjects.visits import SolePared
from hoofbook.terms.verdict import Verdict
from hoofbook.terms.views import Moment

from .lives import reading

DAY = date(2025, 2, 6)
WHERE = {"measure": "toe_angle", "definition": Definition.ONE, "method": "lateral 1"}
numbers = st.floats(-50, 50, allow_nan=False)
spreads = st.floats(0.01, 5, allow_nan=False)


def both(left: Reading, right: Reading) -> Reading:
    (found,), alone = pair_readings((left, right), Pair.LF_LESS_RF)
    assert not alone
    return found


def test_two_feet_of_own_errors_differ_by_1_9() -> None:
    """Common practice, no source: s = 0.7 deg on each single reading gives a difference of two feet +- 1.9 deg
    (1.96 sqrt(2) 0.7 = 1.94)."""
    found = both(reading(DAY, 56.1, 0.7, foot=Foot.LF, **WHERE), reading(DAY, 49.6, 0.7, foot=Foot.RF, **WHERE))
    assert found.value == pytest.approx(6.5)
    assert found.u is not None
    assert 1.959964 * found.u == pytest.approx(1.94, abs=0.005)
    assert found.foot is Pair.LF_LESS_RF


@given(numbers, numbers, spreads, spreads, spreads)
def test_what_both_feet_share_cancels(left: float, right: float, own: float, other: float, shared: float) -> None:
    """JCGM 100:2008 5.2.2: a source with equal sensitivity in both leaves the difference untouched."""
    one = reading(DAY, left, 1.0, foot=Foot.LF, parts=(Part("card print", shared), Part("a", own)), **WHERE)
    two = reading(DAY, right, 1.0, foot=Foot.RF, parts=(Part("card print", shared), Part("b", other)), **WHERE)
    found = both(one, two)
    assert found.u == pytest.approx(math.hypot(own, other))
    (turned,), _ = pair_readings((one, two), Pair.RF_LESS_LF)
    assert turned.value == -found.value
    assert turned.u == pytest.approx(found.u)


def test_a_foot_alone_or_unlike_its_partner_gives_no_difference() -> None:
    left = reading(DAY, 56.1, 0.7, foot=Foot.LF, **WHERE)
    found, alone = pair_readings((left,), Pair.LF_LESS_RF)
    assert not found
    assert [refusal.code for _, refusal in alone] == ["partner_not_read"]
    shod = reading(DAY, 49.6, 0.7, foot=Foot.RF, shod=True, **WHERE)
    found, alone = pair_readings((left, shod), Pair.LF_LESS_RF)
    assert not found
    assert [refusal.code for _, refusal in alone] == ["another_shod_state"]


def test_what_could_fool_us_on_one_foot_stands_beside_the_difference() -> None:
    left = reading(DAY, 1.0, 0.3, sole_pared=SolePared.NOT_SAID)
    right = reading(DAY, 2.0, 0.3, foot=Foot.RF, sole_pared=SolePared.TO_LIVE, sole_wet=True)
    found = both(left, right)
    assert found.sole_pared is SolePared.TO_LIVE
    assert found.sole_wet


JUNIPER_DAYS = (date(2025, 2, 6), date(2025, 3, 20), date(2025, 5, 1), date(2025, 6, 12), date(2025, 7, 24))
JUNIPER_LF, JUNIPER_RF = (56.1, 55.6, 55.2, 55.4, 54.8), (49.6, 50.0, 50.1, 49.7, 50.2)


def test_the_difference_of_a_pair_has_its_own_trend() -> None:
    """The invented readings of a pony whose left fore is the steeper: differences 6.5 5.6 5.1 5.7 4.6, slope by
    numpy.polyfit, whose change over the 24 weeks is -1.5."""
    import numpy as np

    readings = [
        reading(day, value, 0.7, foot=foot, **WHERE)
        for foot, values in ((Foot.LF, JUNIPER_LF), (Foot.RF, JUNIPER_RF))
        for day, value in zip(JUNIPER_DAYS, values, strict=True)
    ]
    found, _ = pair_readings(readings, Pair.LF_LESS_RF)
    series = build_series(found, measure="toe_angle", moment=Moment.AFTER_TRIM, foot=Pair.LF_LESS_RF)
    assert [r.value for r in series.readings] == pytest.approx([6.5, 5.6, 5.1, 5.7, 4.6])
    (progress,) = judge_goals((Followed(series, Wanted.LESS),))
    days = [(day - JUNIPER_DAYS[0]).days for day in JUNIPER_DAYS]
    slope = np.polyfit(days, [r.value for r in series.readings], 1)[0]
    assert progress.change == pytest.approx(slope * 168)
    assert progress.change == pytest.approx(-1.5, abs=0.05)
    assert progress.low is not None and progress.high is not None
    assert progress.low < 0 < progress.high
    assert [look.verdict for look in progress.looks] == [Verdict.NO_CHANGE_SHOWN]


def test_a_place_is_told_by_its_short_name() -> None:
    assert place_of("LF-RF") is Pair.of(Foot.LF)
    assert place_of("RH") is Foot.RH
    with pytest.raises(ValueError):
        place_of("LF-RH")
