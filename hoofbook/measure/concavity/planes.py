"""The plane through the points of one edge: total least squares, rolled, worn or broken points left out by name.

Frame *foot*. Positions may carry leading axes, so that many slightly moved sets are fitted at once.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import combinations

import numpy as np

from hoofbook.measure.projection import Array

FEWEST = 3
FAR_MM = 1.0  # a point nearer than this to the plane of the others is never left out
FAR_SPREADS = 3.0
_MOST_TRIPLETS = 2000


def plane_through(points: Array, into: Array) -> tuple[Array, Array]:
    """Best plane of points (..., k, 3) by total least squares: a point of it (..., 3) and its unit normal (..., 3).

    `into` (3,) tells the side: the normal is turned so that it points into the foot.
    """
    middle = points.mean(axis=-2)
    offset = points - middle[..., None, :]
    _, axes = np.linalg.eigh(np.swapaxes(offset, -1, -2) @ offset)
    normal = axes[..., :, 0]
    return middle, normal * np.where(normal @ into < 0.0, -1.0, 1.0)[..., None]


def depth_from(points: Array, middle: Array, normal: Array) -> Array:
    """Distance (..., k) of points (..., k, 3) from a plane, positive on the side of its normal (into the foot)."""
    return np.asarray(np.einsum("...kj,...j->...k", points - middle[..., None, :], normal))


@dataclass(frozen=True, slots=True)
class EdgePlane:
    """Which points make a plane: names `kept`, names `left_out` with their distance in mm, rms of those kept."""

    kept: tuple[str, ...]
    left_out: tuple[tuple[str, float], ...]
    rms_mm: float


def choose_points(names: Sequence[str], points: Array, spreads: Array, into: Array) -> EdgePlane:
    """Decides which of the points (k, 3) belong to the plane; `spreads` (k,) are their standard uncertainties.

    Starts from the three points whose plane has the least median distance to all (Rousseeuw's least median of
    squares), then takes in whatever lies within 1 mm or three spreads of the plane of those kept.
    """
    allowed = np.maximum(FAR_MM, FAR_SPREADS * spreads)
    kept = _least_median(points, into)
    for _ in range(10):
        middle, normal = plane_through(points[kept], into)
        distance = np.abs(depth_from(points, middle, normal))
        chosen = distance <= allowed
        if np.count_nonzero(chosen) < FEWEST:
            chosen = np.zeros_like(chosen)
            chosen[np.argsort(distance / allowed)[:FEWEST]] = True
        if np.array_equal(chosen, kept):
            break
        kept = chosen
    middle, normal = plane_through(points[kept], into)
    signed = depth_from(points, middle, normal)
    out = tuple((name, float(signed[at])) for at, name in enumerate(names) if not kept[at])
    inside = tuple(name for at, name in enumerate(names) if kept[at])
    return EdgePlane(inside, out, float(np.sqrt(np.mean(signed[kept] ** 2))))


def _least_median(points: Array, into: Array) -> np.ndarray[tuple[int, ...], np.dtype[np.bool_]]:
    """The better half of the points: nearest to the plane of the three points with the least median distance."""
    count = len(points)
    if count <= FEWEST:
        return np.ones(count, dtype=bool)
    triplets = np.array(list(combinations(range(count), 3)))
    if len(triplets) > _MOST_TRIPLETS:
        triplets = triplets[np.random.default_rng(0).choice(len(triplets), _MOST_TRIPLETS, replace=False)]
    corners = points[triplets]
    cross = np.cross(corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0])
    area = np.linalg.norm(cross, axis=1)
    usable = area > 0.05 * area.max()
    normal = cross[usable] / area[usable][:, None]
    distance = np.abs(np.einsum("tkj,tj->tk", points[None] - corners[usable][:, :1], normal))
    middle_rank = count // 2 + 1
    best = int(np.argmin(np.sort(distance, axis=1)[:, min(middle_rank, count - 1)]))
    kept = np.zeros(count, dtype=bool)
    kept[np.argsort(distance[best])[: max(middle_rank, FEWEST)]] = True
    return kept
