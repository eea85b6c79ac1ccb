"""A solved set in millimetres, whatever gave it its size: points and lenses against the made truth."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from hoofbook.measure.concavity.scaled import in_millimetres
from hoofbook.measure.concavity.solving import Solved, solve
from hoofbook.terms.measured import Told
from hoofbook.terms.refusal import Refusal

from .made_sets import Hoof, Session, take

SLIPPED = Session(placing=0.3, corner=0.03, seed=5, slips={0: (4.0, 0.0, 0.0), 2: (0.0, 5.0, 0.0)})
HOOF = Hoof(more={"widest_medial": (52.0, -60.0, -4.0), "widest_lateral": (52.0, 60.0, -4.0)})


def spans(solved: Solved, true: dict[str, np.ndarray]) -> tuple[np.ndarray, np.ndarray]:
    """Distances between all points, solved and true."""
    own, made = solved.state.points, np.array([true[name] for name in solved.gathered.names])
    return tuple(np.linalg.norm(each[:, None] - each[None], axis=2) for each in (own, made))  # type: ignore[return-value]


def test_a_told_width_makes_points_lenses_and_covariance_larger_together() -> None:
    shots, points = take(HOOF, SLIPPED)
    solved = solve([replace(shot, foot_width=Told(120.0, 0.6)) for shot in shots])
    assert not isinstance(solved, Refusal) and len(solved.held) < 2
    # the size of an unscaled set is chance: here it is made twice too small
    size = 0.5
    small = replace(
        solved,
        state=replace(solved.state, translations=size * solved.state.translations, points=size * solved.state.points),
    )
    found = in_millimetres(small)
    assert not isinstance(found, Refusal)
    scaled, share = found
    assert share == pytest.approx(0.6 / 120.0)
    own, true = spans(scaled, points)
    assert own == pytest.approx(true, abs=0.7)
    lenses = [state.state.pose(0).lens - state.state.pose(1).lens for state in (scaled, small)]
    factor = np.linalg.norm(lenses[0]) / np.linalg.norm(lenses[1])
    start = scaled.problem.frame_size
    one, other = scaled.covariance[start:, start:], small.covariance[start:, start:]
    assert one == pytest.approx(factor**2 * other, rel=1e-9)


def test_cards_that_agree_need_no_other_size() -> None:
    shots, points = take(HOOF, replace(SLIPPED, slips={}))
    solved = solve(shots)
    assert not isinstance(solved, Refusal)
    found = in_millimetres(solved)
    assert found == (solved, 0.0)
    own, true = spans(solved, points)
    assert own == pytest.approx(true, abs=0.7)


def test_nothing_that_tells_the_size_is_refused() -> None:
    solved = solve(take(HOOF, SLIPPED)[0])
    assert not isinstance(solved, Refusal)
    found = in_millimetres(solved)
    assert isinstance(found, Refusal) and found.code == "scale_lost"
