"""Marks that do not fit the others: which one, in which photo, and by how many pixels."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from hoofbook.measure.concavity.adjustment import Rows, covariance, frame_columns
from hoofbook.measure.concavity.gathering import Gathered
from hoofbook.measure.concavity.problem import Problem
from hoofbook.measure.projection import Array

_FAR_OFF_SHARE = 1e-5  # how often a well placed mark may be called far off
_LEAST_REDUNDANCY = 0.02


@dataclass(frozen=True, slots=True)
class FarOff:
    """A mark that does not fit: `px` from where the other photos put it; `certain` = the photo is beyond doubt."""

    photo: str
    mark: str
    px: float
    certain: bool


def farthest(gathered: Gathered, problem: Problem, rows: Rows) -> FarOff | None:
    """The sighting that fits worst, if it is farther off than chance allows (mean-shift test of each sighting)."""
    from scipy.special import chdtri

    spread, weights = covariance(problem, rows)
    full = mark_rows(problem, rows)
    weight = np.sqrt(weights[0])
    hat = (full @ spread @ np.swapaxes(full, 1, 2)) * weight[:, :, None] * weight[:, None, :]
    values, axes = np.linalg.eigh(np.eye(2) - hat)
    along = np.einsum("nij,ni->nj", axes, rows.marks)
    seen = values > _LEAST_REDUNDANCY
    safe = np.where(seen, values, 1.0)
    statistic = np.sum(np.where(seen, along**2 / safe, 0.0), axis=1)
    shift = np.linalg.norm(np.where(seen, along / safe, 0.0), axis=1) * problem.spreads
    usual = max(1.0, float(np.median(statistic)) / 1.386)  # 1.386 = median of chi-square with two degrees
    worst = int(np.argmax(statistic))
    if statistic[worst] <= usual * float(chdtri(2, _FAR_OFF_SHARE)):
        return None
    point = int(problem.point_of[worst])
    times = int(np.count_nonzero(problem.point_of == point))
    key = gathered.shots[int(problem.photo_of[worst])].key
    return FarOff(key, gathered.names[point], float(shift[worst]), times > 2)


def mark_rows(problem: Problem, rows: Rows) -> Array:
    """Derivatives (n, 2, all unknowns) of every sighting of a mark, over its spread."""
    count = len(problem.photo_of)
    full = np.zeros((count, 2, problem.frame_size + 3 * problem.points))
    for photo in range(problem.photos):
        here = np.flatnonzero(problem.photo_of == photo)
        full[here[:, None, None], np.arange(2)[:, None], frame_columns(problem, photo)] = rows.marks_frame[here]
    at = problem.frame_size + 3 * problem.point_of[:, None] + np.arange(3)
    full[np.arange(count)[:, None, None], np.arange(2)[:, None], at[:, None, :]] = rows.marks_point
    return full
