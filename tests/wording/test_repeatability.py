"""Repeatability in words and as a plot: every number is the figure behind it, and nothing leaves its frame."""

from __future__ import annotations

import math

import pytest

from hoofbook.progress.agreement import (
    Icc,
    IccForm,
    Limits,
    PersonEffect,
    Shrunk,
    Standing,
    Within,
    limits_of_agreement,
    shrunk,
    within,
)
from hoofbook.progress.placing import MarkSort
from hoofbook.terms.drawing import Drawing, Line, Role, Spot, Text
from hoofbook.terms.feet import Foot
from hoofbook.terms.marks import Mark
from hoofbook.terms.quantity import Definition, Part, Quantity, Unit
from hoofbook.terms.views import View
from hoofbook.wording import repeatability as words
from hoofbook.wording import without_looking
from hoofbook.wording.agreement_plot import agreement_plot
from hoofbook.wording.chart_room import text_box
from tests.progress.test_agreement import MINI, WRIGHT, pairs

ONE = Definition.ONE


def pefr() -> Limits:
    """Bland and Altman (1986): the 17 subjects of their plot."""
    found = limits_of_agreement(pairs(WRIGHT, MINI))
    assert isinstance(found, Limits)
    return found


@pytest.mark.parametrize(
    ("width", "height", "size"), [(720.0, 320.0, 13.0), (420.0, 300.0, 18.0), (900.0, 380.0, 15.0)]
)
def test_the_plot_shows_every_pair_at_its_mean_and_difference(width: float, height: float, size: float) -> None:
    limits = pefr()
    drawing = agreement_plot("toe_length", ONE, limits, width=width, height=height, text_size=size)
    spots = [part for part in drawing.primitives if isinstance(part, Spot)]
    assert len(spots) == 17
    for axis, values in ((0, [p[0] for p in limits.points]), (1, [-p[1] for p in limits.points])):
        slopes = [(s.centre[axis] - spots[0].centre[axis]) for s in spots[1:]]
        wanted = [value - values[0] for value in values[1:]]
        factor = math.fsum(slopes) / math.fsum(wanted)
        assert factor > 0
        assert slopes == pytest.approx([factor * each for each in wanted], abs=1e-6)
    assert_inside(drawing)


def assert_inside(drawing: Drawing) -> None:
    for part in drawing.primitives:
        if isinstance(part, Text):
            box = text_box(part)
            assert box.left >= -1 and box.right <= drawing.width + 1, part.words
            assert box.top >= -1 and box.bottom <= drawing.height + 1, part.words
        if isinstance(part, Spot):
            assert 0 < part.centre[0] < drawing.width and 0 < part.centre[1] < drawing.height


def test_lines_stand_at_bias_and_limits_and_end_in_their_intervals() -> None:
    limits = pefr()
    drawing = agreement_plot("toe_length", ONE, limits)
    spots = [part for part in drawing.primitives if isinstance(part, Spot)]
    (mean_1, apart_1), (mean_2, apart_2) = limits.points[0], limits.points[5]
    rise = (spots[5].centre[1] - spots[0].centre[1]) / (apart_2 - apart_1)

    def y(value: float) -> float:
        return spots[0].centre[1] + rise * (value - apart_1)

    lines = [part for part in drawing.primitives if isinstance(part, Line) and part.role is Role.CALM]
    across = [line.points[0][1] for line in lines if line.width == 1.8]
    assert across == pytest.approx([y(limits.upper), y(limits.bias), y(limits.lower)])
    bars = [line for line in lines if line.points[0][0] == line.points[1][0]]
    lengths = [bar.points[0][1] - bar.points[1][1] for bar in bars]
    halves = [limits.limit_half, limits.bias_high - limits.bias, limits.limit_half]
    assert lengths == pytest.approx([-2 * rise * half for half in halves])
    said = [part.words for part in drawing.primitives if isinstance(part, Text) and part.bold]
    assert said == ["+74 mm", "−2 mm", "−78 mm"]
    assert mean_1 != mean_2


def test_what_is_drawn_is_said() -> None:
    alt = agreement_plot("toe_length", ONE, pefr()).alt
    assert "95 of 100 differences lie between −78 to 74 mm" in alt
    assert alt.count(";") >= 16


def test_a_plot_of_one_mean_and_no_difference_still_stands() -> None:
    alike = limits_of_agreement([(50.0, 50.0)] * 4)
    assert isinstance(alike, Limits)
    drawing = agreement_plot("toe_angle", ONE, alike)
    assert all(math.isfinite(v) for part in drawing.primitives if isinstance(part, Spot) for v in part.centre)
    assert_inside(drawing)


