"""The projection against OpenCV's, an implementation made by others (calib3d, `cv2.projectPoints`)."""

from __future__ import annotations

import cv2
import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from hoofbook.measure.projection import (
    Camera,
    Pose,
    meet_plane,
    project,
    rays,
    rotation_matrix,
    rotation_vector,
    straighten,
)

small = st.floats(-3.0, 3.0)


@given(st.tuples(small, small, small), st.floats(-0.1, 0.1), st.floats(1500, 6000))
@settings(max_examples=60, deadline=None)
def test_pixels_are_those_of_opencv(turn: tuple[float, float, float], k1: float, focal: float) -> None:
    points = np.random.default_rng(3).uniform(-80, 80, (20, 3))
    shift = np.array([10.0, -20.0, 900.0])
    camera = Camera(focal, 2010.0, 1533.0, k1, 4032, 3024)
    pose = Pose(rotation_matrix(turn), shift)
    matrix = np.array([[focal, 0, 2010.0], [0, focal, 1533.0], [0, 0, 1]])
    # Reference: cv2.projectPoints, OpenCV calib3d
    expected, _ = cv2.projectPoints(points, np.array(turn), shift, matrix, np.array([k1, 0, 0, 0, 0]))
    assert project(points, camera, pose) == pytest.approx(expected.reshape(-1, 2), abs=1e-8)


@given(st.tuples(small, small, small))
@settings(max_examples=100, deadline=None)
def test_rotation_is_that_of_opencv_and_comes_back(turn: tuple[float, float, float]) -> None:
    matrix = rotation_matrix(turn)
    assert matrix == pytest.approx(cv2.Rodrigues(np.array(turn))[0], abs=1e-9)
    assert rotation_matrix(rotation_vector(matrix)) == pytest.approx(matrix, abs=1e-6)


def test_half_a_turn_comes_back() -> None:
    for axis in (np.array([1.0, 0, 0]), np.array([0.6, 0.8, 0]), np.array([0.36, 0.48, 0.8])):
        matrix = rotation_matrix(axis * np.pi)
        assert rotation_matrix(rotation_vector(matrix)) == pytest.approx(matrix, abs=1e-9)


@given(st.floats(0, 4031), st.floats(0, 3023), st.floats(-0.1, 0.1))
@settings(max_examples=100, deadline=None)
def test_a_ray_goes_back_to_its_pixel(x: float, y: float, k1: float) -> None:
    camera = Camera(3100.0, 2020.0, 1500.0, k1, 4032, 3024)
    pose = Pose(rotation_matrix([0.2, -0.3, 0.1]), np.array([5.0, 6.0, 700.0]))
    on_plane = meet_plane(pose.lens, rays([[x, y]], camera) @ pose.rotation, [0, 0, 0], [0, 0, 1])
    assert on_plane[0, 2] == pytest.approx(0.0, abs=1e-9)
    assert project(on_plane, camera, pose)[0] == pytest.approx([x, y], abs=1e-6)


def test_beyond_the_fold_of_a_barrel_there_is_no_ray() -> None:
    # r (1 + k1 r^2) with k1 = -0.3 is at most 0.7027 (by calculus at r = 1/sqrt(0.9))
    assert np.all(np.isnan(straighten([[0.71, 0.0]], -0.3)))
    assert np.all(np.isfinite(straighten([[0.70, 0.0]], -0.3)))


def test_points_behind_the_lens_have_no_pixel() -> None:
    pose = Pose(np.eye(3), np.zeros(3))
    assert np.all(np.isnan(project([[0.0, 0.0, -5.0]], Camera(3000, 0, 0), pose)))
