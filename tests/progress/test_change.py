from __future__ import annotations

import math
from dataclasses import replace
from datetime import date, timedelta

import numpy as np
import pytest

from hoofbook.progress import looks
from hoofbook.progress.agreement import Shrunk, Standing
from hoofbook.progress.change import (
    NEIGHBOUR_FACTOR,
    Followed,
    PairChange,
    default_scatter,
    judge,
    judge_all,
    judge_goals,
    pair_change,
    planned_after,
)
from hoofbook.progress.neighbours import Neighbours, neighbour_factors
from hoofbook.terms.feet import Foot
from hoofbook.terms.quantity import Definition
from hoofbook.terms.refusal import Refusal
from hoofbook.terms.subjects.horses import Wanted
from hoofbook.terms.verdict import Verdict
from hoofbook.terms.views import Moment

from .lives import LARKSPUR_DAYS, LARKSPUR_LF, LARKSPUR_RF, even_days, reading, series_of

SET_ON = date(2024, 12, 3)


def larkspur(u: float | None = None) -> list[Followed]:
    left = [reading(d, v, u) for d, v in zip(LARKSPUR_DAYS, LARKSPUR_LF, strict=True)]
    right = [reading(LARKSPUR_DAYS[i], v, u, foot=Foot.RF) for i, v in LARKSPUR_RF.items()]
    return [Followed(series_of(left), Wanted.MORE, SET_ON), Followed(series_of(right), Wanted.MORE, SET_ON)]


@pytest.mark.parametrize("u", [None, 0.2, 0.3])
def test_larkspur_both_fores(u: float | None) -> None:
    """The sample case's own truth: slope of +3.8 mm over 37 weeks, t 19 plain, less by what neighbours of a likeness
    of 0.3 do to seven readings (worked out with full matrices), 4.03 needed (Student's t, 5 degrees of freedom)."""
    left, right = judge_goals(larkspur(u))
    assert left.verdict is Verdict.INCREASE_SHOWN
    assert left.as_wanted is True
    look = left.looks[-1]
    assert (look.reading, look.day) == (7, LARKSPUR_DAYS[6])
    assert look.change == pytest.approx(3.8, abs=0.05)
    assert look.weeks == pytest.approx(37)
    assert look.t_plain == pytest.approx(19, abs=0.5)
    days = [float((day - LARKSPUR_DAYS[0]).days) for day in LARKSPUR_DAYS]
    assert look.t == pytest.approx(look.t_plain / by_matrices(days, [1.0] * 7)[0], rel=1e-9)
    assert 14 < look.t < 15
    assert look.t_needed == pytest.approx(4.03, abs=0.005)
    assert look.low > 0
    assert left.next_look == 13
    assert right.verdict is Verdict.NO_CHANGE_SHOWN
    assert right.as_wanted is None
    assert (right.looks[-1].reading, right.next_look) == (4, 7)
    assert right.looks[-1].low < 0.1 < right.looks[-1].high
    assert right.smallest_change_shown is not None
    assert right.smallest_change_shown > abs(right.looks[-1].change)


def test_other_values_another_verdict() -> None:
    falling = [reading(d, v) for d, v in zip(LARKSPUR_DAYS, reversed(LARKSPUR_LF), strict=True)]
    found = judge(series_of(falling), wanted=Wanted.MORE, goals_unshown=2)
    assert found.verdict is Verdict.DECREASE_SHOWN
    assert found.as_wanted is False


@pytest.mark.parametrize(
    ("wanted", "values", "wish"),
    [
        (Wanted.MORE, LARKSPUR_LF, True),
        (Wanted.LESS, LARKSPUR_LF, False),
        (Wanted.KEEP, LARKSPUR_LF, False),
        (Wanted.LESS, LARKSPUR_LF[::-1], True),
    ],
)
def test_as_wanted(wanted: Wanted, values: tuple[float, ...], wish: bool) -> None:
    series = series_of([reading(d, v) for d, v in zip(LARKSPUR_DAYS, values, strict=True)])
    assert judge(series, wanted=wanted).as_wanted is wish


