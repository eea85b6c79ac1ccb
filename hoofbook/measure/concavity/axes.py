"""Directions of a solved set: where the lenses were, where the toe is. Frame *foot*."""

from __future__ import annotations

import numpy as np

from hoofbook.measure.concavity.measures import APEX, Shape
from hoofbook.measure.concavity.solving import Solved
from hoofbook.measure.projection import Array
from hoofbook.terms.quantity import Definition

FEWEST_ROUND = 4  # points round the foot that show on which side it is open


def sights(solved: Solved) -> Array:
    """Unit directions (photos, 3) from the middle of the marks to each lens, frame foot."""
    middle = solved.state.points.mean(axis=0)
    ways = np.array([solved.state.pose(photo).lens - middle for photo in range(solved.problem.photos)])
    return np.asarray(ways / np.linalg.norm(ways, axis=1)[:, None])


def turn_between(solved: Solved) -> float:
    """The largest angle in degrees at the foot between two lenses of the set."""
    ways = sights(solved)
    return float(np.degrees(np.arccos(np.clip(ways @ ways.T, -1.0, 1.0)).max()))


def foot_axes(shape: Shape) -> Array | None:
    """Rows (3, 3): to the toe, across (to the right of the toe as the lens sees it), into the foot; frame foot.

    Toe and heel come from the heel marks, else from where the frog apex lies among the edge's points; None without.
    """
    if not shape.planes:
        return None
    definition = Definition.FROM_SOLE_EDGE if Definition.FROM_SOLE_EDGE in shape.planes else Definition.FROM_WALL_EDGE
    _, normal = shape.plane(definition, shape.solved.state.points)
    toe = _toe_direction(shape)
    if toe is None:
        return None
    toe = toe - (toe @ normal) * normal
    toe = toe / np.linalg.norm(toe)
    return np.stack([toe, np.cross(normal, toe), normal])


def _toe_direction(shape: Shape) -> Array | None:
    names, points = shape.names, shape.solved.state.points
    if "heel_medial" in names and "heel_lateral" in names:
        heels = points[shape.numbers(("heel_medial", "heel_lateral"))].mean(axis=0)
        front = "toe_tip" if "toe_tip" in names else APEX
        if front in names:
            return np.asarray(points[names.index(front)] - heels)
    # an edge is marked round the toe and left open at the heels: the open side is where its points are rarest
    rings = [plane.kept for plane in shape.planes.values()]
    both = tuple(name for ring in rings for name in ring)
    ring = next((kept for kept in (*rings, both) if len(kept) >= FEWEST_ROUND), None)
    if APEX not in names or ring is None:
        return None
    away = points[shape.numbers(ring)] - points[names.index(APEX)]
    away = away / np.linalg.norm(away, axis=1)[:, None]
    total = np.asarray(away.mean(axis=0))
    return total if np.linalg.norm(total) > 0.05 else None
