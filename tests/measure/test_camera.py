"""The fit of lens and pose against OpenCV's solvePnP and scipy's least_squares, and what it says of faults."""

from __future__ import annotations

import math
from dataclasses import replace

import cv2
import numpy as np
import pytest
from numpy.typing import NDArray
from scipy.optimize import least_squares

from hoofbook.measure import priors
from hoofbook.measure.camera import CardFit, fit_card, lens_prior
from hoofbook.measure.homography import homography, mirrored
from hoofbook.measure.projection import rotation_matrix
from hoofbook.terms.card import CardSighting
from hoofbook.terms.marks import Marking
from hoofbook.terms.measured import Shot
from hoofbook.terms.refusal import Refusal
from hoofbook.terms.views import View
from tests.measure.photos import Lens, standing_card

LENS = Lens((-60.0, 180.0, 850.0), target=(-120.0, 45.0, 0.0))


def card_shot(sighting: CardSighting | None, lens: Lens, **more: object) -> Shot:
    given: dict[str, object] = {"sighting": sighting, "focal_35mm": lens.focal_35mm, "card_size_mm": (112.0, 80.0)}
    return Shot("photo", View.LATERAL, lens.size, Marking(), **(given | more))  # type: ignore[arg-type]


def fitted(shot: Shot) -> CardFit:
    fit = fit_card(shot)
    assert isinstance(fit, CardFit), fit
    return fit


def board(sighting: CardSighting) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    places = np.array([[*corner.card_mm, 0.0] for corner in sighting.corners])
    return places, np.array([corner.photo_px for corner in sighting.corners])


@pytest.mark.parametrize("yaw", [-35.0, -8.0, 0.0, 8.0, 35.0])
@pytest.mark.parametrize("k1", [-0.06, 0.0, 0.04])
def test_pose_is_that_of_solvepnp(yaw: float, k1: float) -> None:
    """Reference: cv2.solvePnP (iterative), told the true lens; ours has to find it from the priors."""
    lens = replace(LENS, k1=k1, roll=3.0)
    sighting = standing_card(lens, yaw=yaw)
    places, pixels = board(sighting)
    matrix = np.array([[lens.focal, 0, lens.centre[0]], [0, lens.focal, lens.centre[1]], [0, 0, 1.0]])
    found, turn, shift = cv2.solvePnP(places, pixels, matrix, np.array([k1, 0, 0, 0, 0]))
    assert found
    fit = fitted(card_shot(sighting, lens))
    apart = cv2.Rodrigues(fit.pose.rotation @ cv2.Rodrigues(turn)[0].T)[0]
    # an unknown k1 of 0.06 is 2 sd of its prior
    assert np.degrees(np.linalg.norm(apart)) < (0.6 if k1 else 0.02)
    assert fit.pose.translation[2] / fit.camera.focal_px == pytest.approx(shift[2, 0] / lens.focal, rel=2e-3)
    assert fit.misfit < 1.0


def test_the_minimum_is_that_of_scipy() -> None:
    """Same cost written with OpenCV's projection and given to scipy.optimize.least_squares from a rough start."""
    lens = replace(LENS, focal=3160.0, k1=-0.03, centre=(2040.0, 1490.0))
    sighting = standing_card(lens, yaw=9.0, lean=4.0, scale=(1.004, 0.997), noise=0.1, spread=0.1, seed=4)
    shot = card_shot(sighting, replace(lens, focal=3100.0), card_size_mm=None)
    fit = fitted(shot)
    places, pixels = board(sighting)
    middle = np.array([56.0, 40.0, 0.0])
    nominal = priors.focal_from_35mm(float(shot.focal_35mm or 0.0), lens.size)
    spread = np.array([priors.FOCAL, 40.32, 40.32, priors.K1, priors.PRINT_UNCHECKED, priors.PRINT_UNCHECKED])
    mean = np.array([0.0, 2015.5, 1511.5, 0.0, 1.0, 1.0])

    def cost(v: NDArray[np.float64]) -> NDArray[np.float64]:
        focal = nominal * math.exp(v[0])
        matrix = np.array([[focal, 0, v[1]], [0, focal, v[2]], [0, 0, 1.0]])
        stretched = (places - middle) * np.array([v[4], v[5], 1.0])
        seen = cv2.projectPoints(stretched, v[6:9], v[9:12], matrix, np.array([v[3], 0, 0, 0, 0]))[0]
        return np.concatenate([(seen.reshape(-1, 2) - pixels).ravel() / 0.1, (v[:6] - mean) / spread])

    start = np.concatenate([mean, cv2.Rodrigues(fit.pose.rotation)[0].ravel() + 0.02, fit.middle_pose.translation])
    scale = np.concatenate([spread, np.full(3, 0.01), np.full(3, 1.0)])
    reference = least_squares(cost, start, x_scale=scale, xtol=1e-12, ftol=1e-12, gtol=1e-12)
    ours = fit.values
    best = np.concatenate(
        [
            [math.log(fit.camera.focal_px / nominal), *ours[1:4], *fit.print_scale],
            cv2.Rodrigues(fit.middle_pose.rotation)[0].ravel(),
            fit.middle_pose.translation,
        ]
    )
    assert 0.5 * float(np.sum(cost(best) ** 2)) <= reference.cost * 1.02  # a stiff bow is all that differs
    assert (best - reference.x) / scale == pytest.approx(np.zeros(12), abs=0.12)


