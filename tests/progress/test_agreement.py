"""Repeatability against published worked examples; sources beside each."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.stats import chi2

from hoofbook.progress import agreement
from hoofbook.progress.agreement import IccForm, Standing
from hoofbook.terms.refusal import Refusal

# Bland and Altman (1986) Lancet 327:307-310: peak expiratory flow, two readings by each of two meters
WRIGHT = [494, 395, 516, 434, 476, 557, 413, 442, 650, 433, 417, 656, 267, 478, 178, 423, 427]
WRIGHT_2 = [490, 397, 512, 401, 470, 611, 415, 431, 638, 429, 420, 633, 275, 492, 165, 372, 421]
MINI = [512, 430, 520, 428, 500, 600, 364, 380, 658, 445, 432, 626, 260, 477, 259, 350, 451]
MINI_2 = [525, 415, 508, 444, 500, 625, 460, 390, 642, 432, 420, 605, 227, 467, 268, 370, 443]
# Shrout and Fleiss (1979) Psychol Bull 86:420-428, table 2: four judges, six targets (values typed from memory;
# all six published coefficients come out, which a typing error would break)
JUDGES = [[9, 2, 5, 8], [6, 1, 3, 2], [8, 4, 6, 8], [7, 1, 2, 6], [10, 5, 6, 9], [6, 2, 4, 7]]
PUBLISHED = {
    IccForm.ONE_SINGLE: 0.1657,
    IccForm.TWO_SINGLE: 0.2898,
    IccForm.THREE_SINGLE: 0.7148,
    IccForm.ONE_MEAN: 0.4428,
    IccForm.TWO_MEAN: 0.6201,
    IccForm.THREE_MEAN: 0.9093,
}


def pairs(one: list[int], other: list[int]) -> list[tuple[float, float]]:
    return [(float(a), float(b)) for a, b in zip(one, other, strict=True)]


def test_limits_of_agreement_as_bland_and_altman_have_them() -> None:
    found = agreement.limits_of_agreement(pairs(WRIGHT, MINI))
    assert not isinstance(found, Refusal)
    assert found.bias == pytest.approx(-2.1176, abs=5e-5)
    assert found.sd == pytest.approx(38.7651, abs=5e-5)
    assert (found.lower, found.upper) == pytest.approx((-78.0973, 73.8620), abs=2e-3)
    assert (found.bias_low, found.bias_high) == pytest.approx((-22.0488, 17.8135), abs=5e-4)
    assert found.limit_half / 2.1199 == pytest.approx(16.28, abs=0.01)  # t of 16 df; the paper's SE of a limit


@pytest.mark.parametrize(("one", "other", "sd"), [(WRIGHT, WRIGHT_2, 15.3067), (MINI, MINI_2, 19.9108)])
def test_within_subject_sd_as_bland_and_altman_have_it(one: list[int], other: list[int], sd: float) -> None:
    found = agreement.within(pairs(one, other))
    assert not isinstance(found, Refusal)
    assert found.sd == pytest.approx(sd, abs=5e-5)
    assert (found.groups, found.degrees_of_freedom) == (17, 17.0)


@pytest.mark.parametrize("form", list(IccForm))
def test_icc_as_shrout_and_fleiss_have_it(form: IccForm) -> None:
    found = agreement.intraclass(JUDGES, form)
    assert not isinstance(found, Refusal)
    assert found.value == pytest.approx(PUBLISHED[form], abs=5e-5)
    if found.low is not None and found.high is not None:
        assert found.low < found.value < found.high


def test_icc_intervals_as_the_r_package_psych_prints_them() -> None:
    """Its documentation runs the same table: ICC1 -0.13 to 0.72, ICC3 0.34 to 0.95 (from memory, two decimals)."""
    one, three = (agreement.intraclass(JUDGES, form) for form in (IccForm.ONE_SINGLE, IccForm.THREE_SINGLE))
    assert not isinstance(one, Refusal) and not isinstance(three, Refusal)
    assert (one.low, one.high) == pytest.approx((-0.13, 0.72), abs=0.006)
    assert (three.low, three.high) == pytest.approx((0.34, 0.95), abs=0.006)


def test_standard_error_of_measurement_of_the_teaching_example() -> None:
    """Two readings on five people whose differences are 8, 6, 8, 4, 3 in size (a published teaching example on SEM
    and MDC): SEM = sqrt(sum d**2 / 2 n) = 4.3474, smallest detectable change 12.0504."""
    found = agreement.within([(float(d), 0.0) for d in (8, 6, 8, 4, 3)])
    assert not isinstance(found, Refusal)
    assert found.sd == pytest.approx(4.3474, abs=5e-5)
    assert agreement.detectable_change(found.sd) == pytest.approx(12.0504, abs=2e-3)


def test_a_gauge_of_published_repeatability() -> None:
    """Peel, Peel and Davies (2006) Equine Vet J Suppl 36:431-434: coefficient 0.31 deg, so s_w 0.1118."""
    assert agreement.detectable_change(0.1118) == pytest.approx(0.31, abs=5e-4)


@pytest.mark.parametrize(("readings", "limit"), [(1, 1.386), (3, 0.800)])
def test_a_depth_gauge(readings: int, limit: float) -> None:
    """s = 0.5 mm (assumed, no source): 1.96 sqrt(2) s / sqrt(n)."""
    assert agreement.detectable_change(0.5, readings) == pytest.approx(limit, abs=5e-4)


@pytest.mark.parametrize(
    ("mean", "se", "low", "high"),
    [
        (-1.5, 0.61, -2.859, -0.141),
        (-1.8, 0.57, -3.070, -0.530),
        (-0.65, 0.15, -0.98, -0.32),
        (-0.78, 0.12, -1.05, -0.51),
    ],
)
def test_intervals_from_the_summary_of_a_crossover(mean: float, se: float, low: float, high: float) -> None:
    """Malone and Davies: eleven horses shod less barefoot after seven weeks; t(10) = 2.228."""
    assert agreement.from_summary(mean, se, 11) == pytest.approx((low, high), abs=6e-3)


def test_a_default_gives_way_as_repeats_come_in() -> None:
    random = np.random.default_rng(3)
    sets = [tuple(random.normal(10, 0.4, 2)) for _ in range(200)]
    few = agreement.shrunk(0.8, sets[:4])
    assert (few.sd, few.standing, few.sets) == (0.8, Standing.ASSUMED, 4)
    some = agreement.shrunk(0.8, sets[:8])
    assert some.standing is Standing.PARTLY_OWN
    assert some.own is not None
    # Smyth (2004): weights are the degrees of freedom
    assert some.sd**2 == pytest.approx((4 * 0.8**2 + 8 * some.own.sd**2) / 12)
    many = agreement.shrunk(0.8, sets)
    assert many.standing is Standing.OWN
    assert many.sd == pytest.approx(0.4, abs=0.05)
    assert agreement.shrunk(0.8, []).standing is Standing.ASSUMED


@given(st.lists(st.lists(st.floats(-100, 100), min_size=2, max_size=4), min_size=1, max_size=12), st.floats(-50, 50))
def test_within_does_not_feel_where_a_foot_lies(groups: list[list[float]], shift: float) -> None:
    one, other = agreement.within(groups), agreement.within([[v + shift for v in g] for g in groups[::-1]])
    assert not isinstance(one, Refusal) and not isinstance(other, Refusal)
    assert one.sd == pytest.approx(other.sd, abs=1e-6)


def test_the_interval_of_the_spread_holds_the_truth() -> None:
    """2,000 seeded books of eight retake sets: 95 % (binomial sd 0.5 %)."""
    random = np.random.default_rng(17)
    held = 0
    for _ in range(2000):
        found = agreement.within(random.normal(5.0, 1.3, (8, 2)))  # type: ignore[arg-type]
        assert not isinstance(found, Refusal)
        held += found.low <= 1.3 <= found.high
    assert 0.935 <= held / 2000 <= 0.965


def test_interval_is_that_of_the_chi_squared_table() -> None:
    found = agreement.within([(0.0, 2.0), (1.0, 2.0), (5.0, 4.0)])
    assert not isinstance(found, Refusal)
    total = 2.0 + 0.5 + 0.5
    assert found.sd == pytest.approx(math.sqrt(total / 3))
    assert found.low == pytest.approx(math.sqrt(total / chi2.ppf(0.975, 3)))
    assert found.high == pytest.approx(math.sqrt(total / chi2.ppf(0.025, 3)))


def test_two_people_who_read_differently_are_told_apart() -> None:
    random = np.random.default_rng(2)
    foot = random.normal(50, 3, 12)
    found = agreement.person_effect(list(zip(foot + 0.8, foot + random.normal(0, 0.2, 12), strict=True)))
    assert not isinstance(found, Refusal)
    assert found.low <= 0.8 <= found.high and found.low > 0


@pytest.mark.parametrize("few", [[], [(1.0, 2.0)]])
def test_too_few_are_refused(few: list[tuple[float, float]]) -> None:
    for function in (agreement.limits_of_agreement, agreement.person_effect, agreement.measurement_error):
        found = function(few)
        assert isinstance(found, Refusal) and found.code == "too_few_repeats"
    assert isinstance(agreement.within([(1.0,)]), Refusal)
    assert isinstance(agreement.intraclass([[1.0, 2.0], [1.0]], IccForm.ONE_SINGLE), Refusal)
