"""Nothing of the sample story is typed in: another truth gives another sentence.

The truth files are changed here (the sole at the frog apex stays as hollow as at the first visit), projected anew by
OpenCV's own `cv2.projectPoints`, and the sample book is made from the marks that follow.
"""

from __future__ import annotations

import json
import shutil
from pathlib import Path
from typing import Any

import numpy as np
import pytest

from hoofbook.casework.demo import make_sample_book
from hoofbook.casework.open_book import open_book
from hoofbook.casework.progress_document import document
from hoofbook.casework.progress_text import progress_of_book
from hoofbook.housekeeping.shipped import sample_case
from hoofbook.imaging import cv2

STAYS_MM = 1.2  # the left fore's concavity at the first visit of the scenario
VISITS = range(1, 8)


def projected(truth: dict[str, Any], place: np.ndarray) -> list[float]:
    """Where the true camera sees a place of the hoof frame (mm), in px of the upright photo."""
    camera = truth["camera"]
    seen = np.array(camera["rotation_hoof_to_camera"]) @ place + np.array(camera["translation_mm"])
    centre = camera["principal_point_px"]
    matrix = np.array([[camera["focal_px"], 0, centre[0]], [0, camera["focal_px"], centre[1]], [0, 0, 1]], float)
    distortion = np.array([camera["k1"], camera["k2"], 0, 0, 0], float)
    pixels, _ = cv2.projectPoints(seen.reshape(1, 3), np.zeros(3), np.zeros(3), matrix, distortion)
    return [float(value) for value in pixels.reshape(2)]


def never_hollower(truth: dict[str, Any]) -> np.ndarray:
    """The frog apex moved along the sole edge's normal until it lies `STAYS_MM` from that plane."""
    plane, apex = truth["planes"]["sole_edge"], np.array(truth["marks"]["frog_apex"]["mm"])
    normal = np.array(plane["normal"]) / np.linalg.norm(plane["normal"])
    away = float(normal @ (apex - np.array(plane["point"])))
    moved: np.ndarray = apex - normal * (away - np.sign(away) * STAYS_MM)
    return moved


@pytest.fixture
def other_case(tmp_path: Path) -> Path:
    case = Path(shutil.copytree(sample_case("larkspur"), tmp_path / "larkspur"))
    for visit in VISITS:
        file = case / f"visit-{visit}" / "lf-after.marks.json"
        marks = json.loads(file.read_text(encoding="utf-8"))
        for photo in marks["photos"]:
            if photo["view"] != "solar" or "frog_apex" not in photo["marks"]:
                continue
            truth_file = file.parent / photo["file"].replace(".jpg", ".truth.json")
            truth = json.loads(truth_file.read_text(encoding="utf-8"))
            true_px = np.array(truth["marks"]["frog_apex"]["px"])
            placing_error = np.array(photo["marks"]["frog_apex"]) - true_px
            photo["marks"]["frog_apex"] = list(projected(truth, never_hollower(truth)) + placing_error)
        file.write_text(json.dumps(marks), encoding="utf-8")
    return case


def test_a_foot_that_does_not_change_is_told_so(
    other_case: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("HOOFBOOK_HOME", str(tmp_path / "home"))
    monkeypatch.setattr("hoofbook.casework.demo.CASES", ("larkspur",))
    monkeypatch.setattr("hoofbook.casework.demo.sample_case", lambda _: other_case)
    for _ in make_sample_book(tmp_path / "book"):
        pass
    book = open_book(tmp_path / "book")
    try:
        told = document(progress_of_book(book, "Larkspur", foot="LF", measure="sole_concavity_at_frog_apex"))
    finally:
        book.close()
    left = next(item for item in told["series"] if item["definition"] == "from_sole_edge" and item["goal"])
    assert len(left["readings"]) == len(VISITS)
    assert left["verdict"] == "no change shown"
    assert "no change shown (smallest we could see:" in left["sentence"]
    assert all(abs(reading["value"] - STAYS_MM) < 3 * reading["u"] for reading in left["readings"])
