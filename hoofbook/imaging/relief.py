"""Pictures of a map of the sole: depths in colour with lines of equal depth, the shape under a lamp, a difference.

Pictures are (height, width, 4) BGRA, toe at the top; `zoom` screen px for one cell. Colours: cividis for depths, whose
lightness rises all the way (readable with any colour sight; Nunez, Anderton and Renslow 2018), blue to orange for
differences.
"""

from __future__ import annotations

import math

import numpy as np
from numpy.typing import NDArray

from hoofbook.imaging import cv2
from hoofbook.terms.sole_shape import Map

Picture = NDArray[np.uint8]
LINE_EVERY_MM = 1.0
LAMP_HEIGHT_DEG = 30.0
LAMP_STRENGTH = 2.0  # slopes are drawn this many times as steep, always: light cannot flatter one visit
AMBIENT = 0.28
_SMOOTH_CELLS = 3.0
_GREY = (150, 150, 150)


def depth_picture(depth: Map, low: float, high: float, zoom: int) -> Picture:
    """Depth (rows, columns) in mm between `low` (dark) and `high` (light), a thin line every millimetre."""
    large, there = _enlarged(depth, zoom)
    share = np.clip((large - low) / max(high - low, 1e-6), 0.0, 1.0)
    colours = cv2.applyColorMap(np.round(255 * share).astype(np.uint8), cv2.COLORMAP_CIVIDIS)
    colours[_lines(large) & there] = (30, 30, 30)
    return _with_holes(colours, there)


def lamp_picture(depth: Map, azimuth_deg: float, zoom: int) -> Picture:
    """The shape in grey under a lamp from `azimuth_deg` (0 = from the right, anticlockwise), always equally strong."""
    large, there = _enlarged(depth, zoom)
    even = cv2.GaussianBlur(large, (0, 0), _SMOOTH_CELLS * zoom)
    down, right = np.gradient(-even, 1.0 / zoom)  # height towards the eye falls where it is deeper
    cell_mm = 0.5
    slope_x, slope_y = LAMP_STRENGTH * right / cell_mm, LAMP_STRENGTH * -down / cell_mm
    lamp, height = math.radians(azimuth_deg), math.radians(LAMP_HEIGHT_DEG)
    way = (math.cos(lamp) * math.cos(height), math.sin(lamp) * math.cos(height), math.sin(height))
    facing = (-slope_x * way[0] - slope_y * way[1] + way[2]) / np.sqrt(slope_x**2 + slope_y**2 + 1.0)
    light = AMBIENT + (1.0 - AMBIENT) * np.clip(facing, 0.0, 1.0)
    grey = np.round(235 * light).astype(np.uint8)
    return _with_holes(np.repeat(grey[..., None], 3, axis=2), there)


def change_picture(change: Map, beyond: NDArray[np.bool_], most: float, zoom: int) -> Picture:
    """Orange where deeper, blue where shallower, by at most `most` mm; grey where no difference is shown."""
    large, there = _enlarged(change, zoom)
    shown = cv2.resize(np.flipud(beyond).astype(np.uint8), None, fx=zoom, fy=zoom, interpolation=cv2.INTER_NEAREST) > 0
    share = np.clip(np.abs(large) / max(most, 1e-6), 0.15, 1.0)[..., None]
    ends = np.where((large > 0)[..., None], np.array((30, 120, 235.0)), np.array((200, 105, 35.0)))
    colours = np.round((1.0 - share) * 235.0 + share * ends).astype(np.uint8)
    colours[~shown] = _GREY
    return _with_holes(colours, there)


def _enlarged(values: Map, zoom: int) -> tuple[NDArray[np.float32], NDArray[np.bool_]]:
    """Turned with the toe up and enlarged evenly, holes filled from beside; and where there is a value."""
    turned = np.flipud(values)
    there = np.isfinite(turned)
    share = cv2.GaussianBlur(there.astype(np.float32), (0, 0), 3.0)
    even = cv2.GaussianBlur(np.where(there, turned, 0.0).astype(np.float32), (0, 0), 3.0)
    filled = np.where(there, turned, even / np.maximum(share, 1e-3)).astype(np.float32)
    large = cv2.resize(filled, None, fx=zoom, fy=zoom, interpolation=cv2.INTER_CUBIC)
    shown = cv2.resize(there.astype(np.uint8), None, fx=zoom, fy=zoom, interpolation=cv2.INTER_NEAREST) > 0
    return np.asarray(large, np.float32), np.asarray(shown, np.bool_)


def _lines(large: NDArray[np.float32]) -> NDArray[np.bool_]:
    even = cv2.GaussianBlur(large, (0, 0), 3.0)
    step = np.floor(even / LINE_EVERY_MM)
    edge = np.zeros(large.shape, dtype=bool)
    edge[:, 1:] |= step[:, 1:] != step[:, :-1]
    edge[1:] |= step[1:] != step[:-1]
    return edge


def _with_holes(colours: NDArray[np.uint8], there: NDArray[np.bool_]) -> Picture:
    picture = np.zeros((*there.shape, 4), np.uint8)
    picture[..., :3] = colours
    picture[..., 3] = np.where(there, 255, 0)
    picture[~there] = 0
    return picture
