"""The plane through the points of one edge: robust total least squares, rolled, worn or broken points left out by name.

From every three points a plane is started and fitted again with Tukey's biweight (Beaton and Tukey 1974): a point far
off has no say. The plane of least cost counts (an M-estimator with known spreads; Huber and Ronchetti, Robust
Statistics, 2009, chapter 7). Where noise leaves several planes nearly as likely, they are handed on as rivals with
their chances, so that the choice between them can go into the uncertainty. Horn is taken off a wall's edge and hardly
ever added: there a point that stands proud is believed for longer than one that lies deep.

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
UNEVEN_MM = 0.15  # standard deviation of an edge from its plane that no photo is to blame for (our choice, no source)
SAYS_NOTHING = 4.685  # spreads beyond which a point has no say: 95 % efficient on normal errors
WORN, PROUD = 3.0, 8.0  # the same on a wall's edge, for points that lie deep and for those that stand proud
_MOST_TRIPLETS = 500
_ROUNDS = 25
_LEAST_CHANCE = 0.01
_SAME = 0.2  # planes whose weights differ by less are one


def plane_through(points: Array, into: Array, weights: Array | None = None) -> tuple[Array, Array]:
    """Best plane of points (..., k, 3) by total least squares: a point of it (..., 3) and its unit normal (..., 3).

    `into` (3,) tells the side: the normal is turned so that it points into the foot. `weights` (..., k), else all one.
    """
    count = points.shape[-2]
    share = np.full(count, 1.0 / count) if weights is None else weights / weights.sum(axis=-1, keepdims=True)
    middle = np.sum(share[..., None] * points, axis=-2)
    offset = points - middle[..., None, :]
    _, axes = np.linalg.eigh(np.swapaxes(offset, -1, -2) @ (share[..., None] * offset))
    normal = axes[..., :, 0]
    return middle, normal * np.where(normal @ into < 0.0, -1.0, 1.0)[..., None]


def depth_from(points: Array, middle: Array, normal: Array) -> Array:
    """Distance (..., k) of points (..., k, 3) from a plane, positive on the side of its normal (into the foot)."""
    return np.asarray(np.einsum("...kj,...j->...k", points - middle[..., None, :], normal))


@dataclass(frozen=True, slots=True)
class Rival:
    """Another plane that the points allow: its chance, and names and weights of the points that make it."""

    chance: float
    kept: tuple[str, ...]
    weights: tuple[float, ...]


@dataclass(frozen=True, slots=True)
class EdgePlane:
    """Which points make a plane: names `kept` with their `weights`, names `left_out` with their distance in mm, rms of
    those kept, and the `rivals` that are likely enough to count."""

    kept: tuple[str, ...]
    left_out: tuple[tuple[str, float], ...]
    rms_mm: float
    weights: tuple[float, ...]
    rivals: tuple[Rival, ...] = ()


def choose_points(names: Sequence[str], points: Array, spreads: Array, into: Array, *, worn: bool = False) -> EdgePlane:
    """Decides how much each of the points (k, 3) says of the plane; `spreads` (k,) are their standard uncertainties.

    `worn`: an edge from which horn is taken off. A point is left out where it has no say or lies farther than 1 mm and
    three spreads from the plane of the others.
    """
    limits = (WORN, PROUD) if worn else (SAYS_NOTHING, SAYS_NOTHING)
    allowed = np.maximum(FAR_MM, FAR_SPREADS * spreads)
    weights, chances = _likely(points, np.hypot(spreads, UNEVEN_MM), into, limits)
    best, *others = (_settled(points, each, into, allowed) for each in weights)
    signed = depth_from(points, *plane_through(points, into, best))
    kept = best > 0.0
    out = tuple((name, float(signed[at])) for at, name in enumerate(names) if not kept[at])
    rms = float(np.sqrt(np.mean(signed[kept] ** 2)))
    rivals = (Rival(float(chance), *_named(names, each)) for chance, each in zip(chances[1:], others, strict=True))
    return EdgePlane(_named(names, best)[0], out, rms, _named(names, best)[1], tuple(rivals))


def _named(names: Sequence[str], weights: Array) -> tuple[tuple[str, ...], tuple[float, ...]]:
    there = [at for at in range(len(names)) if weights[at] > 0.0]
    return tuple(names[at] for at in there), tuple(float(weights[at]) for at in there)


def _settled(points: Array, weights: Array, into: Array, allowed: Array) -> Array:
    """Weights (k,) without those of points farther than `allowed` (k,) from the plane; three or more stay."""
    for _ in range(10):
        distance = np.abs(depth_from(points, *plane_through(points, into, weights)))
        still = np.where(distance <= allowed, weights, 0.0)
        if np.count_nonzero(still) < FEWEST or np.array_equal(still, weights):
            break
        weights = still
    return weights


def _likely(points: Array, spreads: Array, into: Array, limits: tuple[float, float]) -> tuple[Array, Array]:
    """Weights (p, k) of the different planes that the points allow, the likeliest first, and their chances (p,)."""
    count = len(points)
    if count <= FEWEST:
        return np.ones((1, count)), np.ones(1)
    weights = _starts(points)
    holds, cost = np.ones(len(weights), dtype=bool), np.zeros(len(weights))
    for _ in range(_ROUNDS):
        middle, normal = plane_through(points, into, weights)
        distance = np.einsum("tkj,tj->tk", points - middle[:, None], normal)
        limit = np.where(distance > 0.0, *limits)
        left = 1.0 - np.minimum((distance / (limit * spreads)) ** 2, 1.0)
        cost = np.sum(limit**2 / 3.0 * (1.0 - left**3), axis=1)
        holds = np.count_nonzero(left > 0.0, axis=1) >= FEWEST
        weights = np.where(holds[:, None], left**2, weights)
    cost = np.where(holds, cost, np.inf)
    order = np.argsort(cost, kind="stable")
    if not np.isfinite(cost[order[0]]):
        return np.ones((1, count)), np.ones(1)
    chance = np.exp(-0.5 * (cost - cost[order[0]]))
    found: list[int] = []
    for at in order:
        if chance[at] < _LEAST_CHANCE:
            break
        if all(np.abs(weights[at] - weights[one]).max() > _SAME for one in found):
            found.append(int(at))
    return weights[found], chance[found] / chance[found].sum()


def _starts(points: Array) -> Array:
    """Weights (t, k) of every three points that span a plane, and of all points together."""
    count = len(points)
    triplets = np.array(list(combinations(range(count), 3)))
    if len(triplets) > _MOST_TRIPLETS:
        triplets = triplets[np.random.default_rng(0).choice(len(triplets), _MOST_TRIPLETS, replace=False)]
    corners = points[triplets]
    area = np.linalg.norm(np.cross(corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0]), axis=1)
    triplets = triplets[area > 0.05 * area.max()]
    weights = np.zeros((len(triplets) + 1, count))
    weights[np.arange(len(triplets))[:, None], triplets] = 1.0
    weights[-1] = 1.0
    return weights
