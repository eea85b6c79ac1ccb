"""A photo as it goes on paper: upright, moved, turned and scaled only, with what is drawn on it, free of metadata."""

from __future__ import annotations

import math
from collections.abc import Sequence
from pathlib import Path

import numpy as np

from hoofbook.imaging import cv2
from hoofbook.imaging.covered import cover
from hoofbook.imaging.paint_pixels import paint
from hoofbook.imaging.pixels import Pixels, open_upright, read_facts
from hoofbook.terms.drawing import Drawing
from hoofbook.terms.refusal import Refusal, Refused
from hoofbook.terms.subjects.photos import CoverBox

LONGEST = 2000  # px: sharp on paper at the width of a hand
QUALITY = 85
_MAT = (128, 128, 128)
ToPicture = tuple[tuple[float, float, float], tuple[float, float, float]]


def paper_photo(
    path: Path,
    to_picture: ToPicture,
    size: tuple[int, int],
    drawings: Sequence[Drawing] = (),
    *,
    covered: Sequence[CoverBox],
) -> bytes:
    """JPEG of `size` (width, height) px: the photo laid by `to_picture` (photo px to picture px; moves, turns, scales
    only) with the boxes `covered` filled, then `drawings` in picture px. Where the photo ends there is neutral grey.
    The bytes are made from pixels alone, so no place, time, serial number or small old picture of the photo's file
    comes along.

    Raises:
        Refused: what `pixels.read_facts` and `open_upright` refuse.
    """
    picture = _laid(path, np.asarray(to_picture, np.float64), size, covered)
    if drawings:
        every = tuple(part for drawing in drawings for part in drawing.primitives)
        picture = paint(Drawing(float(size[0]), float(size[1]), every), picture)
    done, data = cv2.imencode(".jpg", picture, [cv2.IMWRITE_JPEG_QUALITY, QUALITY])
    if not done:
        raise RuntimeError("OpenCV could not encode a JPEG")
    return data.tobytes()


def whole_photo(size: tuple[int, int], longest: int = LONGEST) -> tuple[ToPicture, tuple[int, int]]:
    """How a whole photo of `size` px is laid when it is only made smaller: its matrix and the picture's size."""
    scale = min(1.0, longest / max(size))
    wide, tall = (max(1, round(side * scale)) for side in size)
    middle = 0.5 * scale - 0.5  # centres of pixels: place p goes to (p + 0.5) * scale - 0.5
    return ((scale, 0.0, middle), (0.0, scale, middle)), (wide, tall)


def _laid(
    path: Path,
    matrix: np.ndarray[tuple[int, ...], np.dtype[np.float64]],
    size: tuple[int, int],
    covered: Sequence[CoverBox],
) -> Pixels:
    facts = read_facts(path)
    if isinstance(facts, Refusal):
        raise Refused(facts)
    scale = math.hypot(matrix[0, 0], matrix[1, 0])
    longest = max(facts.width, facts.height)
    photo = open_upright(path, max(1, round(longest * min(1.0, scale))))
    if isinstance(photo, Refusal):
        raise Refused(photo)
    reduced = photo.shape[1] / facts.width
    back = np.array([[1 / reduced, 0, 0.5 / reduced - 0.5], [0, 1 / reduced, 0.5 / reduced - 0.5], [0, 0, 1]])
    laid = cv2.warpAffine(
        cover(photo, covered),
        (np.vstack([matrix, [0.0, 0.0, 1.0]]) @ back)[:2],
        size,
        flags=cv2.INTER_CUBIC,
        borderMode=cv2.BORDER_CONSTANT,
        borderValue=_MAT,
    )
    return np.asarray(laid, np.uint8)