def test_the_start_is_opencvs_homography() -> None:
    rng = np.random.default_rng(1)
    flat = rng.uniform(0, 100, (20, 2))
    true = np.array([[3.0, 0.2, 900.0], [-0.1, 2.8, 700.0], [1e-4, -2e-4, 1.0]])
    seen = np.concatenate([flat, np.ones((20, 1))], axis=1) @ true.T
    pixels = seen[:, :2] / seen[:, 2:]
    found = homography(flat, pixels)
    assert found is not None
    reference = cv2.findHomography(flat, pixels)[0]
    by_reference = cv2.perspectiveTransform(flat[None], reference)[0]
    by_ours = cv2.perspectiveTransform(flat[None], found)[0]
    assert by_ours == pytest.approx(by_reference, abs=1e-3)  # px; the reference stops iterating there
    assert by_ours == pytest.approx(pixels, abs=1e-8)


def test_the_mirrored_pose_keeps_the_angle_to_the_sight_line() -> None:
    turn = rotation_matrix([0.3, -0.2, 0.1])
    shift = np.array([50.0, -20.0, 800.0])
    other = mirrored(turn, shift)
    sight = shift / np.linalg.norm(shift)
    assert other @ other.T == pytest.approx(np.eye(3), abs=1e-12)
    assert other[:, 2] @ sight == pytest.approx(turn[:, 2] @ sight)
    assert np.linalg.norm(np.cross(other[:, 2], turn[:, 2])) > 0.05


def test_focal_length_of_the_tag_follows_the_exif_diagonal() -> None:
    """Exif 2.3, FocalLengthIn35mmFilm: equivalent by the picture's diagonal; 36 x 24 mm has a diagonal of 43.27 mm."""
    assert math.hypot(36.0, 24.0) == pytest.approx(43.27, abs=0.005)
    assert lens_prior((3600, 2400), 50.0, False).focal_px == pytest.approx(50.0 * 100.0, rel=1e-4)


def test_a_cropped_photo_is_believed_less() -> None:
    sighting = standing_card(LENS)
    plain, cropped = (fitted(card_shot(sighting, LENS, edited=edited)) for edited in (False, True))
    assert cropped.factor[0] @ cropped.factor[0] > plain.factor[0] @ plain.factor[0]
    assert all("lens main" not in source for source in cropped.sources)


def test_a_focal_length_that_the_card_contradicts_is_told() -> None:
    lens = replace(LENS, place=(-420.0, 180.0, 650.0))
    sighting = standing_card(lens, yaw=25.0, noise=0.03, spread=0.03)
    wrong = fitted(card_shot(sighting, replace(lens, focal=lens.focal * 1.3)))
    assert [remark.code for remark in wrong.remarks] == ["focal_contradicted_by_card"]
    assert wrong.focal_implied == pytest.approx(lens.focal, rel=0.06)
    assert not fitted(card_shot(sighting, lens)).remarks


def bowed(lens: Lens, bow_mm: float) -> CardSighting:
    flat = standing_card(lens, noise=0.05, spread=0.05, seed=8)
    corners = []
    for corner in flat.corners:
        x, y = corner.card_mm
        place = (x - 56.0 - 120.0, 88.0 - y, bow_mm * (1.0 - ((x - 56.0) / 56.0) ** 2))
        moved = lens.see(place)[0] + np.array(corner.photo_px) - lens.see((x - 176.0, 88.0 - y, 0.0))[0]
        corners.append(replace(corner, photo_px=(float(moved[0]), float(moved[1]))))
    return replace(flat, corners=tuple(corners))


def test_a_bent_card_is_told_and_a_flat_one_is_not() -> None:
    lens = replace(LENS, place=(-360.0, 200.0, 780.0))
    assert "card_bent" in [remark.code for remark in fitted(card_shot(bowed(lens, 4.0), lens)).remarks]
    assert not fitted(card_shot(bowed(lens, 0.0), lens)).remarks


def test_shaken_corners_are_told_as_a_misfit() -> None:
    shaken = standing_card(LENS, noise=0.4, spread=0.1, seed=3)
    assert "card_misfit" in [remark.code for remark in fitted(card_shot(shaken, LENS)).remarks]


def test_one_stray_corner_is_left_out() -> None:
    sighting = standing_card(LENS, noise=0.05, seed=2)
    corner = sighting.corners[7]
    stray = replace(corner, photo_px=(corner.photo_px[0] + 9.0, corner.photo_px[1] - 4.0))
    corners = (*sighting.corners[:7], stray, *sighting.corners[8:])
    fit = fitted(card_shot(replace(sighting, corners=corners), LENS))
    clean = fitted(card_shot(sighting, LENS))
    assert fit.corners_used == 23
    assert fit.pose.translation == pytest.approx(clean.pose.translation, abs=1.5)


@pytest.mark.parametrize(
    ("count", "code"),
    [(None, "card_not_found"), (5, "card_corners_too_few")],
)
def test_refusals(count: int | None, code: str) -> None:
    sighting = standing_card(LENS)
    seen = None if count is None else replace(sighting, corners=sighting.corners[:count])
    refusal = fit_card(card_shot(seen, LENS))
    assert isinstance(refusal, Refusal)
    assert refusal.code == code


def test_corners_on_one_spot_have_no_pose() -> None:
    sighting = standing_card(LENS)
    corners = tuple(replace(corner, photo_px=(100.0, 100.0)) for corner in sighting.corners)
    refusal = fit_card(card_shot(replace(sighting, corners=corners), LENS))
    assert isinstance(refusal, Refusal)
    assert refusal.code == "card_pose_failed"
