"""Small squares out of a photo, enlarged."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

import numpy as np

from hoofbook.imaging import cv2
from hoofbook.imaging.pixels import Pixels, full_picture
from hoofbook.terms.refusal import Refusal

_OUTSIDE = (128, 128, 128, 255)


def cut_out(path: Path, squares: Sequence[tuple[float, float, float]], side_px: int) -> list[Pixels] | Refusal:
    """Squares (middle x, middle y, half of the side; frame *photo*) as (side_px, side_px, 4) BGRX each.

    A square runs from middle - half to middle + half; what lies outside the photo is grey. Refusals as `full_picture`.
    """
    picture = full_picture(path)
    if isinstance(picture, Refusal):
        return picture
    return [_square(picture, square, side_px) for square in squares]


def _square(picture: Pixels, square: tuple[float, float, float], side_px: int) -> Pixels:
    x, y, half = square
    step = 2 * half / side_px
    # row and column 0 of the square have their centres half a step inside its edge
    back = np.array([[step, 0.0, x - half + step / 2], [0.0, step, y - half + step / 2]])
    way = (cv2.INTER_AREA if step > 1 else cv2.INTER_CUBIC) | cv2.WARP_INVERSE_MAP
    found = cv2.warpAffine(picture, back, (side_px, side_px), flags=way, borderValue=_OUTSIDE)
    return np.ascontiguousarray(found, np.uint8)
