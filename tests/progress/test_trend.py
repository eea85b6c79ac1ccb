from __future__ import annotations

import numpy as np
import pytest

from hoofbook.progress.trend import fit_lines, fit_through_origin, interval, mean_of, t_quantile, theil_sen

from .references import (
    BCG_TRIALS,
    NOINT2_SLOPE,
    NOINT2_X,
    NOINT2_Y,
    NORRIS_INTERCEPT,
    NORRIS_INTERCEPT_SE,
    NORRIS_RESIDUAL_SD,
    NORRIS_SLOPE,
    NORRIS_SLOPE_SE,
    NORRIS_X,
    NORRIS_Y,
    SLEEP_A,
    SLEEP_B,
    SLEEP_HIGH,
    SLEEP_LOW,
    SLEEP_MEAN,
    T_975,
)


def test_norris_to_nine_digits() -> None:
    """NIST StRD Norris, certified values."""
    x, y = np.array([NORRIS_X]), np.array([NORRIS_Y])
    lines = fit_lines(x, y, np.zeros_like(x))
    assert lines.slope[0] == pytest.approx(NORRIS_SLOPE, rel=1e-9)
    assert lines.slope_se[0] == pytest.approx(NORRIS_SLOPE_SE, rel=1e-9)
    assert lines.tau[0] == pytest.approx(NORRIS_RESIDUAL_SD, rel=1e-9)
    intercept = lines.level[0] - lines.slope[0] * lines.centre[0]
    error = np.hypot(lines.level_se[0], lines.slope_se[0] * lines.centre[0])
    assert intercept == pytest.approx(NORRIS_INTERCEPT, rel=1e-9)
    assert error == pytest.approx(NORRIS_INTERCEPT_SE, rel=1e-9)


def test_norris_with_equal_weights_is_the_same_line() -> None:
    """Equal stated u below the scatter change neither slope nor its error."""
    x, y = np.array([NORRIS_X]), np.array([NORRIS_Y])
    lines = fit_lines(x, y, np.full_like(x, 0.5))
    assert lines.slope[0] == pytest.approx(NORRIS_SLOPE, rel=1e-9)
    assert lines.slope_se[0] == pytest.approx(NORRIS_SLOPE_SE, rel=1e-9)
    assert lines.tau[0] == pytest.approx(np.sqrt(NORRIS_RESIDUAL_SD**2 - 0.25), rel=1e-8)


def test_line_through_nought() -> None:
    """NIST StRD NoInt2, certified slope, its standard error and residual sd (0.0420827318078432, 0.369274472937998)."""
    line = fit_through_origin(NOINT2_X, NOINT2_Y, [0.0, 0.0, 0.0])
    assert line.slope == pytest.approx(NOINT2_SLOPE, rel=1e-12)
    assert line.slope_se == pytest.approx(0.0420827318078432, rel=1e-9)
    assert line.residual_sd == pytest.approx(0.369274472937998, rel=1e-9)


def test_weighted_line_against_statsmodels() -> None:
    """statsmodels WLS, errors scaled by the weighted residuals, at the scatter that was found."""
    from statsmodels.api import WLS, add_constant

    random = np.random.default_rng(7)
    for _ in range(20):
        days = np.sort(random.uniform(0, 900, 11))
        u = random.uniform(0.2, 1.5, 11)
        y = 3 + 0.004 * days + random.normal(0, np.hypot(u, 0.5))
        lines = fit_lines(days[None], y[None], u[None])
        weights = 1 / (u**2 + lines.tau[0] ** 2)
        peer = WLS(y, add_constant(days), weights=weights).fit()
        assert lines.slope[0] == pytest.approx(peer.params[1], rel=1e-9)
        assert lines.slope_se[0] == pytest.approx(peer.bse[1], rel=1e-9)


def test_scatter_maximises_the_restricted_likelihood() -> None:
    """tau against a search of the restricted likelihood itself (Harville 1977), written out with full matrices."""
    from scipy.optimize import minimize_scalar

    random = np.random.default_rng(11)
    for _ in range(25):
        n = int(random.integers(4, 16))
        days, u = np.sort(random.uniform(0, 600, n)), random.uniform(0.1, 1.2, n)
        y = 2 + 0.003 * days + random.normal(0, np.hypot(u, random.uniform(0, 1.5)))
        design = np.column_stack([np.ones(n), days])

        def minus_twice_likelihood(tau: float, y=y, u=u, design=design) -> float:
            v = np.diag(u**2 + tau**2)
            inverse = np.linalg.inv(v)
            middle = design.T @ inverse @ design
            p = inverse - inverse @ design @ np.linalg.inv(middle) @ design.T @ inverse
            return np.linalg.slogdet(v)[1] + np.linalg.slogdet(middle)[1] + y @ p @ y

        found = float(fit_lines(days[None], y[None], u[None]).tau[0])
        grid = np.linspace(0, 5, 400)
        best = min(grid, key=minus_twice_likelihood)
        peer = minimize_scalar(minus_twice_likelihood, bounds=(max(best - 0.02, 0), best + 0.02), method="bounded")
        assert minus_twice_likelihood(found) <= min(peer.fun, minus_twice_likelihood(0.0)) + 1e-6


