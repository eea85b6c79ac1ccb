"""The printed scale card and the foot tags: pictures for the renderer and their pose in the hoof frame."""

from __future__ import annotations

import cv2
import numpy as np

SQUARE, MARKER, MARGIN = 16.0, 12.0, 8.0
PATTERN = (112.0, 80.0)
FLOOR_EDGE = 88.0  # pattern's top edge above the sheet's lower edge
TAG_SHEET = (36.0, 70.0)  # foot tag above, moment tag below
TAG_MARKER = 24.0
PIXELS_PER_MM = 16
FOOT_TAGS = {"LF": 20, "RF": 21, "LH": 22, "RH": 23}
MOMENT_TAGS = {"before trim": 24, "after trim": 25}


def dictionary() -> cv2.aruco.Dictionary:
    return cv2.aruco.getPredefinedDictionary(cv2.aruco.DICT_4X4_50)


def board(face: str) -> cv2.aruco.CharucoBoard:
    """``front`` has ids 0..16, ``back`` 26..42."""
    first = 0 if face == "front" else 26
    return cv2.aruco.CharucoBoard((7, 5), SQUARE, MARKER, dictionary(), np.arange(first, first + 17))


def inner_corners() -> np.ndarray:
    """(24, 3) inner corners in the card frame, in the order of their ids."""
    ids = np.arange(24)
    return np.stack([(ids % 6 + 1) * SQUARE, (ids // 6 + 1) * SQUARE, np.zeros(24)], 1)


def sheet_picture(face: str) -> np.ndarray:
    """Grey picture of the whole 128 x 96 mm sheet, PIXELS_PER_MM."""
    size = (int(PATTERN[0] * PIXELS_PER_MM), int(PATTERN[1] * PIXELS_PER_MM))
    pattern = board(face).generateImage(size, marginSize=0, borderBits=1)
    edge = int(MARGIN * PIXELS_PER_MM)
    return cv2.copyMakeBorder(pattern, edge, edge, edge, edge, cv2.BORDER_CONSTANT, value=255)


def tag_picture(foot: str, moment: str) -> np.ndarray:
    """Grey picture of the tag sheet: the foot's marker above, the moment's marker below (if it has one)."""
    width, height = (int(side * PIXELS_PER_MM) for side in TAG_SHEET)
    picture = np.full((height, width), 255, np.uint8)
    side = int(TAG_MARKER * PIXELS_PER_MM)
    left = (width - side) // 2
    ids = [FOOT_TAGS[foot]] + ([MOMENT_TAGS[moment]] if moment in MOMENT_TAGS else [])
    for row, tag in enumerate(ids):
        top = int((6.0 + row * 32.0) * PIXELS_PER_MM)
        picture[top : top + side, left : left + side] = cv2.aruco.generateImageMarker(dictionary(), tag, side)
        word = foot if row == 0 else moment.split()[0]
        font, scale = cv2.FONT_HERSHEY_SIMPLEX, 1.6
        (wide, _), _ = cv2.getTextSize(word, font, scale, 4)
        cv2.putText(picture, word, ((width - wide) // 2, top + side + 68), font, scale, 40, 4, cv2.LINE_AA)
    return picture


def rotation(axis: str, degrees: float) -> np.ndarray:
    angle = np.radians(degrees)
    cosine, sine = np.cos(angle), np.sin(angle)
    if axis == "x":
        return np.array([[1, 0, 0], [0, cosine, -sine], [0, sine, cosine]])
    if axis == "y":
        return np.array([[cosine, 0, sine], [0, 1, 0], [-sine, 0, cosine]])
    return np.array([[cosine, -sine, 0], [sine, cosine, 0], [0, 0, 1]])


def standing_pose(
    left_x: float, offset: float, lean: float, yaw: float, foot: str, sheet_width: float, floor_edge: float
) -> tuple[np.ndarray, np.ndarray]:
    """Card to hoof (rotation, translation) of a sheet standing on the floor (y = 0).

    ``left_x`` is the hoof x of the middle of the floor edge, ``offset`` its z; the sheet leans back by
    ``lean`` about its floor edge and is turned by ``yaw`` about the vertical. For a right foot the hoof
    frame is left-handed, so the rotation's determinant is -1.
    """
    side = 1.0 if foot.startswith("L") else -1.0
    upright = np.array([[side, 0, 0], [0, -1, 0], [0, 0, -1]], float)  # columns: card x, y, z in the hoof frame
    turned = rotation("y", yaw) @ rotation("x", -lean) @ upright
    edge_middle = np.array([(sheet_width - 2 * MARGIN) / 2, floor_edge, 0.0])
    translation = np.array([left_x, 0.0, offset]) - turned @ edge_middle
    return turned, translation


def lifted_pose(
    near_x: float, height: float, tilt: float, roll: float, spin: float, foot: str, sideways: float
) -> tuple[np.ndarray, np.ndarray]:
    """Card to hoof of the card held across the heel bulbs, face down (away from the foot).

    ``near_x`` is the hoof x of the sheet's edge nearest the toe, ``height`` its y; ``tilt`` raises the far
    edge, ``roll`` the outside edge, ``spin`` turns the card in its own plane.
    """
    side = 1.0 if foot.startswith("L") else -1.0
    facing = np.array([[0, 1, 0], [0, 0, 1], [side, 0, 0]], float)  # card x across, y to the heel, z into the foot
    turned = rotation("z", tilt) @ rotation("x", roll) @ facing @ rotation("z", spin)
    near_middle = np.array([PATTERN[0] / 2, -MARGIN, 0.0])
    return turned, np.array([near_x, height, sideways]) - turned @ near_middle
