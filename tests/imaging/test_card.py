"""The card search against true corners from OpenCV's own projection (cv2.projectPoints)."""

from __future__ import annotations

import json
from pathlib import Path

import numpy as np
import pytest

from hoofbook.imaging import cv2
from hoofbook.imaging.card import find_card
from hoofbook.imaging.card_geometry import board
from hoofbook.imaging.pixels import open_grey
from hoofbook.terms.card import CardFace, CardSighting
from hoofbook.terms.feet import Foot
from hoofbook.terms.refusal import Refusal
from hoofbook.terms.views import Moment
from tests.imaging.pictures import CardPhoto, card_texture, mud, photo_of_card


def seen(photo: CardPhoto) -> CardSighting:
    sighting = find_card(photo.grey)
    assert isinstance(sighting, CardSighting), sighting
    return sighting


def rms(values: np.ndarray) -> float:
    return float(np.sqrt((values**2).mean()))


@pytest.mark.parametrize("seed", range(6))
def test_all_corners_of_a_clean_card_lie_within_hundredths_of_a_pixel(seed: int) -> None:
    rng = np.random.default_rng(seed)
    photo = photo_of_card(
        seed,
        distance_mm=rng.uniform(250, 450),
        turn_deg=tuple(rng.uniform(-20, 20, 3)),
        lens=rng.uniform(-0.1, 0.05),
        blur=rng.uniform(0.6, 1.2),
    )
    sighting = seen(photo)
    assert sum(c.name.startswith("c") for c in sighting.corners) == 24
    assert sum(c.name.startswith("m") for c in sighting.corners) == 68
    assert rms(photo.off(sighting.corners, "c")) < 0.05
    assert rms(photo.off(sighting.corners, "m")) < 0.05


def test_names_and_places_of_corners_are_those_of_the_board() -> None:
    sighting = seen(photo_of_card(3))
    by_name = {corner.name: corner.card_mm for corner in sighting.corners}
    inner = np.asarray(board(CardFace.FRONT).getChessboardCorners())
    assert by_name["c00"] == pytest.approx(tuple(inner[0][:2])) == (16.0, 16.0)
    assert by_name["c23"] == (96.0, 64.0)
    four = np.asarray(board(CardFace.FRONT).getObjPoints()[16])
    for k in range(4):
        assert by_name[f"m16.{k}"] == pytest.approx(tuple(four[k][:2]))


def test_back_face_means_after_the_trim() -> None:
    sighting = seen(photo_of_card(4, texture=card_texture(CardFace.BACK)))
    assert sighting.face is CardFace.BACK
    assert sighting.moment is Moment.AFTER_TRIM
    assert {corner.name for corner in sighting.corners if corner.name.startswith("m")} >= {"m26.0", "m42.3"}


def test_a_twelve_megapixel_photo_is_searched_on_a_copy_and_refined_at_full_size() -> None:
    photo = photo_of_card(5, size=(4032, 3024), distance_mm=800)
    sighting = seen(photo)
    assert sighting.photo_size == (4032, 3024)
    assert sum(c.name.startswith("c") for c in sighting.corners) == 24
    assert rms(photo.off(sighting.corners, "c")) < 0.05


def test_a_flipped_photo_is_told_as_mirrored() -> None:
    refusal = find_card(np.ascontiguousarray(photo_of_card(6).grey[:, ::-1]))
    assert isinstance(refusal, Refusal)
    assert refusal.code == "photo_mirrored"


def test_a_photo_without_the_card_is_refused() -> None:
    grey = photo_of_card(7, texture=np.full((960, 1280), 120, np.uint8)).grey
    refusal = find_card(grey)
    assert isinstance(refusal, Refusal)
    assert refusal.code == "card_not_found"


