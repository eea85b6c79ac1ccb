"""A Drawing moved, turned and scaled with the picture it lies on, its lines kept as thin as they are asked to be."""

from __future__ import annotations

import math
from dataclasses import replace

from hoofbook.terms.drawing import Arc, Band, Drawing, Line, Primitive, Spot, Text

Similarity = tuple[tuple[float, float, float], tuple[float, float, float]]
"""Rows of a (2, 3) matrix that only moves, turns and scales: old places (x right, y down) to new ones."""


def moved_point(matrix: Similarity, x: float, y: float) -> tuple[float, float]:
    (a, b, c), (d, e, f) = matrix
    return a * x + b * y + c, d * x + e * y + f


def scale_of(matrix: Similarity) -> float:
    """New lengths per old ones."""
    return math.hypot(matrix[0][0], matrix[1][0])


def moved(drawing: Drawing, matrix: Similarity, size: tuple[float, float], line_width: float) -> Drawing:
    """`drawing` as it lies after `matrix`, in a drawing of `size`; lines and arcs are `line_width` wide there.

    Words and spots keep their size times the scale; nothing is cut at the edges.
    """
    parts = tuple(_moved(part, matrix, line_width) for part in drawing.primitives)
    return Drawing(size[0], size[1], parts, drawing.alt)


def _moved(part: Primitive, matrix: Similarity, line_width: float) -> Primitive:
    scale = scale_of(matrix)
    if isinstance(part, Line):
        return replace(part, points=_points(matrix, part.points), width=line_width)
    if isinstance(part, Arc):
        # the matrix's turn is clockwise on screen (y down), an arc's angles are anticlockwise
        turn = math.degrees(math.atan2(matrix[1][0], matrix[0][0]))
        centre = moved_point(matrix, *part.centre)
        return replace(part, centre=centre, radius=part.radius * scale, start=part.start - turn, width=line_width)
    if isinstance(part, Spot):
        return replace(part, centre=moved_point(matrix, *part.centre), radius=part.radius * scale)
    if isinstance(part, Text):
        return replace(part, at=moved_point(matrix, *part.at), size=part.size * scale)
    assert isinstance(part, Band)
    return replace(part, points=_points(matrix, part.points))


def _points(matrix: Similarity, points: tuple[tuple[float, float], ...]) -> tuple[tuple[float, float], ...]:
    return tuple(moved_point(matrix, x, y) for x, y in points)
