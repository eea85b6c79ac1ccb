"""How much of two photos laid on one millimetre scale can be shown without an empty strip beside them."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

Window = tuple[float, float, float, float]
_STEP_PX = 8
_COVERED = 0.995  # of a row or column: a photo turned by a degree may leave a corner open


def window_shown(
    frame_mm: Window,
    scale: float,
    room_px: tuple[int, int],
    sources: Sequence[tuple[NDArray[np.float64], tuple[int, int]]],
) -> Window:
    """The window (left, top, right, bottom) in shared millimetres: `frame_mm`, widened on each side towards `room_px`
    at `scale` px per mm for as long as every photo has something to show there.

    `sources`: similarity photo px -> mm (2, 3) and size (width, height) in px of each photo.
    """
    spans = [_ticks(frame_mm[k], frame_mm[k + 2], room_px[k] / scale, _STEP_PX / scale) for k in (0, 1)]
    (x, columns), (y, rows) = spans
    covered = np.ones((len(y), len(x)), bool)
    for to_mm, size in sources:
        covered &= _inside(x, y, to_mm, size)
    rows = _widened(rows, covered[:, columns[0] : columns[1]].mean(axis=1))
    columns = _widened(columns, covered[rows[0] : rows[1]].mean(axis=0))
    return float(x[columns[0]]), float(y[rows[0]]), float(x[columns[1] - 1]), float(y[rows[1] - 1])


def _ticks(low: float, high: float, room: float, step: float) -> tuple[NDArray[np.float64], tuple[int, int]]:
    """Places along one axis over the whole room, both ends of the frame among them, and the frame's part of them."""
    beside = max(0.0, (room - (high - low)) / 2)
    count = int(beside / step)
    inner = max(2, round((high - low) / step) + 1)
    before, after = low - step * np.arange(count, 0, -1), high + step * np.arange(1, count + 1)
    return np.concatenate([before, np.linspace(low, high, inner), after]), (count, count + inner)


def _inside(
    x: NDArray[np.float64], y: NDArray[np.float64], to_mm: NDArray[np.float64], size: tuple[int, int]
) -> NDArray[np.bool_]:
    """(rows, columns) whether the photo has a pixel at each place."""
    places = np.stack(np.meshgrid(x, y), axis=-1) - to_mm[:, 2]
    px = places @ np.linalg.inv(to_mm[:, :2]).T
    return np.asarray((px >= 0).all(axis=-1) & (px <= np.array(size) - 1.0).all(axis=-1))


def _widened(part: tuple[int, int], share: NDArray[np.float64]) -> tuple[int, int]:
    low, high = part
    while low > 0 and share[low - 1] >= _COVERED:
        low -= 1
    while high < len(share) and share[high] >= _COVERED:
        high += 1
    return low, high
