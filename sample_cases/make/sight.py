"""Which true marks a lens can see: rays against the same meshes that are rendered (hairs left out)."""

from __future__ import annotations

import dataclasses
import functools

import bpy  # noqa: F401  (gives mathutils)
import numpy as np
from cases import Plan, Setup
from hoof import GroundSurface, HoofShape, wall_grid
from leg import bulb_grid, skin_grid
from mathutils import Vector
from mathutils.bvhtree import BVHTree

SLIDE = 1.0  # mm: an outline mark that has slid this far behind the silhouette still counts as seen


@dataclasses.dataclass(frozen=True)
class Sight:
    """Ray tester of one foot (hoof frame) and the direction in which each mark lies free."""

    tree: BVHTree

    @staticmethod
    def of(shape: HoofShape, surface: GroundSurface) -> Sight:
        return _sight(shape)

    def visible(self, plan: Plan, made: Setup, points: dict[str, np.ndarray]) -> dict[str, bool]:
        """A mark is seen where the lens sees it or a point ``SLIDE`` outside of it, unhidden by foot or card."""
        pixels = made.camera.project(np.array(list(points.values())))
        seen = {}
        for (name, point), (u, v) in zip(points.items(), pixels, strict=True):
            inside = 4 <= u <= made.camera.width - 5 and 4 <= v <= made.camera.height - 5
            free = any(self._clear(made, point + step) for step in _steps(name))
            seen[name] = bool(inside and free and not _behind_card(made, point))
        return seen

    def _clear(self, made: Setup, point: np.ndarray) -> bool:
        lens = made.camera.centre
        away = point - lens
        distance = float(np.linalg.norm(away))
        hit = self.tree.ray_cast(Vector(lens), Vector(away / distance), distance - 0.25)
        return hit[0] is None


def _steps(name: str) -> list[np.ndarray]:
    """Small shifts off the surface: outline marks may slide, surface marks only clear the mesh's own facets."""
    if name in ("toe_ground", "toe_hairline", "dorsal_wall_mid", "pastern_lower", "pastern_upper", "shoe_toe"):
        return [np.zeros(3), np.array([-SLIDE * 0.77, SLIDE * 0.64, 0.0])]
    if name.startswith(("heel_ground", "heel_hairline", "shoe_heel")):
        return [np.array([0.0, 0.0, 0.3]), np.array([0.3, 0.0, 0.3])]
    if name.startswith("crack_"):
        return [np.array([0.0, 0.0, 0.3])]
    return [np.array([0.0, -0.15, 0.0])]


def _behind_card(made: Setup, point: np.ndarray) -> bool:
    for pose, (left, top, right, bottom) in (
        (made.card_pose, (-8.0, -8.0, 120.0, 88.0)),
        (made.tag_pose, (-8.0, -8.0, 28.0, 62.0)),
    ):
        if pose is None:
            continue
        back = np.linalg.inv(pose[0])
        near, far = back @ (made.camera.centre - pose[1]), back @ (point - pose[1])
        if near[2] * far[2] < 0:
            x, y, _ = near + (far - near) * near[2] / (near[2] - far[2])
            if left <= x <= right and top <= y <= bottom:
                return True
    return False


@functools.lru_cache(maxsize=8)
def _sight(shape: HoofShape) -> Sight:
    import scene

    surface = GroundSurface(shape)
    flat = scene.ground_points(shape)[0][::2, ::2]
    height, _ = surface.evaluate(flat[..., 0], flat[..., 1])
    ground = np.stack([flat[..., 0], height, flat[..., 1]], -1)
    grids = [
        (wall_grid(shape, 40)[:, ::2], False),
        (ground, False),
        (bulb_grid(shape, surface), False),
        (skin_grid(shape), True),
    ]
    points, faces, start = [], [], 0
    for grid, closed in grids:
        points.append(grid.reshape(-1, 3) + np.array([0, shape.floor_drop, 0]))
        faces.append(scene.grid_faces(*grid.shape[:2], closed=closed) + start)
        start += len(points[-1])
    return Sight(BVHTree.FromPolygons(np.concatenate(points).tolist(), np.concatenate(faces).tolist()))
