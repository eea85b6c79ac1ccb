"""The part of a picture in a tile: fills the box, keeps its shape, shows the window, stays inside."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from hoofbook.desktop.widgets.crop import covering_part

sizes = st.tuples(st.floats(20, 4000), st.floats(20, 4000))
shares = st.lists(st.floats(0, 1), min_size=4, max_size=4).map(
    lambda v: (min(v[0], v[1]), min(v[2], v[3]), max(v[0], v[1]), max(v[2], v[3]))
)


@given(box=sizes, picture=sizes, window=st.none() | shares)
def test_the_part_has_the_shape_of_the_box_and_lies_in_the_picture(box, picture, window) -> None:  # type: ignore[no-untyped-def]
    left, top, wide, tall = covering_part(box, picture, window)
    assert wide / tall == pytest.approx(box[0] / box[1], rel=1e-6)
    assert left >= -1e-6 and top >= -1e-6
    assert left + wide <= picture[0] * (1 + 1e-9) + 1e-6 and top + tall <= picture[1] * (1 + 1e-9) + 1e-6


def test_a_window_is_shown_whole_and_near() -> None:
    left, top, wide, tall = covering_part((200, 100), (2000, 1500), (0.2, 0.6, 0.4, 0.8))
    assert left <= 400 and left + wide >= 800 and top <= 900 + 1e-6 and top + tall >= 1200 - 1e-6
    assert (wide, tall) == pytest.approx((600, 300))
