"""The straight edges of the markers, measured across, and their corners as crossings of lines.

cornerSubPix pulls an outer corner of a marker inwards as soon as the picture is a little soft; two lines fitted to
the middle parts of the edges do not feel the rounding.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import cache

import numpy as np
from numpy.typing import NDArray

from hoofbook.imaging import cv2
from hoofbook.imaging.card_geometry import CardPicture, Floats, marker_corners
from hoofbook.terms.card import PATTERN_MM, SQUARE_MM, SQUARES

_PROFILES = 16
_SAMPLES = 25
_REACH_MM = 1.35  # the white gap and the marker's black border are 2 mm wide each
_OUTER_REACH_MM = 5.5  # of the 8 mm margin
_ALONG = np.linspace(0.12, 0.88, _PROFILES)


@dataclass(frozen=True)
class MarkerEdges:
    """What was seen of the four edges of all 17 markers (edge k runs from corner k to corner k + 1).

    `good` (17, 4) whether the edge is there; `scatter` (17, 4) px of one profile about its line (NaN: hidden);
    `contrast` grey levels; `corners` (17, 4, 2) px, NaN where an edge is missing; `spread` (17, 4) px.
    """

    good: NDArray[np.bool_]
    scatter: Floats
    contrast: float
    corners: Floats
    spread: Floats


def measure_edges(grey: NDArray[np.uint8], picture: CardPicture) -> MarkerEdges:
    """Looks across every edge of every marker where `picture` expects it. Pixels outside the photo count as hidden."""
    frames = _expected(picture)
    reach = float(_REACH_MM * np.median(frames.length) / 12)
    steps = np.linspace(-reach, reach, _SAMPLES)
    along = frames.direction * frames.length[..., None]
    base = frames.start[:, :, None] + _ALONG[:, None] * along[:, :, None]
    profile = _sample(grey, base[:, :, :, None] + steps[:, None] * frames.outwards[:, :, None, None])
    offset, scatter, good, levels = _offsets(profile, reach)
    line = np.stack(_line(offset), axis=-1)
    corners, spread = _crossings(frames, line, scatter, good)
    dark, light = levels
    contrast = float(np.median((light - dark)[good])) if good.any() else 0.0
    return MarkerEdges(good, scatter, contrast, corners, spread)


def _sample(grey: NDArray[np.uint8], places: Floats) -> Floats:
    shape = places.shape[:-1]
    flat = places.reshape(-1, shape[-1], 2).astype(np.float32)
    seen = cv2.remap(
        grey, flat[..., 0], flat[..., 1], cv2.INTER_LINEAR, borderMode=cv2.BORDER_CONSTANT, borderValue=(127,)
    )
    return np.asarray(seen, float).reshape(shape)


def _offsets(profile: Floats, reach: float) -> tuple[Floats, Floats, NDArray[np.bool_], tuple[Floats, Floats]]:
    """Place of the edge in each profile by the area under it (levels of black and white from the profile's ends)."""
    ends = _SAMPLES // 5
    dark_ends, light_ends = profile[..., :ends].mean(axis=-1), profile[..., -ends:].mean(axis=-1)
    dark, light = np.median(dark_ends, axis=-1), np.median(light_ends, axis=-1)
    step: Floats = np.subtract(light, dark)
    clear = np.extract(step > 12, step)
    usual = float(np.median(clear)) if clear.size else math.inf
    safe = np.where(step > 1, step, np.inf)[..., None]
    share = (profile - dark[..., None, None]) / safe[..., None]
    offset = reach - 2 * reach * np.trapezoid(share, axis=-1) / (_SAMPLES - 1)
    clean = (np.abs(dark_ends - dark[..., None]) < 0.2 * safe) & (np.abs(light_ends - light[..., None]) < 0.2 * safe)
    offset = np.where(clean & (np.abs(offset) < 0.8 * reach), offset, np.nan)
    middle = _median(offset)
    scatter = 1.4826 * _median(np.abs(offset - _trend(offset)))
    far = np.abs(offset - middle[..., None]) > np.maximum(4 * scatter, 0.12 * reach + 0.3)[..., None]
    offset = np.where(far, np.nan, offset)
    kept = np.isfinite(offset).sum(axis=-1)
    good = (step > 0.45 * usual) & (kept >= 0.6 * _PROFILES) & (scatter < 0.25 * reach + 0.2)
    return offset, np.where(good, np.maximum(scatter, 0.01), np.nan), good, (dark, light)


def _median(values: Floats) -> Floats:
    """Median over the last axis that skips NaN and says 0 where nothing is left."""
    any_left: NDArray[np.bool_] = np.asarray(np.isfinite(values).any(axis=-1))
    filled = np.where(any_left[..., None], values, 0.0)
    return np.asarray(np.nanmedian(filled, axis=-1))


def _line(offset: Floats) -> tuple[Floats, Floats]:
    """Least-squares line through the offsets that are there: value at the middle of the edge, rise over its length."""
    there = np.isfinite(offset)
    value = np.where(there, offset, 0.0)
    x = np.where(there, _ALONG - 0.5, 0.0)
    n = np.maximum(there.sum(axis=-1), 1)
    mean_x, mean_v = x.sum(axis=-1) / n, value.sum(axis=-1) / n
    var = (x * x).sum(axis=-1) - n * mean_x**2
    slope = ((x * value).sum(axis=-1) - n * mean_x * mean_v) / np.where(var > 1e-9, var, np.inf)
    return mean_v - slope * mean_x, slope


def _trend(offset: Floats) -> Floats:
    middle, slope = _line(offset)
    return np.asarray(middle[..., None] + slope[..., None] * (_ALONG - 0.5))


@dataclass(frozen=True)
class _Frames:
    """Start corner, unit vectors along and outwards, and length in px of every edge where it was expected."""

    start: Floats
    direction: Floats
    outwards: Floats
    length: Floats


def _expected(picture: CardPicture) -> _Frames:
    start = picture.project(marker_corners().reshape(-1, 2)).reshape(17, 4, 2)
    along = np.roll(start, -1, axis=1) - start
    length = np.hypot(along[..., 0], along[..., 1])
    direction = along / length[..., None]
    outwards = np.stack([direction[..., 1], -direction[..., 0]], axis=-1)
    middle = start.mean(axis=1, keepdims=True)
    side = np.sign(np.sum(outwards * (start + along / 2 - middle), axis=-1))
    return _Frames(start, direction, outwards * side[..., None], length)


def _crossings(frames: _Frames, line: Floats, scatter: Floats, good: NDArray[np.bool_]) -> tuple[Floats, Floats]:
    """Corner k where edges k - 1 and k cross; its spread from the scatter of both, carried out to the ends."""
    along = frames.direction * frames.length[..., None]
    point = frames.start + 0.5 * along + line[..., :1] * frames.outwards
    heading = along + line[..., 1:] * frames.outwards
    before_point, before_heading = np.roll(point, 1, axis=1), np.roll(heading, 1, axis=1)
    cross = heading[..., 0] * before_heading[..., 1] - heading[..., 1] * before_heading[..., 0]
    gap = before_point - point
    reach = (gap[..., 0] * before_heading[..., 1] - gap[..., 1] * before_heading[..., 0]) / np.where(
        cross == 0, np.nan, cross
    )
    corners = point + reach[..., None] * heading
    both = good & np.roll(good, 1, axis=1)
    corners = np.where(both[..., None], corners, np.nan)
    # sd of a fitted line at the end of the edge: 1/n + (0.5)^2 / sum(x^2) = 1/n (1 + 0.25 / var), var of _ALONG 0.053
    at_end = scatter * np.sqrt((1 + 0.25 / float(np.var(_ALONG))) / _PROFILES)
    spread = np.sqrt((at_end**2 + np.roll(at_end, 1, axis=1) ** 2) / 2)
    return corners, np.where(both, spread, np.nan)


@cache
def _outer_edges() -> tuple[Floats, NDArray[np.bool_]]:
    """(14, 2, 2) mm: both ends of the outer edges of the black squares at the pattern's rim; (14,) whether they lie
    along x. Beyond them are 8 mm of white margin and behind them 16 mm of black: room for the widest blur."""
    (columns, rows), side = SQUARES, SQUARE_MM
    wide = [((x * side, y), ((x + 1) * side, y)) for y in (0.0, rows * side) for x in range(0, columns, 2)]
    tall = [((x, y * side), (x, (y + 1) * side)) for x in (0.0, columns * side) for y in range(0, rows, 2)]
    return np.array(wide + tall), np.array([True] * len(wide) + [False] * len(tall))


def edge_width(grey: NDArray[np.uint8], picture: CardPicture, scale: float, contrast: float) -> float:
    """10-90 % width in px of the card's outer edges, of the worse of its two directions; NaN where none is clear.

    `scale` is px per mm at the card, `contrast` its grey levels between black and white.
    """
    ends, across = _outer_edges()
    at = ends[:, :1] + np.linspace(0.2, 0.8, 12)[:, None] * (ends[:, 1:] - ends[:, :1])
    outwards = np.where(across[:, None], [0.0, 1.0], [1.0, 0.0]) * np.sign(ends.mean(axis=1) - np.array(PATTERN_MM) / 2)
    reach = min(_OUTER_REACH_MM, 26.0 / scale)
    steps = np.linspace(-reach, reach, round(2 * reach * scale / 0.4) + 1)
    places = at[:, :, None] + steps[:, None] * outwards[:, None, None]
    seen = picture.project(places.reshape(-1, 2)).reshape(places.shape)
    profile = np.median(_sample(grey, seen), axis=1)
    ends_ = max(2, len(steps) // 6)
    dark, light = profile[:, :ends_].mean(axis=1), profile[:, -ends_:].mean(axis=1)
    share = (profile - dark[:, None]) / np.maximum(light - dark, 1.0)[:, None]
    calm = (np.abs(share[:, :ends_]).max(axis=1) < 0.2) & (np.abs(share[:, -ends_:] - 1).max(axis=1) < 0.2)
    clear = calm & (light - dark > 0.5 * contrast)
    widths = np.array([np.ptp(np.interp([0.1, 0.9], np.maximum.accumulate(row), steps)) for row in share]) * scale
    groups = [widths[clear & side] for side in (across, ~across)]
    return max((float(np.median(group)) for group in groups if len(group)), default=float("nan"))