def test_verdicts_fall_at_planned_readings_only() -> None:
    assert [planned_after(n) for n in (0, 3, 4, 6, 7, 12, 13, 24, 25, 28, 29)] == [
        4,
        4,
        7,
        7,
        13,
        13,
        25,
        25,
        29,
        29,
        32,
    ]
    readings = [reading(d, v) for d, v in zip(LARKSPUR_DAYS, LARKSPUR_LF, strict=True)]
    for count in range(1, 8):
        found = judge(series_of(readings[:count]), wanted=Wanted.MORE, goals_unshown=2)
        assert [look.reading for look in found.looks] == [n for n in (4, 7) if n <= count]
        assert found.at_look is (count in (4, 7))
        if count == 1:
            assert found.verdict is Verdict.FIRST_READING
        elif count < 4:
            assert found.verdict is None
    six = judge(series_of(readings[:6]), wanted=Wanted.MORE, goals_unshown=2)
    assert six.verdict is None
    assert six.looks[-1].verdict is Verdict.NO_CHANGE_SHOWN
    assert six.looks[-1].day == LARKSPUR_DAYS[3]
    assert six.low is not None and six.high is not None and six.low < 3 < six.high
    assert six.confidence == 0.95


def test_a_change_is_shown_exactly_where_its_interval_leaves_nought_out() -> None:
    for step in (0.0, 0.2, 0.4, 0.6, 0.8, 1.0):
        noise = (0.3, -0.4, 0.1, 0.5, -0.2, -0.5, 0.2)
        series = series_of([reading(d, 2 + step * i + noise[i], 0.3) for i, d in enumerate(LARKSPUR_DAYS)])
        for look in judge(series, wanted=Wanted.MORE).looks:
            assert look.verdict.is_change is not (look.low <= 0 <= look.high)
            assert look.smallest_change == pytest.approx(look.change - look.low)


def test_never_narrower_than_the_stated_uncertainty_alone() -> None:
    """Readings that happen to lie on a line do not make a ± of 0.5 mm vanish."""
    days = even_days(4)
    found = judge(series_of([reading(d, 2 + 0.1 * i, 0.5) for i, d in enumerate(days)]))
    spread = math.sqrt(sum((i - 1.5) ** 2 for i in range(4))) / 3
    assert found.high is not None and found.change is not None
    assert found.high - found.change == pytest.approx(1.959964 * 0.5 / spread, rel=1e-5)


def test_without_a_goal_there_is_no_verdict() -> None:
    found = judge(series_of([reading(d, v) for d, v in zip(LARKSPUR_DAYS, LARKSPUR_LF, strict=True)]))
    assert (found.verdict, found.looks, found.next_look) == (None, (), None)
    assert found.change == pytest.approx(3.78, abs=0.01)


def test_readings_before_the_goal_and_its_bad_day_are_shown_not_tested() -> None:
    readings = [reading(d, v) for d, v in zip(LARKSPUR_DAYS, LARKSPUR_LF, strict=True)]
    found = judge(
        series_of(readings),
        wanted=Wanted.MORE,
        set_on=LARKSPUR_DAYS[1],
        prompted_by=f"visit {LARKSPUR_DAYS[1]}",
    )
    assert [r.day for r in found.untested] == list(LARKSPUR_DAYS[:2])
    assert len(found.series.readings) == 7
    assert [look.reading for look in found.looks] == [4]
    assert found.looks[0].day == LARKSPUR_DAYS[5]


def test_one_reading_beside_others_that_do_not_compare() -> None:
    after, before = reading(LARKSPUR_DAYS[0], 1.2), reading(LARKSPUR_DAYS[6], 10.9, moment=Moment.BEFORE_TRIM)
    found = judge(series_of([after, before]), wanted=Wanted.MORE)
    assert found.verdict is Verdict.NOT_COMPARABLE
    assert found.refusal is not None
    assert found.refusal.code == "another_moment"
    assert isinstance(pair_change(after, before), Refusal)


