"""Proposals of marks, and what the next photo should bring."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

import cv2
import numpy as np
import pytest

from hoofbook.measure.concavity import expected_u, measure_set, propose
from hoofbook.terms.marks import Marking, MarkState
from hoofbook.terms.measured import Shot
from hoofbook.terms.refusal import Refusal
from tests.measure.concavity.made_sets import Hoof, Session, take

MARKED = Session(placing=1.0, corner=0.04, seed=1)


def keeping(shot: Shot, wanted: Callable[[str], bool]) -> Shot:
    return replace(shot, marking=Marking({n: m for n, m in shot.marking.marks.items() if wanted(n)}))


def misses(shots: list[Shot], full: Shot, target: int) -> list[tuple[float, float]]:
    """How far each proposal is from the mark, and how far it says to look."""
    found = propose(shots, target)
    return [
        (float(np.hypot(p.x - full.marking.marks[n].x, p.y - full.marking.marks[n].y)), p.radius_px)
        for n, p in found.items()
    ]


def test_a_mark_of_two_photos_is_proposed_where_their_rays_meet() -> None:
    full, _ = take(Hoof(), MARKED)
    shots = [full[0], full[1], keeping(full[2], lambda name: False)]
    found = misses(shots, full[2], 2)
    assert len(found) == 13
    assert max(miss for miss, _ in found) < 8.0
    assert all(miss < radius for miss, radius in found)
    assert max(radius for _, radius in found) < 20.0


@pytest.mark.parametrize("seed", range(4))
def test_a_mark_of_one_photo_is_proposed_through_card_and_edge_plane(seed: int) -> None:
    random = np.random.default_rng(seed)
    hoof = Hoof(lean=(random.normal(0.0, 0.05), random.normal(0.0, 0.05)), concavity=random.uniform(2.0, 14.0))
    full, _ = take(hoof, replace(MARKED, seed=seed, card_turn=tuple(random.normal(0.0, 0.06, 3))))
    nothing = [full[0], keeping(full[1], lambda name: False), keeping(full[2], lambda name: False)]
    blind = misses(nothing, full[1], 1)
    assert len(blind) == 13
    assert all(miss < radius for miss, radius in blind)
    three = [full[0], keeping(full[1], lambda name: name in ("rim_01", "rim_03", "rim_06")), nothing[2]]
    led = misses(three, full[1], 1)
    assert len(led) == 10
    assert all(miss < radius for miss, radius in led)
    rims = propose(three, 1)
    for name, proposal in rims.items():
        if name.startswith("rim"):
            mark = full[1].marking.marks[name]
            assert np.hypot(proposal.x - mark.x, proposal.y - mark.y) < 15.0
            assert proposal.radius_px < 25.0


def test_a_slipped_card_widens_the_search_instead_of_missing() -> None:
    full, _ = take(Hoof(), replace(MARKED, slips={1: (2.0, 0.0, 0.0)}))
    found = misses([full[0], full[1], keeping(full[2], lambda name: False)], full[2], 2)
    assert len(found) == 13
    assert all(miss < radius for miss, radius in found)


def test_without_a_card_common_marks_lay_one_picture_on_the_other() -> None:
    full, _ = take(Hoof(), replace(MARKED, card=False))
    shots = [full[0], keeping(full[1], lambda name: name in ("rim_01", "rim_03", "rim_06"))]
    found = misses(shots, full[1], 1)
    assert len(found) == 10
    assert all(miss < radius for miss, radius in found)
    assert propose([full[0], keeping(full[1], lambda name: False)], 1) == {}


def test_settled_marks_get_no_proposal_and_proposed_ones_a_better_one() -> None:
    full, _ = take(Hoof(), MARKED)
    marks = full[2].marking
    marks = marks.with_mark("rim_01", replace(marks.marks["rim_01"], state=MarkState.UNSEEN))
    marks = marks.with_mark("rim_02", replace(marks.marks["rim_02"], x=5.0, state=MarkState.PROPOSED))
    shots = [full[0], full[1], replace(full[2], marking=marks)]
    assert set(propose(shots, 2)) == {"rim_02"}


def test_the_warp_takes_small_steps_from_picture_to_picture() -> None:
    hoof = Hoof(lean=(0.0, 0.0))
    full, points = take(hoof, Session())
    shots = [full[0], full[1], keeping(full[2], lambda name: False)]
    found = propose(shots, 2)["frog_apex"]
    source = next(shot for shot in full if shot.key == found.source_key)
    x, y, z = points["frog_apex"]
    near = Hoof(lean=(0.0, 0.0), more={"frog_apex": (x + 0.6, y + 0.8, z)})
    moved, _ = take(near, Session())
    step = [
        np.array(
            [
                m.marking.marks["frog_apex"].x - s.marking.marks["frog_apex"].x,
                m.marking.marks["frog_apex"].y - s.marking.marks["frog_apex"].y,
            ]
        )
        for m, s in ((moved[full.index(source)], source), (moved[2], full[2]))
    ]
    assert np.array(found.warp) @ step[0] == pytest.approx(step[1], abs=0.15)


def test_a_place_met_by_two_rays_is_that_of_opencv() -> None:
    """cv2.triangulatePoints on the true projection matrices against the proposal's pixel in a third photo."""
    from tests.measure.concavity.made_sets import poses, see

    session = Session()
    full, _ = take(Hoof(), session)
    matrix = np.array([[3100.0, 0.0, 2015.5], [0.0, 3100.0, 1511.5], [0.0, 0.0, 1.0]])
    views = [matrix @ np.hstack([cv2.Rodrigues(turn)[0], shift.reshape(3, 1)]) for turn, shift in poses(session)]
    marks = [np.array([[s.marking.marks["rim_02"].x], [s.marking.marks["rim_02"].y]]) for s in full]
    met = cv2.triangulatePoints(views[0], views[1], marks[0], marks[1])
    pixel = see((met[:3] / met[3]).T, poses(session)[2], session)[0]
    proposal = propose([full[0], full[1], keeping(full[2], lambda name: False)], 2)["rim_02"]
    assert (proposal.x, proposal.y) == pytest.approx(tuple(pixel), abs=0.05)


