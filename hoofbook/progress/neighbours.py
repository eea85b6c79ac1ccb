"""By how much likeness of neighbouring visits widens the errors of a line.

Readings of neighbouring visits resemble each other: a correlation that falls off by powers from visit to visit (a
first-order autoregression) is assumed. It makes slope and level more uncertain than independent readings would, and
the residuals smaller than the scatter is. Both effects are moments of quadratic forms, exact for any days and weights:
with hat vectors h0 (level) and h1 (slope) of the weighted line and correlations R, the variance of the slope grows by
v = h1'R h1, that of the level by a = h0'R h0, and the residual variance on n - 2 degrees of freedom shrinks to
(n - a - v) / (n - 2), for the mean of e'M e is the trace of M R.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache

NEIGHBOUR_CORRELATION = 0.3  # assumed until estimated
NEIGHBOUR_FACTOR = math.sqrt((1 + NEIGHBOUR_CORRELATION) / (1 - NEIGHBOUR_CORRELATION))  # for long series
SHORT_SERIES = 10  # below, the exact moments; from here on the limit, a little wider, for the moments leave out that
# the residual variance itself is surer of fewer than n - 2 degrees of freedom


@dataclass(frozen=True, slots=True)
class Neighbours:
    """Factors on the standard errors of slope and level, and on the sd of the residuals."""

    slope: float
    level: float
    scatter: float


def neighbour_factors(days: Sequence[float], weights: Sequence[float]) -> Neighbours:
    """Factors for a line through readings on `days` in their order, weighted by `weights` (both (n,), n >= 3)."""
    count = len(days)
    if count >= SHORT_SERIES:
        return _of_long_series(count)
    total = math.fsum(weights)
    centre = math.fsum(w * day for w, day in zip(weights, days, strict=True)) / total
    level = [math.sqrt(w / total) for w in weights]
    slope = [math.sqrt(w) * (day - centre) for w, day in zip(weights, days, strict=True)]
    of_slope = _form(slope) / (math.fsum(h * h for h in slope) or 1.0)
    of_level = _form(level)
    left = max((count - of_level - of_slope) / (count - 2), 1e-9)
    return Neighbours(math.sqrt(of_slope / left), math.sqrt(of_level / left), 1 / math.sqrt(left))


@lru_cache(maxsize=1024)
def _of_long_series(count: int) -> Neighbours:
    shrunk = (count - 2 * NEIGHBOUR_FACTOR**2) / (count - 2)
    return Neighbours(NEIGHBOUR_FACTOR, NEIGHBOUR_FACTOR, 1 / math.sqrt(shrunk))


def _form(h: Sequence[float]) -> float:
    """h'R h with R[i, j] = NEIGHBOUR_CORRELATION ** abs(i - j)."""
    total = carried = 0.0
    for value in h:
        total += value * (value + 2 * carried)
        carried = NEIGHBOUR_CORRELATION * (carried + value)
    return total
