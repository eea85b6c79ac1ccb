"""Words and dots of Could be noise; figures by hand."""

from __future__ import annotations

from datetime import date

import pytest

from hoofbook.progress.pair import PairChange
from hoofbook.terms.drawing import Band, Role, Spot, Text
from hoofbook.terms.refusal import Refusal
from hoofbook.wording import noise
from hoofbook.wording.chart_room import text_box

FORBIDDEN = ("significant", "proved", "improved", "worse", "real", "shown")


def test_measuring_alone_says_whether_nought_lies_inside() -> None:
    """0.8 mm with u = 0.5: 1.96 x 0.5 = 0.98, so -0.2 to 1.8; 1.2 mm: 0.2 to 2.2."""
    within = noise.measuring_alone(0.8, 0.5, "toe_length")
    assert "\u22120.2 to 1.8 mm" in within and "it may be nothing" in within
    beyond = noise.measuring_alone(1.2, 0.5, "toe_length")
    assert "0.2 to 2.2 mm" in beyond and "measuring alone does not make it" in beyond
    for words in (within, beyond):
        assert not any(word in words.lower().split() for word in FORBIDDEN)


def test_visits_add_their_own_scatter_or_the_reason_why_not() -> None:
    change = PairChange(0.8, 1.5, -2.1, 3.7, 1.0, True, date(2025, 1, 14), date(2025, 2, 25))
    said = noise.with_visits(change, "toe_length")
    assert "scatter 1.0 mm assumed" in said and "\u22122.1 to 3.7 mm" in said
    assert said.endswith("no verdict.")
    assert noise.with_visits(Refusal("hand_and_photo", {}), "toe_length").startswith("One was read by hand")


@pytest.mark.parametrize(
    ("found", "said"),
    [
        ([], ""),
        ([0.9], "Measured anew once: 0.9 to 0.9 mm; none of them the other way round."),
        ([0.9, -0.4, 1.7, -0.1], "Measured anew 4 times: \u22120.4 to 1.7 mm; 2 of them the other way round."),
    ],
)
def test_what_was_drawn_so_far(found: list[float], said: str) -> None:
    assert noise.so_far(found, 0.8, "toe_length") == said


@pytest.mark.parametrize(("value", "u"), [(0.8, 0.5), (-3.2, 1.8), (4.1, 0.26), (0.0, 0.4), (2.0, 0.0)])
@pytest.mark.parametrize(("width", "size"), [(420, 20), (900, 14)])
def test_the_strip_has_a_dot_for_each_difference_and_the_interval_behind(
    value: float, u: float, width: int, size: int
) -> None:
    found = [value + u * step / 5 for step in range(-10, 11)]
    drawing = noise.strip(found, 4, (value, u), "toe_length", width=width, height=130, text_size=size)
    dots = [mark for mark in drawing.primitives if isinstance(mark, Spot)]
    assert len(dots) == len(found)
    assert [dot.role for dot in dots].count(Role.LEATHER) == 1
    for mark in drawing.primitives:
        if isinstance(mark, Text):
            box = text_box(mark)
            assert box.left >= -1 and box.right <= width + 1 and box.bottom <= 131
    band = next(mark for mark in drawing.primitives if isinstance(mark, Band))
    inside = [dot for dot in dots if band.points[0][0] - 0.01 <= dot.centre[0] <= band.points[1][0] + 0.01]
    expected = sum(abs(difference - value) <= 1.96 * u + 1e-9 for difference in found)
    assert len(inside) == expected
    assert all(0 <= dot.centre[1] <= 130 for dot in dots)
    assert drawing.alt == noise.so_far(found, value, "toe_length")
