"""From a solved set to a surface: even cells on the sole edge's plane, their places in the photos, depths from shifts.

Frame *sole*: millimetres; origin on the plane of the sole edge under the middle of its points; axes (rows of `axes`, in
frame foot) toward the toe, to the right of the toe as the lens sees it, into the foot (depth). A guessed surface is a
depth for every cell. Photos drawn onto it differ only by how wrong the guess is, and mostly along one line: where the
guess is d mm too shallow, a spot seen by lens k moves by d times the slope of its ray.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy import ndimage

from hoofbook.measure.concavity.axes import foot_axes
from hoofbook.measure.concavity.measures import Shape
from hoofbook.measure.concavity.solving import Solved
from hoofbook.measure.projection import Array, project
from hoofbook.terms.quantity import Definition
from hoofbook.terms.refusal import Refusal
from hoofbook.terms.sole_shape import ShiftField

ALL_CODES = ("toe_not_known",)
MARGIN_MM = 3.0  # beyond the sole edge, so that patches at the edge are whole
ENOUGH_EDGE = 6  # points of the sole edge that tell its outline alone
DRAWN_IN_MM = 14.0  # wall and white line at the ground are not thicker than that: common practice, no source
FINEST_MM, COARSEST_MM = 0.12, 0.3  # of a cell while matching

Flags = NDArray[np.bool_]


@dataclass(frozen=True, slots=True, eq=False)
class Grid:
    """Cells of `step` mm: `origin` (3,), `axes` (3, 3) in frame foot; cell [0, 0] at `first` (2,) in frame sole."""

    origin: Array
    axes: Array
    first: Array
    step: float
    shape: tuple[int, int]

    def plane(self) -> Array:
        """Places (rows, columns, 2) of the cells' centres in frame sole."""
        rows, columns = self.shape
        toe, right = np.meshgrid(
            self.first[0] + self.step * np.arange(rows), self.first[1] + self.step * np.arange(columns), indexing="ij"
        )
        return np.stack([toe, right], axis=-1)

    def points(self, depth: Array) -> Array:
        """Points (rows, columns, 3) in frame foot of a surface `depth` (rows, columns)."""
        return self.origin + np.concatenate([self.plane(), depth[..., None]], axis=-1) @ self.axes

    def local(self, points: Array) -> Array:
        """Foot points (..., 3) in frame sole."""
        return np.asarray((points - self.origin) @ self.axes.T)

    def flat(self) -> Array:
        """The first guess: the plane itself."""
        return np.zeros(self.shape)

    def finer(self, step: float) -> Grid:
        """The same part of the plane in cells of another size."""
        rows, columns = ((count - 1) * self.step for count in self.shape)
        return Grid(self.origin, self.axes, self.first, step, (int(rows / step) + 1, int(columns / step) + 1))

    def taken_over(self, other: Grid, values: Array) -> Array:
        """Values of another grid of the same plane at these cells (linear between cells, nearest beyond)."""
        rows, columns = np.moveaxis((self.plane() - other.first) / other.step, -1, 0)
        return np.asarray(ndimage.map_coordinates(values, [rows, columns], order=1, mode="nearest"))


def grid_of(shape: Shape, step: float) -> Grid | Refusal:
    """The grid of a solved set's sole edge; refused where its marks do not show which way the toe lies."""
    axes = foot_axes(shape)
    if axes is None or Definition.FROM_SOLE_EDGE not in shape.planes:
        return Refusal("toe_not_known", {})
    points = shape.solved.state.points
    origin, normal = shape.plane(Definition.FROM_SOLE_EDGE, points)
    turned = np.stack([axes[0], axes[1], normal])
    edge = (outline_points(shape) - origin) @ turned.T
    low = edge[:, :2].min(axis=0) - MARGIN_MM
    high = edge[:, :2].max(axis=0) + MARGIN_MM
    rows, columns = np.floor((high - low) / step).astype(int) + 1
    return Grid(origin, turned, low, step, (int(rows), int(columns)))


def outline_points(shape: Shape) -> Array:
    """Points (k, 3) round the sole, frame foot: those of the sole edge that make its plane.

    Where these are few, those of the wall edge help out, drawn in towards the middle so far that they lie on the sole.
    """
    points = shape.solved.state.points
    edge = np.asarray(points[shape.numbers(shape.planes[Definition.FROM_SOLE_EDGE].kept)])
    wall = shape.planes.get(Definition.FROM_WALL_EDGE)
    if len(edge) >= ENOUGH_EDGE or wall is None:
        return edge
    rim = np.asarray(points[shape.numbers(wall.kept)])
    inward = np.vstack([edge, rim]).mean(axis=0) - rim
    return np.vstack([edge, rim + DRAWN_IN_MM * inward / np.linalg.norm(inward, axis=1)[:, None]])


def finest_step(solved: Solved) -> float:
    """A cell as large as a pixel of the photo that shows the sole smallest, within bounds, in mm."""
    middle = solved.state.points.mean(axis=0)
    sizes = []
    for photo in range(solved.problem.photos):
        camera, pose = solved.state.camera(solved.problem, photo), solved.state.pose(photo)
        sizes.append(float(pose.to_camera(middle)[2]) / camera.focal_px)
    return float(np.clip(max(sizes), FINEST_MM, COARSEST_MM))