def test_whose_figure_it_is() -> None:
    assert words.row("toe_angle", ONE, shrunk(0.7, [])) == ("Toe angle", "1.9° between two readings (assumed)")
    few = words.row("toe_angle", ONE, shrunk(0.7, [(50.0, 50.4), (49.0, 49.2)]))[1]
    assert few.startswith("1.9° between two readings (assumed; your own so far") and "2 of 5 second takes" in few
    sets = [(50.0, 50.0 + 0.1 * k) for k in range(7)]
    assert "partly your own, 7 second takes" in words.row("toe_angle", ONE, shrunk(0.7, sets))[1]
    assert "(your own, 40 second takes)" in words.row("toe_angle", ONE, many())[1]


def many() -> Shrunk:
    return shrunk(0.7, [(50.0, 50.0 + 0.01 * k) for k in range(40)])


def test_correlation_in_words() -> None:
    said = words.icc_words(Icc(IccForm.ONE_SINGLE, 0.954, 0.80, 0.99))
    assert said.startswith("ICC(1,1) 0.95 (0.80 to 0.99)") and "Shrout and Fleiss 1979" in said
    assert "0.00 to" in words.icc_words(Icc(IccForm.ONE_SINGLE, 0.2, -0.4, 0.7)), "a share is never below nothing"
    assert "below 0" in words.icc_words(Icc(IccForm.TWO_SINGLE, -0.3, -0.5, 0.4))
    assert words.icc_words(Icc(IccForm.ONE_SINGLE, 1.0)).startswith("ICC(1,1) 1.00 (Shrout")


def test_two_people_in_words() -> None:
    effect = PersonEffect(0.8, 0.5, 1.1, 8, 0.55, 0.2)
    name, said = words.person_row("toe_angle", ONE, effect, Icc(IccForm.TWO_SINGLE, 0.97, 0.9, 0.99))
    assert name == "Toe angle"
    assert said.startswith("+0.8° (0.5 to 1.1°, 8 photos); spread by who marked 0.6°, by the rest 0.2°")
    assert "ICC(2,1) 0.97 (0.90 to 0.99)" in said
    assert "somebody without a name" in words.people_title("Ann", "")
    assert "1 photo:" in words.few_of_two(1)


def test_placing_in_words() -> None:
    own = within([(1.0, 2.0)] * 12)
    assert isinstance(own, Within)
    assumed = Shrunk(1.5, 1.5, math.inf, Standing.ASSUMED, 3, own)
    said = words.sort_row(MarkSort.EDGE, assumed)[1]
    assert said == "1.5 points of a 12-megapixel photo each way (assumed, 3 photos; your own so far 0.7)"
    mine = Shrunk(1.1, 1.1, 20.0, Standing.PARTLY_OWN, 6, own)
    assert words.sort_row(MarkSort.HAIRLINE, mine)[1].endswith("(partly your own, 6 photos)")


def test_asking_names_the_foot_the_reason_and_how() -> None:
    said = words.ask_for_take(Foot.RH, View.SOLAR, 3)
    for part in ("right hind, sole", "Lift the card", "3 so far", "assumed"):
        assert part in said


@pytest.mark.parametrize(
    ("across", "down", "where"),
    [
        (10.0, 0.0, ", to the right of the first"),
        (-10.0, 1.0, ", to the left of the first"),
        (0.0, -9.0, ", above the first"),
        (8.0, 9.0, ", below and to the right of the first"),
        (0.2, 0.1, ""),
    ],
)
def test_where_the_later_mark_lies(across: float, down: float, where: str) -> None:
    said = without_looking.mark_row("toe_ground", Mark(100.0, 100.0), Mark(100.0 + across, 100.0 + down), 10.0)[1]
    assert said == f"{math.hypot(across, down) / 10:.1f} mm apart{where}"
    assert "points" in without_looking.mark_row("toe_ground", Mark(0.0, 0.0), Mark(3.0, 4.0), None)[1]


def test_both_values_in_words() -> None:
    first = Quantity("toe_angle", 50.31, Unit.DEG, (Part("a", 0.35),))
    again = Quantity("toe_angle", 50.62, Unit.DEG, (Part("a", 0.35),))
    assert without_looking.measure_row(first, again)[1] == "50.3° first, 50.6° now: 0.3° more"
    assert without_looking.measure_row(again, first)[1] == "50.6° first, 50.3° now: 0.3° less"
    assert without_looking.measure_row(first, first)[1].endswith("the same")
