"""One textured sole photographed again and again at reduced size, by numpy and OpenCV: new places, light and noise.

The surface is a formula (frame *hoof, sole* of `made_sets`), a photo is made by following the ray of every pixel to it;
points, poses and lenses are those of `made_sets`, so that marks and card corners fit the pixels. Nothing of the program
plays a part.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

import cv2
import numpy as np
from numpy.typing import NDArray

from hoofbook.terms.measured import Shot

from .made_sets import Hoof, Session, poses, see, take

Array = NDArray[np.float64]
SIZE = (1344, 1008)  # a ninth of 12 MP
FOCAL = 1033.0
TEXEL_MM, TEXELS = 0.2, 800
CORNER = (-20.0, -80.0)
EDGE = 0.86  # share of the outline at which `Hoof` has the sole edge
APEX = 0.56  # of the length
MIDDLE = 0.46
PLACING_PX = 0.5


@dataclass(frozen=True)
class Sole:
    """A bowl with a few soft bumps inside its wall, and what is painted on it."""

    hoof: Hoof
    bumps: tuple[tuple[float, float, float, float], ...]  # x, y, radius, height in mm
    paint: NDArray[np.float32]  # (rows, columns): x and y in steps of TEXEL_MM from CORNER
    heights: NDArray[np.float32]  # the formula at the same places, for speed

    @staticmethod
    def drawn(seed: int) -> Sole:
        random = np.random.default_rng([seed, 1])
        length, half = random.uniform(110.0, 124.0), random.uniform(56.0, 64.0)
        wall = random.uniform(1.0, 3.0)
        more = {
            "toe_tip": (length, 0.0, -wall),
            "heel_medial": (4.0, -30.0, -wall),
            "heel_lateral": (4.0, 30.0, -wall),
        }
        hoof = Hoof(length, half, wall, random.uniform(2.0, 8.0), 10, 12, lean=(0.0, 0.0), more=more)
        bumps = [
            (random.uniform(20, 100), random.uniform(-45, 45), random.uniform(6, 14), random.uniform(-0.5, 0.5))
            for _ in range(8)
        ]
        kept = tuple(each for each in bumps if np.hypot(each[0] - APEX * length, each[1]) > 2.5 * each[2])
        return Sole(hoof, kept, _paint(random), np.zeros((0, 0), np.float32)).again(hoof)

    def again(self, hoof: Hoof) -> Sole:
        """The same bumps and paint on another hoof."""
        other = replace(self, hoof=hoof)
        x, y = (start + TEXEL_MM * np.arange(TEXELS) for start in CORNER)
        return replace(other, heights=other.height(x[:, None], y[None, :]).astype(np.float32))

    def read(self, values: NDArray[np.float32], x: Array, y: Array) -> NDArray[np.float32]:
        """Values of the paint or the heights at places of any shape (rows, columns) in mm, linear between texels."""
        row, column = (
            ((each - start) / TEXEL_MM).astype(np.float32) for each, start in zip((x, y), CORNER, strict=True)
        )
        return cv2.remap(values, column, row, cv2.INTER_LINEAR, borderMode=cv2.BORDER_REPLICATE)

    def height(self, x: Array, y: Array) -> Array:
        """z in mm: 0 on the sole edge, the hoof's concavity at the frog apex, the wall below it outside."""
        hoof = self.hoof
        middle = MIDDLE * hoof.length
        reach = np.where(x > middle, hoof.length - middle, 1.1 * middle)
        share = np.hypot((x - middle) / reach, y / hoof.half_width) / EDGE
        at_apex = (APEX - MIDDLE) * hoof.length / (hoof.length - middle) / EDGE
        bowl = hoof.concavity * (1.0 - share**2) / (1.0 - at_apex**2)
        for bump_x, bump_y, radius, rise in self.bumps:
            fade = np.clip((1.0 - share) / 0.15, 0.0, 1.0)  # none at the edge, whose points are marked as a plane
            bowl = bowl + rise * fade * np.exp(-((x - bump_x) ** 2 + (y - bump_y) ** 2) / (2.0 * radius**2))
        return np.maximum(
            np.where(share <= 1.0, bowl, -hoof.wall * np.clip((share - 1.0) / 0.06, 0.0, 1.0)), -hoof.wall
        )


def _paint(random: np.random.Generator) -> NDArray[np.float32]:
    """Grain of many sizes, as dry horn has it."""
    shape = (TEXELS, TEXELS)
    total = np.zeros(shape, np.float32)
    for size, weight in ((0.3, 0.5), (0.8, 0.8), (2.0, 0.9), (6.0, 0.8), (18.0, 0.7)):
        grain = cv2.GaussianBlur(random.normal(0.0, 1.0, shape).astype(np.float32), (0, 0), size / TEXEL_MM)
        total += weight * grain / grain.std()
    return total / total.std()


