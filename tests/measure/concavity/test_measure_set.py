"""Sets of sole photos measured whole, against the 3-D points that OpenCV projected."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from hoofbook.measure.concavity import ALL_CODES, measure_set
from hoofbook.terms.marks import Marking
from hoofbook.terms.measured import Measured, Told
from hoofbook.terms.quantity import Definition
from tests.measure.concavity.made_sets import Hoof, Session, take, truth

SOLE, WALL = Definition.FROM_SOLE_EDGE.value, Definition.FROM_WALL_EDGE.value
APEX = "sole_concavity_at_frog_apex"


def value(measured: Measured, definition: str = SOLE, name: str = APEX) -> float:
    quantity = measured.quantity(name, definition)
    assert quantity is not None, measured.refusals
    return quantity.value


@pytest.mark.parametrize("mirror", [False, True])
@pytest.mark.parametrize(
    "turns", [(-12.0, 12.0), (-25.0, 0.0, 25.0), (-35.0, -12.0, 12.0, 35.0), (-35.0, -18.0, 0.0, 18.0, 35.0)]
)
def test_true_marks_give_the_truth(turns: tuple[float, ...], mirror: bool) -> None:
    session = Session(turns=turns, mirror=mirror, k1=-0.04, centre=(0.004, -0.003), focal_told=0.98)
    shots, points = take(Hoof(), session)
    measured = measure_set(shots)
    assert value(measured, SOLE) == pytest.approx(truth(points, "sole_edge"), abs=0.05)
    assert value(measured, WALL) == pytest.approx(truth(points, "rim"), abs=0.05)
    assert value(measured, "", "wall_above_sole") == pytest.approx(4.0, abs=0.05)
    assert not measured.remarks


def test_before_and_after_are_the_same_measure_on_a_right_foot() -> None:
    left = measure_set(take(Hoof(inner_count=4), Session())[0])
    right = measure_set(take(Hoof(inner_count=4), Session(mirror=True))[0])
    for quantity in left.quantities:
        other = right.quantity(quantity.name, quantity.definition.value)
        assert other is not None
        assert other.value == pytest.approx(quantity.value, abs=1e-6)
        assert other.u == pytest.approx(quantity.u, rel=1e-3)


def test_a_longer_wall_leaves_the_sole_edge_value() -> None:
    session = Session(placing=0.5, told_placing=0.5, corner=0.03, seed=4)
    short = measure_set(take(Hoof(wall=4.0), session)[0])
    long = measure_set(take(Hoof(wall=6.0), session)[0])
    sole = short.quantity(APEX, SOLE)
    assert sole is not None
    assert abs(value(long, SOLE) - sole.value) < sole.expanded / 10.0
    assert value(long, WALL) - value(short, WALL) == pytest.approx(2.0, abs=0.1)


@pytest.mark.parametrize("slip", [(3.0, 0.0, 0.0), (0.0, -3.0, 0.0), (2.0, 1.0, 10.0)])
@pytest.mark.parametrize("photo", [0, 1, 2])
def test_a_card_that_slipped_in_one_photo_is_noticed_and_cured(photo: int, slip: tuple[float, float, float]) -> None:
    session = Session(placing=1.0, corner=0.03, seed=11)
    steady = measure_set(take(Hoof(), session)[0])
    shots, points = take(Hoof(), replace(session, slips={photo: slip}))
    measured = measure_set(shots)
    assert [remark.code for remark in measured.remarks[shots[photo].key]] == ["card_moved_on_foot"]
    assert value(measured) == pytest.approx(value(steady), abs=0.2)
    quantity = measured.quantity(APEX, SOLE)
    assert quantity is not None and quantity.low < truth(points, "sole_edge") < quantity.high


def test_scale_is_lost_where_no_two_cards_agree_and_a_told_width_brings_it_back() -> None:
    session = Session(placing=1.0, corner=0.03, seed=2, slips={0: (4.0, 0.0, 0.0), 2: (0.0, 5.0, 0.0)})
    hoof = Hoof(more={"widest_medial": (52.0, -60.0, -4.0), "widest_lateral": (52.0, 60.0, -4.0)})
    shots, points = take(hoof, session)
    lost = measure_set(shots)
    assert [refusal.code for refusal in lost.refusals] == ["scale_lost"]
    assert not lost.quantities
    told = [replace(shot, foot_width=Told(120.0, 1.0)) for shot in shots]
    measured = measure_set(told)
    quantity = measured.quantity(APEX, SOLE)
    assert quantity is not None
    assert quantity.low < truth(points, "sole_edge") < quantity.high
    share = next(part.u for part in quantity.parts if part.source.endswith("width told"))
    assert share == pytest.approx(quantity.value / 120.0, rel=0.01)
    assert {remark.code for remarks in measured.remarks.values() for remark in remarks} >= {"scale_from_foot_width"}


def test_a_click_far_off_is_named_and_left_out() -> None:
    shots, points = take(Hoof(), Session(placing=1.0, corner=0.03, seed=7))
    mark = shots[1].marking.marks["sole_edge_03"]
    shots[1] = replace(shots[1], marking=shots[1].marking.moved("sole_edge_03", mark.x + 30.0, mark.y - 28.0))
    measured = measure_set(shots)
    found = [remark for remark in measured.remarks[shots[1].key] if remark.code == "mark_far_off"]
    assert [remark.facts["mark"] for remark in found] == ["sole_edge_03"]
    assert found[0].facts["px"] == pytest.approx(41.0, abs=4.0)
    quantity = measured.quantity(APEX, SOLE)
    assert quantity is not None and quantity.low < truth(points, "sole_edge") < quantity.high


def test_a_rolled_point_is_left_out_by_name() -> None:
    session = Session(placing=0.5, told_placing=0.5, corner=0.03, seed=5)
    even, rolled = Hoof(rim_count=8), Hoof(rim_count=8, raised={"rim_04": 2.5})
    measured = measure_set(take(rolled, session)[0])
    for remarks in measured.remarks.values():
        assert [(remark.code, remark.facts["mark"]) for remark in remarks] == [("point_left_out", "rim_04")]
    assert value(measured, WALL) == pytest.approx(value(measure_set(take(even, session)[0]), WALL), abs=0.15)


def _keeping(shots: list, *groups: str) -> list:
    return [
        replace(shot, marking=Marking({n: m for n, m in shot.marking.marks.items() if n.startswith(groups)}))
        for shot in shots
    ]


def test_what_cannot_be_measured_is_refused_by_code() -> None:
    shots, _ = take(Hoof(), Session(corner=0.03))
    few = _keeping(shots, "rim_01", "rim_02", "frog")
    assert [r.code for r in measure_set(shots[:1]).refusals] == ["set_needs_two_photos"]
    assert [r.code for r in measure_set(few).refusals] == ["too_few_common_marks"]
    without_apex = measure_set(_keeping(shots, "rim", "sole_edge"))
    assert "frog_apex_missing" in [r.code for r in without_apex.refusals]
    only_wall = measure_set(_keeping(shots, "rim", "frog"))
    assert "sole_edge_needs_three_points" in [r.code for r in only_wall.refusals]
    assert value(only_wall, WALL) == pytest.approx(13.0, abs=0.05)
    only_sole = measure_set(_keeping(shots, "sole_edge", "frog"))
    assert "wall_edge_needs_three_points" in [r.code for r in only_sole.refusals]
    still = take(Hoof(), Session(turns=(0.0, 2.0), tilts=(0.0, 0.0)))[0]
    assert [r.code for r in measure_set(still).refusals] == ["too_little_turn"]
    cardless = take(Hoof(), Session(card=False, placing=0.5, told_placing=0.5))[0]
    assert [r.code for r in measure_set(cardless).refusals] == ["scale_lost"]
    for measured in (without_apex, only_wall, only_sole):
        assert {r.code for r in measured.refusals} <= set(ALL_CODES)


def test_a_mark_proposed_or_unseen_counts_nowhere() -> None:
    shots, points = take(Hoof(), Session())
    from hoofbook.terms.marks import MarkState

    moved = shots[1].marking
    wrong = replace(moved.marks["frog_apex"], x=10.0, y=10.0, state=MarkState.PROPOSED)
    shots[1] = replace(shots[1], marking=moved.with_mark("frog_apex", wrong))
    assert value(measure_set(shots)) == pytest.approx(truth(points, "sole_edge"), abs=0.05)


def test_parts_name_their_sources_and_make_up_the_whole() -> None:
    shots, _ = take(Hoof(), Session(placing=1.0, corner=0.03, seed=1, print_told=None))
    quantity = measure_set(shots).quantity(APEX, SOLE)
    assert quantity is not None
    sources = {part.source for part in quantity.parts}
    assert {"card 1 print width", "photo photo 1 mark frog_apex x", "photo photo 2 mark sole_edge_01 y"} <= sources
    assert np.hypot.reduce([part.u for part in quantity.parts]) == pytest.approx(quantity.u)
    # an unchecked print is taken to be true to 0.5 % of each side: that share of the value stays, whatever the marks
    prints = np.hypot.reduce([part.u for part in quantity.parts if "print" in part.source])
    assert prints == pytest.approx(quantity.value * 0.005 / np.sqrt(2.0), rel=0.1)


def test_drawings_stand_on_the_marks() -> None:
    shots, _ = take(Hoof(inner_count=4), Session())
    measured = measure_set(shots)
    assert set(measured.drawings) == {*(shot.key for shot in shots), "section"}
    drawing = measured.drawings[shots[0].key]
    assert (drawing.width, drawing.height) == shots[0].photo_size
    ring = drawing.primitives[0]
    marks = [(m.x, m.y) for n, m in shots[0].marking.marks.items() if n.startswith("sole_edge")]
    for mark in marks:  # the ring goes through the marks: they lie on the plane
        assert min(np.hypot(x - mark[0], y - mark[1]) for x, y in ring.points) < 0.1


@pytest.mark.parametrize("seed", [0, 1, 3, 4])
def test_a_photo_left_with_too_few_marks_by_those_that_are_off_is_told_both(seed: int) -> None:
    """Photo 3 shares five marks and two of them lie far off: without those three are left, too few to join."""
    shots, _ = take(Hoof(), Session(placing=0.5, corner=0.04, seed=seed))
    shared = ("rim_01", "rim_04", "rim_06", "sole_edge_02", "sole_edge_05")
    few = {name: mark for name, mark in shots[2].marking.marks.items() if name in shared}
    marking = Marking(few)
    for name, right, down in (("rim_01", 60.0, -45.0), ("rim_04", -60.0, -15.0)):
        marking = marking.moved(name, few[name].x + right, few[name].y + down)
    measured = measure_set([shots[0], shots[1], replace(shots[2], marking=marking)])
    told = [remark.code for remark in measured.remarks["photo 3"]]
    assert told == ["photo_not_joined", "mark_far_off", "mark_far_off"]
    assert measured.quantity("sole_concavity_at_frog_apex", Definition.FROM_SOLE_EDGE.value) is not None
