"""The printed pattern of the scale card and its tags as black squares in millimetres, for papers to draw as vectors."""

from __future__ import annotations

from hoofbook.imaging import cv2
from hoofbook.terms.card import BACK_IDS, FRONT_IDS, MARKER_MM, SQUARE_MM, SQUARES, CardFace

_CELLS = 6  # DICT_4X4_50: four bits and a border of one cell on each side

Rectangle = tuple[float, float, float, float]
"""Left, top, width, height in millimetres, frame card (x right, y down)."""


def tag_rectangles(marker: int, side_mm: float, left: float = 0.0, top: float = 0.0) -> tuple[Rectangle, ...]:
    """Black runs of one marker of the card's dictionary, `side_mm` wide, its top left corner at (`left`, `top`)."""
    picture = cv2.aruco.generateImageMarker(cv2.aruco.getPredefinedDictionary(cv2.aruco.DICT_4X4_50), marker, _CELLS)
    cell = side_mm / _CELLS
    runs: list[Rectangle] = []
    for row in range(_CELLS):
        column = 0
        while column < _CELLS:
            end = column
            while end < _CELLS and picture[row, end] == 0:
                end += 1
            if end > column:
                runs.append((left + column * cell, top + row * cell, (end - column) * cell, cell))
            column = end + 1
    return tuple(runs)


def pattern_rectangles(face: CardFace) -> tuple[Rectangle, ...]:
    """All black rectangles of one face: the dark squares, and the markers inside the white ones.

    The order of markers is OpenCV's (`CharucoBoard`): white squares row by row from the top left.
    """
    ids = iter(FRONT_IDS if face is CardFace.FRONT else BACK_IDS)
    columns, rows = SQUARES
    inset = (SQUARE_MM - MARKER_MM) / 2
    out: list[Rectangle] = []
    for row in range(rows):
        for column in range(columns):
            left, top = column * SQUARE_MM, row * SQUARE_MM
            if (row + column) % 2 == 0:
                out.append((left, top, SQUARE_MM, SQUARE_MM))
            else:
                out.extend(tag_rectangles(next(ids), MARKER_MM, left + inset, top + inset))
    return tuple(out)
