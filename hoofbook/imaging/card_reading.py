"""Reads markers that no contour search finds, because mud touches their outline: cell by cell where they must lie.

From one or more decoded markers the card's plane is carried on to the next ones; a marker counts as read when the
light and dark of its cells is what its id prints. So the plane grows over the card from what is still to be seen.
"""

from __future__ import annotations

from functools import cache

import numpy as np
from numpy.typing import NDArray

from hoofbook.imaging import cv2
from hoofbook.imaging.card_edges import measure_edges
from hoofbook.imaging.card_geometry import CardPicture, Floats, dictionary, fit, marker_corners, marker_outwards
from hoofbook.terms.card import BACK_IDS, FRONT_IDS, CardFace

# Of 52 cells looked at (36 of the marker, 16 of the white round it). By chance, cells being light or dark like tossed
# coins, 41 or more agree once in 25,000 (binomial), and three neighbours would have to agree at once.
_LEAST_AGREEING = 41
_ROUNDS = 6


@cache
def _cells() -> tuple[Floats, dict[CardFace, NDArray[np.bool_]]]:
    """Places (17, 52, 2) in frame card, and for each face (17, 52) whether the print is white there."""
    steps = np.arange(6) * 2.0 + 1.0
    inner = np.stack(np.meshgrid(steps, steps), axis=-1).reshape(-1, 2)
    side = np.array([1.5, 4.5, 7.5, 10.5])
    ring = [np.column_stack([side, np.full(4, -1.0)]), np.column_stack([side, np.full(4, 13.0)])]
    ring += [np.column_stack([np.full(4, -1.0), side]), np.column_stack([np.full(4, 13.0), side])]
    places = marker_corners()[:, :1] + np.concatenate([inner, *ring])
    white = {}
    for face, ids in ((CardFace.FRONT, FRONT_IDS), (CardFace.BACK, BACK_IDS)):
        prints = [np.asarray(cv2.aruco.generateImageMarker(dictionary(), number, 6)).ravel() > 127 for number in ids]
        white[face] = np.array([np.concatenate([cells, np.ones(16, bool)]) for cells in prints])
    return places, white


def readable(grey: NDArray[np.uint8], picture: CardPicture, face: CardFace) -> NDArray[np.bool_]:
    """(17,) whether the cells of each marker agree with its print where `picture` puts it."""
    places, white = _cells()
    at = picture.project(places.reshape(-1, 2)).astype(np.float32)
    seen = cv2.remap(grey, at[:, 0], at[:, 1], cv2.INTER_LINEAR, borderMode=cv2.BORDER_CONSTANT, borderValue=(127,))
    levels = np.asarray(seen, float).reshape(17, 52)
    light = np.array([np.median(row[w]) for row, w in zip(levels, white[face], strict=True)])
    dark = np.array([np.median(row[~w]) for row, w in zip(levels, white[face], strict=True)])
    agreeing = ((levels > ((light + dark) / 2)[:, None]) == white[face]).sum(axis=1)
    return np.asarray((agreeing >= _LEAST_AGREEING) & (light - dark > 20))


def grow(
    grey: NDArray[np.uint8], picture: CardPicture, face: CardFace, decoded: tuple[int, ...]
) -> tuple[CardPicture, tuple[int, ...]]:
    """The plane carried over all markers that can be read from where `decoded` (ids) lie; their ids with it."""
    first = FRONT_IDS[0] if face is CardFace.FRONT else BACK_IDS[0]
    known = np.zeros(17, bool)
    known[[number - first for number in decoded]] = True
    for _ in range(_ROUNDS):
        better = _refit(grey, picture, known)
        if better is None:
            break
        picture = better
        now = known | readable(grey, picture, face)
        if (now == known).all():
            break
        known = now
    return picture, tuple(int(k) + first for k in np.flatnonzero(known))


def _refit(grey: NDArray[np.uint8], picture: CardPicture, known: NDArray[np.bool_]) -> CardPicture | None:
    edges = measure_edges(grey, picture)
    there = np.isfinite(edges.spread) & known[:, None]
    if there.sum() < 4:
        return None
    mm, outwards = marker_corners()[there], marker_outwards()[there]
    found, _ = fit(picture, mm, outwards, edges.corners[there], np.maximum(edges.spread[there], 0.1))
    return found
