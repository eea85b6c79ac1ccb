"""Lines of a measure on its photo, in photo px: thin, edged in white by whoever paints them, without words or dots."""

from __future__ import annotations

import math
from collections.abc import Sequence

from hoofbook.terms.drawing import Arc, Line, Role

Place = tuple[float, float]
_WIDTH_PER_PX = 1.0 / 1000.0


def line_width(photo_size: tuple[int, int]) -> float:
    """Width of a measured line for this photo, px."""
    return max(1.5, max(photo_size) * _WIDTH_PER_PX)


def measured_line(points: Sequence[Place], photo_size: tuple[int, int], *, dashed: bool = False) -> Line:
    return Line(tuple(_plain(p) for p in points), Role.MEASURED, line_width(photo_size), dashed, edged=True)


def ground_line(points: Sequence[Place], photo_size: tuple[int, int]) -> Line:
    return Line(tuple(_plain(p) for p in points), Role.GROUND, line_width(photo_size), edged=True)


def angle_arc(corner: Place, along: Place, to: Place, photo_size: tuple[int, int], share: float = 0.3) -> Arc:
    """The arc between corner -> along and corner -> to, its radius a share of the second line's length.

    Angles anticlockwise as seen on screen, so photo y (down) is turned over; the sweep takes the shorter way.
    """
    start = math.degrees(math.atan2(corner[1] - along[1], along[0] - corner[0]))
    end = math.degrees(math.atan2(corner[1] - to[1], to[0] - corner[0]))
    sweep = (end - start + 180.0) % 360.0 - 180.0
    radius = share * math.dist(corner, to)
    return Arc(_plain(corner), radius, start, sweep, Role.MEASURED, line_width(photo_size), edged=True)


def _plain(place: Place) -> Place:
    return float(place[0]), float(place[1])
