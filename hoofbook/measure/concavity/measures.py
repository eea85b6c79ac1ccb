"""Sole concavity and the outline's lengths from a solved set, each with its uncertainty by source.

Frame *foot*, turned by the plane where a direction is needed. Concavity is positive into the foot: away from the
lenses. Definitions: distance of a named place of the sole from the plane of the sole edge or of the wall edge
(`Definition.FROM_SOLE_EDGE`, `FROM_WALL_EDGE`); `wall_above_sole` is the difference of the two at the frog apex.
Errors follow to first order from the covariance of all unknowns (JCGM 100:2008, 5.2), kept apart by observation.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace

import numpy as np

from hoofbook.measure.concavity.planes import FEWEST, EdgePlane, choose_points, depth_from, plane_through
from hoofbook.measure.concavity.solving import Solved
from hoofbook.measure.projection import Array
from hoofbook.measure.solar import NEEDS, sole_measures
from hoofbook.measure.uncertainty import assumed_sources, signed_parts
from hoofbook.terms.marks import mark_group
from hoofbook.terms.quantity import MEASURES, Definition, Quantity
from hoofbook.terms.refusal import Refusal
from hoofbook.terms.views import View

METHOD = "concavity 2"
APEX = "frog_apex"
MEASURE = "sole_concavity_at_frog_apex"
EDGES: dict[Definition, str] = {Definition.FROM_SOLE_EDGE: "sole_edge", Definition.FROM_WALL_EDGE: "rim"}
WANTS_THREE = {"sole_edge": "sole_edge_needs_three_points", "rim": "wall_edge_needs_three_points"}
_STEP_MM = 1e-4

Reading = Callable[[Array], Array]
"""Foot points (..., m, 3) of all names to one number (...)."""


@dataclass(frozen=True, slots=True, eq=False)
class Shape:
    """What the points of a solved set make: direction into the foot and the planes of both edges where they exist."""

    solved: Solved
    into: Array
    planes: Mapping[Definition, EdgePlane]

    @property
    def names(self) -> tuple[str, ...]:
        return self.solved.gathered.names

    def numbers(self, names: tuple[str, ...]) -> list[int]:
        return [self.names.index(name) for name in names]

    def plane(self, definition: Definition, points: Array) -> tuple[Array, Array]:
        """Plane (point, normal into the foot) of one edge for points (..., m, 3)."""
        plane = self.planes[definition]
        return plane_through(points[..., self.numbers(plane.kept), :], self.into, np.array(plane.weights))

    def rivals(self, definition: Definition) -> list[tuple[float, Shape]]:
        """The same points with each other plane that this edge's points allow, and its chance."""
        if definition not in self.planes:
            return []
        plane, found = self.planes[definition], []
        for rival in plane.rivals:
            other = replace(plane, kept=rival.kept, weights=rival.weights, rivals=())
            found.append((rival.chance, replace(self, planes={**self.planes, definition: other})))
        return found


def shape_of(solved: Solved) -> Shape:
    """Finds the direction into the foot and decides which points make each edge's plane."""
    points, photos = solved.state.points, solved.problem.photos
    lenses = np.array([solved.state.pose(photo).lens for photo in range(photos)])
    into = points.mean(axis=0) - lenses.mean(axis=0)
    into = into / np.linalg.norm(into)
    planes = {}
    for definition, group in EDGES.items():
        names = tuple(name for name in solved.gathered.names if mark_group(name) == group)
        if len(names) >= FEWEST:
            chosen = [solved.gathered.names.index(name) for name in names]
            spreads = np.array([_spread_along(solved, number, into) for number in chosen])
            worn = definition is Definition.FROM_WALL_EDGE
            planes[definition] = choose_points(names, points[chosen], spreads, into, worn=worn)
    return Shape(solved, into, planes)


def _spread_along(solved: Solved, number: int, way: Array) -> float:
    """Standard uncertainty of one point along a direction (3,)."""
    start = solved.problem.frame_size + 3 * number
    return math.sqrt(max(float(way @ solved.covariance[start : start + 3, start : start + 3] @ way), 0.0))


