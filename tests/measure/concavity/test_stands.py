"""Places of the photos, whether they are enough and where to go, against the poses that cv2.projectPoints was given."""

from __future__ import annotations

from dataclasses import replace

import cv2
import numpy as np
import pytest

from hoofbook.measure.concavity import measure_set
from hoofbook.measure.concavity.readiness import missing_for_map
from hoofbook.measure.concavity.stands import Side, Verdict, stands_of
from hoofbook.terms.marks import Marking
from hoofbook.terms.measured import Shot
from tests.measure.concavity.made_sets import Hoof, Session, poses, take

LEVEL = (0.0, 0.0, 0.0, 0.0)


def photos(*turns: float, tilts: tuple[float, ...] = LEVEL, **options: object) -> list[Shot]:
    session = Session(turns=turns, tilts=tilts, placing=1.0, corner=0.04, seed=2)
    return take(Hoof(), replace(session, **options))[0]  # type: ignore[arg-type]


def bare(shots: list[Shot]) -> list[Shot]:
    return [replace(shot, marking=Marking()) for shot in shots]


@pytest.mark.parametrize("marked", [True, False])
def test_three_photos_thirty_degrees_apart_are_good_and_in_their_order(marked: bool) -> None:
    """Turn angles as made; the lens circles a place of the foot, so the angle at the marks' middle is near them."""
    shots = photos(30.0, -30.0, 1.0)
    found = stands_of(shots if marked else bare(shots))
    assert found is not None and found.verdict is Verdict.GOOD and found.moves == () and found.sideways
    assert found.gaps_deg == pytest.approx((31.0, 29.0), abs=2.0)
    assert found.stands[0].at_deg < -25.0 and abs(found.stands[1].at_deg) < 3.0 and found.stands[2].at_deg > 25.0


@pytest.mark.parametrize("marked", [True, False])
def test_photos_from_one_place_are_refused_and_sent_on(marked: bool) -> None:
    shots = photos(-1.0, 2.0)
    found = stands_of(shots if marked else bare(shots))
    assert found is not None and found.verdict is Verdict.REFUSED
    (move,) = found.moves
    assert move.retake and move.degrees == pytest.approx(27.0, abs=1.5)
    assert move.mm == pytest.approx(2 * 420.0 * np.sin(np.radians(27.0) / 2), rel=0.12)


def test_the_move_leads_where_it_says() -> None:
    """The photo is taken again where the move says, and then all is well: the side must be the true one."""
    for turns in ((-10.0, 2.0), (3.0, -9.0), (0.0, 8.0), (-12.0, 0.0, 12.0)):
        now = list(turns)
        for _ in range(3):
            found = stands_of(photos(*now))
            assert found is not None
            if not found.moves:
                break
            right = _turn_to_right(now)
            for move in found.moves:
                at = int(move.key.split()[1]) - 1
                to = now[at] + (right if move.side is Side.RIGHT else -right) * move.degrees
                if move.retake:
                    now[at] = to
                else:
                    now.append(to)
        assert found.verdict is Verdict.GOOD, (turns, now, found)


def _turn_to_right(turns: list[float]) -> float:
    """1 where a growing turn of made_sets carries the lens to the right of the picture, by the lens itself."""
    (one, first), (two, second) = poses(Session(turns=(0.0, 10.0), tilts=LEVEL))
    turn, other = cv2.Rodrigues(one)[0], cv2.Rodrigues(two)[0]
    seen = turn @ (-other.T @ second).ravel() + first.ravel()
    return float(np.sign(seen[0]))


def test_too_wide_a_gap_asks_for_one_between() -> None:
    found = stands_of(photos(-30.0, 30.0))
    assert found is not None and found.verdict is Verdict.FAIR
    (move,) = found.moves
    assert not move.retake and move.degrees == pytest.approx(30.0, abs=1.5) and abs(move.to_deg) < 35.0


def test_up_and_down_the_foot_is_told_as_higher_and_lower() -> None:
    found = stands_of(photos(0.0, 0.0, tilts=(-6.0, 6.0)))
    assert found is not None and not found.sideways
    assert found.moves[0].side in (Side.HIGHER, Side.LOWER)


def test_without_cards_marks_alone_tell_the_angles_but_no_distance() -> None:
    found = stands_of(photos(-10.0, 0.0, card=False))
    assert found is not None and found.turn_deg == pytest.approx(10.0, abs=3.0)
    assert found.moves[0].mm is None
    assert stands_of(bare(photos(-10.0, 0.0, card=False))) is None
    assert stands_of(photos(0.0)) is None


def test_what_the_whole_sole_lacks_is_named() -> None:
    shots = photos(-28.0, 0.0, 29.0)
    assert missing_for_map(shots) == ()

    def only(*names: str) -> list[str]:
        kept = [
            replace(shot, marking=Marking({n: m for n, m in shot.marking.marks.items() if n.startswith(names)}))
            for shot in shots
        ]
        return [refusal.code for refusal in missing_for_map(kept)]

    seven = ("rim_01", "rim_03", "rim_06", "sole_edge_01", "sole_edge_03", "sole_edge_06", "frog_apex")
    assert only(*seven) == []
    assert only(*seven[:-1]) == ["frog_apex_missing"]
    assert only("sole_edge", "frog_apex") == []
    assert only("sole_edge_01", "sole_edge_02", "rim") == ["sole_edge_needs_three_points", "frog_apex_missing"]
    assert [r.code for r in missing_for_map([shots[0], *bare(shots[1:])])] == ["set_needs_two_photos"]
    near = photos(-1.0, 1.0, 2.0)
    assert [r.code for r in missing_for_map(near)] == ["too_little_turn"]
    assert measure_set(near).refusals[0].code == "too_little_turn"
    lost = photos(-28.0, 0.0, 29.0, slips={1: (9.0, 4.0, 0.0), 2: (-8.0, 6.0, 2.0)})
    assert [r.code for r in missing_for_map(lost)] == ["scale_lost"]
    assert missing_for_map(lost, marks_alone=True) == ()


def test_the_surface_is_not_looked_for_in_photos_from_one_place() -> None:
    from hoofbook.casework.sole_shape import sole_shape

    work = sole_shape(photos(-1.0, 1.0, 2.0), {})
    with pytest.raises(StopIteration) as done:
        while True:
            next(work)
    assert done.value.value.code == "too_little_turn"
