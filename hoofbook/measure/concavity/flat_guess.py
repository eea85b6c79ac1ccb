"""How deep a mark probably lies that only one photo shows: the foot's edges as flat things that lie as the card lies.

Frame *flat*: millimetres, z into the foot; that of the card, or of the best plane of the marks solved so far. The wall
edge is z = a + b x + c y, the sole edge and the sole's surface lie deeper by a step each. The priors below are common
practice (card across the heel bulbs or on a ring round the wall), no source; marks met so far correct them.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from hoofbook.measure.projection import Array
from hoofbook.terms.marks import mark_group

_REACH_MM = 100.0  # slopes are told over this length
# a, b and c over the reach, sole edge below the wall edge, surface below the wall edge: mm
_EXPECTED = np.array([0.0, 0.0, 0.0, 3.0, 10.0])
_SPREAD_BY_CARD = np.array([15.0, 12.0, 12.0, 3.0, 5.0])
_SPREAD_BY_MARKS = np.array([8.0, 8.0, 8.0, 3.0, 5.0])
_UNEVEN_MM = 0.8  # a point of an edge from its plane


@dataclass(frozen=True, slots=True, eq=False)
class FlatGuess:
    """Frame (origin (3,), rows of axes (3, 3)) and the five unknowns with their covariance (5, 5)."""

    origin: Array
    axes: Array
    values: Array
    covariance: Array

    def to_flat(self, points: Array) -> Array:
        return np.asarray((points - self.origin) @ self.axes.T)

    def to_foot(self, points: Array) -> Array:
        return np.asarray(points @ self.axes + self.origin)

    @property
    def tangents(self) -> Array:
        """Two directions (2, 3) along the guessed planes, frame foot."""
        return np.asarray(self.axes[:2] + self.values[1:3, None] / _REACH_MM * self.axes[2])

    def meet(self, name: str, lens: Array, way: Array) -> tuple[Array, float] | None:
        """Where the ray of a mark meets its plane (3,), frame foot, and the standard uncertainty of its depth."""
        start, direction = self.to_flat(lens), self.axes @ way
        share = _design(name, np.zeros(3))
        plane = np.array([-self.values[1] / _REACH_MM, -self.values[2] / _REACH_MM, 1.0])
        across = float(plane @ direction)
        if abs(across) < 1e-9:
            return None
        reach = (float(share @ self.values) - float(plane @ start)) / across
        if reach <= 0.0:
            return None
        place = start + reach * direction
        share = _design(name, place)
        return self.to_foot(place), float(np.sqrt(share @ self.covariance @ share + _UNEVEN_MM**2))


def _design(name: str, flat: Array) -> Array:
    """Shares (5,) of the unknowns in the depth of a mark at a place of frame flat."""
    group = mark_group(name)
    step = [1.0, 0.0] if group == "sole_edge" else [0.0, 1.0] if group in ("sole", "frog_apex") else [0.0, 0.0]
    return np.array([1.0, flat[0] / _REACH_MM, flat[1] / _REACH_MM, *step])


def flat_guess(known: Mapping[str, tuple[Array, float]], into: Array | None) -> FlatGuess:
    """The guess from marks with a known place (3,) and its standard uncertainty.

    `into` (3,) is a direction into the foot where the frame is not the card's; then the frame is the marks' plane.
    """
    origin, axes, spread = np.zeros(3), np.eye(3), _SPREAD_BY_CARD
    if into is not None and len(known) >= 3:
        points = np.array([place for place, _ in known.values()])
        origin = points.mean(axis=0)
        _, _, axes = np.linalg.svd(points - origin)
        axes = axes if axes[2] @ into > 0.0 else -axes
        axes = axes if np.linalg.det(axes) > 0.0 else axes * [[-1.0], [1.0], [1.0]]
        spread = _SPREAD_BY_MARKS
    guess = FlatGuess(origin, axes, _EXPECTED, np.diag(spread**2))
    weight, right = np.diag(1.0 / spread**2), _EXPECTED / spread**2
    for name, (place, u) in known.items():
        flat = guess.to_flat(place)
        share, worth = _design(name, flat), 1.0 / (u * u + _UNEVEN_MM**2)
        weight = weight + worth * np.outer(share, share)
        right = right + worth * share * flat[2]
    covariance: Array = np.asarray(np.linalg.inv(weight), dtype=np.float64)
    return FlatGuess(origin, axes, covariance @ right, covariance)