def test_what_the_next_photo_should_bring_is_what_it_brings() -> None:
    full, _ = take(Hoof(), MARKED)
    two = measure_set(full[:2]).quantities[0].expanded
    three = measure_set(full).quantities[0].expanded
    waiting = expected_u([full[0], full[1], keeping(full[2], lambda name: False)])
    assert not isinstance(waiting, Refusal)
    assert waiting.photo_key == full[2].key
    assert waiting.now == pytest.approx(two, rel=1e-6)
    assert waiting.after == pytest.approx(three, rel=0.05)
    untaken = expected_u(full[:2])
    assert not isinstance(untaken, Refusal)
    assert untaken.photo_key == ""
    assert 0.6 * three < untaken.after < 1.2 * three
    alone = expected_u([full[0], keeping(full[1], lambda name: False)])
    assert isinstance(alone, Refusal) and alone.code == "too_few_common_marks"


@pytest.mark.parametrize("seed", range(6))
def test_a_proposal_tells_the_line_on_which_the_mark_lies(seed: int) -> None:
    """The true place by cv2.projectPoints (made_sets) is never farther from the line than told, whatever the depth."""
    random = np.random.default_rng(seed)
    hoof = Hoof(lean=tuple(random.normal(0.0, 0.05, 2)), concavity=random.uniform(2.0, 14.0))
    full, _ = take(hoof, replace(MARKED, seed=seed, card_turn=tuple(random.normal(0.0, 0.06, 3))))
    found = propose([full[0], keeping(full[1], lambda name: False)], 1)
    told = {name: proposal for name, proposal in found.items() if proposal.along is not None}
    assert len(told) == 13
    for name, proposal in told.items():
        assert proposal.along is not None and np.hypot(*proposal.along) == pytest.approx(1.0)
        mark = full[1].marking.marks[name]
        right, down = mark.x - proposal.x, mark.y - proposal.y
        assert abs(right * proposal.along[1] - down * proposal.along[0]) < proposal.aside_px < proposal.radius_px / 2