def photographed(sole: Sole, seed: int) -> tuple[list[Shot], dict[str, NDArray[np.uint8]]]:
    """A set of three photos of the sole with marks placed anew, and their pixels by key."""
    random = np.random.default_rng([seed, 2])
    session = Session(
        turns=tuple(np.array([-28.0, 0.0, 28.0]) + random.normal(0.0, 2.0, 3)),
        tilts=tuple(random.normal(3.0, 4.0, 3)),
        distance=random.uniform(360.0, 430.0),
        size=SIZE,
        focal=FOCAL,
        focal_told=random.normal(1.0, 0.02),
        centre=tuple(random.normal(0.0, 0.005, 2)),
        k1=random.normal(0.0, 0.02),
        placing=PLACING_PX,
        told_placing=PLACING_PX,
        corner=0.05,
        corner_told=0.05,
        print_size=tuple(random.normal(1.0, 0.002, 2)),
        print_told=None,
        card_at=(random.normal(-40.0, 4.0), random.normal(0.0, 6.0), random.normal(-3.0, 3.0)),
        card_turn=tuple(random.normal(0.0, [0.08, 0.08, 0.1])),
        seed=seed,
    )
    shots, _ = take(sole.hoof, session)
    light = np.array([*random.normal(0.0, 0.5, 2), -1.0])
    greys = {
        shot.key: _photo(sole, pose, session, light / np.linalg.norm(light), random)
        for shot, pose in zip(shots, poses(session), strict=True)
    }
    return shots, greys


def _photo(
    sole: Sole, pose: tuple[Array, Array], session: Session, light: Array, random: np.random.Generator
) -> NDArray[np.uint8]:
    picture = np.full((SIZE[1], SIZE[0]), 60.0, np.float32)
    corners = see(np.array([[x, y, 0.0] for x in (-8.0, 130.0) for y in (-68.0, 68.0)]), pose, session)
    low = np.maximum(np.floor(corners.min(axis=0)).astype(int) - 2, 0)
    high = np.minimum(np.ceil(corners.max(axis=0)).astype(int) + 2, SIZE)
    fine = 2
    columns = (np.arange(low[0] * fine, high[0] * fine) + 0.5) / fine - 0.5
    rows = (np.arange(low[1] * fine, high[1] * fine) + 0.5) / fine - 0.5
    seen = _shade(sole, *_met(sole, columns, rows, pose, session), light)
    seen = cv2.resize(seen, (high[0] - low[0], high[1] - low[1]), interpolation=cv2.INTER_AREA)
    height, width = seen.shape
    across, down = np.meshgrid(np.linspace(-0.5, 0.5, width), np.linspace(-0.5, 0.5, height))
    slope = random.normal(0.0, 0.15, 2)
    picture[low[1] : high[1], low[0] : high[0]] = (
        seen * random.normal(1.0, 0.08) * (1.0 + slope[0] * across + slope[1] * down)
    )
    picture = cv2.GaussianBlur(picture, (0, 0), 0.5) + random.normal(0.0, 2.5, picture.shape).astype(np.float32)
    coded = cv2.imencode(".jpg", np.clip(picture, 0, 255).astype(np.uint8), [cv2.IMWRITE_JPEG_QUALITY, 90])[1]
    return np.asarray(cv2.imdecode(coded, cv2.IMREAD_GRAYSCALE), np.uint8)


def _met(sole: Sole, columns: Array, rows: Array, pose: tuple[Array, Array], session: Session) -> tuple[Array, Array]:
    """Where on the surface (x, y) the pixels of these columns and rows look."""
    width, height = session.size
    matrix = np.array(
        [
            [session.focal, 0.0, (width - 1) / 2 + session.centre[0] * width],
            [0.0, session.focal, (height - 1) / 2 + session.centre[1] * width],
            [0.0, 0.0, 1.0],
        ]
    )
    pixels = np.stack(np.meshgrid(columns, rows), axis=-1).reshape(-1, 1, 2)
    flat = cv2.undistortPoints(pixels, matrix, np.array([session.k1, 0.0, 0.0, 0.0])).reshape(-1, 2)
    turn, _ = cv2.Rodrigues(pose[0])
    ways = (np.column_stack([flat, np.ones(len(flat))]) @ turn).reshape(len(rows), len(columns), 3)
    lens = -turn.T @ pose[1].ravel()
    reach = -lens[2] / ways[..., 2]
    for _ in range(8):
        at = lens + reach[..., None] * ways
        reach = (sole.read(sole.heights, at[..., 0], at[..., 1]) - lens[2]) / ways[..., 2]
    at = lens + reach[..., None] * ways
    return at[..., 0], at[..., 1]


def _shade(sole: Sole, x: Array, y: Array, light: Array) -> NDArray[np.float32]:
    """Grey levels of the paint in this light; its grain stands a little proud."""
    step, relief = 0.3, 0.05
    paint = sole.read(sole.paint, x, y)

    def slope(values: NDArray[np.float32], along: float, across: float) -> Array:
        ends = sole.read(values, x + along, y + across) - sole.read(values, x - along, y - across)
        return np.asarray(ends / (2.0 * step), np.float64)

    by_x = slope(sole.heights, step, 0.0) + relief * slope(sole.paint, step, 0.0)
    by_y = slope(sole.heights, 0.0, step) + relief * slope(sole.paint, 0.0, step)
    facing = -(light[2] - light[0] * by_x - light[1] * by_y) / np.sqrt(1.0 + by_x**2 + by_y**2)
    return np.asarray((115.0 + 24.0 * paint) * (0.45 + 0.6 * np.clip(facing, 0.0, None)), np.float32)
