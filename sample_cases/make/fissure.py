"""A quarter crack in the near wall: its line, the gap it leaves, dried blood and a vet's lacing (hoof frame, mm)."""

from __future__ import annotations

import numpy as np
from hoof import CRACK_AROUND, HALF_STEPS, HoofShape, smooth, wall_grid

COLUMN = round((CRACK_AROUND + 1.0) * HALF_STEPS)
DEPTH = 2.6  # how deep the gap is cut into the wall
LACE_STEP, LACE_REACH, LACES = 7.0, 5.5, 2  # from lace to lace down the wall, half of each across it, how many


def place(shape: HoofShape, below: float) -> np.ndarray:
    """Point of the wall on the crack's line, ``below`` mm under the hairline as seen along the cross axis."""
    column = wall_grid(shape, 721)[:, COLUMN]
    reach = np.hypot(*(column - column[-1])[:, :2].T)
    return np.array([np.interp(below, reach[::-1], column[::-1, axis]) for axis in range(3)])


def _reach(grid: np.ndarray) -> np.ndarray:
    """(rows, columns) mm below the hairline as seen along the cross axis."""
    return np.hypot(grid[..., 0] - grid[-1:, :, 0], grid[..., 1] - grid[-1:, :, 1])


def _beside(shape: HoofShape, grid: np.ndarray) -> np.ndarray:
    """(rows, columns) mm along the wall from the crack's wandering middle, infinite on the far side."""
    assert shape.crack is not None
    below = _reach(grid)[:, COLUMN]
    step = np.linalg.norm(np.diff(grid, axis=1), axis=2)
    along = np.concatenate([np.zeros((len(grid), 1)), np.cumsum(step, 1)], 1)
    beside = along - along[:, COLUMN : COLUMN + 1]
    old = below - shape.crack.top  # the fissure belongs to the old horn and moves down with it
    wander = 0.75 * np.sin(old * 0.33 + 0.6) + 0.42 * np.sin(old * 0.87 + 2.0) + 0.22 * np.sin(old * 2.1)
    wander = wander * smooth(0.0, 7.0, old)
    return np.where(np.arange(grid.shape[1])[None] > HALF_STEPS, beside - wander[:, None], np.inf)


def gap(shape: HoofShape, grid: np.ndarray) -> np.ndarray:
    """(rows, columns) 1 inside the fissure, 0 on sound wall; it ends in a hair-fine tip."""
    if shape.crack is None:
        return np.zeros(grid.shape[:2])
    below = _reach(grid)
    old = below - shape.crack.top
    open_at_top = 0.55 if shape.crack.top == 0.0 else 0.16
    half = 0.5 * shape.crack.width * (open_at_top + (1.0 - open_at_top) * smooth(0.0, 26.0, old))
    half = half + 0.35 * (1.0 - smooth(0.0, 7.0, below[0, COLUMN] - below))  # chipped where it meets the ground
    away = np.abs(_beside(shape, grid))
    return (1.0 - smooth(half - 0.08, half + 0.3, away)) * smooth(-0.5, 0.1, old)


def stain(shape: HoofShape, grid: np.ndarray) -> np.ndarray:
    """(rows, columns) dried blood: from the crack's upper end down the wall, in streaks."""
    if shape.crack is None or not shape.crack.bled:
        return np.zeros(grid.shape[:2])
    below, beside = _reach(grid), _beside(shape, grid)
    beside = np.where(np.isfinite(beside), beside, 1e3)
    reach = 20.0 + 9.0 * np.sin(beside * 0.9 + 1.0) + 5.0 * np.sin(beside * 2.3)
    wide = 1.0 - smooth(2.2, 6.0, np.abs(beside + 0.4))
    return wide * (1.0 - smooth(0.55, 1.0, below / np.maximum(reach, 4.0)))


def opened(shape: HoofShape, grid: np.ndarray, mask: np.ndarray) -> np.ndarray:
    """The wall with its gap cut in, (rows, columns, 3)."""
    return grid - outward(grid) * (DEPTH * mask)[..., None]


def outward(grid: np.ndarray) -> np.ndarray:
    """(rows, columns, 3) level unit normals away from the foot."""
    around = np.gradient(grid, axis=1)
    normal = np.stack([-around[..., 2], np.zeros(around.shape[:2]), around[..., 0]], -1)
    return normal / np.linalg.norm(normal, axis=-1, keepdims=True)


def laces(shape: HoofShape) -> list[np.ndarray]:
    """Wires (k, 3) that cross the crack between holes on either side, like a boot's."""
    if shape.crack is None or shape.crack.laced is None:
        return []
    grid = wall_grid(shape)
    reach, normal, beside = _reach(grid), outward(grid), _beside(shape, grid)

    def at(below: float, across: float, lift: float) -> np.ndarray:
        row = int(np.abs(reach[:, COLUMN] - below).argmin())
        column = int(np.abs(beside[row] - across).argmin())
        return grid[row, column] + normal[row, column] * lift

    wires = []
    for number in range(LACES):
        low = shape.crack.laced + number * LACE_STEP
        for side in (-1.0, 1.0):
            if low + LACE_STEP > reach[0, COLUMN] - 1.5:
                continue
            share = np.linspace(0.0, 1.0, 17)
            height = 0.75 * np.sin(np.pi * share) ** 0.4 + (0.5 if side > 0 else 0.0) * np.sin(np.pi * share) - 0.4
            wires.append(
                np.array(
                    [
                        at(low + LACE_STEP * part, side * LACE_REACH * (1.0 - 2.0 * part), lift)
                        for part, lift in zip(share, height, strict=True)
                    ]
                )
            )
    return wires
