"""Everything uncertain about one photo as sources, and the one estimate that weighs them against each other.

Each input x is its mean plus a sum over sources, x = mean + factor @ q, q standard normal and independent. What is
known besides (ground marks on one floor, a ruler's length) is a gap that should be 0 with its own spread. The estimate
is the most probable q (a Gauss-Newton weighted least squares); errors of every output follow to first order with a
numeric Jacobian through the whole chain (JCGM 100:2008, 5.1 and 5.2), kept apart by source and signed, so that sources
shared between photos can cancel.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

import numpy as np

from hoofbook.measure.projection import Array

Chain = Callable[[Array], tuple[Array, Array]]
"""Inputs (batch, n) to gaps over their spreads (batch, m) and outputs (batch, p)."""

_STEPS = 15


class Inputs:
    """Collects inputs and their sources; `mean` (n,) and `factor` (n, k) come out."""

    def __init__(self) -> None:
        self.means: list[float] = []
        self.sources: list[str] = []
        self.assumed: list[bool] = []
        self._entries: list[tuple[int, int, float]] = []
        self._column: dict[str, int] = {}

    def source(self, name: str, assumed: bool = False) -> int:
        if name not in self._column:
            self._column[name] = len(self.sources)
            self.sources.append(name)
            self.assumed.append(assumed)
        return self._column[name]

    def add(self, mean: float, *shares: tuple[str, float], assumed: bool = False) -> int:
        """One input with its shares (source, standard deviation); returns its place in x."""
        self.means.append(mean)
        at = len(self.means) - 1
        for name, spread in shares:
            if spread:
                self._entries.append((at, self.source(name, assumed), spread))
        return at

    def add_block(self, means: Array, factor: Array, sources: Sequence[str], assumed: Sequence[bool]) -> slice:
        """Inputs that share sources: means (n,), factor (n, k)."""
        start = len(self.means)
        self.means.extend(float(v) for v in means)
        for column, (name, default) in enumerate(zip(sources, assumed, strict=True)):
            at = self.source(name, default)
            self._entries.extend((start + row, at, float(factor[row, column])) for row in range(len(means)))
        return slice(start, start + len(means))

    @property
    def mean(self) -> Array:
        return np.array(self.means)

    @property
    def factor(self) -> Array:
        whole = np.zeros((len(self.means), len(self.sources)))
        for row, column, spread in self._entries:
            whole[row, column] += spread
        return whole


@dataclass(frozen=True, slots=True, eq=False)
class Estimate:
    """The most probable inputs `x` (n,), the outputs there (p,), and the signed error of each output by source.

    `parts` (p, k + m): one column per source and then one per gap. `surprise` (m,) are the gaps over their spreads
    before anything was weighed, `surprise_spread` (m, m) their covariance: the chi-square test of what should be 0.
    """

    x: Array
    outputs: Array
    parts: Array
    surprise: Array
    surprise_spread: Array
    source_effect: Array
    converged: bool


def jacobian(chain: Chain, at: Array, step: Array) -> tuple[Array, Array, Array, Array]:
    """Gaps (m,), outputs (p,) and their central-difference derivatives (m, n), (p, n) from one call of `chain`."""
    count = len(at)
    moves = np.diag(step)
    gaps, outputs = chain(at + np.concatenate([np.zeros((1, count)), moves, -moves]))
    twice = 2.0 * step[:, None]
    by_gap = ((gaps[1 : count + 1] - gaps[count + 1 :]) / twice).T
    by_output = ((outputs[1 : count + 1] - outputs[count + 1 :]) / twice).T
    return gaps[0], outputs[0], by_gap, by_output


def estimate(inputs: Inputs, chain: Chain) -> Estimate:
    """Weighs all sources against the gaps. Outputs that cannot be computed come back nan."""
    mean, factor = inputs.mean, inputs.factor
    step = np.maximum(np.sqrt(np.sum(factor * factor, axis=1)) * 1e-2, 1e-9)
    q = np.zeros(factor.shape[1])
    surprise = spread = effect = None
    converged = False
    for _ in range(_STEPS):
        gaps, outputs, by_gap, by_output = jacobian(chain, mean + factor @ q, step)
        sensed = by_gap @ factor
        inner = sensed @ sensed.T + np.eye(len(gaps))
        if surprise is None:
            surprise, spread, effect = gaps, inner, sensed
        gain = np.linalg.solve(inner, sensed).T
        following = gain @ (sensed @ q - gaps)
        moved = float(np.max(np.abs(following - q), initial=0.0))
        if moved < 1e-3 or not np.isfinite(moved):
            converged = bool(np.isfinite(moved))
            break
        q = following
    through = by_output @ factor
    parts = np.concatenate([-(through - (through @ gain) @ sensed), through @ gain], axis=1)
    assert surprise is not None and spread is not None and effect is not None
    return Estimate(mean + factor @ q, outputs, parts, surprise, spread, effect, converged)
