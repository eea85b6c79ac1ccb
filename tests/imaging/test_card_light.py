"""Light by the card's white margin, on a card drawn with a known grey and seen aslant."""

from __future__ import annotations

import cv2
import numpy as np
import pytest

from hoofbook.imaging.card_light import light_of
from hoofbook.terms.card import CardCorner, CardFace, CardSighting

SIZE = (1600, 1200)
ASLANT = np.float32([[420, 350], [1130, 390], [1090, 910], [380, 860]])  # where the pattern's corners are seen
PATTERN = np.float32([[0, 0], [112, 0], [112, 80], [0, 80]])
# linear light of an sRGB level: IEC 61966-2-1, by hand ((0.5 + 0.055) / 1.055) ** 2.4 = 0.2140
LEVEL, LINEAR = 127.5, 0.2140


def drawn(bgr: tuple[float, float, float]) -> np.ndarray:
    """A photo of a card with a white margin of 8 mm in this colour round a black pattern, on a dark floor."""
    to_photo = cv2.getPerspectiveTransform(PATTERN, ASLANT)
    outer = np.float32([[[-8, -8]], [[120, -8]], [[120, 88]], [[-8, 88]]])
    photo = np.full((SIZE[1], SIZE[0], 3), 40, np.uint8)
    cv2.fillConvexPoly(photo, cv2.perspectiveTransform(outer, to_photo).astype(int), [round(v) for v in bgr])
    cv2.fillConvexPoly(photo, ASLANT.astype(int), (10, 10, 10))
    return photo


def sighting() -> CardSighting:
    to_photo = cv2.getPerspectiveTransform(PATTERN, ASLANT)
    places = [(16.0 * x, 16.0 * y) for y in range(1, 5) for x in range(1, 7)]
    seen = cv2.perspectiveTransform(np.float32(places)[:, None], to_photo)[:, 0]
    corners = tuple(
        CardCorner(f"c{i:02d}", place, (float(px[0]), float(px[1])), 0.05)
        for i, (place, px) in enumerate(zip(places, seen, strict=True))
    )
    return CardSighting(CardFace.BACK, corners, (), (), 2.0, SIZE, "drawn 1")


@pytest.mark.parametrize("shrink", [1.0, 0.5, 0.2])
def test_the_white_of_the_card_is_found_in_any_copy(shrink: float) -> None:
    photo = cv2.resize(drawn((LEVEL, LEVEL, LEVEL)), None, fx=shrink, fy=shrink, interpolation=cv2.INTER_AREA)
    assert light_of(photo, sighting()) == pytest.approx((LINEAR, LINEAR, LINEAR), rel=0.02)


def test_a_warm_light_is_told_by_its_colour() -> None:
    red, green, blue = light_of(drawn((150, 180, 210)), sighting()) or (0, 0, 0)
    assert red > green > blue
    # IEC 61966-2-1 by hand: 210 -> 0.6445, 180 -> 0.4564, 150 -> 0.3050
    assert (red, green, blue) == pytest.approx((0.6445, 0.4564, 0.3050), abs=0.002)


def test_a_thumb_over_part_of_the_margin_does_no_harm() -> None:
    photo = drawn((LEVEL, LEVEL, LEVEL))
    photo[700:1000, 300:700] = (60, 90, 160)
    assert light_of(photo, sighting()) == pytest.approx((LINEAR, LINEAR, LINEAR), rel=0.02)


def test_nothing_is_said_of_a_burnt_out_or_tiny_card() -> None:
    assert light_of(drawn((255, 255, 255)), sighting()) is None
    tiny = cv2.resize(drawn((LEVEL, LEVEL, LEVEL)), (50, 38), interpolation=cv2.INTER_AREA)
    assert light_of(tiny, sighting()) is None
