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
_LITTLE_LARGER = 1.5
ToPicture = tuple[tuple[float, float, float], tuple[float, float, float]]


def paper_photo(
    path: Path,
    to_picture: ToPicture,
    size: tuple[int, int],
    drawings: Sequence[Drawing] = (),
    *,
    covered: Sequence[CoverBox],
    copy: Path | None = None,
) -> bytes:
    """JPEG of `size` (width, height) px: the photo as `laid_on_paper`, then `drawings` in picture px. The bytes are
    made from pixels alone, so no place, time, serial number or small old picture of the photo's file comes along.

    Raises:
        Refused: what `pixels.read_facts` and `open_upright` refuse.
    """
    return with_drawings(laid_on_paper(path, to_picture, size, covered=covered, copy=copy), drawings)


def laid_on_paper(
    path: Path, to_picture: ToPicture, size: tuple[int, int], *, covered: Sequence[CoverBox], copy: Path | None = None
) -> Pixels:
    """(h, w, 3) BGR of `size` px: the photo laid by `to_picture` (photo px to picture px; moves, turns, scales only)
    with the boxes `covered` filled. Where the photo ends there is neutral grey.

    `copy` is a smaller upright copy of the photo: opened in its place where it holds every pixel that is to be seen.
    Refused: as `paper_photo`.
    """
    matrix = np.asarray(to_picture, np.float64)
    whole = _size_of(path)
    wanted = math.ceil(max(whole) * min(1.0, math.hypot(matrix[0, 0], matrix[1, 0])))
    photo = _opened(path, copy, whole, wanted)
    reduced = photo.shape[1] / whole[0]
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


def with_drawings(picture: Pixels, drawings: Sequence[Drawing] = ()) -> bytes:
    """JPEG of the pixels (h, w, 3) with `drawings` (in their px) on them; the pixels handed in stay as they are."""
    if drawings:
        every = tuple(part for drawing in drawings for part in drawing.primitives)
        picture = paint(Drawing(float(picture.shape[1]), float(picture.shape[0]), every), picture)
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


def _size_of(path: Path) -> tuple[int, int]:
    facts = read_facts(path)
    if isinstance(facts, Refusal):
        raise Refused(facts)
    return facts.width, facts.height


def _opened(path: Path, copy: Path | None, whole: tuple[int, int], wanted: int) -> Pixels:
    """The photo with about `wanted` px along its longer side, from the copy where that has as many."""
    photo = _with_about(copy, wanted) if copy is not None and wanted < max(whole) else None
    found = _with_about(path, wanted) if photo is None or isinstance(photo, Refusal) else photo
    if found is None or isinstance(found, Refusal):
        raise Refused(found or Refusal("photo_unreadable", {"file": path.name}))
    return found


def _with_about(path: Path, wanted: int) -> Pixels | Refusal | None:
    """A little more than `wanted` px where a decoder gives that at once: bringing them to the very number costs more
    than the laying, which skips none between so few. None where there are fewer."""
    facts = read_facts(path)
    if isinstance(facts, Refusal):
        return facts
    longest = max(facts.width, facts.height)
    if longest < wanted:
        return None
    at_once = [-(-longest // reduce) for reduce in (8, 4, 2, 1) if -(-longest // reduce) >= wanted]
    return open_upright(path, at_once[0] if at_once[0] <= _LITTLE_LARGER * wanted else wanted)
