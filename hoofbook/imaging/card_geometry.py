"""Where the corners of the printed pattern lie in frame card, and the card's picture in a photo (plane + lens).

Frames: *card* in millimetres, *photo* in pixels of the upright picture (centre of the top left pixel is 0, 0).
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache

import numpy as np
from numpy.typing import NDArray

from hoofbook.imaging import cv2
from hoofbook.terms.card import BACK_IDS, FRONT_IDS, MARKER_MM, PATTERN_MM, SQUARE_MM, SQUARES, CardFace

Floats = NDArray[np.float64]
_LENS_SPREAD = 0.05  # k1 of phone lenses; keeps k1 quiet where the corners say nothing about it
_SLANT_SPREAD = 0.2  # perspective over 50 mm: a card slanted by 45 degrees at 250 mm; steadies what one marker says
_GROWTH_SPREAD_MM = 0.4  # ink and blur move all edges of a marker outwards or inwards together


@cache
def dictionary() -> cv2.aruco.Dictionary:
    return cv2.aruco.getPredefinedDictionary(cv2.aruco.DICT_4X4_50)


@cache
def board(face: CardFace) -> cv2.aruco.CharucoBoard:
    ids = np.array(FRONT_IDS if face is CardFace.FRONT else BACK_IDS, np.int32)
    return cv2.aruco.CharucoBoard(SQUARES, SQUARE_MM, MARKER_MM, dictionary(), ids)


@cache
def marker_corners() -> Floats:
    """(17, 4, 2) mm: corners of each marker in the order of its id, clockwise from the top left."""
    corners = np.array([np.asarray(four)[:, :2] for four in board(CardFace.FRONT).getObjPoints()], float)
    corners.flags.writeable = False
    return corners


@cache
def inner_corners() -> Floats:
    """(24, 2) mm: inner corners of the squares as OpenCV counts them."""
    corners = np.asarray(board(CardFace.FRONT).getChessboardCorners(), float)[:, :2].copy()
    corners.flags.writeable = False
    return corners


@cache
def marker_outwards() -> Floats:
    """(17, 4, 2): direction in which each marker corner moves when the marker grows by one millimetre on every side."""
    corners = marker_corners()
    return np.asarray(np.sign(corners - corners.mean(axis=1, keepdims=True)))


@dataclass(frozen=True)
class CardPicture:
    """How frame card appears in one photo: a homography followed by one radial lens term about the middle.

    `plane` (8,) maps card to photo in scaled units, `lens` is k1 for radii over `unit` px, `growth_mm` how far every
    edge of a marker seems to lie outside its nominal place (ink and blur; squares that meet do not show it).
    """

    plane: Floats
    lens: float
    growth_mm: float
    middle: tuple[float, float]
    unit: float

    def project(self, card_mm: Floats, outwards: Floats | None = None) -> Floats:
        """(n, 2) mm to (n, 2) px; with `outwards` the growth of the markers is added first."""
        values = np.concatenate([self.plane, [self.lens, self.growth_mm]])
        return _project(values, card_mm, outwards, self.middle, self.unit)

    def scale_at(self, card_mm: Floats) -> Floats:
        """(n,) px per millimetre there: root of the area a square millimetre takes in the photo."""
        across, along = np.array([0.5, 0.0]), np.array([0.0, 0.5])
        right = self.project(card_mm + across) - self.project(card_mm - across)
        down = self.project(card_mm + along) - self.project(card_mm - along)
        area = right[:, 0] * down[:, 1] - right[:, 1] * down[:, 0]
        return np.asarray(np.sqrt(np.abs(area)))


def _project(
    values: Floats, card_mm: Floats, outwards: Floats | None, middle: tuple[float, float], unit: float
) -> Floats:
    h, lens, growth = values[:8], values[8], values[9]
    at = card_mm if outwards is None else card_mm + growth * outwards
    x, y = (at[:, 0] - PATTERN_MM[0] / 2) / 50, (at[:, 1] - PATTERN_MM[1] / 2) / 50
    w = h[6] * x + h[7] * y + 1
    u, v = (h[0] * x + h[1] * y + h[2]) / w, (h[3] * x + h[4] * y + h[5]) / w
    reach = unit * (1 + lens * (u * u + v * v))
    seen = np.empty((len(x), 2))
    seen[:, 0], seen[:, 1] = middle[0] + reach * u, middle[1] + reach * v
    return seen


def _jacobian(values: Floats, card_mm: Floats, outwards: Floats, unit: float) -> Floats:
    """(n, 2, 10): derivative of `_project` by plane, lens and growth."""
    h, lens, growth = values[:8], values[8], values[9]
    at = card_mm + growth * outwards
    x, y = (at[:, 0] - PATTERN_MM[0] / 2) / 50, (at[:, 1] - PATTERN_MM[1] / 2) / 50
    w = h[6] * x + h[7] * y + 1
    u, v = (h[0] * x + h[1] * y + h[2]) / w, (h[3] * x + h[4] * y + h[5]) / w
    flat = np.zeros((len(x), 2, 9))
    flat[:, 0, 0], flat[:, 0, 1], flat[:, 0, 2] = x / w, y / w, 1 / w
    flat[:, 1, 3], flat[:, 1, 4], flat[:, 1, 5] = x / w, y / w, 1 / w
    flat[:, 0, 6], flat[:, 0, 7], flat[:, 1, 6], flat[:, 1, 7] = -u * x / w, -u * y / w, -v * x / w, -v * y / w
    dx, dy = outwards[:, 0] / 50, outwards[:, 1] / 50
    fall = h[6] * dx + h[7] * dy
    flat[:, 0, 8] = (h[0] * dx + h[1] * dy - u * fall) / w
    flat[:, 1, 8] = (h[3] * dx + h[4] * dy - v * fall) / w
    square = u * u + v * v
    bend = np.empty((len(x), 2, 2))
    bend[:, 0, 0], bend[:, 1, 1] = 1 + lens * (square + 2 * u * u), 1 + lens * (square + 2 * v * v)
    bend[:, 0, 1] = bend[:, 1, 0] = 2 * lens * u * v
    moved = bend @ flat
    by_lens = np.stack([u * square, v * square], axis=1)[..., None]
    return np.asarray(unit * np.concatenate([moved[..., :8], by_lens, moved[..., 8:]], axis=2))


def plane_from(card_mm: Floats, photo_px: Floats, middle: tuple[float, float], unit: float) -> CardPicture | None:
    """Homography by the direct linear transform from four or more points; None where they do not give one."""
    x, y = ((card_mm - np.array(PATTERN_MM) / 2) / 50).T
    u, v = ((photo_px - middle) / unit).T
    one, none = np.ones_like(x), np.zeros_like(x)
    rows = np.concatenate(
        [
            np.stack([x, y, one, none, none, none, -u * x, -u * y, -u], axis=1),
            np.stack([none, none, none, x, y, one, -v * x, -v * y, -v], axis=1),
        ]
    )
    h = np.linalg.svd(rows, full_matrices=False)[2][-1]
    if abs(h[8]) < 1e-12 * np.abs(h).max():
        return None
    return CardPicture(h[:8] / h[8], 0.0, 0.0, middle, unit)


def fit(
    start: CardPicture, card_mm: Floats, outwards: Floats, photo_px: Floats, spread_px: Floats, *, rounds: int = 6
) -> tuple[CardPicture, Floats]:
    """The picture that fits the corners best, and (n,) how far each lies off it in px.

    Gauss-Newton on homography, lens and growth with soft-L1-like weights, so that corners pulled away by mud do not
    pull the rest. Priors (zero, with the spreads above) keep quiet what few corners cannot tell.
    """
    values = np.concatenate([start.plane, [start.lens, start.growth_mm]])
    prior = np.array([0.0] * 6 + [1 / _SLANT_SPREAD**2] * 2 + [1 / _LENS_SPREAD**2, 1 / _GROWTH_SPREAD_MM**2])
    off = photo_px - _project(values, card_mm, outwards, start.middle, start.unit)
    for _ in range(rounds):
        scaled = np.hypot(off[:, 0], off[:, 1]) / spread_px
        quiet = max(1.0, 1.4826 * float(np.median(scaled)))
        weight = 1 / spread_px**2 / (1 + (scaled / (2.5 * quiet)) ** 2) / quiet**2
        jacobian = _jacobian(values, card_mm, outwards, start.unit)
        weighted = jacobian * weight[:, None, None]
        normal = np.tensordot(weighted, jacobian, axes=([0, 1], [0, 1]))
        normal[np.diag_indices(10)] += prior + 1e-14 * np.trace(normal)
        move = np.linalg.solve(normal, np.tensordot(weighted, off, axes=([0, 1], [0, 1])) - prior * values)
        values = values + move
        off = photo_px - _project(values, card_mm, outwards, start.middle, start.unit)
        if float(np.abs(move[:8]).max()) < 5e-7:  # 2 thousandths of a pixel at 12 MP
            break
    found = CardPicture(values[:8], float(values[8]), float(values[9]), start.middle, start.unit)
    return found, np.asarray(np.hypot(*off.T))