def test_scatter_of_published_trials() -> None:
    """13 trials of the BCG vaccine (Colditz et al. 1994), log risk ratio on latitude, as printed by R's metafor
    (README, rma with mods = ~ ablat, method REML, test "knha"): tau**2 0.0764, slope -0.0291 (SE 0.0082, t -3.5483,
    -0.0472 to -0.0111), intercept 0.2515 (SE 0.2839)."""
    treated, well, others, others_well, latitude = (np.array(row) for row in zip(*BCG_TRIALS, strict=True))
    logs = np.log(treated / (treated + well) * (others + others_well) / others)
    variance = 1 / treated - 1 / (treated + well) + 1 / others - 1 / (others + others_well)
    lines = fit_lines(latitude[None], logs[None], np.sqrt(variance)[None])
    assert lines.tau[0] ** 2 == pytest.approx(0.0764, abs=1e-4)
    assert lines.tau[0] == pytest.approx(0.2763, abs=5e-5)
    assert lines.slope[0] == pytest.approx(-0.0291, abs=5e-5)
    assert lines.slope_se[0] == pytest.approx(0.0082, abs=5e-5)
    assert lines.slope[0] / lines.slope_se[0] == pytest.approx(-3.5483, abs=5e-4)
    assert interval(lines.slope[0], lines.slope_se[0], 11) == pytest.approx((-0.0472, -0.0111), abs=5e-5)
    intercept = lines.level[0] - lines.slope[0] * lines.centre[0]
    assert intercept == pytest.approx(0.2515, abs=5e-5)
    assert np.hypot(lines.level_se[0], lines.slope_se[0] * lines.centre[0]) == pytest.approx(0.2839, abs=5e-5)


def test_unweighted_line_against_scipy() -> None:
    """scipy.stats.linregress: slope, its error and the intercept's."""
    from scipy.stats import linregress

    random = np.random.default_rng(17)
    for n in (3, 7, 40):
        days = np.cumsum(random.integers(20, 60, n)).astype(float)
        y = random.normal(0, 2, n) + days / 50
        lines, peer = fit_lines(days[None], y[None], np.zeros((1, n))), linregress(days, y)
        assert (lines.slope[0], lines.slope_se[0]) == pytest.approx((peer.slope, peer.stderr), rel=1e-9)
        error = np.hypot(lines.level_se[0], lines.slope_se[0] * lines.centre[0])
        assert error == pytest.approx(peer.intercept_stderr, rel=1e-9)


def test_many_series_at_once_are_each_alone() -> None:
    random = np.random.default_rng(3)
    days = np.sort(random.uniform(0, 900, (40, 9)), axis=1)
    y, u = random.normal(5, 1, (40, 9)), random.uniform(0, 0.8, (40, 9))
    there = np.ones_like(y, dtype=bool)
    there[::3, 4] = False
    together = fit_lines(days, y, u, there)
    for row in range(40):
        keep = there[row]
        alone = fit_lines(days[row : row + 1, keep], y[row : row + 1, keep], u[row : row + 1, keep])
        assert together.slope[row] == pytest.approx(alone.slope[0], rel=1e-7, abs=1e-12)
        assert together.slope_se[row] == pytest.approx(alone.slope_se[0], rel=1e-7)
        assert together.tau[row] == pytest.approx(alone.tau[0], rel=1e-6, abs=1e-9)


def test_perfect_line_and_too_few() -> None:
    days = np.array([[0.0, 42.0, 84.0, 126.0], [0.0, 42.0, 84.0, 126.0]])
    there = np.array([[True] * 4, [True, True, False, False]])
    lines = fit_lines(days, days / 42, np.zeros((2, 4)), there)
    assert lines.slope[0] == pytest.approx(1 / 42)
    assert lines.slope_se[0] == pytest.approx(0, abs=1e-12)
    assert np.isnan(lines.slope[1])


def test_theil_sen_against_scipy() -> None:
    """scipy.stats.theilslopes, with and without ties."""
    from scipy.stats import theilslopes

    random = np.random.default_rng(5)
    for digits in (6, 0):
        for n in (3, 4, 7, 12, 40, 300):
            days = np.cumsum(random.integers(20, 60, n)).astype(float)
            y = np.round(random.normal(0, 2, n) + days / 50, digits)
            ours = theil_sen(days, y)
            slope, _, low, high = theilslopes(y, days, 0.95)
            assert ours is not None
            assert (ours.slope, ours.low, ours.high) == pytest.approx((slope, low, high))


def test_mean_and_interval() -> None:
    """Student (1908) sleep data; Malone and Davies (2012 abstract): interval from mean, SE and n = 11."""
    mean = mean_of([a - b for a, b in zip(SLEEP_A, SLEEP_B, strict=True)])
    assert (mean.value, mean.low, mean.high) == pytest.approx((SLEEP_MEAN, SLEEP_LOW, SLEEP_HIGH), abs=5e-6)
    assert interval(-1.5, 0.61, 10) == pytest.approx((-2.859, -0.141), abs=5e-4)
    assert interval(-1.8, 0.57, 10) == pytest.approx((-3.070, -0.530), abs=5e-4)
    assert interval(-0.65, 0.15, 10) == pytest.approx((-0.98, -0.32), abs=5e-3)  # its circumference, left


@pytest.mark.parametrize(("freedom", "quantile"), T_975.items())
def test_t_quantiles(freedom: int, quantile: float) -> None:
    """Printed table of Student's t, 97.5 %."""
    assert t_quantile(freedom, 0.975) == pytest.approx(quantile, abs=5e-4)
