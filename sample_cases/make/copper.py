"""The invented case Copper: a crack in the inside quarter of the left fore that grows down and out."""

from __future__ import annotations

from hoof import Crack, HoofShape

DATES = {
    1: "2025-03-04",
    2: "2025-03-07",  # with the vet, no photo
    3: "2025-04-08",
    4: "2025-05-13",
    5: "2025-06-17",
    6: "2025-07-22",
    7: "2025-08-26",
}
TAKEN = {1: (32, 14), 3: (26, 41), 4: (31, 8), 5: (24, 50), 6: (29, 22), 7: (27, 37)}  # minute and second after 14 h
NEW_HORN = {1: 0.0, 3: 9.5, 4: 19.0, 5: 28.0, 6: 38.0, 7: 47.0}  # mm from the hairline down to the crack's top
LACED = {5: 32.5, 6: 42.5, 7: 51.5}  # mm below the hairline: put in on 2025-05-14, grows down with the horn
GAP = {1: 1.5, 3: 1.15, 4: 0.95, 5: 0.85, 6: 0.8, 7: 0.75}  # mm at the ground
SHAPE = {  # toe length, toe angle, heel angle, heel height of the inside heel
    1: (84.5, 50.2, 43.6, 40.8),
    3: (84.0, 50.4, 43.4, 40.2),
    4: (83.5, 50.3, 43.5, 39.8),
    5: (84.0, 50.6, 43.2, 39.4),
    6: (83.5, 50.5, 43.4, 39.0),
    7: (83.5, 50.7, 43.3, 38.6),
}


def after_trim(visit: int) -> HoofShape:
    """Left fore with z towards its inside, as for a photo taken from there."""
    toe, angle, heel_angle, heel_height = SHAPE[visit]
    return HoofShape(
        toe,
        angle,
        heel_angle,
        heel_height,
        bearing_length=107.0 + 0.2 * visit,
        half_width=64.0,
        heel_half_width=29.5,
        heel_hair_half_width=31.0,
        concavity=4.0,
        old_nails=3 if visit == 1 else 2,
        seed=30 + visit,
        near_inside=True,
        crack=Crack(NEW_HORN[visit], GAP[visit], visit == 1, LACED.get(visit)),
    )
