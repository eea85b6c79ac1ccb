"""The printed scale card: its geometry, and what was seen of it in one photo.

Frame *card*: millimetres in OpenCV's board frame; origin at the top left corner of the printed pattern,
x to the right, y down. Distances printed here are those of a print at 100 %.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from hoofbook.terms.feet import Foot
from hoofbook.terms.views import Moment

SQUARES = (7, 5)
SQUARE_MM = 16.0
MARKER_MM = 12.0
PATTERN_MM = (112.0, 80.0)
MARGIN_MM = 8.0
FLOOR_BELOW_PATTERN_TOP_MM = 88.0  # the standing card's lower edge is the floor
FRONT_IDS = tuple(range(0, 17))
BACK_IDS = tuple(range(26, 43))
FOOT_TAGS = {20: Foot.LF, 21: Foot.RF, 22: Foot.LH, 23: Foot.RH}
MOMENT_TAGS = {24: Moment.BEFORE_TRIM, 25: Moment.AFTER_TRIM}
MIRROR_IDS = (8, 9)  # these two decode in a mirrored picture as well


class CardFace(StrEnum):
    """Front says nothing about the moment; the back is used for photos after the trim."""

    FRONT = "front"
    BACK = "back"


@dataclass(frozen=True, slots=True)
class CardCorner:
    """One corner of the pattern seen in a photo.

    `name` is unique on one card ("c07" inner corner 7 of 24 counted by OpenCV, "m31.2" corner 2 of marker id 31,
    clockwise from its top left); `card_mm` in frame card; `photo_px` in frame photo (upright picture, centre of
    the top left pixel is 0, 0); `spread_px` is the standard deviation of one coordinate.
    """

    name: str
    card_mm: tuple[float, float]
    photo_px: tuple[float, float]
    spread_px: float


@dataclass(frozen=True, slots=True)
class CardSighting:
    """What one photo shows of the card and its tags: raw corners, before any camera is fitted."""

    face: CardFace
    corners: tuple[CardCorner, ...]
    markers: tuple[int, ...]
    tags: tuple[int, ...]  # ids of single foot and moment tags seen beside it
    edge_width_px: float  # 10-90 % width of black-white edges at the corners: blur and shake
    photo_size: tuple[int, int]  # width, height in px of the upright picture
    detector: str  # name and version of what found it

    @property
    def foot(self) -> Foot | None:
        return next((FOOT_TAGS[tag] for tag in self.tags if tag in FOOT_TAGS), None)

    @property
    def moment(self) -> Moment | None:
        if self.face is CardFace.BACK:
            return Moment.AFTER_TRIM
        return next((MOMENT_TAGS[tag] for tag in self.tags if tag in MOMENT_TAGS), None)
