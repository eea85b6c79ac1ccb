"""Redraws the print of a sheet with exactly averaged pixels, in the light that the renderer gave it.

Two samples a pixel leave corners of the print 0.2 px uncertain; the place of every edge is known, so the
share of ink in each photo pixel is worked out here and only the brightness of paper and ink is rendered.
"""

from __future__ import annotations

import dataclasses

import card as cards
import cv2
import numpy as np
from camera import Camera, undistorted

FINE = 4  # sub-pixels along a side
EDGE_MM = 1.2  # the sheet's own border is left as rendered


@dataclasses.dataclass(frozen=True)
class Sheet:
    """One printed sheet: its grey picture, size in mm and pose (card to hoof)."""

    picture: np.ndarray
    size: tuple[float, float]
    pose: tuple[np.ndarray, np.ndarray]

    def redraw(self, photo: np.ndarray, camera: Camera) -> np.ndarray:
        """Photo (height, width, 3) as floats 0..1 with the print redrawn."""
        left, top, right, bottom = self._box(camera)
        if right - left < 8 or bottom - top < 8:
            return photo
        ink, inside = self._coverage(camera, left, top, right, bottom)
        part = photo[top:bottom, left:right]
        soft = cv2.GaussianBlur(ink, (0, 0), 2.0)
        paper = _field(part, (soft < 0.03) & (inside > 0.99))
        black = _field(part, (soft > 0.97) & (inside > 0.99))
        drawn = paper * (1 - ink[..., None]) + black * ink[..., None]
        share = np.where(inside > 0.999, 1.0, 0.0)[..., None]
        result = photo.copy()
        result[top:bottom, left:right] = part * (1 - share) + drawn * share
        return result

    def _box(self, camera: Camera) -> tuple[int, int, int, int]:
        width, height = self.size
        margin = cards.MARGIN
        corners = np.array([[0, 0, 0], [width, 0, 0], [width, height, 0], [0, height, 0]]) - [margin, margin, 0]
        pixels = camera.project(corners @ self.pose[0].T + self.pose[1])
        low = np.maximum(np.floor(pixels.min(0)).astype(int) - 2, 0)
        high = np.minimum(np.ceil(pixels.max(0)).astype(int) + 3, [camera.width, camera.height])
        return int(low[0]), int(low[1]), int(high[0]), int(high[1])

    def _coverage(self, camera: Camera, left: int, top: int, right: int, bottom: int) -> tuple[np.ndarray, np.ndarray]:
        """Share of ink and share of sheet (less its border) in each pixel of the box."""
        step = (np.arange(FINE) + 0.5) / FINE - 0.5
        u = (np.arange(left, right)[:, None] + step[None]).ravel()
        v = (np.arange(top, bottom)[:, None] + step[None]).ravel()
        grid = np.stack(np.meshgrid(u, v), -1).reshape(-1, 2)
        place = self._on_sheet(camera, undistorted(camera, grid)) + cards.MARGIN
        grey = self._print(place)
        room = np.minimum(place, np.array(self.size) - place).min(1)
        shape = (bottom - top, FINE, right - left, FINE)
        ink = (1.0 - grey).reshape(shape).mean((1, 3))
        inside = (room > EDGE_MM).reshape(shape).mean((1, 3))
        return ink.astype(np.float32), inside.astype(np.float32)

    def _print(self, place: np.ndarray) -> np.ndarray:
        """Brightness 0..1 of the print at places (n, 2) in mm from the sheet's corner.

        Softened by one picture element and read between elements: sub-pixels alone would put an edge that runs
        along the pixel rows only to the nearest quarter of a pixel.
        """
        soft = cv2.GaussianBlur(self.picture.astype(np.float32) / 255.0, (0, 0), 1.0)
        cell = (place * cards.PIXELS_PER_MM - 0.5).astype(np.float32)
        rows = []
        for part in np.array_split(cell, len(cell) // 30000 + 1):
            rows.append(
                cv2.remap(soft, part[None, :, 0], part[None, :, 1], cv2.INTER_LINEAR, borderMode=cv2.BORDER_REPLICATE)[
                    0
                ]
            )
        return np.concatenate(rows)

    def _on_sheet(self, camera: Camera, rays: np.ndarray) -> np.ndarray:
        """Where rays (n, 2) meet the sheet, card frame x, y in mm."""
        rotation = camera.rotation @ self.pose[0]
        origin = camera.rotation @ self.pose[1] + camera.translation
        homography = np.column_stack([rotation[:, 0], rotation[:, 1], origin])
        back = np.linalg.inv(homography)
        place = np.column_stack([rays, np.ones(len(rays))]) @ back.T
        return place[:, :2] / place[:, 2:]


def _field(part: np.ndarray, where: np.ndarray) -> np.ndarray:
    """Brightness known only at ``where``, spread smoothly over the whole box."""
    weight = where.astype(np.float32)
    total, known = np.zeros_like(part), np.zeros(weight.shape, np.float32)
    for spread, strength in ((5.0, 1.0), (18.0, 1e-2), (70.0, 1e-4)):
        total += strength * cv2.GaussianBlur(part * weight[..., None], (0, 0), spread)
        known += strength * cv2.GaussianBlur(weight, (0, 0), spread)
    return total / np.maximum(known, 1e-12)[..., None]