def readings_of(shape: Shape) -> tuple[list[tuple[str, Definition, Reading]], list[Refusal]]:
    """What can be read off this shape, and refusals for what cannot."""
    readings: list[tuple[str, Definition, Reading]] = []
    refusals: list[Refusal] = []
    has_apex = APEX in shape.names
    if not has_apex:
        refusals.append(Refusal("frog_apex_missing", {}, MEASURE))
    places = tuple(name for name in shape.names if mark_group(name) == "sole")
    for definition, group in EDGES.items():
        if definition not in shape.planes:
            found = sum(mark_group(name) == group for name in shape.names)
            facts = {"found": found, "needed": FEWEST}
            refusals.append(Refusal(WANTS_THREE[group], facts, MEASURE))
            continue
        if has_apex:
            readings.append((MEASURE, definition, _depth(shape, definition, APEX)))
        if places:
            readings += _over_places(shape, definition, (*places, APEX) if has_apex else places)
    if not places and shape.planes:
        refusals += [Refusal("sole_points_missing", {}, name) for name in _OVER_PLACES]
    if has_apex and len(shape.planes) == len(EDGES):
        readings.append(("wall_above_sole", Definition.ONE, _wall_above_sole(shape)))
    return readings + _lengths(shape), refusals


_OVER_PLACES = ("greatest_sole_concavity", "mean_sole_concavity")


def _depth(shape: Shape, definition: Definition, name: str) -> Reading:
    number = shape.names.index(name)

    def read(points: Array) -> Array:
        middle, normal = shape.plane(definition, points)
        return depth_from(points[..., [number], :], middle, normal)[..., 0]

    return read


def _over_places(
    shape: Shape, definition: Definition, places: tuple[str, ...]
) -> list[tuple[str, Definition, Reading]]:
    """Greatest (at the place that is deepest now) and mean concavity over these places."""
    numbers = shape.numbers(places)

    def depths(points: Array) -> Array:
        middle, normal = shape.plane(definition, points)
        return depth_from(points[..., numbers, :], middle, normal)

    deepest = places[int(np.argmax(depths(shape.solved.state.points)))]
    return [
        ("greatest_sole_concavity", definition, _depth(shape, definition, deepest)),
        ("mean_sole_concavity", definition, lambda points: depths(points).mean(axis=-1)),
    ]


def _wall_above_sole(shape: Shape) -> Reading:
    from_wall = _depth(shape, Definition.FROM_WALL_EDGE, APEX)
    from_sole = _depth(shape, Definition.FROM_SOLE_EDGE, APEX)
    return lambda points: from_wall(points) - from_sole(points)


def _between(shape: Shape, one: str, other: str) -> Reading:
    first, second = shape.names.index(one), shape.names.index(other)

    def read(points: Array) -> Array:
        return np.asarray(np.linalg.norm(points[..., first, :] - points[..., second, :], axis=-1))

    return read


def _lengths(shape: Shape) -> list[tuple[str, Definition, Reading]]:
    """The outline's lengths as in one plain sole photo, from marks laid on the wall edge's or the sole edge's plane."""
    definition = next((each for each in reversed(EDGES) if each in shape.planes), None)
    found: list[tuple[str, Definition, Reading]] = []
    for name, needs in NEEDS.items():
        if set(needs) <= set(shape.names):
            found.append((name, Definition.ONE, _length(shape, definition, name, needs)))
    return found


def _length(shape: Shape, definition: Definition | None, name: str, needs: tuple[str, ...]) -> Reading:
    numbers = shape.numbers(needs)

    def read(points: Array) -> Array:
        places = points[..., numbers, :]
        if definition is not None:
            middle, normal = shape.plane(definition, points)
            places = places - depth_from(places, middle, normal)[..., None] * normal[..., None, :]
        return sole_measures({mark: places[..., at, :] for at, mark in enumerate(needs)})[name]

    return read


