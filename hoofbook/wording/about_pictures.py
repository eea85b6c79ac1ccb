"""How measured, of pictures: how photos are laid together, where they are to scale, how fair pairs are found."""

from __future__ import annotations

from hoofbook.progress.likeness import (
    DISTANCE_ALIKE_SHARE,
    LIGHT_ALIKE_STOPS,
    SOLE_ALIKE_DEG,
    STANDING_ALIKE_DEG,
    STRAIGHT_TILT_DEG,
    STRAIGHT_TURN_DEG,
)
from hoofbook.terms.shown import Section

TITLE = "Photos beside each other"


def pictures() -> Section:
    """What a then-and-now picture, a row and the year of a foot show, and what they cannot."""
    return Section(
        TITLE,
        (
            "Photos are only moved, turned and scaled, never bent: by the plane of the card, else by the hairline. "
            "What is measured is never used to lay them together; that would take away most of what changed.",
            "Such a picture is to scale in one plane: the middle of the foot, or the near wall where a crack is "
            "marked. What lies nearer to the lens looks larger than by the bar, and so does a card that a turned view "
            "brings nearer. Lengths are read from the marks, not from the picture.",
            "Fairest pairs are found by how two photos were taken, never by what they show: one moment, both shod or "
            f"both bare, both to scale; turned and tilted alike within {STANDING_ALIKE_DEG:.0f}° "
            f"({SOLE_ALIKE_DEG:.0f}° for soles), from one distance within {100 * DISTANCE_ALIKE_SHARE:.0f} %, the card "
            f"in one place, the light alike within {LIGHT_ALIKE_STOPS:g} stop by the white of the card. Of those alike "
            "the pair furthest apart in time stands first. Straight on means turned by no more than "
            f"{STRAIGHT_TURN_DEG:.0f}° and tilted by no more than {STRAIGHT_TILT_DEG:.0f}°. These limits are our own "
            "choice, without a source. Photos that show blood are not proposed; every visit can be picked.",
            "Lines, grid and like light lie over the photos on screen alone. A saved picture shows the photos as they "
            "were taken, with covered parts filled.",
        ),
    )
