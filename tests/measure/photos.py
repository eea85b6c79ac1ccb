"""Photos of known points for tests: projected by OpenCV's `cv2.projectPoints`, never by the code under test."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import cv2
import numpy as np
from numpy.typing import ArrayLike, NDArray

from hoofbook.terms.card import CardCorner, CardFace, CardSighting
from hoofbook.terms.marks import Mark, Marking

WIDTH, HEIGHT = 4032, 3024
# facts: toe ground, dorsal hairline, heel ground, heel hairline of a worked side view; heels 30 mm off the mid plane
HOOF = {
    "toe_ground": (0.0, 0.0, 0.0),
    "toe_hairline": (55.0, 65.0, 0.0),
    "heel_ground": (115.0, 0.0, 30.0),
    "heel_hairline": (140.0, 28.0, 30.0),
}
# toe angle and the rest worked out from those points with the cosine rule and Pythagoras
WORKED = {
    "toe_angle": 49.7636,
    "toe_length": 85.1469,
    "heel_angle": 48.2397,
    "heel_length": 37.5366,
    "toe_height": 65.0,
    "heel_height": 28.0,
    "height_ratio": 2.3214,
    "length_ratio": 2.2684,
    "bearing_length": 115.0,
    "coronary_band_angle": 23.5232,
    "toe_heel_angle_difference": 1.5239,
}


@dataclass(frozen=True)
class Lens:
    """A true camera: place and target in the subject's frame (y up, z towards the camera), roll in degrees."""

    place: tuple[float, float, float] = (60.0, 150.0, 900.0)
    target: tuple[float, float, float] = (40.0, 45.0, 0.0)
    roll: float = 0.0
    focal: float = 3100.0
    centre: tuple[float, float] = (2015.5, 1511.5)
    k1: float = 0.0
    size: tuple[int, int] = (WIDTH, HEIGHT)

    @property
    def focal_35mm(self) -> float:
        """EXIF's figure for this lens: by the picture's diagonal (Exif 2.3, FocalLengthIn35mmFilm)."""
        return self.focal * 43.27 / float(np.hypot(*self.size))

    def rotation(self) -> NDArray[np.float64]:
        forward = np.array(self.target) - np.array(self.place)
        forward = forward / np.linalg.norm(forward)
        up = np.array([0.0, 1.0, 0.0]) if abs(forward[1]) < 0.9 else np.array([0.0, 0.0, -1.0])
        right = np.cross(forward, up)
        right = right / np.linalg.norm(right)
        down = np.cross(forward, right)
        turn = cv2.Rodrigues(np.array([0.0, 0.0, np.radians(self.roll)]))[0]
        return np.asarray(turn @ np.array([right, down, forward]))

    def see(self, points: ArrayLike) -> NDArray[np.float64]:
        """Points (n, 3) to pixels (n, 2), by OpenCV."""
        seen = (np.atleast_2d(np.asarray(points, dtype=float)) - np.array(self.place)) @ self.rotation().T
        matrix = np.array([[self.focal, 0, self.centre[0]], [0, self.focal, self.centre[1]], [0, 0, 1.0]])
        still = np.zeros(3)
        pixels, _ = cv2.projectPoints(seen, still, still, matrix, np.array([self.k1, 0, 0, 0, 0]))
        return np.asarray(pixels.reshape(-1, 2), dtype=float)


def turn(axis: str, degrees: float) -> NDArray[np.float64]:
    vector = np.zeros(3)
    vector["xyz".index(axis)] = np.radians(degrees)
    return np.asarray(cv2.Rodrigues(vector)[0])


def standing_card(
    lens: Lens,
    *,
    middle_x: float = -120.0,
    offset: float = 0.0,
    lean: float = 0.0,
    yaw: float = 0.0,
    roll: float = 0.0,
    scale: tuple[float, float] = (1.0, 1.0),
    floor_below: float = 88.0,
    noise: float = 0.0,
    spread: float = 0.05,
    seed: int = 0,
) -> CardSighting:
    """The card on the floor y = 0, pattern's 24 inner corners seen; x right, y up, z towards the camera."""
    rng = np.random.default_rng(seed)
    turned = turn("y", yaw) @ turn("x", -lean) @ turn("z", roll)
    corners = []
    for i in range(24):
        x, y = (i % 6 + 1) * 16.0, (i // 6 + 1) * 16.0
        on_card = np.array([(x - 56.0) * scale[0], floor_below - y * scale[1], 0.0])
        place = turned @ on_card + np.array([middle_x, 0.0, offset])
        at = lens.see(place)[0] + rng.normal(0.0, noise, 2) if noise else lens.see(place)[0]
        corners.append(CardCorner(f"c{i:02d}", (x, y), (float(at[0]), float(at[1])), spread))
    return CardSighting(CardFace.FRONT, tuple(corners), tuple(range(17)), (), 2.0, lens.size, "projected")


def marking(lens: Lens, points: Mapping[str, ArrayLike], noise: float = 0.0, seed: int = 0) -> Marking:
    rng = np.random.default_rng(seed)
    marks = {}
    for name, point in points.items():
        at = lens.see(point)[0] + rng.normal(0.0, noise, 2) if noise else lens.see(point)[0]
        marks[name] = Mark(float(at[0]), float(at[1]))
    return Marking(marks)