def test_two_readings_give_an_interval() -> None:
    """U = 1.96 sqrt2 sqrt(u**2 + tau**2); a depth gauge of sd 0.5 mm (tau 0) tells 1.386 mm, the mean of 3 0.800."""
    one, two = reading(LARKSPUR_DAYS[0], 2.0, 0.5), reading(LARKSPUR_DAYS[1], 3.0, 0.5)
    plain = pair_change(one, two, tau=0.0)
    assert isinstance(plain, PairChange)
    assert plain.high - plain.change == pytest.approx(1.386, abs=5e-4)
    three = [pair_change(reading(one.day, 2.0, 0.5 / 3**0.5), reading(two.day, 3.0, 0.5 / 3**0.5), tau=0.0)]
    assert isinstance(three[0], PairChange)
    assert three[0].high - three[0].change == pytest.approx(0.800, abs=5e-4)
    assumed = pair_change(one, two)
    assert isinstance(assumed, PairChange)
    assert assumed.tau_assumed
    assert assumed.high - assumed.change == pytest.approx(1.96 * math.sqrt(2) * math.hypot(0.5, 0.8), rel=1e-4)
    both = judge(series_of([one, two]), wanted=Wanted.MORE)
    assert both.verdict is None
    assert both.pair == assumed
    assert both.assumed == ("between_visit_scatter",)
    assert (default_scatter("toe_angle"), default_scatter("toe_length")) == (0.7, 1.0)


def test_own_second_takes_stand_in_for_the_assumed_scatter() -> None:
    """Student's t on the degrees of freedom behind the figure (JCGM 100, G.3.2; t table: 2.262 for nine)."""
    own = Shrunk(0.5, 0.4, 9.0, Standing.PARTLY_OWN, 5, None)
    one, two = reading(LARKSPUR_DAYS[0], 2.0, 0.3), reading(LARKSPUR_DAYS[1], 3.0, 0.3)
    series = replace(series_of([one, two]), own=own)
    found = judge(series, wanted=Wanted.MORE)
    assert found.assumed == ()
    assert found.pair == pair_change(one, two, own)
    assert found.pair is not None and (found.pair.tau, found.pair.sets, found.pair.tau_assumed) == (0.4, 5, False)
    assert found.pair.high - found.pair.change == pytest.approx(2.262 * math.sqrt(2) * math.hypot(0.3, 0.4), rel=1e-3)
    few = Shrunk(0.8, 0.8, math.inf, Standing.ASSUMED, 4, None)
    assumed = pair_change(one, two, few)
    assert isinstance(assumed, PairChange) and assumed.tau_assumed
    assert (assumed.low, assumed.high) == pytest.approx(interval_of(pair_change(one, two)))


def interval_of(found: PairChange | Refusal) -> tuple[float, float]:
    assert isinstance(found, PairChange)
    return found.low, found.high


def test_a_shown_goal_leaves_the_division_later_but_not_earlier() -> None:
    days = even_days(13)
    rising = series_of([reading(d, 1 + i + 0.1 * (-1) ** i) for i, d in enumerate(days)])
    other = [reading(d + timedelta(1), 2 + 0.1 * (-1) ** i, foot=Foot.RF) for i, d in enumerate(days)]
    first, second = judge_goals([Followed(rising, Wanted.MORE), Followed(series_of(other), Wanted.MORE)])
    assert first.looks[1].verdict is Verdict.INCREASE_SHOWN
    shown_at = next(look.reading for look in first.looks if look.verdict.is_change)
    assert [(look.reading, look.goals_unshown) for look in second.looks] == [
        (n, 1 if n >= shown_at else 2) for n in (4, 7, 13)
    ]
    ended = Followed(rising, Wanted.MORE, ended_on=days[0])
    later = Followed(rising, Wanted.MORE, set_on=days[12] + timedelta(10))
    alone = judge_goals([ended, later, Followed(series_of(other), Wanted.MORE)])[2]
    assert {look.goals_unshown for look in alone.looks} == {1}


