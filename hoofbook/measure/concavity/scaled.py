"""A solved set in millimetres, whatever gave it its size, for all who work on its points and poses.

Frame *foot*, as in `hoofbook.measure.concavity.adjustment`.
"""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from hoofbook.measure.concavity.measures import MEASURE, shape_of, sizing_of
from hoofbook.measure.concavity.problem import Problem
from hoofbook.measure.concavity.solving import Solved
from hoofbook.measure.projection import Array
from hoofbook.terms.refusal import Refusal

ALL_CODES = ("scale_lost",)


def in_millimetres(solved: Solved) -> tuple[Solved, float] | Refusal:
    """The set in mm and the relative standard uncertainty of its size that its covariance does not hold yet.

    That is 0 where two cards agree: they are part of the adjustment. Where none agree, points, lenses and covariance
    are made larger by what cards that nearly lay still or a told foot width say. Refused: `scale_lost`.
    """
    if len(solved.held) >= 2:
        return solved, 0.0
    sizing = sizing_of(solved)
    if sizing is None:
        return scale_lost(solved)
    size = sizing.mm_per_unit(shape_of(solved))
    state = replace(solved.state, translations=solved.state.translations * size, points=solved.state.points * size)
    by = _lengths(solved.problem, size)
    return replace(solved, state=state, covariance=solved.covariance * by[:, None] * by), sizing.share


def scale_lost(solved: Solved) -> Refusal:
    """No two cards agree, and nothing else tells the size."""
    cards = sum(group >= 0 for group in solved.problem.group_of)
    return Refusal("scale_lost", {"photos": len(solved.gathered.shots), "cards": cards}, MEASURE)


def _lengths(problem: Problem, size: float) -> Array:
    """`size` for every unknown that is a length on the foot, 1 for the others; a lone card lies in its camera's frame
    and has its millimetres from its own print."""
    factor = np.ones(problem.frame_size + 3 * problem.points)
    for photo in range(problem.photos):
        factor[problem.pose_at(photo) + 3 : problem.pose_at(photo) + 6] = size
    factor[problem.frame_size :] = size
    return factor
