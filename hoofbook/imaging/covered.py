"""Boxes of a photo that nobody shall see (a face, a number plate): filled with one colour, burnt in for good.

A flat colour, not a blur: what is blurred or made coarse can be guessed again from what is left.
"""

from __future__ import annotations

import math
from collections.abc import Sequence

from hoofbook.imaging.pixels import Pixels
from hoofbook.terms.subjects.photos import CoverBox


def cover(photo: Pixels, boxes: Sequence[CoverBox]) -> Pixels:
    """(h, w, 3) BGR with every box filled with the mean colour of its rim; the photo handed in stays as it is."""
    if not boxes:
        return photo
    done = photo.copy()
    height, width = photo.shape[:2]
    for left, top, right, low in boxes:
        x0, x1 = sorted((_place(left, width), _place(right, width)))
        y0, y1 = sorted((_place(top, height), _place(low, height)))
        part = done[y0 : y1 + 1, x0 : x1 + 1]
        done[y0 : y1 + 1, x0 : x1 + 1] = part[[0, -1]].reshape(-1, 3).mean(axis=0).round()
    return done


def _place(share: float, side: int) -> int:
    """The pixel in which the share lies: one that the box only touches is filled too, made smaller as well."""
    return min(side - 1, max(0, math.floor(share * side)))
