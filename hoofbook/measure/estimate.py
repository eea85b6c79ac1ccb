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
from numpy.typing import NDArray

from hoofbook.measure.projection import Array

Chain = Callable[[Array], tuple[Array, Array]]
"""Inputs (batch, n) to gaps over their spreads (batch, m) and outputs (batch, p)."""

_STEPS = 15
_STEP = 0.01  # of an input's standard deviation


class Inputs:
    """Collects inputs and their sources; `mean` (n,) and `factor` (n, k) come out."""

    def __init__(self) -> None:
        self.means: list[float] = []
        self.sources: list[str] = []
        self.assumed: list[bool] = []
        self._entries: list[tuple[int, int, float]] = []
        self._blocks: list[tuple[slice, NDArray[np.intp], Array]] = []
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
        block = slice(len(self.means), len(self.means) + len(means))
        self.means.extend(means.tolist())
        columns = [self.source(name, default) for name, default in zip(sources, assumed, strict=True)]
        self._blocks.append((block, np.array(columns), factor))
        return block

    @property
    def mean(self) -> Array:
        return np.array(self.means)

    @property
    def factor(self) -> Array:
        whole = np.zeros((len(self.means), len(self.sources)))
        for block, columns, factor in self._blocks:
            whole[block, columns] = factor
        for row, column, spread in self._entries:
            whole[row, column] = spread
        return whole


@dataclass(frozen=True, slots=True, eq=False)
class Estimate:
    """The most probable inputs `x` (n,), the outputs there (p,), and the signed error of each output by source.

    `parts` (p, k + m): one column per source and then one per gap. `surprise` (m,) are the gaps over their spreads
    before anything was weighed, `surprise_spread` (m, m) their covariance: the chi-square test of what should be 0;
    `source_effect` (m, k) is how each source moves them.
    """

    x: Array
    outputs: Array
    parts: Array
    surprise: Array
    surprise_spread: Array
    source_effect: Array
    converged: bool


@dataclass(frozen=True, slots=True, eq=False)
class _Slopes:
    """Gaps (m,) and outputs (p,) at one place with their derivatives by source (m, k), (p, k)."""

    gaps: Array
    outputs: Array
    by_gap: Array
    by_output: Array


def slopes(chain: Chain, at: Array, factor: Array) -> _Slopes:
    """Central differences along every input, all from one call of `chain`, carried on to the sources."""
    count = len(at)
    step = np.maximum(np.sqrt(np.sum(factor * factor, axis=1)) * _STEP, 1e-9)
    moves = np.diag(step)
    gaps, outputs = chain(at + np.concatenate([np.zeros((1, count)), moves, -moves]))
    plus, minus, twice = slice(1, count + 1), slice(count + 1, None), 2.0 * step[:, None]
    by_gap, by_output = (((each[plus] - each[minus]) / twice).T @ factor for each in (gaps, outputs))
    return _Slopes(gaps[0], outputs[0], by_gap, by_output)


def estimate(inputs: Inputs, chain: Chain) -> Estimate:
    """Weighs all sources against the gaps. Outputs that cannot be computed come back nan."""
    mean, factor = inputs.mean, inputs.factor
    q = np.zeros(factor.shape[1])
    first = here = slopes(chain, mean, factor)
    place, least, converged = q, np.inf, False
    for step in range(_STEPS):
        now = first if step == 0 else slopes(chain, mean + factor @ q, factor)
        cost = float(q @ q + now.gaps @ now.gaps)
        if not cost <= least * (1.0 + 1e-9):
            q = (q + place) / 2.0  # the step was too long for what bends: half of it
            continue
        here, place, least = now, q, cost
        following = _gain(now.by_gap) @ (now.by_gap @ q - now.gaps)
        moved = float(np.max(np.abs(following - q), initial=0.0))
        if moved < 1e-3 or not np.isfinite(moved):
            converged = bool(np.isfinite(moved))
            break
        q = following
    sensed, through, gain = here.by_gap, here.by_output, _gain(here.by_gap)
    return Estimate(
        x=mean + factor @ place,
        outputs=here.outputs,
        parts=np.concatenate([-(through - (through @ gain) @ sensed), through @ gain], axis=1),
        surprise=first.gaps,
        surprise_spread=first.by_gap @ first.by_gap.T + np.eye(len(first.gaps)),
        source_effect=first.by_gap,
        converged=converged,
    )


def _gain(sensed: Array) -> Array:
    """How gaps (m,) move the sources: (k, m) for derivatives (m, k) in units of their spreads."""
    return np.asarray(np.linalg.solve(sensed @ sensed.T + np.eye(len(sensed)), sensed).T, dtype=np.float64)
