"""Directions of a solved set: where the lenses were, where the toe is. Frame *foot*."""

from __future__ import annotations

import numpy as np

from hoofbook.measure.concavity.measures import APEX, Shape
from hoofbook.measure.concavity.solving import Solved
from hoofbook.measure.projection import Array
from hoofbook.terms.quantity import Definition

AGREE = 0.5  # cosine of 60 degrees


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

    The toe is told by the heel marks; without them by card and pictures: the card lies behind the foot (common
    practice, no source) and a sole is photographed toe up. None where those two disagree.
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
    hint = _hint(shape)
    if hint is None or not {"widest_medial", "widest_lateral"} <= set(names):
        return hint
    across = points[names.index("widest_lateral")] - points[names.index("widest_medial")]
    across = across / np.linalg.norm(across)
    square = hint - (hint @ across) * across
    return np.asarray(square) if np.linalg.norm(square) > AGREE else None


def _hint(shape: Shape) -> Array | None:
    """Toward the toe by how the photos were taken, from the card if it lay still and from the pictures' up."""
    solved, names = shape.solved, shape.names
    photos = range(solved.problem.photos)
    up = np.mean([-solved.state.pose(photo).rotation[1] for photo in photos], axis=0)
    up = up / max(float(np.linalg.norm(up)), 1e-9)
    if not solved.problem.anchored:
        return np.asarray(up)
    points = solved.state.points
    place = points[names.index(APEX)] if APEX in names else points.mean(axis=0)
    ahead = place / max(float(np.linalg.norm(place)), 1e-9)  # the card's middle is the origin of frame foot
    return np.asarray(up + ahead) if float(up @ ahead) > AGREE else None
