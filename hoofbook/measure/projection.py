"""The one projection of the program: points in millimetres to pixels, and pixels back to rays.

Frames: *world* is whatever frame the pose was fitted in (card or hoof, millimetres); *camera* has its origin at the
lens, x right, y down, z away from the lens (millimetres); *photo* is pixels of the upright picture, centre of the top
left pixel (0, 0), x right, y down. The model is the pinhole with one radial term,
u = focal * x * (1 + k1 * (x^2 + y^2)) + centre, as in OpenCV's calib3d documentation (its other terms zero).
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

Array = NDArray[np.float64]

_UNDISTORT_STEPS = 12
_SMALLEST_DEPTH_MM = 1e-6


@dataclass(frozen=True, slots=True)
class Camera:
    """The inner figures of a lens: focal length and principal point in px, first radial term without unit."""

    focal_px: float
    centre_x: float
    centre_y: float
    k1: float = 0.0
    width: int = 0
    height: int = 0


@dataclass(frozen=True, slots=True, eq=False)
class Pose:
    """Where the camera stood: x_camera = rotation @ x_world + translation (millimetres).

    `rotation` has shape (3, 3), `translation` (3,); both are kept read-only.
    """

    rotation: Array
    translation: Array

    def __post_init__(self) -> None:
        for name, shape in (("rotation", (3, 3)), ("translation", (3,))):
            kept = np.array(getattr(self, name), dtype=np.float64).reshape(shape)
            kept.setflags(write=False)
            object.__setattr__(self, name, kept)

    def to_camera(self, points: ArrayLike) -> Array:
        """World points (..., 3) in the camera frame, same shape."""
        return np.asarray(points, dtype=np.float64) @ self.rotation.T + self.translation

    def to_world(self, points: ArrayLike) -> Array:
        """Camera points (..., 3) in the world frame, same shape."""
        return (np.asarray(points, dtype=np.float64) - self.translation) @ self.rotation

    @property
    def lens(self) -> Array:
        """Place of the lens in the world frame, shape (3,)."""
        return -self.rotation.T @ self.translation


def project(points: ArrayLike, camera: Camera, pose: Pose) -> Array:
    """World points (..., 3) in mm to photo pixels (..., 2). Points at or behind the lens give nan."""
    seen = pose.to_camera(points)
    depth = np.where(seen[..., 2:] > _SMALLEST_DEPTH_MM, seen[..., 2:], np.nan)
    return to_pixels(seen[..., :2] / depth, camera)


def to_pixels(slopes: ArrayLike, camera: Camera) -> Array:
    """Slopes x/z, y/z (..., 2) of undistorted rays to photo pixels (..., 2)."""
    flat = np.asarray(slopes, dtype=np.float64)
    bent = flat * (1.0 + camera.k1 * np.sum(flat * flat, axis=-1, keepdims=True))
    return np.asarray(bent * camera.focal_px + np.array([camera.centre_x, camera.centre_y]), dtype=np.float64)


def rays(pixels: ArrayLike, camera: Camera) -> Array:
    """Photo pixels (..., 2) to undistorted directions (..., 3) in the camera frame, scaled to z = 1."""
    centre = np.array([camera.centre_x, camera.centre_y])
    bent = (np.asarray(pixels, dtype=np.float64) - centre) / camera.focal_px
    flat = straighten(bent, camera.k1)
    return np.concatenate([flat, np.ones_like(flat[..., :1])], axis=-1)


def straighten(bent: ArrayLike, k1: float | Array) -> Array:
    """Takes the radial term out of slopes (..., 2): solves r (1 + k1 r^2) = r_bent by Newton's method.

    `k1` may be an array that broadcasts against (..., 1). Where the picture lies beyond the fold of a strong barrel
    (no solution), the slopes come back nan.
    """
    slopes = np.asarray(bent, dtype=np.float64)
    radius = np.sqrt(np.sum(slopes * slopes, axis=-1, keepdims=True))
    k = np.asarray(k1, dtype=np.float64)
    found = radius.copy()
    with np.errstate(divide="ignore", invalid="ignore"):
        for _ in range(_UNDISTORT_STEPS):
            step = (found * (1.0 + k * found * found) - radius) / (1.0 + 3.0 * k * found * found)
            found = found - step
            if not np.abs(step).max(initial=0.0) > 1e-14:
                break
        wrong = ~(np.abs(found * (1.0 + k * found * found) - radius) <= 1e-9) | (1.0 + 3.0 * k * found * found <= 0.0)
        factor = np.where(radius > 0.0, found / np.where(radius > 0.0, radius, 1.0), 1.0)
    return np.asarray(np.where(wrong, np.nan, slopes * factor), dtype=np.float64)


def rotation_matrix(vector: ArrayLike) -> Array:
    """Rotation vectors (..., 3) in radians to matrices (..., 3, 3) by Rodrigues' formula.

    With np.sinc(t) = sin(pi t) / (pi t) it holds through zero: (1 - cos a) / a^2 = sinc(a / 2 pi)^2 / 2.
    """
    v = np.asarray(vector, dtype=np.float64)
    square = np.sum(v * v, axis=-1)
    angle = np.sqrt(square)
    sine, versine = np.sinc(angle / np.pi), 0.5 * np.sinc(angle / (2.0 * np.pi)) ** 2
    turned = versine[..., None, None] * (v[..., :, None] * v[..., None, :])
    turned += sine[..., None, None] * cross_matrix(v)
    for axis in range(3):
        turned[..., axis, axis] += 1.0 - versine * square
    return np.asarray(turned, dtype=np.float64)


def small_rotation(vector: ArrayLike) -> Array:
    """`rotation_matrix` to second order for vectors (..., 3) of a few hundredths: wrong by a sixth of the cube."""
    cross = cross_matrix(vector)
    turned = 0.5 * (cross @ cross) + cross
    turned[..., [0, 1, 2], [0, 1, 2]] += 1.0
    return np.asarray(turned, dtype=np.float64)


def rotation_vector(matrix: ArrayLike) -> Array:
    """Rotation matrix (3, 3) to its rotation vector (3,) in radians, angle 0..pi."""
    m = np.asarray(matrix, dtype=np.float64)
    skew = np.array([m[2, 1] - m[1, 2], m[0, 2] - m[2, 0], m[1, 0] - m[0, 1]]) / 2.0
    sine, cosine = float(np.linalg.norm(skew)), (float(np.trace(m)) - 1.0) / 2.0
    angle = float(np.arctan2(sine, cosine))
    if sine > 1e-6:
        return np.asarray(skew * (angle / sine), dtype=np.float64)
    if cosine > 0.0:
        return skew
    # near half a turn the axis is the column of R + 1 with the largest diagonal
    outer = (m + np.eye(3)) / 2.0
    column = int(np.argmax(np.diag(outer)))
    axis = outer[:, column] / np.sqrt(outer[column, column])
    return np.asarray(axis * angle, dtype=np.float64)


def cross_matrix(vector: ArrayLike) -> Array:
    """Vectors (..., 3) to the matrices (..., 3, 3) that form the cross product with them."""
    v = np.asarray(vector, dtype=np.float64)
    cross = np.zeros((*v.shape, 3))
    cross[..., 2, 1] = v[..., 0]
    cross[..., 0, 2] = v[..., 1]
    cross[..., 1, 0] = v[..., 2]
    return np.asarray(cross - np.swapaxes(cross, -1, -2), dtype=np.float64)


def meet_plane(origin: ArrayLike, directions: ArrayLike, point: ArrayLike, normal: ArrayLike) -> Array:
    """Where lines origin + t * directions (..., 3) meet the plane through `point` with `normal`; nan if parallel."""
    start, way, unit = (np.asarray(each, dtype=np.float64) for each in (origin, directions, normal))
    across = np.sum(way * unit, axis=-1, keepdims=True)
    reach = np.sum((np.asarray(point, dtype=np.float64) - start) * unit, axis=-1, keepdims=True)
    with np.errstate(divide="ignore", invalid="ignore"):
        t = np.where(np.abs(across) > 1e-12, reach / across, np.nan)
    return np.asarray(start + t * way, dtype=np.float64)
