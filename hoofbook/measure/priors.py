"""What is believed before a photo is looked at: every stated spread in one place (standard deviations unless said).

A spread here is used for the estimate and for its ±, so a wrong one makes the ± wrong: the coverage table
(`tests/benchmarks/coverage.py`) draws its trials from these figures.
"""

from __future__ import annotations

import math

# Lens. EXIF's 35 mm equivalent is a whole number and differs a little between copies of one phone.
DIAGONAL_35MM = 43.27
FOCAL = 0.03  # of the focal length
FOCAL_UNKNOWN_35MM = 35.0  # between a phone's main lens and its 2x
FOCAL_UNKNOWN = 0.35  # of the logarithm
CENTRE = 0.01  # principal point, share of the picture's longer side
K1 = 0.03
FOCAL_EDITED = 0.30  # a crop changes what the tag means
CENTRE_EDITED = 0.12
K1_EDITED = 0.08
FOCAL_CONTRADICTED = 0.08  # between the tag and what the card shows

# Card.
PRINT_UNCHECKED = 0.005  # share of each side
PRINT_TOLD_MM = 0.1
BOW_MM = 0.05  # a flat card; freed where its residuals show a bow
BOW_FREE_MM = 3.0
LEAN_STAND_DEG = 1.5
LEAN_UNKNOWN_DEG = 3.0
LEAN_FOOT_DEG = 10.0  # on the foot, or doubted: it may lean any way
YAW_DEG = 3.0
CUT_MM = 0.5  # height of the floor edge
CUT_ROLL_DEG = 0.22  # 0.5 mm of cutting over 128 mm
GRIT_ROLL_DEG = 0.33  # with the cutting 0.4 degrees in all
ROLL_UNKNOWN_DEG = 1.5
ROLL_FOOT_DEG = 10.0
DROP_UNKNOWN_MM = 15.0
DROP_FOOT_MM = 40.0
OFFSET_MID_LINE_MM = 5.0
OFFSET_UNSURE_MM = 50.0 / math.sqrt(3.0)  # rectangular; a card 50 mm nearer than the foot stays covered
OFFSET_DOUBTED_MM = (30.0, 35.0)  # mean and spread: anywhere from the mid plane to the near wall
NEAR_WALL_MM = 60.0
OFFSET_NEAR_WALL_MM = 10.0

# Foot.
MID_PLANE_MM = 2.0  # toe marks about the mid plane
HEEL_HALF_SEPARATION_MM = 30.0
HEEL_HALF_SEPARATION_U_MM = 6.0
HEEL_HALF_SEPARATION_TOLD_MM = 3.0  # from a sole photo of the same visit
HEEL_HALF_SEPARATION_OWN_VISIT_MM = 3.0  # of the 6, what changes from visit to visit
FLOOR_MM = 0.7  # a ground mark above or below the floor on which the card stands
TOE_RADIUS_MM = 60.0  # outline marks slide round the toe when the view turns
CROSS_PLANE_MM = 8.0  # side wall marks of a front view about the widest cross plane
FOOT_WIDTH_LEAST_MM = 0.5  # nobody tells a foot's width better
BEARING_PLANE_MM = 3.0  # a card held against the bearing surface, from the plane of the outline
CARD_ON_FOOT_TILT_DEG = 3.0
CARD_UNSURE_TILT_DEG = 5.0
SOLE_EDGE_MARK_MM = 1.5  # outline marks about the bearing plane
FROG_APEX_BELOW_MM = 8.0  # in front of the frog's point the sole lies deeper
FROG_APEX_U_MM = 4.0
FROG_BASE_U_MM = 5.0
SOLE_VIEW_DEG = 10.0  # a hand-held sole photo against square-on
SOLE_DISTANCE_MM = 450.0
ALONG_SOLE_DEPTH_MM = 8.0  # marks of a photo along the sole, from the plane of the straight edge

# Crack in the near wall (common practice, no source).
HORN_RUN_DEG = 50.0  # the horn's tubules at the quarter run with the front wall
HORN_RUN_WEIGHT_MM = 5.0  # marks closer than this say little about the crack's own direction
CRACK_FROM_CARD_MM = 6.0  # a card stood beside the near wall by eye
CRACK_EACH_MM = 2.0
WALL_FLARE = 0.18  # of the way down the wall, outwards: a quarter that leans by 10 degrees
WALL_FLARE_U = 0.10

# Placing of a mark, px in a picture of 12 megapixels.
PLACING_EDGE_PX = 1.5
PLACING_HAIRLINE_PX = 3.0
PLACING_PERSON_SHARE = 0.5  # of the hairline's spread: how this person reads a hairline, the same each time
PLACING_AT_LONGEST = 4032.0

# No card: where a hand-held photo is taken from.
DISTANCE_MM = 1000.0
DISTANCE_LOG = 0.30
LENS_HEIGHT_MM = 150.0
LENS_HEIGHT_U_MM = 70.0
TURN_DEG = 6.0
RULER_MM = 0.5  # reading two marks of a ruler
GROUND_LINE_DEPTH_MM = 30.0
GROUND_LINE_EACH_MM = 5.0


def placing_scale(photo_size: tuple[int, int]) -> float:
    """Px of this photo for one px of a picture of 12 megapixels (smaller ones show the same edge in fewer pixels)."""
    return min(2.0, max(0.4, max(photo_size) / PLACING_AT_LONGEST))


def placing_px(edge: bool, photo_size: tuple[int, int]) -> float:
    """Default spread of placing one mark, px in this photo."""
    return (PLACING_EDGE_PX if edge else PLACING_HAIRLINE_PX) * placing_scale(photo_size)


def focal_from_35mm(focal_35mm: float, photo_size: tuple[int, int]) -> float:
    """Focal length in px from EXIF FocalLengthIn35mmFilm, which the Exif standard defines by the picture's diagonal."""
    return focal_35mm * math.hypot(*photo_size) / DIAGONAL_35MM
