"""How much light, and of which colour, the card's white print sends back: what tells two photos' light apart.

The white margin round the printed pattern is looked at, in its middle and away from tags and fingers (the median of
many places). The small upright copy of the photo is enough: the margin is 8 mm wide.
"""

from __future__ import annotations

from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from hoofbook.imaging import cv2
from hoofbook.imaging.pixels import Pixels, open_upright
from hoofbook.terms.card import MARGIN_MM, PATTERN_MM, CardSighting
from hoofbook.terms.refusal import Refusal

Light = tuple[float, float, float]
"""Red, green, blue, linear, 1 = the brightest a photo can hold."""

_LONGEST = 1008  # px of the copy that is looked at
_STEP_MM = 4.0
_FEWEST_CORNERS = 6
_FEWEST_PLACES = 12
_LEAST_MARGIN_PX = 2.0
_BURNT_OUT = 250  # sRGB level from which a photo no longer tells how bright a place is


def card_light(path: Path, sighting: CardSighting | None) -> Light | None:
    """Light of the card in the photo at `path` (the original or a smaller upright copy).

    None where there is no card, its margin is under two pixels wide, mostly outside the photo, or burnt out.
    """
    if sighting is None or len(sighting.corners) < _FEWEST_CORNERS:
        return None
    photo = open_upright(path, _LONGEST)
    if isinstance(photo, Refusal):
        return None
    return light_of(photo, sighting)


def light_of(photo: Pixels, sighting: CardSighting) -> Light | None:
    """The same of pixels (h, w, 3) BGR, upright, in which the sighting's photo may stand smaller."""
    shrink = photo.shape[1] / sighting.photo_size[0]
    card = np.array([corner.card_mm for corner in sighting.corners])
    seen = (np.array([corner.photo_px for corner in sighting.corners]) + 0.5) * shrink - 0.5
    found, _ = cv2.findHomography(card, seen)
    if found is None:
        return None
    plane = np.asarray(found, np.float64)
    if _margin_px(plane) < _LEAST_MARGIN_PX:
        return None
    places = _seen(plane, _margin_places())
    inside = (places >= 0).all(axis=1) & (places <= np.array([photo.shape[1], photo.shape[0]]) - 1.0).all(axis=1)
    if inside.sum() < _FEWEST_PLACES:
        return None
    columns, rows = np.round(places[inside]).astype(int).T
    middle = np.median(photo[rows, columns].astype(float), axis=0)[::-1]
    if middle.max() >= _BURNT_OUT:
        return None
    red, green, blue = (float(value) for value in _linear(middle / 255.0))
    return red, green, blue


def _margin_places() -> NDArray[np.float64]:
    """Places (k, 2) in frame card along the middle of the white margin."""
    wide, high = PATTERN_MM
    out = MARGIN_MM / 2.0
    along = np.arange(0.0, wide + _STEP_MM / 2, _STEP_MM)
    down = np.arange(0.0, high + _STEP_MM / 2, _STEP_MM)
    edges = [
        np.stack([along, np.full_like(along, -out)], axis=1),
        np.stack([along, np.full_like(along, high + out)], axis=1),
        np.stack([np.full_like(down, -out), down], axis=1),
        np.stack([np.full_like(down, wide + out), down], axis=1),
    ]
    return np.concatenate(edges)


def _margin_px(plane: NDArray[np.float64]) -> float:
    """Width of the margin in px at the card's middle."""
    x, y = PATTERN_MM[0] / 2, PATTERN_MM[1] / 2
    ends = _seen(plane, np.array([[x, y], [x, y + MARGIN_MM]]))
    return float(np.linalg.norm(ends[1] - ends[0]))


def _seen(plane: NDArray[np.float64], places: NDArray[np.float64]) -> NDArray[np.float64]:
    homogeneous = np.column_stack([places, np.ones(len(places))]) @ plane.T
    return np.asarray(homogeneous[:, :2] / homogeneous[:, 2:])


def _linear(encoded: NDArray[np.float64]) -> NDArray[np.float64]:
    """sRGB (IEC 61966-2-1) to linear light."""
    return np.where(encoded <= 0.04045, encoded / 12.92, ((encoded + 0.055) / 1.055) ** 2.4)
