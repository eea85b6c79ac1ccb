"""Straight lines through dated readings whose scatter between visits is estimated together with the line.

Model: value_i = intercept + slope * day_i + e_i, variance of e_i = u_i**2 + tau**2. `tau` (scatter between visits that
no stated uncertainty explains) by restricted maximum likelihood on arrays, so that many measures are one call. Standard
errors follow Knapp and Hartung (2003): the weighted residuals decide, with Student's t on n - 2 degrees of freedom.
Arrays are (series, n); a gap is a weight of nought.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache
from typing import TYPE_CHECKING

from hoofbook.progress.between_visits import scatter_between

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    Floats = NDArray[np.float64]
    Flags = NDArray[np.bool_]

THEIL_SEN_AT_MOST = 1000  # its pairs grow with the square of the readings
_EVEN = 1e-12


@dataclass(frozen=True, slots=True)
class Lines:
    """Fitted lines of several series; every array is (series,), units those of the values and of days.

    `level` is the value at `centre` (the weighted mean day), where level and slope are independent. `slope_se` and
    `level_se` rest on the residuals (Knapp-Hartung); `slope_se_stated` on the stated u alone. `weight` (series, n) is
    1 / (u**2 + tau**2), nought where nothing was read.
    """

    slope: Floats
    level: Floats
    centre: Floats
    slope_se: Floats
    level_se: Floats
    slope_se_stated: Floats
    tau: Floats
    residual_sd: Floats
    degrees_of_freedom: Floats
    weight: Floats


@lru_cache(maxsize=1024)
def t_quantile(degrees_of_freedom: float, probability: float) -> float:
    """Student's t below which `probability` lies."""
    from scipy.special import stdtrit

    return float(stdtrit(degrees_of_freedom, probability))


@lru_cache(maxsize=1024)
def normal_quantile(probability: float) -> float:
    from scipy.special import ndtri

    return float(ndtri(probability))


def fit_lines(days: Floats, values: Floats, u: Floats, there: Flags | None = None) -> Lines:
    """Lines of (series, n) arrays: days, values, standard uncertainties (0 where none is stated: then none
    of that series counts), `there` where read.

    Needs three readings a series; a series with fewer comes back as NaN.
    """
    import numpy as np

    there = np.ones(values.shape, dtype=bool) if there is None else there
    count = there.sum(axis=1)
    enough = count >= 3
    variance = np.where(there, u, 0.0) ** 2
    # a reading of unknown ± is not an exact one: where one is unknown, the scatter that is seen decides for all
    variance = np.where(np.all((variance > 0) | ~there, axis=1, keepdims=True), variance, 0.0)
    y = np.where(there, values, 0.0)
    t = np.where(there, days, 0.0)
    tau2 = _scatter(t, y, variance, there, count)
    weight = _weights(variance, tau2, there, y)
    level, slope, centre, spread = _weighted_line(t, y, weight)
    residual = np.where(there, y - level[:, None] - slope[:, None] * (t - centre[:, None]), 0.0)
    freedom = np.maximum(count - 2, 1).astype(float)
    scale = (weight * residual**2).sum(axis=1) / freedom
    found = {
        "slope": slope,
        "level": level,
        "slope_se": np.sqrt(scale / spread),
        "level_se": np.sqrt(scale / weight.sum(axis=1)),
        "slope_se_stated": _stated_error(t, variance, there),
        "tau": np.sqrt(tau2),
        "residual_sd": np.sqrt((residual**2).sum(axis=1) / freedom),
        "degrees_of_freedom": freedom,
    }
    if not enough.all():
        found = {name: np.where(enough, array, np.nan) for name, array in found.items()}
    return Lines(centre=centre, weight=weight, **found)


_NO_SCATTER = 1e-12


def _weights(variance: Floats, tau2: Floats, there: Flags, y: Floats) -> Floats:
    """1 / (u**2 + tau**2); where both vanish every reading weighs the same."""
    import numpy as np

    total = variance + tau2[:, None]
    least = np.maximum(np.abs(y).max(axis=1, keepdims=True), 1.0) ** 2 * 1e-24
    return np.where(there, 1.0 / np.maximum(total, least), 0.0)


def _weighted_line(t: Floats, y: Floats, weight: Floats) -> tuple[Floats, Floats, Floats, Floats]:
    import numpy as np

    total = np.maximum(weight.sum(axis=1), 1e-300)
    centre = (weight * t).sum(axis=1) / total
    level = (weight * y).sum(axis=1) / total
    away = t - centre[:, None]
    spread = np.maximum((weight * away**2).sum(axis=1), 1e-300)
    slope = (weight * away * (y - level[:, None])).sum(axis=1) / spread
    return level, slope, centre, spread


def _stated_error(t: Floats, variance: Floats, there: Flags) -> Floats:
    """Standard error of the slope were the stated u the only scatter; 0 where a reading states none."""
    import numpy as np

    stated = np.all((variance > 0) | ~there, axis=1, keepdims=True)
    weight = np.where(there & stated, 1.0 / np.where(variance > 0, variance, 1.0), 0.0)
    spread = _weighted_line(t, np.zeros_like(t), weight)[3]
    return np.where(stated[:, 0], 1.0 / np.sqrt(spread), 0.0)


