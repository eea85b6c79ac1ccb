"""The invented case Juniper: a pony cob whose left fore stands steeper than the right."""

from __future__ import annotations

from hoof import HoofShape

DATES = {1: "2025-02-06", 2: "2025-03-20", 3: "2025-05-01", 4: "2025-06-12", 5: "2025-07-24"}
TOE_ANGLE = {
    "LF": {1: 56.1, 2: 55.6, 3: 55.2, 4: 55.4, 5: 54.8},
    "RF": {1: 49.6, 2: 50.0, 3: 50.1, 4: 49.7, 5: 50.2},
}
HEEL_HEIGHT = {
    "LF": {1: 46.0, 2: 45.5, 3: 45.0, 4: 44.5, 5: 44.0},
    "RF": {1: 33.0, 2: 33.5, 3: 34.0, 4: 34.5, 5: 35.0},
}
HEEL_ANGLE = {
    "LF": {1: 56.4, 2: 56.0, 3: 55.5, 4: 55.4, 5: 55.0},
    "RF": {1: 41.6, 2: 42.0, 3: 42.4, 4: 42.5, 5: 42.9},
}
TOE_LENGTH = {
    "LF": {1: 77.0, 2: 76.5, 3: 76.5, 4: 76.0, 5: 76.0},
    "RF": {1: 76.5, 2: 76.0, 3: 76.0, 4: 76.0, 5: 75.5},
}


def after_trim(foot: str, visit: int) -> HoofShape:
    """The narrow, upright left fore or the wide, flat right one."""
    upright = foot == "LF"
    return HoofShape(
        TOE_LENGTH[foot][visit],
        TOE_ANGLE[foot][visit],
        HEEL_ANGLE[foot][visit],
        HEEL_HEIGHT[foot][visit],
        bearing_length=(92.0 if upright else 98.0) + 0.2 * visit,
        half_width=53.0 if upright else 58.0,
        heel_half_width=25.0 if upright else 28.5,
        heel_hair_half_width=26.5 if upright else 29.5,
        concavity=5.0 if upright else 2.5,
        frog_apex_x=35.0,
        seed=60 + visit + (20 if upright else 0),
        leg=0.9,
        feather=2.4,
    )
