"""The side view on the sample photos: pictures rendered from known points, cards really found in them."""

from __future__ import annotations

import json

import cv2
import numpy as np
import pytest

from tests.accuracy_table import ASKED, FURTHEST, Off, offs, rms, side_truths


@pytest.fixture(scope="module")
def errors() -> list[Off]:
    return [off for path in side_truths() for off in offs(path)]


def test_there_are_side_photos_of_every_visit() -> None:
    visits = {path.parent.name for path in side_truths()}
    assert visits >= {f"visit-{number}" for number in range(1, 8)}


@pytest.mark.parametrize("measure", ASKED)
def test_root_mean_square_error(errors: list[Off], measure: str) -> None:
    assert rms(errors, measure) <= ASKED[measure]


def test_no_figure_beyond_its_997_in_1000_interval(errors: list[Off]) -> None:
    assert not [off for off in errors if abs(off.over_u) > FURTHEST]


def test_truth_is_a_projection_and_heels_lie_off_the_mid_plane() -> None:
    """Pixels of the truth are OpenCV's projection of its 3-D marks, heel marks 22-38 mm towards the camera."""
    for path in side_truths():
        truth = json.loads(path.read_text(encoding="utf-8"))
        camera = truth["camera"]
        focal, (cx, cy) = camera["focal_px"], camera["principal_point_px"]
        matrix = np.array([[focal, 0, cx], [0, focal, cy], [0, 0, 1.0]])
        turn, shift = np.array(camera["rotation_hoof_to_camera"]), np.array(camera["translation_mm"])
        for name, mark in truth["marks"].items():
            seen = (turn @ np.array(mark["mm"]) + shift)[None]
            distortion = np.array([camera["k1"], camera["k2"], 0, 0, 0])
            pixel = cv2.projectPoints(seen, np.zeros(3), np.zeros(3), matrix, distortion)[0].ravel()
            assert pixel == pytest.approx(mark["px"], abs=1e-3), (path.name, name)
        for name in ("heel_ground", "heel_hairline"):
            assert 22.0 <= truth["marks"][name]["mm"][2] <= 38.0
