"""What was measured, drawn: edge planes and depth on each photo, and a section from heel to toe beside them."""

from __future__ import annotations

import numpy as np

from hoofbook.measure.concavity.axes import foot_axes
from hoofbook.measure.concavity.measures import APEX, Shape
from hoofbook.measure.projection import Array, project
from hoofbook.terms.drawing import Drawing, Line, Primitive, Role, Spot
from hoofbook.terms.marks import mark_group
from hoofbook.terms.quantity import Definition

SECTION_WIDTH = 320.0
SECTION_MARGIN = 16.0
_NEAR_MID_LINE_MM = 12.0
_LINE_SHARE = 1.0 / 900.0  # line width as a share of the photo's longer side
_HEAD = 0.35  # arrow head's share of the arrow


def _on_plane(points: Array, middle: Array, normal: Array) -> Array:
    """Points (k, 3) moved onto a plane along its normal."""
    return np.asarray(points - ((points - middle) @ normal)[:, None] * normal)


def _ring(points: Array, normal: Array) -> Array:
    """Points (k, 3) of an edge in order round their middle."""
    away = points - points.mean(axis=0)
    first = away[0] - (away[0] @ normal) * normal
    second = np.cross(normal, first)
    return np.asarray(points[np.argsort(np.arctan2(away @ second, away @ first))])


def _arrow(start: Array, end: Array, width: float) -> tuple[Primitive, ...]:
    """A line from `start` to `end` (2,) with a small head at its end."""
    way = end - start
    back = end - _HEAD * way
    side = np.array([-way[1], way[0]]) * _HEAD * 0.5
    head = (_flat(back + side), _flat(end), _flat(back - side))
    return (
        Line((_flat(start), _flat(end)), Role.MEASURED, width, edged=True),
        Line(head, Role.MEASURED, width, edged=True),
    )


def _flat(point: Array) -> tuple[float, float]:
    return float(point[0]), float(point[1])


def photo_drawing(shape: Shape, photo: int) -> Drawing:
    """The edges' outlines laid on their planes, and the depth at the frog apex, in frame photo of one photo."""
    solved = shape.solved
    shot, points = solved.gathered.shots[photo], solved.state.points
    camera, pose = solved.state.camera(solved.problem, photo), solved.state.pose(photo)
    width = max(shot.photo_size) * _LINE_SHARE
    found: list[Primitive] = []
    for definition, plane in shape.planes.items():
        middle, normal = shape.plane(definition, points)
        ring = _ring(_on_plane(points[shape.numbers(plane.kept)], middle, normal), normal)
        seen = project(np.vstack([ring, ring[:1]]), camera, pose)
        dashed = definition is Definition.FROM_WALL_EDGE and len(shape.planes) > 1
        found.append(Line(tuple(_flat(each) for each in seen), Role.GROUND, width, dashed=dashed, edged=True))
    if APEX in shape.names and shape.planes:
        middle, normal = shape.plane(next(iter(shape.planes)), points)
        apex = points[shape.numbers((APEX,))]
        start, end = project(np.vstack([_on_plane(apex, middle, normal), apex]), camera, pose)
        found += _arrow(start, end, width)
    return Drawing(float(shot.photo_size[0]), float(shot.photo_size[1]), tuple(found))


def section_drawing(shape: Shape, size: float) -> Drawing | None:
    """Section from heel (left) to toe (right), into the foot upwards, one scale both ways; `size` mm per foot unit.

    Dashed: the plane that concavity is measured from. None where toe and heel cannot be told apart.
    """
    axes = foot_axes(shape)
    if axes is None or APEX not in shape.names:
        return None
    points = shape.solved.state.points * size
    first = next(iter(shape.planes))
    middle, _ = shape.plane(first, points)
    placed = (points - middle) @ axes.T  # to the toe, across, into the foot
    reach = placed[:, 0].max() - placed[:, 0].min()
    scale = (SECTION_WIDTH - 2.0 * SECTION_MARGIN) / reach
    left, top = float(placed[:, 0].min()), float(placed[:, 2].max())
    height = float(placed[:, 2].max() - placed[:, 2].min()) * scale + 2.0 * SECTION_MARGIN

    def at(along: float, depth: float) -> tuple[float, float]:
        return SECTION_MARGIN + (along - left) * scale, SECTION_MARGIN + (top - depth) * scale

    names = shape.names
    apex = placed[names.index(APEX)]
    found: list[Primitive] = []
    for definition, plane in shape.planes.items():
        ring = placed[shape.numbers(plane.kept)]
        slope, rise = np.polyfit(ring[:, 0], ring[:, 2], 1)
        ends = tuple(at(float(x), float(slope * x + rise)) for x in (placed[:, 0].min(), placed[:, 0].max()))
        found.append(Line(ends, Role.GROUND, 1.5, dashed=definition is first))
    near = [
        number
        for number, name in enumerate(names)
        if mark_group(name) in ("sole", APEX) and abs(placed[number, 1] - apex[1]) <= _NEAR_MID_LINE_MM
    ]
    near.sort(key=lambda number: float(placed[number, 0]))
    profile = tuple(at(float(placed[number, 0]), float(placed[number, 2])) for number in near)
    if len(profile) > 1:
        found.append(Line(profile, Role.SOFT_INK, 1.5))
    found += _arrow(np.array(at(float(apex[0]), 0.0)), np.array(at(float(apex[0]), float(apex[2]))), 1.5)
    found.append(Spot(at(float(apex[0]), float(apex[2])), 3.0, Role.MEASURED, key=APEX))
    return Drawing(SECTION_WIDTH, height, tuple(found))
