"""The same spot in two pictures: known shifts, turns and planes made here by OpenCV's own warps."""

from __future__ import annotations

import numpy as np
import pytest

from hoofbook.imaging import cv2
from hoofbook.imaging.matching import match_patch, settled_places


@pytest.fixture
def textured() -> np.ndarray:
    noise = np.random.default_rng(4).normal(0, 1, (400, 500))
    soft = cv2.GaussianBlur(noise, (0, 0), 2.0)
    return np.clip(128 + 60 * soft / soft.std(), 0, 255).astype(np.uint8)


@pytest.mark.parametrize("shift", [(7.0, -4.0), (3.3, 5.6), (-9.5, 0.25)])
def test_a_shift_is_found_to_a_tenth_of_a_pixel(textured: np.ndarray, shift: tuple[float, float]) -> None:
    matrix = np.array([[1, 0, shift[0]], [0, 1, shift[1]]], float)
    moved = cv2.warpAffine(textured, matrix, (500, 400), flags=cv2.INTER_CUBIC)
    found = match_patch(textured, (200, 180), moved, (200, 180), 14)
    assert found is not None
    assert (found.x - 200, found.y - 180) == pytest.approx(shift, abs=0.12)
    assert found.score > 0.9


def test_a_known_turn_and_scale_are_followed(textured: np.ndarray) -> None:
    matrix = cv2.getRotationMatrix2D((200, 180), 25, 0.8)
    turned = cv2.warpAffine(textured, matrix, (500, 400), flags=cv2.INTER_CUBIC)
    found = match_patch(textured, (200, 180), turned, (203, 178), 8, warp=matrix[:, :2])
    assert found is not None and (found.x, found.y) == pytest.approx((200, 180), abs=0.3)


def test_nothing_to_hold_on_to_gives_nothing(textured: np.ndarray) -> None:
    flat = np.full((400, 500), 90, np.uint8)
    assert match_patch(flat, (200, 180), textured, (200, 180), 10) is None
    assert match_patch(textured, (2, 2), textured, (200, 180), 10) is None
    other = np.random.default_rng(9).integers(0, 255, (400, 500)).astype(np.uint8)
    assert match_patch(textured, (200, 180), other, (200, 180), 10) is None


def test_a_spot_found_in_the_wrong_place_is_told_from_the_others() -> None:
    plane = np.array([[0.9, 0.1, 20], [-0.05, 1.1, 5], [1e-4, 2e-4, 1.0]])
    old = np.random.default_rng(1).uniform(50, 400, (12, 2))
    new = cv2.perspectiveTransform(old[:, None], plane).reshape(-1, 2)
    wrong = new.copy()
    wrong[3] += (60, -35)
    expected, agrees = settled_places(old, wrong, 5.0)
    assert not agrees[3] and agrees.sum() == 11
    assert expected[3] == pytest.approx(new[3], abs=1.0)
    few, none = settled_places(old[:3], new[:3], 5.0)
    assert not none.any() and few.shape == (3, 2)


def test_a_like_spot_aside_of_the_line_is_not_taken(textured: np.ndarray) -> None:
    """The same patch is planted twice: nearer but off the line, and farther on it."""
    target = np.random.default_rng(8).integers(90, 160, (400, 500)).astype(np.uint8)
    patch = textured[160:201, 180:221]
    for x, y, noise in ((270, 150, 0), (300, 212, 12)):
        planted = patch + np.random.default_rng(2).normal(0, noise, patch.shape) if noise else patch
        target[y - 20 : y + 21, x - 20 : x + 21] = np.clip(planted, 0, 255).astype(np.uint8)
    free = match_patch(textured, (200, 180), target, (250, 180), 70)
    assert free is not None and (free.x, free.y) == pytest.approx((270, 150), abs=0.3)
    way = (50 / np.hypot(50, 32), 32 / np.hypot(50, 32))
    on_line = match_patch(textured, (200, 180), target, (250, 180), 70, along=way, aside_px=6)
    assert on_line is not None and (on_line.x, on_line.y) == pytest.approx((300, 212), abs=0.5)
