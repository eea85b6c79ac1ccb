"""Finds the same spot in two photos: a small patch looked for in a small window, to a fraction of a pixel."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from hoofbook.imaging import cv2

Grey = NDArray[np.uint8]
PATCH_PX = 41  # side of the patch: large enough for texture, small enough to lie about on one plane
LEAST_SCORE = 0.6  # normalised correlation below which the spot is not recognised


@dataclass(frozen=True, slots=True)
class Match:
    """Where the patch was found, frame photo, and how alike it is (normalised correlation, 1 = the same)."""

    x: float
    y: float
    score: float


def match_patch(
    grey_from: Grey,
    at: tuple[float, float],
    grey_to: Grey,
    near: tuple[float, float],
    radius_px: float,
    *,
    warp: ArrayLike | None = None,
    along: tuple[float, float] | None = None,
    aside_px: float = 0.0,
) -> Match | None:
    """The spot of `grey_to` within `radius_px` of `near` that looks most like `grey_from` around `at`.

    Positions are in frame photo (px, centre of the top left pixel at 0, 0). `warp` (2, 2) takes small steps in the
    first photo to steps in the second (scale, turn and slant between the two views; None = the same). With `along` (a
    unit direction) it is looked for only within `aside_px` of the line through `near` that runs there. None where the
    patch lies too near an edge, is without texture, or nothing alike is found.
    """
    back = np.eye(2) if warp is None else np.linalg.inv(np.asarray(warp, np.float64))
    patch = _patch(grey_from, at, back, PATCH_PX)
    if patch is None or float(patch.std()) < _FLAT:
        return None
    reach = max(2, round(radius_px))
    side = PATCH_PX + 2 * reach
    window = _patch(grey_to, near, np.eye(2), side)
    if window is None:
        return None
    scores = np.asarray(cv2.matchTemplate(window, patch, cv2.TM_CCOEFF_NORMED), np.float64)
    if along is not None:
        down_by, right_by = np.indices(scores.shape) - reach
        scores = np.where(np.abs(right_by * along[1] - down_by * along[0]) <= aside_px, scores, -1.0)
    row, column = (int(place) for place in np.unravel_index(int(np.argmax(scores)), scores.shape))
    score = float(scores[row, column])
    if score < LEAST_SCORE:
        return None
    across = _peak(scores[row], column)
    down = _peak(scores[:, column], row)
    return Match(near[0] + across - reach, near[1] + down - reach, score)


def settled_places(
    places_from: ArrayLike, places_to: ArrayLike, tolerance_px: float
) -> tuple[NDArray[np.float64], NDArray[np.bool_]]:
    """Where each spot should lie if all lie about on one plane, and which of the found places agree with that.

    Both (n, 2), frame photo. The plane-to-plane view is fitted to most of them (RANSAC), so that spots found in the
    wrong place do not count. With fewer than four, or no agreement, the found places come back and none agrees.
    """
    old = np.asarray(places_from, np.float64).reshape(-1, 2)
    new = np.asarray(places_to, np.float64).reshape(-1, 2)
    nothing = np.zeros(len(new), np.bool_)
    if len(old) < FEWEST_FOR_PLANE:
        return new, nothing
    matrix, _ = cv2.findHomography(old, new, cv2.RANSAC, tolerance_px)
    if matrix is None:
        return new, nothing
    expected = np.asarray(cv2.perspectiveTransform(old[:, None], matrix), np.float64).reshape(-1, 2)
    agrees = np.hypot(*(expected - new).T) <= tolerance_px
    return (expected, agrees) if agrees.sum() >= max(FEWEST_FOR_PLANE, len(old) // 3) else (new, nothing)


FEWEST_FOR_PLANE = 6
_FLAT = 2.0  # grey levels: a patch that varies less shows nothing to hold on to


def _patch(grey: Grey, at: tuple[float, float], warp: NDArray[np.float64], side: int) -> Grey | None:
    """`side` x `side` grey levels around `at`, sampled between pixels; None where it would leave the picture."""
    half = (side - 1) / 2
    corners = np.array([[x, y] for x in (-half, half) for y in (-half, half)]) @ np.asarray(warp).T + np.asarray(at)
    height, width = grey.shape
    if corners.min() < 0 or corners[:, 0].max() > width - 1 or corners[:, 1].max() > height - 1:
        return None
    matrix = np.empty((2, 3))
    matrix[:, :2] = warp
    matrix[:, 2] = np.asarray(at) - np.asarray(warp) @ np.array([half, half])
    flags = cv2.INTER_LINEAR | cv2.WARP_INVERSE_MAP
    return np.asarray(cv2.warpAffine(grey, matrix, (side, side), flags=flags), np.uint8)


def _peak(scores: NDArray[np.float64], place: int) -> float:
    """Place of the top of the parabola through the best likeness and its two neighbours."""
    if not 0 < place < len(scores) - 1:
        return float(place)
    before, here, after = scores[place - 1 : place + 2]
    bend = before - 2 * here + after
    return float(place) if bend >= 0 else place + 0.5 * float((before - after) / bend)
