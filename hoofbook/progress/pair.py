"""The difference of two readings: an interval, never a verdict."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from types import MappingProxyType

from hoofbook.progress.agreement import Shrunk, Standing
from hoofbook.progress.series import Reading, comparable, own_u
from hoofbook.progress.trend import normal_quantile
from hoofbook.terms.quantity import MEASURES, Unit
from hoofbook.terms.refusal import Refusal

SCATTER: Mapping[str, float] = MappingProxyType(
    {  # between-visit scatter assumed for two readings, per unit; the first ones where a measure has its own
        "sole_concavity_at_frog_apex": 0.8,
        "greatest_sole_concavity": 0.8,
        "mean_sole_concavity": 0.8,
        "whole_sole_concavity_at_frog_apex": 0.8,
        "whole_sole_greatest_concavity": 0.8,
        "whole_sole_mean_concavity": 0.8,
        Unit.DEG: 0.7,
        Unit.MM: 1.0,
        Unit.RATIO: 0.03,
        Unit.MM3: 3000.0,
    }
)


@dataclass(frozen=True, slots=True)
class PairChange:
    """Difference of two readings with its 95 % interval: an interval, never a verdict.

    `tau` is the scatter that no stated u explains; with `tau_assumed` our default, else from `sets` second takes (or,
    where `sets` is 0, told).
    """

    change: float
    u: float
    low: float
    high: float
    tau: float
    tau_assumed: bool
    then: date
    now: date
    sets: int = 0


def default_scatter(measure: str) -> float:
    """Between-visit scatter (one sd) assumed for two readings of `measure`, in its unit."""
    return SCATTER[measure] if measure in SCATTER else SCATTER[MEASURES.get(measure, Unit.MM)]


def pair_change(then: Reading, now: Reading, tau: float | Shrunk | None = None) -> PairChange | Refusal:
    """`now` minus `then` with U = k sqrt(u_then**2 + u_now**2 + 2 tau**2), shared sources cancelled first.

    `tau` is the scatter between visits: a told figure, the book's own, or None for the assumed default. k is 1.96, or
    Student's t on the degrees of freedom of the book's own figure.
    """
    refusal = comparable(then, now)
    if refusal is not None:
        return refusal
    factor, sets, assumed = normal_quantile(0.975), 0, tau is None
    if isinstance(tau, Shrunk):
        factor, sets, assumed = tau.factor, tau.sets, tau.standing is Standing.ASSUMED
        tau = tau.tau
    scatter = default_scatter(now.measure) if tau is None else tau
    one, other = own_u((then, now))
    u = math.sqrt(one**2 + other**2 + 2 * scatter**2)
    change = now.value - then.value
    half = factor * u
    return PairChange(change, u, change - half, change + half, scatter, assumed, then.day, now.day, sets)
