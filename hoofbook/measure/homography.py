"""A first pose of a flat board from its plane-to-picture homography, before any iteration."""

from __future__ import annotations

import numpy as np

from hoofbook.measure.projection import Array, Camera, rays


def homography(flat: Array, seen: Array) -> Array | None:
    """Plane points (n, 2) to picture points (n, 2) as a (3, 3) matrix by the normalised direct linear transform.

    Source: Hartley and Zisserman, Multiple View Geometry, 2nd ed., algorithm 4.2. None if the points are degenerate.
    """
    plane, plane_norm = _normalised(flat)
    picture, picture_norm = _normalised(seen)
    ones, none = np.ones((len(plane), 1)), np.zeros((len(plane), 3))
    at = np.concatenate([plane, ones], axis=1)
    upper = np.concatenate([at, none, -picture[:, :1] * at], axis=1)
    lower = np.concatenate([none, at, -picture[:, 1:] * at], axis=1)
    rows = np.concatenate([upper, lower])
    worth, ways = np.linalg.eigh(rows.T @ rows)
    if not np.isfinite(worth).all() or worth[1] < 1e-12 * max(worth[-1], 1e-300):
        return None
    inner = ways[:, 0].reshape(3, 3)
    found = np.linalg.inv(picture_norm) @ inner @ plane_norm
    return np.asarray(found / np.linalg.norm(found), dtype=np.float64)


def pose_of_plane(flat: Array, pixels: Array, camera: Camera) -> tuple[Array, Array] | None:
    """Rotation (3, 3) and translation (3,) of plane z = 0 from points (n, 2) in mm and px; None if degenerate.

    Source: Zhang, "A flexible new technique for camera calibration", IEEE PAMI 22 (2000), section 3.1.
    """
    found = homography(flat, rays(pixels, camera)[:, :2])
    if found is None:
        return None
    size = (np.linalg.norm(found[:, 0]) + np.linalg.norm(found[:, 1])) / 2.0
    found = found / (size if found[2, 2] > 0.0 else -size)
    third = np.cross(found[:, 0], found[:, 1])
    left, _, right = np.linalg.svd(np.stack([found[:, 0], found[:, 1], third], axis=1))
    turn = left @ np.diag([1.0, 1.0, np.linalg.det(left @ right)]) @ right
    return turn, found[:, 2]


def mirrored(rotation: Array, shift: Array) -> Array:
    """The other rotation under which a small flat board looks almost the same: its normal mirrored at the sight line.

    Source: Schweighofer and Pinz, "Robust pose estimation from a planar target", IEEE PAMI 28 (2006).
    """
    sight = shift / np.linalg.norm(shift)
    normal = rotation[:, 2]
    other = 2.0 * float(normal @ sight) * sight - normal
    axis = np.cross(normal, other)
    sine, cosine = float(np.linalg.norm(axis)), float(normal @ other)
    if sine < 1e-9:
        return rotation
    axis = axis / sine
    cross = np.array([[0, -axis[2], axis[1]], [axis[2], 0, -axis[0]], [-axis[1], axis[0], 0]])
    return np.asarray((np.eye(3) + sine * cross + (1.0 - cosine) * (cross @ cross)) @ rotation, dtype=np.float64)


def _normalised(points: Array) -> tuple[Array, Array]:
    middle = points.mean(axis=0)
    size = np.sqrt(((points - middle) ** 2).sum(axis=1).mean() / 2.0) or 1.0
    norm = np.array([[1 / size, 0, -middle[0] / size], [0, 1 / size, -middle[1] / size], [0, 0, 1]])
    return (points - middle) / size, norm
