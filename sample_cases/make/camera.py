"""A phone-like camera: pinhole, one radial term, principal point a little off; OpenCV's axes and pixels.

Camera frame: x right, y down, z forward, millimetres. Photo frame: upright photo, centre of the top-left
pixel is (0, 0).
"""

from __future__ import annotations

import dataclasses

import cv2
import numpy as np

# World (renderer): x right and z up as seen by somebody who looks at the outside of the foot.
WORLD_FROM_HOOF = {
    "LF": np.array([[1.0, 0, 0], [0, 0, -1], [0, 1, 0]]),
    "RF": np.array([[-1.0, 0, 0], [0, 0, -1], [0, 1, 0]]),
}


@dataclasses.dataclass(frozen=True)
class Camera:
    """True camera of one photo. ``rotation`` and ``translation``: x_camera = rotation @ x_hoof + translation."""

    width: int
    height: int
    focal_px: float
    principal_point: tuple[float, float]
    k1: float
    focal_35mm_tag: int
    rotation: np.ndarray
    translation: np.ndarray

    @property
    def matrix(self) -> np.ndarray:
        u, v = self.principal_point
        return np.array([[self.focal_px, 0, u], [0, self.focal_px, v], [0, 0, 1.0]])

    @property
    def distortion(self) -> np.ndarray:
        return np.array([self.k1, 0.0, 0.0, 0.0, 0.0])

    @property
    def centre(self) -> np.ndarray:
        """Lens position in the hoof frame."""
        return -np.linalg.inv(self.rotation) @ self.translation

    def project(self, points: np.ndarray) -> np.ndarray:
        """Hoof points (n, 3) to photo pixels (n, 2) by cv2.projectPoints.

        The points are turned into the camera frame first because a right foot's hoof frame is left-handed
        and a rotation vector cannot hold that.
        """
        seen = np.asarray(points, float).reshape(-1, 3) @ self.rotation.T + self.translation
        still = np.zeros(3)
        pixels, _ = cv2.projectPoints(seen, still, still, self.matrix, self.distortion)
        return pixels.reshape(-1, 2)

    def scaled(self, factor: float) -> Camera:
        """The same camera with a picture ``factor`` times as large (for drafts)."""
        width, height = round(self.width * factor), round(self.height * factor)
        u, v = ((side + 0.5) * factor - 0.5 for side in self.principal_point)
        return dataclasses.replace(
            self, width=width, height=height, focal_px=self.focal_px * factor, principal_point=(u, v)
        )


def nominal_focal(focal_35mm: float, width: int, height: int) -> float:
    """Pixels of the 35 mm equivalent focal length, by the diagonal of 43.27 mm (EXIF's definition)."""
    return focal_35mm * float(np.hypot(width, height)) / 43.27


def look(
    position: np.ndarray, target: np.ndarray, up: np.ndarray, roll: float, foot: str
) -> tuple[np.ndarray, np.ndarray]:
    """Rotation and translation of a lens at ``position`` that looks at ``target`` (all in the hoof frame)."""
    turn = WORLD_FROM_HOOF[foot]
    forward = turn @ (target - position)
    forward = forward / np.linalg.norm(forward)
    right = np.cross(forward, turn @ up)
    right = right / np.linalg.norm(right)
    down = np.cross(forward, right)
    angle = np.radians(roll)
    rolled = np.array(
        [np.cos(angle) * right + np.sin(angle) * down, -np.sin(angle) * right + np.cos(angle) * down, forward]
    )
    rotation = rolled @ turn
    return rotation, -rotation @ position


def straight_size(camera: Camera) -> tuple[int, int]:
    """Size of the undistorted picture that holds every pixel of the photo, principal point in its middle."""
    border = undistorted(camera, _border_pixels(camera))
    reach = np.abs(border).max(0) * camera.focal_px
    width, height = (int(2 * np.ceil(side + 3)) for side in reach)
    return width, height


def straight_to_photo(camera: Camera, straight: np.ndarray, focal_px: float) -> np.ndarray:
    """Warp the renderer's pinhole picture (``focal_px``, principal point in its middle) into the photo."""
    rows, columns = np.mgrid[0 : camera.height, 0 : camera.width].astype(np.float64)
    pixels = np.stack([columns.ravel(), rows.ravel()], 1)
    rays = undistorted(camera, pixels)
    height, width = straight.shape[:2]
    u = rays[:, 0] * focal_px + width / 2 - 0.5
    v = rays[:, 1] * focal_px + height / 2 - 0.5
    shape = (camera.height, camera.width)
    map_u, map_v = u.reshape(shape).astype(np.float32), v.reshape(shape).astype(np.float32)
    return cv2.remap(straight, map_u, map_v, cv2.INTER_LANCZOS4, borderMode=cv2.BORDER_REPLICATE)


def undistorted(camera: Camera, pixels: np.ndarray) -> np.ndarray:
    """Pixels (n, 2) to undistorted rays (n, 2), solved to 1e-12 by fixed-point steps."""
    u, v = camera.principal_point
    bent = (pixels - np.array([u, v])) / camera.focal_px
    rays = bent.copy()
    for _ in range(60):
        rays = bent / (1.0 + camera.k1 * (rays**2).sum(1, keepdims=True))
    return rays


def _border_pixels(camera: Camera) -> np.ndarray:
    wide, high = np.arange(-1, camera.width + 1, 8.0), np.arange(-1, camera.height + 1, 8.0)
    edges = [np.stack([wide, np.full_like(wide, row)], 1) for row in (-1, camera.height)]
    edges += [np.stack([np.full_like(high, column), high], 1) for column in (-1, camera.width)]
    return np.concatenate([*edges, [[camera.width, camera.height]]])