@dataclass(frozen=True, slots=True, eq=False)
class Errors:
    """Where errors come from: rows (r, unknowns) over one spread each, their sources, and which are our defaults."""

    rows: Array
    sources: tuple[str, ...]
    defaults: Mapping[str, bool]
    corners: tuple[tuple[int, int], ...]  # first and last row of each photo's card corners


def errors_of(solved: Solved) -> Errors:
    """One row per observation and prior: what one spread of it does to the solution, before the covariance."""
    problem, rows, gathered = solved.problem, solved.rows, solved.gathered
    size = problem.frame_size + 3 * problem.points
    parts: list[Array] = []
    sources: list[str] = []
    defaults: dict[str, bool] = {}
    marks = solved.mark_rows() * np.sqrt(solved.weights[0])[:, :, None] * solved.widened
    parts.append(marks.reshape(-1, size))
    for photo, point in zip(problem.photo_of, problem.point_of, strict=True):
        shot = gathered.shots[int(photo)]
        for axis in "xy":
            sources.append(f"photo {shot.key} mark {gathered.names[int(point)]} {axis}")
            defaults[sources[-1]] = shot.placing_px is None and shot.placing is None
    priors = np.zeros((len(rows.priors), size))
    priors[:, : problem.frame_size] = rows.priors_frame
    parts.append(priors)
    for number, key in enumerate(gathered.lens_keys):
        sources += [f"{key} focal", f"{key} principal point x", f"{key} principal point y", f"{key} distortion"]
        told = next(s.focal_35mm for s, at in zip(gathered.shots, problem.lens_of, strict=True) if at == number)
        defaults[f"{key} focal"] = told is None
    for number, key in enumerate(gathered.card_keys):
        sources += [f"{key} print width", f"{key} print height", f"{key} bow across", f"{key} bow along"]
        told_size = next(s.card_size_mm for s, at in zip(gathered.shots, problem.board_of, strict=True) if at == number)
        defaults[f"{key} print width"] = defaults[f"{key} print height"] = told_size is None
    sources += ["frame"] * (len(rows.priors) - 4 * len(gathered.lens_keys) - 4 * len(gathered.card_keys))
    corners = []
    done = sum(len(part) for part in parts)
    for photo, corner_rows in enumerate(solved.card_rows()):
        weighted = corner_rows * np.sqrt(solved.weights[photo + 1])[:, :, None] * solved.card_widened
        parts.append(weighted.reshape(-1, size))
        corners.append((done, done + len(parts[-1])))
        done = corners[-1][1]
        sources += [f"photo {gathered.shots[photo].key} card corners"] * len(parts[-1])
    return Errors(np.vstack(parts), tuple(sources), defaults, tuple(corners))


@dataclass(frozen=True, slots=True)
class Sizing:
    """How a shape without agreeing cards gets its millimetres: times `size`, or so that the foot is `width` wide.

    `share` is the relative standard uncertainty of that, `source` whose error it is.
    """

    source: str
    share: float
    size: float = 1.0
    width: float | None = None

    def applied(self, shape: Shape, read: Reading) -> Reading:
        if self.width is None:
            return lambda points: read(points) * self.size
        width, across = self.width, _between(shape, "widest_medial", "widest_lateral")
        return lambda points: read(points) * width / across(points)

    def mm_per_unit(self, shape: Shape) -> float:
        if self.width is None:
            return self.size
        one, other = shape.solved.points_of(("widest_medial", "widest_lateral"))
        return self.width / float(np.linalg.norm(one - other))


def sizing_of(solved: Solved) -> Sizing | None:
    """What gives millimetres where no two cards agree: cards that moved very little, else a told foot width."""
    if solved.nearly is not None:
        return Sizing(f"{solved.gathered.card_keys[0]} not still", solved.nearly.share, solved.nearly.size)
    told = next((shot for shot in solved.gathered.shots if shot.foot_width is not None), None)
    if told is None or told.foot_width is None:
        return None
    if not {"widest_medial", "widest_lateral"} <= set(solved.gathered.names):
        return None
    width = told.foot_width
    return Sizing(f"foot {told.foot or ''} width told", width.u / width.value, width=width.value)