def test_after_reading_25_a_new_baseline() -> None:
    days = even_days(30)
    values = [2 + 0.3 * min(i, 24) + 0.2 * (-1) ** i for i in range(30)]
    found = judge(series_of([reading(d, v) for d, v in zip(days, values, strict=True)]), wanted=Wanted.MORE)
    assert [look.reading for look in found.looks] == [4, 7, 13, 25, 29]
    assert found.looks[3].verdict is Verdict.INCREASE_SHOWN
    assert found.looks[4].verdict is Verdict.NO_CHANGE_SHOWN
    assert found.looks[4].weeks == pytest.approx(18)


def test_neighbour_factor() -> None:
    """First-order autoregression with r = 0.3: sqrt(1.3 / 0.7)."""
    assert pytest.approx(1.36277, abs=1e-5) == NEIGHBOUR_FACTOR
    assert neighbour_factors([42.0 * i for i in range(10)], [1.0] * 10).slope == NEIGHBOUR_FACTOR


@pytest.mark.parametrize("count", [3, 4, 5, 7, 9])
def test_neighbours_widen_a_short_line_as_the_moments_say(count: int) -> None:
    """Variance of weighted least squares under a covariance it does not know (the sandwich form) and the mean of its
    residual variance, with full matrices, for uneven days and weights."""
    random = np.random.default_rng(count)
    days = np.cumsum(random.integers(28, 70, count)).astype(float).tolist()
    weights = random.uniform(0.5, 3.0, count).tolist()
    found = neighbour_factors(days, weights)
    assert (found.slope, found.level, found.scatter) == pytest.approx(by_matrices(days, weights), rel=1e-12)


def by_matrices(days: list[float], weights: list[float]) -> tuple[float, float, float]:
    """Factors on the errors of slope and level and on the residual sd, readings alike by 0.3 to the power of steps."""
    count, root = len(days), np.sqrt(np.array(weights))
    centre = np.average(days, weights=weights)
    design = np.column_stack([root, root * (np.array(days) - centre)])
    alike = 0.3 ** np.abs(np.subtract.outer(range(count), range(count)))
    inverse = np.linalg.inv(design.T @ design)
    true = inverse @ design.T @ alike @ design @ inverse
    left = np.trace((np.eye(count) - design @ inverse @ design.T) @ alike) / (count - 2)
    slope, level = (math.sqrt(true[place, place] / inverse[place, place] / left) for place in (1, 0))
    return slope, level, 1 / math.sqrt(left)


def test_goals_of_one_day_are_tested_stepwise() -> None:
    """Holm (1979): of two goals read on one day the first needs a half of the chance; once it is shown, the second
    is tested with the whole, whichever of the two was named first."""
    days = even_days(7)
    steep = series_of([reading(d, 1 + i + 0.1 * (-1) ** i) for i, d in enumerate(days)])
    slight = [reading(d, 1 + 0.32 * i + 0.3 * (-1) ** i, foot=Foot.RF) for i, d in enumerate(days)]
    goals = [Followed(steep, Wanted.MORE), Followed(series_of(slight), Wanted.MORE)]
    strong, weak = (found.looks[-1] for found in judge_goals(goals))
    weak_first, strong_second = (found.looks[-1] for found in judge_goals(goals[::-1]))
    assert (strong, weak) == (strong_second, weak_first)
    assert (strong.goals_unshown, weak.goals_unshown) == (2, 1)
    assert (strong.verdict, weak.verdict) == (Verdict.INCREASE_SHOWN, Verdict.INCREASE_SHOWN)
    assert weak.t_needed < weak.t < strong.t_needed  # alone with another that is not shown it would not be told
    assert (weak.t_needed, strong.t_needed) == pytest.approx((3.365, 4.032), abs=5e-4)  # printed t, 5 df, 98 and 99 %


