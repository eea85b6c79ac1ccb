"""The line on which a mark of one photo lies in another, against OpenCV's cv2.computeCorrespondEpilines and truth."""

from __future__ import annotations

import itertools
from dataclasses import replace

import cv2
import numpy as np
import pytest

from hoofbook.measure.concavity import epipolar_lines
from hoofbook.measure.projection import cross_matrix
from hoofbook.terms.marks import Marking, MarkState
from tests.measure.concavity.made_sets import Hoof, Session, poses, take

SESSION = Session()
MATRIX = np.array([[3100.0, 0.0, 2015.5], [0.0, 3100.0, 1511.5], [0.0, 0.0, 1.0]])


def fundamental(one: int, two: int) -> np.ndarray:
    """Of two photos of the session by the definition (Hartley and Zisserman, Multiple View Geometry, 2003, 9.2)."""
    (first, to_first), (second, to_second) = poses(SESSION)[one], poses(SESSION)[two]
    turn = cv2.Rodrigues(second)[0] @ cv2.Rodrigues(first)[0].T
    shift = to_second - turn @ to_first
    inverse = np.linalg.inv(MATRIX)
    return inverse.T @ cross_matrix(shift.ravel()) @ turn @ inverse


def off(chain: np.ndarray, at: np.ndarray) -> float:
    """Distance of a place from a chain of points, px."""
    best = np.inf
    for start, end in itertools.pairwise(chain):
        way = end - start
        share = np.clip((at - start) @ way / (way @ way), 0.0, 1.0)
        best = min(best, float(np.linalg.norm(start + share * way - at)))
    return best


def test_the_line_of_solved_photos_is_that_of_opencv() -> None:
    full, _ = take(Hoof(), SESSION)
    few = {n: m for n, m in full[2].marking.marks.items() if n in ("rim_01", "rim_03", "rim_05", "frog_apex")}
    shots = [full[0], full[1], replace(full[2], marking=Marking(few))]
    lines = epipolar_lines(shots, 2)
    assert set(lines) == set(full[0].marking.marks) - set(few)
    for name, line in lines.items():
        assert line.source_key == full[0].key
        mark = full[0].marking.marks[name]
        a, b, c = cv2.computeCorrespondEpilines(np.array([[[mark.x, mark.y]]]), 1, fundamental(0, 2)).ravel()
        assert max(abs(a * x + b * y + c) for x, y in line.points) < 0.2
        true = full[2].marking.marks[name]
        assert off(np.array(line.points), np.array([true.x, true.y])) < 0.2
        length = np.hypot(*np.subtract(line.points[0], line.points[-1]))
        assert 50 < length < 900, "long enough to help, short enough not to cross the whole photo"


@pytest.mark.parametrize("seed", range(6))
def test_before_any_mark_the_cards_tell_the_line(seed: int) -> None:
    random = np.random.default_rng(seed)
    session = replace(SESSION, corner=0.04, placing=1.0, k1=-0.04, seed=seed)
    full, _ = take(Hoof(lean=tuple(random.normal(0.0, 0.05, 2))), session)
    lines = epipolar_lines([full[0], replace(full[1], marking=Marking())], 1)
    assert len(lines) == 13
    for name, line in lines.items():
        true = full[1].marking.marks[name]
        assert off(np.array(line.points), np.array([true.x, true.y])) < 12.0


def test_what_is_settled_or_not_joined_has_no_line() -> None:
    full, _ = take(Hoof(), SESSION)
    marks = full[1].marking.with_mark("rim_01", replace(full[1].marking.marks["rim_01"], state=MarkState.UNSEEN))
    marks = marks.with_mark("rim_02", replace(marks.marks["rim_02"], state=MarkState.PROPOSED))
    assert set(epipolar_lines([full[0], replace(full[1], marking=marks)], 1)) == {"rim_02"}
    assert epipolar_lines([full[0], full[1]], 1) == {}
    bare, _ = take(Hoof(), replace(SESSION, card=False))
    assert epipolar_lines([bare[0], replace(bare[1], marking=Marking())], 1) == {}
