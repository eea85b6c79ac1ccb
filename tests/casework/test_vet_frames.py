"""Photos laid in the pictures of a Vet case: one scale, medial and lateral by the marks, the toe by the marks.

Reference: places worked out by hand. Left and right are those of anatomy: seen from the sole with the toe up, the
lateral side of a left foot is on the right.
"""

from __future__ import annotations

import pytest

from hoofbook.casework.vet_frames import bar_px, common_frame, marks_box, side_words, toe_points_right, whole
from hoofbook.terms.drawing_moved import moved_point, scale_of
from hoofbook.terms.feet import Foot
from hoofbook.terms.marks import Mark, Marking, MarkState
from hoofbook.terms.measured import Shot
from hoofbook.terms.views import View

STRAIGHT = ((1.0, 0.0, 0.0), (0.0, 1.0, 0.0))
TURNED = ((-1.0, 0.0, 0.0), (0.0, -1.0, 0.0))  # by half a turn
SIDEWAYS = ((0.0, -1.0, 0.0), (1.0, 0.0, 0.0))


def shot(view: View, marks: dict[str, tuple[float, float]], **more: object) -> Shot:
    marking = Marking()
    for name, (x, y) in marks.items():
        marking = marking.with_mark(name, Mark(x, y, MarkState.CONFIRMED))
    return Shot("photo", view, (1000, 800), marking, **more)  # type: ignore[arg-type]


SOLE = shot(View.SOLAR, {"widest_medial": (300.0, 400.0), "widest_lateral": (700.0, 410.0)})


def test_photos_of_one_view_share_their_scale_and_lie_in_the_middle() -> None:
    near = ((0.25, 0.0, 10.0), (0.0, 0.25, 20.0))  # 4 px a mm
    far = ((0.5, 0.0, -3.0), (0.0, 0.5, 7.0))  # 2 px a mm
    boxes = [marks_box(SOLE, near), marks_box(SOLE, far)]
    frames = [common_frame(SOLE, matrix, boxes, 1.5, 900) for matrix in (near, far)]
    assert all(frame.size == (900, 600) for frame in frames)
    assert frames[0].px_per_mm == pytest.approx(frames[1].px_per_mm)
    assert frames[0].px_per_mm == pytest.approx(900 / (1.3 * 200.0))  # the wider foot, 400 px of half a mm, and room
    for frame, mm_per_px in zip(frames, (0.25, 0.5), strict=True):
        assert scale_of(frame.to_picture) == pytest.approx((frame.px_per_mm or 0.0) * mm_per_px)
        x, _ = moved_point(frame.to_picture, 500.0, 405.0)
        assert x == pytest.approx(449.5)
        assert bar_px(frame) == pytest.approx(50.0 * (frame.px_per_mm or 0.0))


def test_a_photo_without_a_scale_has_no_bar() -> None:
    frame = whole(shot(View.SOLAR, {}), 1.5, 900)
    assert frame.px_per_mm is None and bar_px(frame) is None
    corners = [moved_point(frame.to_picture, x, y) for x in (0.0, 999.0) for y in (0.0, 799.0)]
    assert all(-1 <= x <= 900 and -35 <= y <= 601 for x, y in corners)  # raised by a twentieth for the words below


def test_medial_and_lateral_go_by_the_marks_however_the_photo_lies() -> None:
    assert side_words(SOLE, STRAIGHT) == ("medial", "lateral")
    assert side_words(SOLE, TURNED) == ("lateral", "medial")
    assert side_words(SOLE, SIDEWAYS) == ("", "")  # above and below: no word at the sides
    assert side_words(shot(View.SOLAR, {"frog_apex": (1.0, 2.0)}), STRAIGHT) == ("", "")


def test_the_side_letter_stands_where_the_toe_points() -> None:
    left = {"toe_ground": (200.0, 600.0), "heel_ground": (700.0, 600.0)}
    assert not toe_points_right(shot(View.LATERAL, left, foot=Foot.LF), STRAIGHT)
    assert toe_points_right(shot(View.LATERAL, left, foot=Foot.LF), TURNED)
    assert not toe_points_right(shot(View.LATERAL, {}, foot=Foot.LH), STRAIGHT)
    assert toe_points_right(shot(View.LATERAL, {}, foot=Foot.RH), STRAIGHT)
    assert toe_points_right(shot(View.LATERAL, {}, foot=Foot.LF, from_inside=True), STRAIGHT)