def test_two_goals_neither_shown_both_divide() -> None:
    days = even_days(7)
    slight = [
        series_of([reading(d, 1 + 0.32 * i + 0.3 * (-1) ** i, foot=foot) for i, d in enumerate(days)])
        for foot in (Foot.LF, Foot.RF)
    ]
    for found in judge_goals([Followed(series, Wanted.MORE) for series in slight]):
        assert found.looks[-1].goals_unshown == 2
        assert found.looks[-1].verdict is Verdict.NO_CHANGE_SHOWN


def test_bands_of_line_and_of_a_further_visit_against_statsmodels(monkeypatch: pytest.MonkeyPatch) -> None:
    """statsmodels OLS: confidence interval of the mean and prediction interval of an observation; first without the
    likeness of neighbours, then wider by its factors."""
    from statsmodels.api import OLS, add_constant

    readings = [reading(d, v) for d, v in zip(LARKSPUR_DAYS, LARKSPUR_LF, strict=True)]
    days = np.array([float((day - LARKSPUR_DAYS[0]).days) for day in LARKSPUR_DAYS])
    day = LARKSPUR_DAYS[-1] + timedelta(42)
    peer = OLS(np.array(LARKSPUR_LF), add_constant(days)).fit()
    table = peer.get_prediction(np.array([[1.0, days[-1] + 42.0]])).summary_frame(alpha=0.05).iloc[0]
    with_neighbours = judge(series_of(readings)).trend
    monkeypatch.setattr(looks, "neighbour_factors", lambda days, weights: Neighbours(1.0, 1.0, 1.0))
    plain = judge(series_of(readings)).trend
    assert plain is not None and with_neighbours is not None
    assert plain.band_at(day) == pytest.approx((table["mean_ci_lower"], table["mean_ci_upper"]), rel=1e-9)
    assert plain.prediction_at(day) == pytest.approx((table["obs_ci_lower"], table["obs_ci_upper"]), rel=1e-9)
    slope, level, scatter = by_matrices(days.tolist(), [1.0] * 7)
    t = plain.coverage_factor
    away = days[-1] + 42.0 - days.mean()
    wider = t * math.hypot(level * plain.level_se, slope * plain.slope_se * away, scatter * math.sqrt(peer.mse_resid))
    low, high = with_neighbours.prediction_at(day)
    assert (high - low) / 2 == pytest.approx(wider, rel=1e-9)


def test_a_further_visit_never_scatters_less_than_its_stated_uncertainty() -> None:
    found = judge(series_of([reading(d, 2 + 0.1 * i, 0.5) for i, d in enumerate(even_days(4))])).trend
    assert found is not None
    assert found.scatter == pytest.approx(0.5)


def test_what_is_no_goal_has_its_line_over_all_readings() -> None:
    found = judge(series_of([reading(d, 2.0 + (-1) ** i) for i, d in enumerate(even_days(40))]))
    assert found.weeks == pytest.approx(39 * 6)
    assert (len(found.current), found.looks) == (40, ())


def test_many_series_judged_at_once_are_each_alone() -> None:
    random = np.random.default_rng(9)
    every = []
    for count in (2, 3, 9, 30):
        rows = zip(even_days(count), random.normal(3, 1, count), random.uniform(0.2, 0.8, count), strict=True)
        every.append(series_of([reading(day, float(v), float(u)) for day, v, u in rows]))
    for one, alone in zip(judge_all(every), (judge(series) for series in every), strict=True):
        assert (one.series, one.weeks, one.pair, one.verdict) == (alone.series, alone.weeks, alone.pair, None)
        assert (one.change, one.low, one.tau) == pytest.approx((alone.change, alone.low, alone.tau), rel=1e-7)


def test_the_robust_slope_stands_beside_the_line() -> None:
    """scipy.stats.theilslopes on the same readings."""
    from scipy.stats import theilslopes

    found = judge(series_of([reading(d, v) for d, v in zip(LARKSPUR_DAYS, LARKSPUR_LF, strict=True)])).robust
    days = [(day - LARKSPUR_DAYS[0]).days for day in LARKSPUR_DAYS]
    assert found is not None
    assert found.slope == pytest.approx(theilslopes(LARKSPUR_LF, days).slope)