def _scatter(t: Floats, y: Floats, variance: Floats, there: Flags, count: Floats) -> Floats:
    """tau**2 per series, (series,), by restricted maximum likelihood: with equal u in a series that is the residual
    variance less u**2, nought at least."""
    import numpy as np

    level, slope, centre, _ = _weighted_line(t, y, there.astype(float))
    residual = np.where(there, y - level[:, None] - slope[:, None] * (t - centre[:, None]), 0.0)
    seen = (residual**2).sum(axis=1) / np.maximum(count - 2, 1)
    mean = variance.sum(axis=1) / np.maximum(count, 1)
    plain: Floats = np.maximum(seen - mean, 0.0)
    uneven = np.abs(np.where(there, variance - mean[:, None], 0.0)).max(axis=1) > _EVEN * mean
    uneven &= seen > _NO_SCATTER * mean  # readings that lie on one line leave nothing for tau to explain
    if bool(uneven.any()):
        plain[uneven] = scatter_between(t[uneven], residual[uneven], variance[uneven], seen[uneven])
    return plain


@dataclass(frozen=True, slots=True)
class Robust:
    """Theil-Sen slope per day and its 95 % interval (Sen 1968); beside the fit, never in its place."""

    slope: float
    low: float
    high: float


def theil_sen(days: Floats, values: Floats) -> Robust | None:
    """Median of the slopes of all pairs of (n,) readings; None for fewer than three or more than THEIL_SEN_AT_MOST."""
    import numpy as np

    count = len(values)
    if count < 3 or count > THEIL_SEN_AT_MOST:
        return None
    first, second = _pairs_of(count)
    gap = days[second] - days[first]
    apart = gap != 0
    slopes = (values[second] - values[first])[apart] / gap[apart]
    pairs = len(slopes)
    if not pairs:
        return None
    spread = normal_quantile(0.975) * math.sqrt(_concordance_variance(values, count))
    upper = min(round((pairs + spread) / 2), pairs - 1)
    lower = max(round((pairs - spread) / 2) - 1, 0)
    halves = (pairs - 1) // 2, pairs // 2
    ranked = np.partition(slopes, sorted({lower, upper, *halves}))
    middle = (float(ranked[halves[0]]) + float(ranked[halves[1]])) / 2
    return Robust(middle, float(ranked[lower]), float(ranked[upper]))


@lru_cache(maxsize=4)
def _pairs_of(count: int) -> tuple[NDArray[np.intp], NDArray[np.intp]]:
    import numpy as np

    first, second = np.triu_indices(count, 1)
    return first, second


def _concordance_variance(values: Floats, count: int) -> float:
    """Variance of Kendall's concordance count with ties among the values (Sen 1968, eq. 2.6)."""
    import numpy as np

    _, ties = np.unique(values, return_counts=True)
    tied = sum(int(k) * (int(k) - 1) * (2 * int(k) + 5) for k in ties)
    return (count * (count - 1) * (2 * count + 5) - tied) / 18


@dataclass(frozen=True, slots=True)
class LineThroughOrigin:
    """value = slope * day: slope per day, its standard error and degrees of freedom."""

    slope: float
    slope_se: float
    residual_sd: float
    degrees_of_freedom: float


def fit_through_origin(days: Sequence[float], values: Sequence[float], u: Sequence[float]) -> LineThroughOrigin:
    """Least squares through nought, weighted by 1 / u**2 where all u are stated; errors from the residuals."""
    weights = [1 / share**2 for share in u] if all(share > 0 for share in u) else [1.0] * len(values)
    spread = math.fsum(w * day * day for w, day in zip(weights, days, strict=True))
    slope = math.fsum(w * day * y for w, day, y in zip(weights, days, values, strict=True)) / spread
    freedom = len(values) - 1
    rest = math.fsum(w * (y - slope * day) ** 2 for w, day, y in zip(weights, days, values, strict=True)) / freedom
    plain = math.fsum((y - slope * day) ** 2 for day, y in zip(days, values, strict=True)) / freedom
    return LineThroughOrigin(slope, math.sqrt(rest / spread), math.sqrt(plain), float(freedom))


@dataclass(frozen=True, slots=True)
class Mean:
    """Mean of repeated values, its standard error, 95 % interval (Student's t) and the sd of the values."""

    value: float
    se: float
    low: float
    high: float
    sd: float
    degrees_of_freedom: float


def mean_of(values: Sequence[float]) -> Mean:
    """Two values or more."""
    count = len(values)
    value = math.fsum(values) / count
    sd = math.sqrt(math.fsum((each - value) ** 2 for each in values) / (count - 1))
    low, high = interval(value, sd / math.sqrt(count), count - 1)
    return Mean(value, sd / math.sqrt(count), low, high, sd, count - 1.0)


def interval(value: float, se: float, degrees_of_freedom: float, confidence: float = 0.95) -> tuple[float, float]:
    """Value -/+ Student's t times its standard error."""
    half = t_quantile(degrees_of_freedom, (1 + confidence) / 2) * se
    return value - half, value + half
