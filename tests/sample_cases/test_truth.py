"""The sample photos' truth holds together: pixels, measures, cards, sizes. Nothing of the program is used here."""

from __future__ import annotations

import json
import math
from functools import cache
from pathlib import Path
from typing import Any

import cv2
import numpy as np
import pytest
from PIL import Image

SAMPLES = Path(__file__).resolve().parents[2] / "sample_cases"
LIST = json.loads((SAMPLES / "photos.json").read_text(encoding="utf-8"))
RENDERED: list[str] = LIST["rendered"]
STANDING = [name for name in RENDERED if "-side-" in name or "-inside-" in name]
INSIDE = [name for name in RENDERED if "-inside-" in name]
CLEAN_SIDE = [name for name in RENDERED if "-side-" in name and "/faults/" not in name]
# Source of these values: the scenario itself (an invented horse), true concavity from the sole edge, mm.
LEFT_FORE = {1: 1.2, 2: 1.8, 3: 2.1, 4: 3.0, 5: 3.6, 6: 4.2, 7: 5.0}
RIGHT_FORE = {1: 2.0, 3: 1.9, 5: 2.1, 7: 2.1}
TOE_AFTER = {1: 86.0, 2: 85.0, 3: 84.5, 4: 84.0, 5: 83.5, 7: 83.0}
TOE_BEFORE = {2: 98.0, 3: 99.5, 4: 97.0, 5: 97.5, 6: 96.5, 7: 95.5}
# Copper's and Juniper's scenarios: whole horn above the crack in mm; toe angle in degrees and heel height in mm.
NEW_HORN = {1: 0.0, 3: 9.5, 4: 19.0, 5: 28.0, 6: 38.0, 7: 47.0}
UNLIKE_TOES = {
    "lf": {1: 56.1, 2: 55.6, 3: 55.2, 4: 55.4, 5: 54.8},
    "rf": {1: 49.6, 2: 50.0, 3: 50.1, 4: 49.7, 5: 50.2},
}
UNLIKE_HEELS = {"lf": (46.0, 44.0), "rf": (33.0, 35.0)}  # first and last visit
CARD_CHECKED = [
    "larkspur/visit-1/lf-side-after.jpg",
    "larkspur/visit-7/lf-side-after.jpg",
    "larkspur/visit-4/lf-side-after.jpg",
    "larkspur/visit-7/lf-sole-after-1.jpg",
    "larkspur/visit-7/lf-sole-after-2.jpg",
    "larkspur/visit-3/lf-sole-after-3.jpg",
    "larkspur/visit-5/rf-sole-after-3.jpg",
    "larkspur/visit-7/rf-side-after.jpg",
    "larkspur/visit-2/lf-side-before.jpg",
    "copper/visit-1/lf-inside-after.jpg",
    "copper/visit-6/lf-inside-after.jpg",
    "juniper/visit-3/lf-side-after.jpg",
    "juniper/visit-5/rf-side-after.jpg",
]
ROLL_REACH = 22.0  # mm behind the toe where a rolled toe of the scenario begins
UPRIGHT = {1: 0, 3: 2, 6: 3, 8: 1}  # quarter turns anticlockwise from stored to upright (Exif 2.32, Orientation)


@cache
def truth(name: str) -> dict[str, Any]:
    data: dict[str, Any] = json.loads((SAMPLES / name).with_suffix(".truth.json").read_text(encoding="utf-8"))
    return data


def projected(data: dict[str, Any], points: np.ndarray) -> np.ndarray:
    """cv2.projectPoints of hoof points; turned into the camera frame first (a right foot's frame is left-handed)."""
    camera = data["camera"]
    u, v = camera["principal_point_px"]
    matrix = np.array([[camera["focal_px"], 0, u], [0, camera["focal_px"], v], [0, 0, 1.0]])
    bend = np.array([camera["k1"], camera["k2"], 0.0, 0.0, 0.0])
    seen = points @ np.array(camera["rotation_hoof_to_camera"]).T + np.array(camera["translation_mm"])
    pixels, _ = cv2.projectPoints(seen, np.zeros(3), np.zeros(3), matrix, bend)
    return np.asarray(pixels).reshape(-1, 2)


def marks_mm(data: dict[str, Any]) -> dict[str, np.ndarray]:
    return {name: np.array(mark["mm"]) for name, mark in data["marks"].items()}


