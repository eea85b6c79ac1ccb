"""Synthetic photos of the card with exactly known corners, for tests and benchmarks (numpy and cv2 only).

The picture is made by asking for every pixel which point of the card it shows (pinhole camera with one radial lens
term), with 3 x 3 samples a pixel; where the corners lie comes from `cv2.projectPoints`.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from hoofbook.imaging import cv2
from hoofbook.imaging.card_geometry import board
from hoofbook.terms.card import CardCorner, CardFace


@dataclass(frozen=True)
class CardPhoto:
    grey: NDArray[np.uint8]
    rotation: NDArray[np.float64]
    translation: NDArray[np.float64]
    camera: NDArray[np.float64]
    lens: NDArray[np.float64]

    def place(self, card_mm: NDArray[np.float64]) -> NDArray[np.float64]:
        """(n, 2) true px of points of the card."""
        points = np.column_stack([card_mm, np.zeros(len(card_mm))])
        seen, _ = cv2.projectPoints(points, self.rotation, self.translation, self.camera, self.lens)
        return seen.reshape(-1, 2)

    def off(self, corners: tuple[CardCorner, ...], kind: str) -> NDArray[np.float64]:
        """(n, 2) found less true, px, of inner corners ("c") or marker corners ("m")."""
        chosen = [corner for corner in corners if corner.name.startswith(kind)]
        if not chosen:
            return np.zeros((0, 2))
        return np.array([c.photo_px for c in chosen]) - self.place(np.array([c.card_mm for c in chosen]))


def splashes(shape: tuple[int, int], share: float, rng: np.random.Generator) -> NDArray[np.uint8]:
    """(h, w) of 0 and 1: round splashes over `share` of a card's area."""
    covered = np.zeros(shape, np.uint8)
    height, width = shape
    while covered.mean() < share:
        middle = (int(rng.uniform(0, width)), int(rng.uniform(0, height)))
        axes = (int(height * rng.uniform(0.06, 0.22)), int(height * rng.uniform(0.06, 0.22)))
        cv2.ellipse(covered, middle, axes, float(rng.uniform(0, 180)), 0, 360, (1,), -1)
    return covered


def mud(texture: NDArray[np.uint8], share: float, rng: np.random.Generator) -> NDArray[np.uint8]:
    """The texture with splashes of mud over `share` of it."""
    covered = splashes((texture.shape[0], texture.shape[1]), share, rng)
    height, width = texture.shape
    grain = cv2.resize(rng.uniform(50, 95, (height // 12, width // 12)).astype(np.float32), (width, height))
    return np.where(covered > 0, grain, texture).astype(np.uint8)


def card_texture(face: CardFace = CardFace.FRONT, *, px_per_mm: int = 10) -> NDArray[np.uint8]:
    """The printed pattern with its 8 mm margin."""
    pattern = board(face).generateImage((112 * px_per_mm, 80 * px_per_mm))
    return np.asarray(cv2.copyMakeBorder(pattern, *[8 * px_per_mm] * 4, cv2.BORDER_CONSTANT, value=255), np.uint8)


def photo_of_card(
    seed: int = 1,
    *,
    size: tuple[int, int] = (2016, 1512),
    distance_mm: float = 450.0,
    turn_deg: tuple[float, float, float] = (8.0, -12.0, 17.0),
    lens: float = -0.05,
    blur: float = 0.8,
    noise: float = 3.0,
    texture: NDArray[np.uint8] | None = None,
    px_per_mm: int = 10,
) -> CardPhoto:
    """A grey photo of the card (focal length 0.77 x width) on a mottled ground."""
    rng = np.random.default_rng(seed)
    width, height = size
    focal = 0.77 * width
    camera = np.array([[focal, 0, (width - 1) / 2 + 9], [0, focal, (height - 1) / 2 - 7], [0, 0, 1]])
    distortion = np.array([lens, 0, 0, 0, 0], float)
    rotation = np.radians(turn_deg)
    matrix = cv2.Rodrigues(rotation)[0]
    offset = np.array([*rng.uniform(-0.15, 0.15, 2) * distance_mm, distance_mm])
    translation = offset - matrix @ np.array([56.0, 40.0, 0.0])
    texture = card_texture(px_per_mm=px_per_mm) if texture is None else texture
    picture = _ground(rng, width, height)
    corners = np.array([[-8, -8, 0], [120, -8, 0], [120, 88, 0], [-8, 88, 0]], float)
    seen = cv2.projectPoints(corners, rotation, translation, camera, distortion)[0].reshape(-1, 2)
    x0, y0 = np.maximum(np.floor(seen.min(axis=0)).astype(int) - 3, 0)
    x1, y1 = np.minimum(np.ceil(seen.max(axis=0)).astype(int) + 4, [width, height])
    window = picture[y0:y1, x0:x1]
    total = np.zeros(window.shape, np.float32)
    for dx in (-1 / 3, 0, 1 / 3):
        for dy in (-1 / 3, 0, 1 / 3):
            px = np.stack(np.meshgrid(np.arange(x0, x1) + dx, np.arange(y0, y1) + dy), axis=-1).reshape(-1, 2)
            bent = (px - camera[:2, 2]) / focal
            flat = bent.copy()
            for _ in range(12):  # undoes x (1 + k1 r^2) = bent, as cv2.projectPoints bends it
                flat = bent / (1 + lens * np.sum(flat * flat, axis=1, keepdims=True))
            ray = np.column_stack([flat, np.ones(len(flat))]) @ matrix
            base = translation @ matrix
            point = ray * (base[2] / ray[:, 2])[:, None] - base
            at = ((point[:, :2] + 8) * px_per_mm - 0.5).astype(np.float32).reshape(*window.shape, 2)
            sample = cv2.remap(texture, at[..., 0], at[..., 1], cv2.INTER_LINEAR, borderValue=(0,)).astype(np.float32)
            inside = ((point[:, :2] > -8) & (point[:, :2] < [120, 88])).all(axis=1).reshape(window.shape)
            total += np.where(inside, sample, window)
    picture[y0:y1, x0:x1] = total / 9
    picture = cv2.GaussianBlur(picture, (0, 0), blur) if blur else picture
    picture = picture * 0.8 + 20 + rng.standard_normal((height, width)).astype(np.float32) * noise
    return CardPhoto(np.clip(picture, 0, 255).round().astype(np.uint8), rotation, translation, camera, distortion)


def _ground(rng: np.random.Generator, width: int, height: int) -> NDArray[np.float32]:
    ground = np.full((height, width), 120, np.float32)
    for octave, amplitude in ((8, 30), (32, 22), (128, 15), (512, 9)):
        grain = rng.standard_normal((octave * height // width + 2, octave)).astype(np.float32)
        ground += amplitude * cv2.resize(grain, (width, height), interpolation=cv2.INTER_CUBIC)
    for _ in range(60):  # straws
        a = rng.integers(0, [width, height], 2)
        b = a + rng.integers(-width // 7, width // 7, 2)
        cv2.line(ground, a.tolist(), b.tolist(), (float(rng.uniform(30, 220)),), int(rng.integers(1, 7)), cv2.LINE_AA)
    return ground
