"""Where each spot of one resampled picture lies in another: two matchers that know nothing of each other.

Both pictures were drawn from their photos onto one guessed surface (`resampled`), so that a spot lies at almost the
same place in both and what is left to find is small. `shift_field` follows every pixel by dense inverse search (Kroeger
and others, Fast Optical Flow using Dense Inverse Search, 2016); `likeness` only says how alike two pictures are where
they stand (normalised correlation), so that guessed surfaces can be compared.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from hoofbook.imaging import cv2
from hoofbook.terms.sole_shape import Map, ShiftField

Grey = NDArray[np.uint8]
PATCH_PX = 9  # side of the square over which likeness is taken


def resampled(grey: Grey, places: NDArray[np.float64]) -> Grey:
    """The photo's grey levels at `places` (h, w, 2), frame photo (x, y; centre of the top left pixel at 0, 0)."""
    spots = places.astype(np.float32)
    return np.asarray(
        cv2.remap(grey, spots[..., 0], spots[..., 1], cv2.INTER_CUBIC, borderMode=cv2.BORDER_REPLICATE), np.uint8
    )


def shift_fields(one: Grey, two: Grey) -> tuple[ShiftField, ShiftField]:
    """From `one` to `two` and from `two` to `one`, (h, w) uint8 of one size."""
    there, back = _flow(one, two), _flow(two, one)
    return _checked(there, back), _checked(back, there)


def _flow(one: Grey, two: Grey) -> Map:
    search = cv2.DISOpticalFlow.create(cv2.DISOPTICAL_FLOW_PRESET_MEDIUM)
    search.setFinestScale(0)  # the pictures are small: nothing is gained by stopping at half size
    return np.asarray(search.calc(one, two, np.zeros((*one.shape, 2), np.float32)), np.float32)


def _checked(there: Map, back: Map) -> ShiftField:
    height, width = there.shape[:2]
    column, row = np.meshgrid(np.arange(width, dtype=np.float32), np.arange(height, dtype=np.float32))
    returned = cv2.remap(
        back, column + there[..., 0], row + there[..., 1], cv2.INTER_LINEAR, borderMode=cv2.BORDER_REPLICATE
    )
    unsure = np.hypot(there[..., 0] + returned[..., 0], there[..., 1] + returned[..., 1])
    return ShiftField(there[..., 0].copy(), there[..., 1].copy(), np.asarray(unsure, np.float32))


def likeness(one: Grey, two: Grey) -> Map:
    """Normalised correlation (h, w) of the squares of `PATCH_PX` around each pixel; 0 where either shows nothing."""
    a, b = one.astype(np.float32), two.astype(np.float32)
    size = (PATCH_PX, PATCH_PX)
    mean_a, mean_b = cv2.boxFilter(a, -1, size), cv2.boxFilter(b, -1, size)
    both = cv2.boxFilter(a * b, -1, size) - mean_a * mean_b
    spread_a = cv2.boxFilter(a * a, -1, size) - mean_a**2
    spread_b = cv2.boxFilter(b * b, -1, size) - mean_b**2
    shown = (spread_a > _FLAT) & (spread_b > _FLAT)
    alike = both / np.sqrt(np.maximum(spread_a * spread_b, 1e-6))
    return np.asarray(np.where(shown, np.clip(alike, -1.0, 1.0), 0.0), np.float32)


def corner_strength(grey: Grey) -> Map:
    """How well a spot can be told from its neighbours in every direction, (h, w): least eigenvalue of the gradients'
    moments (Shi and Tomasi 1994)."""
    return np.asarray(cv2.cornerMinEigenVal(grey, PATCH_PX), np.float32)


_FLAT = 1.0  # variance of grey levels: a square that varies less shows nothing to hold on to
