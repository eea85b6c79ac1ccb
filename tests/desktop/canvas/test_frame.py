"""Where a picture lies in a window: numbers only, no window."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from hoofbook.desktop.canvas.frame import LARGEST, MAT, ViewFrame, bounded, fitted, revealing

PHOTO = (4032, 3024)
ROOM = (900.0, 640.0)
scales = st.floats(0.05, 30)
places = st.floats(-3000, 3000)


@given(scales, places, places, st.floats(-100, 5000), st.floats(-100, 5000))
def test_photo_to_screen_and_back_is_the_same_place(scale, left, top, x, y):
    frame = ViewFrame(scale, left, top)
    assert frame.screen_to_photo(*frame.photo_to_screen(x, y)) == pytest.approx((x, y), abs=1e-6)


def test_the_centre_of_the_first_pixel_lies_half_a_pixel_inside():
    """Frame photo counts from the centre of the top left pixel, so at 8 x it lies 4 px from the picture's corner."""
    assert ViewFrame(8.0, 100.0, 50.0).photo_to_screen(0, 0) == (104.0, 54.0)


@given(st.builds(ViewFrame, scales, places, places), st.floats(0.2, 5), st.floats(0, 900), st.floats(0, 640))
def test_zoom_keeps_what_is_under_the_pointer(frame, factor, x, y):
    assert frame.zoomed(factor, (x, y)).to_picture(x, y) == pytest.approx(frame.to_picture(x, y), abs=1e-6)


def test_fitted_shows_all_with_the_mat_round_it():
    frame = fitted(PHOTO, ROOM)
    left, top = frame.to_screen(0, 0)
    right, bottom = frame.to_screen(*PHOTO)
    assert min(left, top, ROOM[0] - right, ROOM[1] - bottom) == pytest.approx(MAT)
    assert left + right == pytest.approx(ROOM[0])
    assert top + bottom == pytest.approx(ROOM[1])


@given(st.floats(1e-4, 1e4), st.floats(-1e6, 1e6), st.floats(-1e6, 1e6))
def test_the_middle_of_the_window_stays_on_the_photo(scale, left, top):
    frame = bounded(ViewFrame(scale, left, top), PHOTO, ROOM)
    u, v = frame.to_picture(ROOM[0] / 2, ROOM[1] / 2)
    assert -1e-6 <= u <= PHOTO[0] + 1e-6
    assert -1e-6 <= v <= PHOTO[1] + 1e-6
    assert fitted(PHOTO, ROOM).scale / 2 <= frame.scale <= LARGEST


@given(st.floats(-5000, 5000), st.floats(-5000, 5000))
def test_revealing_brings_a_place_inside_and_leaves_a_seen_one_alone(x, y):
    frame = ViewFrame(1.0, 0.0, 0.0)
    after = revealing(frame, (x, y), ROOM)
    place = (x + after.left, y + after.top)
    near = 1e-6  # of rounding
    assert 60 - near <= place[0] <= ROOM[0] - 60 + near and 60 - near <= place[1] <= ROOM[1] - 60 + near
    if 60 <= x <= ROOM[0] - 60 and 60 <= y <= ROOM[1] - 60:
        assert after == frame