def test_foot_and_moment_tags_beside_the_card_are_read() -> None:
    photo = photo_of_card(8)
    dictionary = cv2.aruco.getPredefinedDictionary(cv2.aruco.DICT_4X4_50)
    for number, x in ((21, 60), (25, 260)):
        tag = cv2.aruco.generateImageMarker(dictionary, number, 100)
        photo.grey[40:180, x - 20 : x + 120] = 230
        photo.grey[60:160, x : x + 100] = tag
    sighting = seen(photo)
    assert sighting.tags == (21, 25)
    assert sighting.foot is Foot.RF
    assert sighting.moment is Moment.AFTER_TRIM


def test_blur_shows_in_the_edge_width() -> None:
    # a Gaussian of standard deviation s spreads a step's 10-90 % rise over 2.563 s (normal quantiles)
    for blur in (1.0, 2.0, 3.0):
        width = seen(photo_of_card(9, distance_mm=230, blur=blur, noise=1.0)).edge_width_px
        # and so do the pixel's own box (variance 1/12) and reading between pixels by straight lines (1/6)
        expected = 2.563 * float(np.sqrt(blur**2 + 1 / 12 + 1 / 6))
        assert width == pytest.approx(expected, rel=0.1)


def test_stated_spread_covers_the_true_error() -> None:
    shares = []
    for seed in range(20, 26):
        photo = photo_of_card(seed, distance_mm=300, noise=6.0)
        sighting = seen(photo)
        spread = {c.name: c.spread_px for c in sighting.corners}
        for kind in "cm":
            names = [c.name for c in sighting.corners if c.name.startswith(kind)]
            shares.append(photo.off(sighting.corners, kind) / np.array([spread[n] for n in names])[:, None])
    assert 0.6 < rms(np.concatenate(shares)) < 1.5


SAMPLES = Path(__file__).resolve().parents[2] / "sample_cases"
RENDERED = json.loads((SAMPLES / "photos.json").read_text(encoding="utf-8"))["rendered"]


@pytest.mark.parametrize("name", [name for name in RENDERED if "/faults/" not in name])
def test_corners_of_the_rendered_photos_are_where_their_truth_says(name: str) -> None:
    """Truth beside each photo: inner corners in px as the renderer's camera projects them (`corners_px`)."""
    truth = json.loads((SAMPLES / name).with_suffix(".truth.json").read_text(encoding="utf-8"))
    grey = open_grey(SAMPLES / name)
    assert not isinstance(grey, Refusal)
    found = find_card(grey)
    if not truth["card"].get("present"):
        assert isinstance(found, Refusal)
        return
    assert isinstance(found, CardSighting)
    assert found.face.value == truth["card"]["face"]
    places = {f"c{int(number):02d}": px for number, px in truth["card"]["corners_px"].items()}
    seen = {corner.name: corner for corner in found.corners if corner.name in places}
    assert len(seen) == 24
    off = np.array([np.subtract(corner.photo_px, places[key]) for key, corner in seen.items()])
    spread = np.array([corner.spread_px for corner in seen.values()])[:, None]
    assert rms(off) < 0.15
    assert rms(off / spread) < 2.0


@pytest.mark.parametrize("seed", range(8))
def test_a_card_with_a_quarter_under_mud_is_found_and_its_corners_stay_true(seed: int) -> None:
    texture = mud(card_texture(), 0.25, np.random.default_rng(seed))
    photo = photo_of_card(seed, distance_mm=330, texture=texture)
    sighting = seen(photo)
    assert len(sighting.markers) >= 3
    inner = photo.off(sighting.corners, "c")
    assert len(inner) >= 6
    assert rms(inner) < 0.1
    # a splash that ends along an edge may draw a marker's corner; few may, and their spread must say so
    marker = photo.off(sighting.corners, "m")
    spread = np.array([c.spread_px for c in sighting.corners if c.name.startswith("m")])[:, None]
    assert float(np.median(np.abs(marker))) < 0.06
    assert rms(marker / spread) < 3.0


def test_blur_beyond_a_cell_is_refused_or_not_found() -> None:
    refusal = find_card(photo_of_card(11, distance_mm=300, blur=7.0).grey)
    assert isinstance(refusal, Refusal)
    assert refusal.code in ("card_blurred", "card_not_found")
