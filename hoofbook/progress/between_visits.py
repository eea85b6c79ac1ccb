"""Scatter between visits that no stated uncertainty explains, by restricted maximum likelihood on arrays.

Model: y = level + slope * t + e, variance of e_i = v_i + tau**2 (Patterson and Thompson 1971). All that the restricted
likelihood asks of the readings are sums of weights times 1, t, t**2, y, t y, y**2, so one product of matrices serves
all series and a step costs little more than dividing by the variances.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    Floats = NDArray[np.float64]
    Flags = NDArray[np.bool_]

_ROUNDS = 60
_CLOSE = 1e-12  # of the scatter seen
_GRID = 8
_LEAST = 1e-9  # a variance below this part of the scatter seen leaves tau where it is, but would cost digits


def scatter_between(t: Floats, residual: Floats, variance: Floats, seen: Floats) -> Floats:
    """tau**2 (series,) where the restricted likelihood is greatest, nought included.

    (series, n) arrays: days, residuals of a plain line through the readings, variances of the stated u (all > 0), each
    0 where nothing was read; `seen` (series,) the residual variance of that line. The likelihood may have two tops: a
    grid finds the higher one, and the root of its slope between its neighbours is closed in on by guarded steps.
    """
    import numpy as np

    there = variance > 0
    count = there.sum(axis=1)
    middle = np.where(there, t, 0.0).sum(axis=1) / count
    away = np.where(there, t - middle[:, None], 0.0)
    away /= np.maximum(np.sqrt((away**2).sum(axis=1) / count), 1e-300)[:, None]
    y = residual / np.sqrt(seen)[:, None]
    basis = np.stack([there.astype(float), away, away**2, y, away * y, y**2], axis=2)
    scaled = np.where(there, np.maximum(variance / seen[:, None], _LEAST), np.inf)  # of infinite variance weighs nought
    steps = np.concatenate([[0.0], np.geomspace(1e-3, 4.0, _GRID)])
    heights = np.stack([_height(scaled + step, there, basis) for step in steps], axis=1)
    best = heights.argmax(axis=1)
    low, high = steps[np.maximum(best - 1, 0)], steps[np.minimum(best + 1, _GRID)]
    tau2: Floats = steps[best]
    live = np.arange(len(best))
    for _ in range(_ROUNDS):
        here = tau2[live]
        slope, information = _slope(scaled + here[:, None], basis)
        low[live], high[live] = np.where(slope > 0, here, low[live]), np.where(slope > 0, high[live], here)
        wished = here + slope / np.maximum(information, 1e-300)
        following = np.where((wished > low[live]) & (wished < high[live]), wished, (low[live] + high[live]) / 2)
        tau2[live] = np.where((here == 0) & (slope <= 0), 0.0, following)
        moving = np.abs(tau2[live] - here) > _CLOSE
        if not moving.any():
            break
        if not moving.all():
            live, scaled, basis = live[moving], scaled[moving], basis[moving]
    return tau2 * seen


def _sums(weight: Floats, basis: Floats, kinds: int = 6) -> Floats:
    """(kinds, series): sums of weight times each column of `basis`."""
    import numpy as np

    found: Floats = np.matmul(weight[:, None, :], basis[:, :, :kinds])[:, 0, :].T
    return found


def _line(sums: Floats) -> tuple[Floats, Floats, Floats, Floats, Floats]:
    """Total weight, centre, level at it, slope and spread of the days."""
    import numpy as np

    total, first, second, values, mixed, _ = sums
    centre, level = first / total, values / total
    spread = np.maximum(second - first * centre, 1e-300)
    return total, centre, level, (mixed - first * level) / spread, spread


def _height(variance: Floats, there: Flags, basis: Floats) -> Floats:
    """Twice the restricted log likelihood, less a constant: log det W - log det X'WX - y'Py."""
    import numpy as np

    sums = _sums(1.0 / variance, basis)
    total, _, level, slope, spread = _line(sums)
    logs = np.log(np.where(there, variance, 1.0)).sum(axis=1)
    rest = sums[5] - sums[3] * level - slope**2 * spread
    height: Floats = -logs - np.log(total) - np.log(spread) - rest
    return height


def _slope(variance: Floats, basis: Floats) -> tuple[Floats, Floats]:
    """Slope of the REML likelihood over tau**2 (twice) and its expected curvature (twice): y'PPy - tr P and tr PP,
    where P = W - W X A X'W."""
    weight = 1.0 / variance
    squared = weight * weight
    total, centre, level, slope, spread = _line(_sums(weight, basis))
    one2, first2, second2, values2, mixed2, squares2 = _sums(squared, basis)
    one3, first3, second3 = _sums(squared * weight, basis, 3)
    # about the weighted centre, where A = diag(1 / total, 1 / spread)
    cross2 = first2 - centre * one2
    day2 = second2 - 2 * centre * first2 + centre**2 * one2
    day3 = second3 - 2 * centre * first3 + centre**2 * one3
    start = level - slope * centre
    rest = squares2 + start**2 * one2 + slope**2 * second2
    rest += 2 * (start * slope * first2 - start * values2 - slope * mixed2)
    trace = total - one2 / total - day2 / spread
    trace_cubed = one3 / total + day3 / spread
    trace_square = (one2 / total) ** 2 + 2 * cross2**2 / (total * spread) + (day2 / spread) ** 2
    return rest - trace, one2 - 2 * trace_cubed + trace_square