def test_what_was_said_stays_whatever_is_read_later() -> None:
    """A look rests on the readings up to its day alone: asked after each visit or at the end, it says the same."""
    random = np.random.default_rng(3)
    days = even_days(25)
    walks = [np.cumsum(random.normal(0.2 * n, 1, 25)) for n in range(3)]
    every = [[reading(d, float(v), 0.4, foot=foot) for d, v in zip(days, walk, strict=True)]
             for foot, walk in zip((Foot.LF, Foot.RF, Foot.LH), walks, strict=True)]  # fmt: skip
    at_the_end = judge_goals([Followed(series_of(rows), Wanted.MORE) for rows in every])
    for count in range(1, 26):
        for then, now in zip(
            judge_goals([Followed(series_of(rows[:count]), Wanted.MORE) for rows in every]), at_the_end, strict=True
        ):
            for one, two in zip(then.looks, now.looks, strict=False):
                assert (one.verdict, one.goals_unshown, one.day) == (two.verdict, two.goals_unshown, two.day)
                assert (one.change, one.low, one.t) == pytest.approx((two.change, two.low, two.t), rel=1e-9)


def test_band_holds_the_line() -> None:
    found = judge(series_of([reading(d, v) for d, v in zip(LARKSPUR_DAYS, LARKSPUR_LF, strict=True)]))
    assert found.trend is not None
    for day in LARKSPUR_DAYS:
        low, high = found.trend.band_at(day)
        assert low < found.trend.value_at(day) < high
    change = found.trend.value_at(LARKSPUR_DAYS[-1]) - found.trend.value_at(LARKSPUR_DAYS[0])
    assert change == pytest.approx(found.change)


def test_left_against_right_of_the_third_sample_horse() -> None:
    """Juniper's toe angles, left less right, each foot's sd 0.7 deg: two readings tell 2.7 deg (1.96 sqrt2 sqrt2 0.7);
    the trend of -1.5 deg over 24 weeks is not shown."""
    days = even_days(5)
    u = 0.7 * math.sqrt(2)
    rows = [
        reading(d, v, u, measure="toe_angle", definition=Definition.ONE)
        for d, v in zip(days, (6.5, 5.6, 5.1, 5.7, 4.6), strict=True)
    ]
    pair = pair_change(rows[0], rows[-1], tau=0.0)
    assert isinstance(pair, PairChange)
    assert pair.change == pytest.approx(-1.9)
    assert pair.high - pair.change == pytest.approx(2.74, abs=0.01)
    found = judge(series_of(rows, "toe_angle"), wanted=Wanted.LESS)
    assert found.change == pytest.approx(-1.48, abs=0.01)
    assert [look.verdict for look in found.looks] == [Verdict.NO_CHANGE_SHOWN]
    assert found.high is not None and found.change is not None
    assert 2.4 < found.high - found.change < 2.6


def test_new_horn_above_the_crack_of_the_second_sample_horse() -> None:
    """Copper: 0 to 47 mm of new horn in 175 days, 8.1 mm in 30 days: shown at reading 4."""
    days = [
        date(2025, 3, 4),
        date(2025, 4, 8),
        date(2025, 5, 13),
        date(2025, 6, 17),
        date(2025, 7, 22),
        date(2025, 8, 26),
    ]
    rows = [
        reading(d, v, 0.8, measure="new_horn_length", definition=Definition.ONE)
        for d, v in zip(days, (0.0, 9.5, 19.0, 28.0, 38.0, 47.0), strict=True)
    ]
    found = judge(series_of(rows, "new_horn_length"), wanted=Wanted.MORE)
    assert found.trend is not None
    assert found.trend.slope * 30 == pytest.approx(8.1, abs=0.05)
    assert (found.looks[0].reading, found.looks[0].verdict) == (4, Verdict.INCREASE_SHOWN)
