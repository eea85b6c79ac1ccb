"""Repeatability against published worked examples; sources beside each."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.stats import chi2

from hoofbook.progress import agreement, trend
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


# The same table in the documentation of the R package psych, function ICC (from memory, as printed there)
INTERVALS = {
    IccForm.ONE_SINGLE: (-0.133, 0.72),
    IccForm.TWO_SINGLE: (0.019, 0.76),
    IccForm.THREE_SINGLE: (0.342, 0.95),
    IccForm.ONE_MEAN: (-0.884, 0.91),
    IccForm.TWO_MEAN: (0.071, 0.93),
    IccForm.THREE_MEAN: (0.676, 0.99),
}


@pytest.mark.parametrize("form", list(IccForm))
def test_icc_as_shrout_and_fleiss_have_it(form: IccForm) -> None:
    found = agreement.intraclass(JUDGES, form)
    assert not isinstance(found, Refusal)
    assert found.value == pytest.approx(PUBLISHED[form], abs=5e-5)
    low, high = INTERVALS[form]
    assert found.low == pytest.approx(low, abs=5e-4)
    assert found.high == pytest.approx(high, abs=5e-3)


def test_the_interval_of_the_third_model_as_another_package_documents_it() -> None:
    """R package statpsych, reference page of ci.icc: mean squares 48.2 and 11.3 of 30 subjects by 5 readings give
    ICC(C,1) 0.3951 with 0.2311 to 0.5853 and the mean of five 0.7656 with 0.6005 to 0.8759."""
    squares = agreement._MeanSquares(30, 5, 48.2, 11.3, 0.0, 0.0)
    single = agreement._single(squares, IccForm.THREE_SINGLE)
    assert single == pytest.approx(0.3951, abs=5e-5)
    ends = agreement._single_interval(squares, IccForm.THREE_SINGLE, single or 0.0)
    assert ends == pytest.approx((0.2311, 0.5853), abs=5e-5)
    means = [agreement._of_mean(each, 5) for each in (single or 0.0, *ends)]
    assert means == pytest.approx([0.7656, 0.6005, 0.8759], abs=5e-5)


def test_icc_where_repeats_are_alike_or_feet_are() -> None:
    alike = agreement.intraclass([[1.0, 1.0], [3.0, 3.0], [4.0, 4.0]], IccForm.ONE_SINGLE)
    assert not isinstance(alike, Refusal)
    assert (alike.value, alike.low, alike.high) == (1.0, None, None)
    nothing = agreement.intraclass([[2.0, 2.0], [2.0, 2.0]], IccForm.TWO_SINGLE)
    assert isinstance(nothing, Refusal) and nothing.code == "nothing_to_tell_apart"
    # feet that do not differ at all: a single reading at -1 / (k - 1), the mean of both tells nothing
    unlike = agreement.intraclass([[1.0, 3.0], [3.0, 1.0]], IccForm.ONE_MEAN)
    assert not isinstance(unlike, Refusal) and unlike.value == -math.inf


def test_standard_error_of_measurement_of_the_teaching_example() -> None:
    """Two readings on five people whose differences are 8, 6, 8, 4, 3 in size (a published teaching example on SEM
    and MDC): SEM = sqrt(sum d**2 / 2 n) = 4.3474, smallest detectable change 12.0504."""
    found = agreement.within([(float(d), 0.0) for d in (8, 6, 8, 4, 3)])
    assert not isinstance(found, Refusal)
    assert found.sd == pytest.approx(4.3474, abs=5e-5)
    error = agreement.measurement_error([(float(d), 0.0) for d in (8, 6, 8, 4, 3)])
    assert not isinstance(error, Refusal)
    assert error.sem == pytest.approx(4.3474, abs=5e-5)
    assert error.detectable == pytest.approx(12.0504, abs=2e-3)  # printed with 1.96


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
    assert trend.interval(mean, se, 10) == pytest.approx((low, high), abs=6e-3)


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


def test_what_readings_state_of_themselves_is_not_counted_twice() -> None:
    sets = [(10.0, 10.6), (12.0, 11.5), (9.0, 9.9), (8.0, 8.2), (10.0, 9.1), (7.0, 7.3)]
    found = agreement.shrunk(0.8, sets, stated=0.3)
    assert found.own is not None
    assumed = 0.8**2 + 0.3**2
    assert found.sd**2 == pytest.approx((4 * assumed + 6 * found.own.sd**2) / 10)
    assert found.tau**2 == pytest.approx(found.sd**2 - 0.3**2)
    assert agreement.shrunk(0.1, sets, stated=9.0).tau == 0.0  # repeats do not make a reading better than its parts
    few = agreement.shrunk(0.8, sets[:2], stated=0.3)
    assert (few.tau, few.sd) == (0.8, math.hypot(0.8, 0.3))


@pytest.mark.parametrize(("truth", "least", "most"), [("prior", 0.94, 0.96), (0.5, 0.97, 1.0), (2.0, 0.89, 0.95)])
def test_a_limit_between_default_and_own_holds_its_chance(truth: str | float, least: float, most: float) -> None:
    """4,000 seeded books of six second takes. Where truths are spread about the default as four degrees of freedom
    say (inverse chi-squared: Smyth 2004), the limit of two new readings holds 95 %; a truth of half the default keeps
    it on the safe side; of a truth twice the default it holds 9 in 10 (the default alone: 2 in 3)."""
    random = np.random.default_rng(11)
    held = 0
    for _ in range(4000):
        sd = float(np.sqrt(4 / random.chisquare(4))) if truth == "prior" else float(truth)
        found = agreement.shrunk(1.0, random.normal(5.0, sd, (6, 2)))  # type: ignore[arg-type]
        one, other = random.normal(5.0, sd, 2)
        held += abs(one - other) < found.coefficient
    assert least <= held / 4000 <= most


finite = st.floats(-100, 100).map(lambda value: round(value, 6))
grouped = st.lists(st.lists(finite, min_size=2, max_size=4), min_size=1, max_size=12)


@given(grouped, st.floats(-50, 50), st.floats(0.1, 10))
def test_within_does_not_feel_where_a_foot_lies_and_follows_the_unit(
    groups: list[list[float]], shift: float, times: float
) -> None:
    one, other = agreement.within(groups), agreement.within([[times * (v + shift) for v in g] for g in groups[::-1]])
    assert not isinstance(one, Refusal) and not isinstance(other, Refusal)
    assert times * one.sd == pytest.approx(other.sd, abs=1e-6)
    assert one.low <= one.sd <= one.high
    assert one.degrees_of_freedom == one.readings - one.groups
    assert one.coefficient >= agreement.detectable_change(one.sd)


@given(st.lists(st.tuples(finite, finite), min_size=3, max_size=20), st.floats(-50, 50))
def test_limits_turn_with_the_order_and_move_with_a_bias(pairs: list[tuple[float, float]], bias: float) -> None:
    one = agreement.limits_of_agreement(pairs)
    other = agreement.limits_of_agreement([(b, a + bias) for a, b in pairs])
    assert not isinstance(one, Refusal) and not isinstance(other, Refusal)
    assert other.lower == pytest.approx(-one.upper - bias, abs=1e-6)
    assert other.sd == pytest.approx(one.sd, abs=1e-6)
    assert one.lower <= one.bias <= one.upper


@given(st.floats(0.01, 5), grouped, st.floats(0, 5))
def test_the_shrunk_spread_lies_between_default_and_own(default: float, groups: list[list[float]], u: float) -> None:
    found = agreement.shrunk(default, groups, u)
    assert found.own is not None
    ends = sorted((math.hypot(default, u), found.own.sd))
    assert ends[0] - 1e-9 <= found.sd <= ends[1] + 1e-9
    assert (found.standing is Standing.ASSUMED) == (len(groups) < agreement.ENOUGH_SETS)
    assert found.tau <= found.sd + 1e-12


@given(st.lists(st.lists(finite, min_size=3, max_size=3), min_size=2, max_size=8), st.floats(-50, 50))
def test_icc_is_at_most_one_and_does_not_feel_a_shift(table: list[list[float]], shift: float) -> None:
    for form in IccForm:
        found = agreement.intraclass(table, form)
        if isinstance(found, Refusal):
            assert found.code == "nothing_to_tell_apart"
            continue
        assert found.value <= 1.0 + 1e-9
        if found.low is not None and found.high is not None:
            assert found.low <= found.high + 1e-9


def test_the_interval_of_the_spread_holds_the_truth() -> None:
    """2,000 seeded books of eight retake sets: 95 % (binomial sd 0.5 %)."""
    random = np.random.default_rng(17)
    held = 0
    for _ in range(2000):
        found = agreement.within(random.normal(5.0, 1.3, (8, 2)))  # type: ignore[arg-type]
        assert not isinstance(found, Refusal)
        held += found.low <= 1.3 <= found.high
    assert 0.935 <= held / 2000 <= 0.965


def test_intervals_of_bias_limit_and_people_hold_the_truth() -> None:
    """2,000 seeded books of 17 pairs. The interval of a limit rests on its large-sample error sqrt(3 s**2 / n)
    (Bland and Altman 1986): it may hold a little less."""
    random = np.random.default_rng(23)
    bias = limit = people = 0
    for _ in range(2000):
        foot = random.normal(50, 3, 17)
        pairs = np.stack([foot + random.normal(0.4, 0.5, 17), foot + random.normal(0.0, 0.5, 17)], axis=1)
        found = agreement.limits_of_agreement(pairs)  # type: ignore[arg-type]
        effect = agreement.person_effect(pairs)  # type: ignore[arg-type]
        assert not isinstance(found, Refusal) and not isinstance(effect, Refusal)
        bias += found.bias_low <= 0.4 <= found.bias_high
        people += effect.low <= 0.4 <= effect.high
        limit += abs(found.upper - (0.4 + 1.959964 * math.sqrt(0.5))) <= found.limit_half
    assert 0.935 <= bias / 2000 <= 0.965
    assert people == bias
    assert 0.92 <= limit / 2000 <= 0.965


@pytest.mark.parametrize("form", [IccForm.ONE_SINGLE, IccForm.TWO_SINGLE, IccForm.THREE_SINGLE])
def test_the_interval_of_an_icc_holds_the_truth(form: IccForm) -> None:
    """1,000 seeded books of twelve feet read by four people drawn at random: feet 2, rest 1, people 0.5 (sd). The
    interval of the second model is Satterthwaite's approximation (McGraw and Wong 1996)."""
    random = np.random.default_rng(31)
    people = 0.5 if form is IccForm.TWO_SINGLE else 0.0
    truth = 4.0 / (4.0 + 1.0 + people**2)
    held = 0
    for _ in range(1000):
        table = random.normal(0, 2, (12, 1)) + random.normal(0, people, (1, 4)) + random.normal(0, 1, (12, 4))
        found = agreement.intraclass(table.tolist(), form)
        assert not isinstance(found, Refusal) and found.low is not None and found.high is not None
        held += found.low <= truth <= found.high
    assert 0.925 <= held / 1000 <= 0.975


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
    other = foot + random.normal(0, 0.2, 12)
    found = agreement.person_effect(list(zip(foot + 0.8, other, strict=True)))
    assert not isinstance(found, Refusal)
    assert found.low <= 0.8 <= found.high and found.low > 0
    # two people of sd s differ by sqrt(2) s on the mean; what is left is the sd of the differences over sqrt 2
    assert found.person_sd == pytest.approx(abs(found.difference) / math.sqrt(2), abs=0.02)
    assert found.rest_sd == pytest.approx(np.std(other - foot, ddof=1) / math.sqrt(2))
    same = agreement.person_effect([(1.0, 1.1), (2.0, 1.9), (3.0, 3.0)])
    assert not isinstance(same, Refusal) and same.person_sd == 0.0


@pytest.mark.parametrize("few", [[], [(1.0, 2.0)]])
def test_too_few_are_refused(few: list[tuple[float, float]]) -> None:
    for function in (agreement.limits_of_agreement, agreement.person_effect):
        found = function(few)
        assert isinstance(found, Refusal) and found.code == "too_few_repeats"
    assert isinstance(agreement.within([(1.0,)]), Refusal)
    assert isinstance(agreement.measurement_error([(1.0,)]), Refusal)
    assert isinstance(agreement.intraclass([[1.0, 2.0], [1.0]], IccForm.ONE_SINGLE), Refusal)