def upright_grey(name: str) -> np.ndarray:
    with Image.open(SAMPLES / name) as image:
        turns = UPRIGHT[image.getexif().get(0x0112, 1)]
        return np.ascontiguousarray(np.rot90(np.asarray(image.convert("L")), turns))


def board(face: str) -> cv2.aruco.CharucoBoard:
    first = 0 if face == "front" else 26
    words = cv2.aruco.getPredefinedDictionary(cv2.aruco.DICT_4X4_50)
    return cv2.aruco.CharucoBoard((7, 5), 16.0, 12.0, words, np.arange(first, first + 17))


def test_every_photo_is_there_and_all_are_small_enough() -> None:
    names = RENDERED + LIST["derived"]
    assert len(RENDERED) == 84
    assert len(set(names)) == 86
    assert [name for name in names if not (SAMPLES / name).is_file()] == []
    assert sum(file.stat().st_size for file in SAMPLES.rglob("*") if file.is_file()) <= 40 * 2**20


@pytest.mark.parametrize("name", RENDERED)
def test_truth_pixels_are_the_projection_of_the_truth_millimetres(name: str) -> None:
    data = truth(name)
    points = marks_mm(data)
    pixels = np.array([data["marks"][mark]["px"] for mark in points])
    np.testing.assert_allclose(projected(data, np.array(list(points.values()))), pixels, atol=1e-3)
    if data["card"]["present"]:
        inner = np.array([[16.0 * (i % 6 + 1), 16.0 * (i // 6 + 1), 0.0] for i in range(24)])
        card = data["card"]
        placed = inner @ np.array(card["board_to_hoof_rotation"]).T + np.array(card["board_to_hoof_translation_mm"])
        told = np.array([card["corners_px"][str(i)] for i in range(24)])
        np.testing.assert_allclose(projected(data, placed), told, atol=1e-3)


@pytest.mark.parametrize("name", RENDERED)
def test_camera_and_board_turns_have_the_handedness_of_their_foot(name: str) -> None:
    """A left foot seen from its inside has the frame of a right foot seen from outside: z runs to the lens."""
    data = truth(name)
    hand = 1.0 if (data["foot"] == "LF") is not data.get("from_inside", False) else -1.0
    turns = [np.array(data["camera"]["rotation_hoof_to_camera"])]
    if data["card"]["present"]:
        turns.append(np.array(data["card"]["board_to_hoof_rotation"]))
    for turn in turns:
        np.testing.assert_allclose(turn @ turn.T, np.eye(3), atol=1e-6)
        assert np.linalg.det(turn) == pytest.approx(hand, abs=1e-6)


@pytest.mark.parametrize("name", STANDING)
def test_side_view_stands_as_promised(name: str) -> None:
    data, points = truth(name), marks_mm(truth(name))
    for mark in ("heel_ground", "heel_hairline"):
        assert 22.0 <= points[mark][2] <= 38.0
    assert 60.0 <= data["camera"]["lens_height_mm"] <= 300.0
    seen = points["toe_ground"] @ np.array(data["camera"]["rotation_hoof_to_camera"]).T
    far = float((seen + np.array(data["camera"]["translation_mm"]))[2])
    assert data["camera"]["focal_px"] / far >= 4.0
    toe, heel = (data["marks"][mark]["px"][0] for mark in ("toe_ground", "heel_ground"))
    outside = not data.get("from_inside", False)
    assert (toe < heel) == ((data["foot"] == "LF") is outside)  # seen from outside, a left foot's toe points left
    assert outside == (name not in INSIDE)


@pytest.mark.parametrize("name", CLEAN_SIDE)
def test_standing_card_has_its_foot_on_the_floor_in_the_mid_plane(name: str) -> None:
    card = truth(name)["card"]
    if not card["present"]:
        assert "no-card" in name
        return
    edge = np.array([[-8.0, 88.0, 0.0], [56.0, 88.0, 0.0], [120.0, 88.0, 0.0]])
    placed = edge @ np.array(card["board_to_hoof_rotation"]).T + np.array(card["board_to_hoof_translation_mm"])
    np.testing.assert_allclose(placed[:, 1], 0.0, atol=1e-6)
    assert placed[1, 2] == pytest.approx(card["offset_mm"], abs=1e-6)
    assert abs(card["offset_mm"]) < 12.0
    assert abs(card["lean_deg"]) < 6.0


@pytest.mark.parametrize("name", INSIDE)
def test_card_beside_the_crack_stands_on_the_floor_in_the_plane_of_the_near_wall(name: str) -> None:
    data = truth(name)
    card = data["card"]
    edge = np.array([[-8.0, 88.0, 0.0], [56.0, 88.0, 0.0], [120.0, 88.0, 0.0]])
    placed = edge @ np.array(card["board_to_hoof_rotation"]).T + np.array(card["board_to_hoof_translation_mm"])
    np.testing.assert_allclose(placed[:, 1], 0.0, atol=1e-6)
    for mark in ("crack_hairline", "crack_top"):
        assert abs(placed[1, 2] - data["marks"][mark]["mm"][2]) < 10.0
    assert abs(card["lean_deg"]) < 6.0


@pytest.mark.parametrize("name", STANDING)
def test_side_measures_follow_from_the_marks(name: str) -> None:
    told, points = truth(name)["measures"], marks_mm(truth(name))
    toe, toe_hair, heel, heel_hair = (
        points[mark][:2] for mark in ("toe_ground", "toe_hairline", "heel_ground", "heel_hairline")
    )
    toe_angle = math.degrees(math.atan2(*(toe_hair - toe)[::-1]))
    heel_angle = math.degrees(math.atan2(*(heel_hair - heel)[::-1]))
    again = {
        "toe_angle": toe_angle,
        "heel_angle": heel_angle,
        "toe_heel_angle_difference": toe_angle - heel_angle,
        "toe_length": math.dist(toe, toe_hair),
        "heel_length": math.dist(heel, heel_hair),
        "toe_height": toe_hair[1] - toe[1],
        "heel_height": heel_hair[1] - heel[1],
        "bearing_length": math.dist(toe, heel),
        "coronary_band_angle": math.degrees(math.atan2(toe_hair[1] - heel_hair[1], heel_hair[0] - toe_hair[0])),
    }
    assert {key: told[key] for key in again} == pytest.approx(again, abs=1e-6)


def is_rolled(name: str, point: np.ndarray) -> bool:
    """Whether a place of the wall's edge was rasped up with the toe: it belongs to no plane."""
    return "/toe-rolled/" in name and point[0] < ROLL_REACH and abs(point[1]) < 2.5 and point[1] > 1e-6


@pytest.mark.parametrize("name", [name for name in RENDERED if "-sole-" in name])
def test_sole_measures_follow_from_the_marks(name: str) -> None:
    """The planes are fitted to the marks here, so marks and stated planes must agree too."""
    told, points = truth(name)["measures"], marks_mm(truth(name))
    depth = {}
    for key, stem in (("from_sole_edge", "sole_edge_"), ("from_wall_edge", "rim_")):
        edge = np.array(
            [point for mark, point in points.items() if mark.startswith(stem) and not is_rolled(name, point)]
        )
        middle = edge.mean(0)
        residual, normal = np.linalg.svd(edge - middle)[1][2], np.linalg.svd(edge - middle)[2][2]
        assert residual < 1e-5  # the edge is a plane curve
        normal = normal * np.sign(normal[1])
        sole = [mark for mark in points if mark == "frog_apex" or (mark.startswith("sole_") and "edge" not in mark)]
        above = {mark: float((points[mark] - middle) @ normal) for mark in sole}
        depth[key] = above["frog_apex"]
        assert told[f"sole_concavity_at_frog_apex_{key}"] == pytest.approx(above["frog_apex"], abs=1e-5)
        assert told[f"greatest_sole_concavity_{key}"] == pytest.approx(max(above.values()), abs=1e-5)
        assert told[f"mean_sole_concavity_{key}"] == pytest.approx(float(np.mean(list(above.values()))), abs=1e-5)
    assert told["wall_above_sole"] == pytest.approx(depth["from_wall_edge"] - depth["from_sole_edge"], abs=1e-5)
    heels = points["heel_medial"], points["heel_lateral"]
    assert told["heel_separation"] == pytest.approx(math.dist(*heels), abs=1e-6)
    assert told["foot_length"] == pytest.approx(math.dist((heels[0] + heels[1]) / 2, points["toe_tip"]), abs=1e-6)
    width = points["widest_lateral"][2] - points["widest_medial"][2]
    assert told["foot_width"] == pytest.approx(width, abs=1e-6)


@pytest.mark.parametrize("foot", ["LF", "RF"])
def test_concavities_and_toe_lengths_are_those_of_the_scenario(foot: str) -> None:
    for visit, wanted in (LEFT_FORE if foot == "LF" else RIGHT_FORE).items():
        for number in (1, 2, 3):
            data = truth(f"larkspur/visit-{visit}/{foot.lower()}-sole-after-{number}.jpg")
            assert data["measures"]["sole_concavity_at_frog_apex_from_sole_edge"] == pytest.approx(wanted, abs=1e-6)
            assert 1.0 <= data["measures"]["wall_above_sole"] <= 1.8
    if foot == "LF":
        for moment, lengths in (("after", TOE_AFTER), ("before", TOE_BEFORE)):
            for visit, wanted in lengths.items():
                data = truth(f"larkspur/visit-{visit}/lf-side-{moment}.jpg")
                assert data["measures"]["toe_length"] == pytest.approx(wanted, abs=1e-6)


def test_new_horn_toes_and_heels_of_the_other_horses_are_those_of_their_scenarios() -> None:
    for visit, wanted in NEW_HORN.items():
        name = f"copper/visit-{visit}/lf-inside-after.jpg"
        assert truth(name)["measures"]["new_horn_length"] == pytest.approx(wanted, abs=1e-6)
        points = marks_mm(truth(name))
        assert math.dist(points["crack_hairline"][:2], points["crack_top"][:2]) == pytest.approx(wanted, abs=1e-6)
        lowest, highest = sorted((points["heel_hairline"][1], points["toe_hairline"][1]))
        assert lowest < points["crack_hairline"][1] < highest
    for foot, angles in UNLIKE_TOES.items():
        found = {visit: truth(f"juniper/visit-{visit}/{foot}-side-after.jpg")["measures"] for visit in angles}
        assert {visit: each["toe_angle"] for visit, each in found.items()} == pytest.approx(angles, abs=1e-6)
        assert (found[1]["heel_height"], found[5]["heel_height"]) == pytest.approx(UNLIKE_HEELS[foot], abs=1e-6)


def darkest(name: str, below_top_mm: float) -> tuple[float, float]:
    """Darkest and middle brightness of the horn within 3 mm across the crack's line, `below_top_mm` down the wall."""
    data, points = truth(name), marks_mm(truth(name))
    down = points["toe_ground"] - points["toe_hairline"]
    down = down / np.linalg.norm(down)
    across = np.array([-down[1], down[0], 0.0])
    steps = np.linspace(-3.0, 3.0, 61)[:, None]
    places = projected(data, points["crack_top"] + below_top_mm * down + steps * across)
    grey = upright_grey(name)
    seen = cv2.remap(grey, places[None].astype(np.float32), None, cv2.INTER_LINEAR).ravel()
    return float(seen.min()), float(np.median(seen))


@pytest.mark.parametrize("name", INSIDE)
def test_the_photo_shows_the_crack_below_its_top_and_whole_horn_above(name: str) -> None:
    """Read from the pixels: the fissure is much darker than the horn on either side of it, whole horn is even."""
    new_horn = truth(name)["measures"]["new_horn_length"]
    for below in (4.0, 6.0) if new_horn < 40.0 else (2.5,):
        least, middle = darkest(name, below)
        assert least < 0.5 * middle, below
    for above in (-2.5, -4.0, -6.0) if new_horn > 9.0 else ():
        least, middle = darkest(name, above)
        assert least > 0.6 * middle, above


def test_hard_sets_are_what_they_are_called() -> None:
    """How far a card slid is read off the stated poses; a rolled toe leaves the sole where it was."""
    still = truth("larkspur/visit-7/lf-sole-after-3.jpg")
    for name, wanted in {"3-by-1": 1.0, "3-by-3": 3.0, "3-by-10": 10.0, "2-by-5": 5.0}.items():
        slid = truth(f"hard/card-slipped/lf-sole-after-{name}.jpg")
        way = np.subtract(*(each["card"]["board_to_hoof_translation_mm"] for each in (slid, still)))
        assert np.linalg.norm(way) == pytest.approx(wanted, abs=1e-6)
        assert abs(slid["card"]["slipped_mm"]) == wanted
        assert slid["marks"]["frog_apex"]["mm"] == still["marks"]["frog_apex"]["mm"]
    plain, rolled = still["measures"], truth("hard/toe-rolled/lf-sole-after-1.jpg")
    edge, wall = (f"sole_concavity_at_frog_apex_{key}" for key in ("from_sole_edge", "from_wall_edge"))
    assert rolled["measures"][edge] == pytest.approx(plain[edge], abs=1e-6)
    assert rolled["measures"][wall] == pytest.approx(plain[wall] + 2.0, abs=1e-6)
    assert rolled["marks"]["toe_tip"]["mm"][1] == pytest.approx(2.0, abs=0.01)


def test_longer_wall_changes_only_what_is_measured_from_the_wall() -> None:
    short = truth("larkspur/visit-7/lf-sole-after-1.jpg")["measures"]
    longer = truth("checks/wall-longer/lf-sole-after-1.jpg")["measures"]
    edge, wall = (f"sole_concavity_at_frog_apex_{key}" for key in ("from_sole_edge", "from_wall_edge"))
    assert longer[edge] == pytest.approx(short[edge], abs=1e-6)
    assert longer[wall] == pytest.approx(short[wall] + 2.0, abs=1e-6)


@pytest.mark.parametrize("name", CARD_CHECKED)
def test_card_corners_found_in_the_photo_are_where_the_truth_says(name: str) -> None:
    card = truth(name)["card"]
    picture = upright_grey(name)
    settings = cv2.aruco.DetectorParameters()
    settings.minMarkerPerimeterRate = 0.012
    found = cv2.aruco.CharucoDetector(board(card["face"]), detectorParams=settings).detectBoard(picture)
    ids = np.asarray(found[1]).ravel()
    assert len(ids) == 24
    told = np.array([card["corners_px"][str(i)] for i in ids])
    miss = np.asarray(found[0]).reshape(-1, 2) - told
    assert math.sqrt(float((miss**2).sum(1).mean())) < 0.15


@pytest.mark.parametrize("name", RENDERED)
def test_photo_carries_the_tags_of_a_phone_and_the_size_the_truth_states(name: str) -> None:
    data = truth(name)
    with Image.open(SAMPLES / name) as image:
        tags, part = image.getexif(), image.getexif().get_ifd(0x8769)
        stored = image.size
    turned = tags[0x0112] in (6, 8)
    size = (data["camera"]["width"], data["camera"]["height"])
    assert stored == (size[::-1] if turned else size)
    assert (part[0xA002], part[0xA003]) == stored
    assert part[0x9003].replace(":", "-", 2).replace(" ", "T") == data["date_time_local"]
    assert part[0x9011] == data["offset_time"]
    assert part[0xA405] == data["camera"]["focal_35mm_tag"]
    nominal = part[0xA405] * math.hypot(*size) / 43.27
    assert abs(data["camera"]["focal_px"] / nominal - 1) <= 0.045


def test_some_photos_are_stored_turned() -> None:
    kinds = set()
    for name in RENDERED:
        with Image.open(SAMPLES / name) as image:
            kinds.add(image.getexif()[0x0112])
    assert kinds == {1, 3, 6, 8}


def test_marks_files_hold_the_visible_marks_near_the_truth() -> None:
    far: dict[str, list[float]] = {"lateral": [], "solar": []}
    seen = set()
    for file in SAMPLES.rglob("*.marks.json"):
        for photo in json.loads(file.read_text(encoding="utf-8"))["photos"]:
            name = (file.parent / photo["file"]).resolve().relative_to(SAMPLES).as_posix()
            seen.add(name)
            told = truth(name)["marks"]
            assert set(photo["marks"]) == {mark for mark in told if told[mark]["visible"]}
            for mark, place in photo["marks"].items():
                far[photo["view"]].extend(np.subtract(place, told[mark]["px"]))
    assert seen == set(RENDERED)
    assert np.std(far["solar"]) == pytest.approx(0.5, rel=0.1)
    assert 1.0 < np.std(far["lateral"]) < 2.0


def test_sole_sets_have_enough_marks_in_common() -> None:
    for name in RENDERED:
        if "-sole-" in name and "no-card" not in name:
            marks = truth(name)["marks"]
            visible = [mark for mark in marks if marks[mark]["visible"]]
            assert sum(mark.startswith("rim_") for mark in visible) >= 10
            assert sum(mark.startswith("sole_edge_") for mark in visible) >= 10
            assert {"frog_apex", "heel_medial", "heel_lateral"} <= set(visible)
