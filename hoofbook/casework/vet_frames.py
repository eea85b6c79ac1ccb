"""How a photo is laid in a picture of a Vet case: at one scale with its neighbours, its foot in the middle."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from hoofbook.casework.pair_facts import ToMm
from hoofbook.terms.drawing_moved import moved_point
from hoofbook.terms.feet import Side
from hoofbook.terms.measured import Shot
from hoofbook.wording.vet_case import LATERAL, MEDIAL

BAR_MM = 50.0
Box = tuple[float, float, float, float]
_ROOM = 1.3  # of the marks' own box, so that what is beside the foot can be seen
_RAISED = 0.05  # of the height: day and scale bar stand below the foot
_PAIRS = (
    ("widest_medial", "widest_lateral"),
    ("heel_medial", "heel_lateral"),
    ("frog_base_medial", "frog_base_lateral"),
    ("medial_ground", "lateral_ground"),
    ("medial_hairline", "lateral_hairline"),
    ("edge_medial", "edge_lateral"),
)


@dataclass(frozen=True, slots=True)
class Frame:
    """`to_picture` takes photo px to px of a picture of `size`; `px_per_mm` there, None where it is not to scale."""

    to_picture: ToMm
    size: tuple[int, int]
    px_per_mm: float | None
    bar_mm: float = BAR_MM


def marks_box(shot: Shot, matrix: ToMm) -> Box:
    """Left, top, right, bottom of the marks after `matrix`; of the whole photo where there are fewer than two."""
    marks = [(mark.x, mark.y) for mark in shot.marking.confirmed.values()]
    wide, tall = shot.photo_size
    places = marks if len(marks) > 1 else [(x, y) for x in (0.0, wide - 1.0) for y in (0.0, tall - 1.0)]
    moved = [moved_point(matrix, x, y) for x, y in places]
    xs, ys = [x for x, _ in moved], [y for _, y in moved]
    return min(xs), min(ys), max(xs), max(ys)


def common_frame(shot: Shot, to_mm: ToMm, boxes: Sequence[Box], ratio: float, wide: int) -> Frame:
    """A frame `wide` px wide and `ratio` as wide as high: every one of `boxes` (mm) would fit it at this scale."""
    across = max(max(right - left, (low - top) * ratio) for left, top, right, low in boxes) * _ROOM
    return _centred(marks_box(shot, to_mm), to_mm, across, ratio, wide, to_scale=True)


def whole(shot: Shot, ratio: float, wide: int) -> Frame:
    """A frame for a photo without millimetres: its marks, else all of it."""
    plain: ToMm = ((1.0, 0.0, 0.0), (0.0, 1.0, 0.0))
    left, top, right, low = marks_box(shot, plain)
    room = _ROOM if len(shot.marking.confirmed) > 1 else 1.0
    across = max(right - left + 1.0, (low - top + 1.0) * ratio) * room
    return _centred((left, top, right, low), plain, across, ratio, wide, to_scale=False)


def _centred(box: Box, matrix: ToMm, across: float, ratio: float, wide: int, *, to_scale: bool) -> Frame:
    tall = round(wide / ratio)
    scale = wide / across
    left, top, right, low = box
    shift_x = wide / 2 - scale * (left + right) / 2 - 0.5
    shift_y = (0.5 - _RAISED) * tall - scale * (top + low) / 2 - 0.5
    (a, b, c), (d, e, f) = matrix
    laid = (
        (scale * a, scale * b, scale * c + shift_x),
        (scale * d, scale * e, scale * f + shift_y),
    )
    return Frame(laid, (wide, tall), scale if to_scale else None)


def bar_px(frame: Frame) -> float | None:
    """Length of the scale bar in the picture, px; None where there are no millimetres."""
    return None if frame.px_per_mm is None else frame.px_per_mm * frame.bar_mm


def toe_points_right(shot: Shot, to_picture: ToMm) -> bool:
    """By the marks where they are set, else by the side of the foot and from where the lens looked."""
    marks = shot.marking.confirmed
    if "toe_ground" in marks and "heel_ground" in marks:
        toe, heel = (moved_point(to_picture, marks[n].x, marks[n].y)[0] for n in ("toe_ground", "heel_ground"))
        return toe > heel
    right_foot = shot.foot is not None and shot.foot.side is Side.RIGHT
    return right_foot is not shot.from_inside


def side_words(shot: Shot, to_picture: ToMm) -> tuple[str, str]:
    """What stands at the left and right edge, medial or lateral, as the marks lie; empty where they do not tell."""
    marks = shot.marking.confirmed
    for medial, lateral in _PAIRS:
        if medial in marks and lateral in marks:
            inner = moved_point(to_picture, marks[medial].x, marks[medial].y)
            outer = moved_point(to_picture, marks[lateral].x, marks[lateral].y)
            across, down = outer[0] - inner[0], outer[1] - inner[1]
            if abs(across) > abs(down):
                return (MEDIAL, LATERAL) if across > 0 else (LATERAL, MEDIAL)
    return "", ""