def quantities_of(shape: Shape, sizing: Sizing | None) -> tuple[list[Quantity], list[Refusal]]:
    """All quantities of a shape in mm; `sizing` where the cards do not give the scale."""
    readings, refusals = readings_of(shape)
    solved, points = shape.solved, shape.solved.state.points
    if sizing is not None:
        if sizing.width is not None:
            readings = [each for each in readings if each[0] != "foot_width"]
        readings = [(name, definition, sizing.applied(shape, read)) for name, definition, read in readings]
    if not readings:
        return [], refusals
    errors = errors_of(solved)
    moved = _moved(points)
    size = solved.problem.frame_size
    keys = tuple(shot.key for shot in solved.gathered.shots)
    found = []
    for name, definition, read in readings:
        value, gradient = _with_gradient(read(moved), size)
        shares = errors.rows @ (solved.covariance @ gradient)
        sources, shares = _corners_together(errors, shares)
        if sizing is not None:
            sources, shares = (*sources, sizing.source), np.append(shares, value * sizing.share)
        chosen = _by_choice(shape, sizing, (name, definition), value)
        if chosen > 0.0:
            sources, shares = (*sources, f"set {keys[0]} choice of edge points"), np.append(shares, chosen)
        parts = signed_parts(sources, [float(share) for share in shares], f"set {keys[0]} the rest")
        found.append(
            Quantity(
                name=name,
                value=value,
                unit=MEASURES[name],
                parts=parts,
                definition=definition,
                view=View.SOLAR.value,
                photos=keys,
                method=METHOD,
                assumed=assumed_sources(parts, errors.defaults),
            )
        )
    return found, refusals


def _with_gradient(values: Array, size: int) -> tuple[float, Array]:
    """A value and its gradient over all unknowns (`size` of the frame first, which it does not depend on), from the
    value at the points, then at each coordinate moved forth, then back, by `_STEP_MM`."""
    half = (len(values) - 1) // 2
    by_points = (values[1 : half + 1] - values[half + 1 :]) / (2.0 * _STEP_MM)
    return float(values[0]), np.concatenate([np.zeros(size), by_points])


def _by_choice(shape: Shape, sizing: Sizing | None, wanted: tuple[str, Definition], value: float) -> float:
    """Standard uncertainty of one quantity that comes from which points make an edge's plane: how far the planes that
    are nearly as likely put it elsewhere, weighted by their chances."""
    square, points = 0.0, shape.solved.state.points
    for edge in shape.planes:
        for chance, rival in shape.rivals(edge):
            for name, definition, read in readings_of(rival)[0]:
                if (name, definition) == wanted:
                    put = read if sizing is None else sizing.applied(rival, read)
                    square += chance * (float(put(points)) - value) ** 2
    return math.sqrt(square)


def spread_of(read: Reading, points: Array, frame_size: int, spread: Array) -> float:
    """Standard uncertainty of one reading from the covariance of all unknowns."""
    values = read(_moved(points))
    half = points.size
    gradient = np.concatenate([np.zeros(frame_size), (values[1 : half + 1] - values[half + 1 :]) / (2.0 * _STEP_MM)])
    return math.sqrt(float(gradient @ spread @ gradient))


def _moved(points: Array) -> Array:
    """The points, then each coordinate moved up, then each moved down: (1 + 6 m, m, 3)."""
    count = points.size
    steps = np.eye(count).reshape(count, *points.shape) * _STEP_MM
    return np.concatenate([points[None], points + steps, points - steps])


def _corners_together(errors: Errors, shares: Array) -> tuple[tuple[str, ...], Array]:
    """Card corners of one photo as one source each: many small independent shares, added in squares."""
    if not errors.corners:
        return errors.sources, shares
    start = errors.corners[0][0]
    sources, kept = list(errors.sources[:start]), list(shares[:start])
    for first, last in errors.corners:
        if last > first:
            sources.append(errors.sources[first])
            kept.append(float(np.linalg.norm(shares[first:last])))
    return tuple(sources), np.array(kept)