def places(solved: Solved, photo: int, points: Array) -> Array:
    """Pixels (..., 2), frame photo, of foot points (..., 3)."""
    return project(points, solved.state.camera(solved.problem, photo), solved.state.pose(photo))


def central_photo(solved: Solved) -> int:
    """The photo whose lens stood nearest to all others."""
    lenses = np.array([solved.state.pose(photo).lens for photo in range(solved.problem.photos)])
    apart = np.linalg.norm(lenses[:, None] - lenses[None], axis=2).sum(axis=1)
    return int(np.argmin(apart))


@dataclass(frozen=True, slots=True, eq=False)
class PairDepth:
    """What two photos say of the surface, all (rows, columns): `depth` in mm, `gap` mm by which the two rays miss each
    other, `slope` px of shift for one mm of depth, `kept` where going there and back agreed."""

    depth: Array
    gap: Array
    slope: Array
    kept: Flags


BACK_AND_FORTH_PX = 0.7


def depth_of_pair(solved: Solved, grid: Grid, guess: Array, pair: tuple[int, int], shift: ShiftField) -> PairDepth:
    """Depths of the cells from the shifts between photo one and photo two, both drawn onto the guessed surface.

    Where the rays meet nearest (midpoint of their common perpendicular) lies beside the cell by a little: the depth is
    carried back to the cell along the slope of the guessed surface.
    """
    points = grid.points(guess)
    rows, columns = np.indices(grid.shape, dtype=np.float64)
    there = [rows + shift.down, columns + shift.across]
    other = np.stack(
        [ndimage.map_coordinates(points[..., axis], there, order=1, mode="nearest") for axis in range(3)], axis=-1
    )
    one_lens, two_lens = (solved.state.pose(photo).lens for photo in pair)
    met, gap = meeting(one_lens, points, two_lens, other)
    beside = grid.local(met)
    moved = (beside[..., :2] - grid.plane()) / grid.step
    fall = np.gradient(guess)
    depth = beside[..., 2] - fall[0] * moved[..., 0] - fall[1] * moved[..., 1]
    slope = np.linalg.norm(ray_slopes(grid, points, two_lens) - ray_slopes(grid, points, one_lens), axis=-1) / grid.step
    height, width = grid.shape
    within = (there[0] > 0) & (there[1] > 0) & (there[0] < height - 1) & (there[1] < width - 1)
    return PairDepth(depth, gap, slope, (shift.unsure < BACK_AND_FORTH_PX) & within)


def meeting(one_lens: Array, one: Array, two_lens: Array, two: Array) -> tuple[Array, Array]:
    """Where the rays from two lenses (3,) through points (..., 3) pass nearest to each other, and how near, in mm."""
    first, second = one - one_lens, two - two_lens
    first = first / np.linalg.norm(first, axis=-1, keepdims=True)
    second = second / np.linalg.norm(second, axis=-1, keepdims=True)
    between = one_lens - two_lens
    cosine = np.sum(first * second, axis=-1)
    along_first, along_second = first @ between, second @ between
    rest = np.maximum(1.0 - cosine**2, 1e-12)
    near = one_lens + ((cosine * along_second - along_first) / rest)[..., None] * first
    far = two_lens + ((along_second - cosine * along_first) / rest)[..., None] * second
    return (near + far) / 2.0, np.linalg.norm(near - far, axis=-1)


def ray_slopes(grid: Grid, points: Array, lens: Array) -> Array:
    """How far (..., 2) in mm of the plane the rays from a lens go on for every mm into the foot."""
    way = (points - lens) @ grid.axes.T
    return np.asarray(way[..., :2] / way[..., 2:])


def outline_flags(grid: Grid, corners: Array) -> Flags:
    """Cells (rows, columns) inside a polygon of corners (k, 2) in frame sole (even-odd rule)."""
    place = grid.plane()
    inside = np.zeros(grid.shape, dtype=bool)
    for start, end in zip(corners, np.roll(corners, -1, axis=0), strict=True):
        crosses = (start[1] > place[..., 1]) != (end[1] > place[..., 1])
        if not crosses.any() or start[1] == end[1]:
            continue
        at = start[0] + (place[..., 1] - start[1]) / (end[1] - start[1]) * (end[0] - start[0])
        inside ^= crosses & (place[..., 0] < at)
    return inside


def sole_corners(shape: Shape, grid: Grid) -> Array:
    """The points round the sole (k, 2) in frame sole, in order round the foot."""
    local = grid.local(outline_points(shape))[:, :2]
    middle = local.mean(axis=0)
    order = np.argsort(np.arctan2(*(local - middle).T))
    return np.asarray(local[order])


def named(shape: Shape, names: Sequence[str]) -> Array | None:
    """Solved points (k, 3) of these marks, frame foot; None where one of them was not marked."""
    if any(name not in shape.names for name in names):
        return None
    return np.asarray(shape.solved.state.points[shape.numbers(tuple(names))])


def outside_of(shape: Shape, grid: Grid) -> int:
    """1 where columns run to the outside of the foot, -1 to the inside, 0 where no mark tells."""
    for inner, outer in (("heel_medial", "heel_lateral"), ("widest_medial", "widest_lateral")):
        pair = named(shape, (inner, outer))
        if pair is not None:
            local = grid.local(pair)
            return 1 if local[1, 1] > local[0, 1] else -1
    return 0
