"""The adjustment against scipy, its own projection, and the linear bound."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from scipy.optimize import least_squares

from hoofbook.measure.concavity.adjustment import adjust, cost_of, covariance, normal_equations, rows_of
from hoofbook.measure.concavity.gathering import gather
from hoofbook.measure.concavity.problem import Problem, State
from hoofbook.measure.concavity.solving import solve
from hoofbook.measure.concavity.starting import start_from_cards
from hoofbook.measure.projection import project
from hoofbook.terms.refusal import Refusal
from tests.measure.concavity.made_sets import Hoof, Session, take

NOISY = Session(placing=1.0, corner=0.04, seed=3, k1=-0.03, centre=(0.004, -0.003), focal_told=0.98)


def started(session: Session, groups: tuple[int, ...] | None = None) -> tuple[Problem, State]:
    problem = gather(take(Hoof(inner_count=4), session)[0]).problem
    start = start_from_cards(problem)
    assert start is not None
    if groups is not None:
        spare = [max(groups) + 1 - len(start.card_rotations)]
        start = replace(
            start,
            card_rotations=np.concatenate([start.card_rotations, *[np.eye(3)[None]] * spare[0]]),
            card_translations=np.concatenate([start.card_translations, *[np.array([[0.0, 0.0, 400.0]])] * spare[0]]),
        )
        problem = replace(problem, group_of=groups)
    return problem, start


def flat_rows(problem: Problem, state: State) -> np.ndarray:
    rows = rows_of(problem, state)
    return np.concatenate([rows.marks.ravel(), *[each.ravel() for each in rows.cards], rows.priors])


@pytest.mark.parametrize("groups", [None, (0, 0, 1)])
def test_derivatives_are_those_of_the_projection(groups: tuple[int, ...] | None) -> None:
    """The gradient of half the squares against central differences of the residuals."""
    problem, state = started(NOISY, groups)
    if groups is not None:  # the card that is alone is placed before the lens, where the photo shows it
        lone = state.pose(2)
        turns, shifts = np.array(state.card_rotations), np.array(state.card_translations)
        turns[1], shifts[1] = lone.rotation, lone.translation
        state = replace(state, card_rotations=turns, card_translations=shifts)
    rows = rows_of(problem, state)
    ones = tuple(np.ones_like(each) for each in (rows.marks, *rows.cards))
    normal = normal_equations(problem, rows, ones)
    exact = np.concatenate([normal.frame_gradient, normal.point_gradient.ravel()])
    for at in range(len(exact)):
        step = np.zeros_like(exact)
        step[at] = 1e-6
        ahead, behind = (flat_rows(problem, state.moved(problem, sign * step)) for sign in (1.0, -1.0))
        numeric = (ahead @ ahead - behind @ behind) / 2.0 / 2e-6
        assert numeric == pytest.approx(exact[at], rel=2e-5, abs=2e-3 * max(1.0, abs(exact).max() * 1e-6)), at


def test_the_minimum_is_that_of_scipy() -> None:
    """scipy.optimize.least_squares with its own soft-L1 from the same start: costs equal to 1e-4."""
    shots, _ = take(Hoof(rim_count=4, edge_count=4), replace(NOISY, turns=(-25.0, 5.0)))
    mark = shots[1].marking.marks["rim_02"]
    shots[1] = replace(shots[1], marking=shots[1].marking.moved("rim_02", mark.x + 12.0, mark.y - 9.0))
    problem = gather(shots).problem
    start = start_from_cards(problem)
    assert start is not None
    _, _, cost = adjust(problem, start)
    base = start

    def soft(step: np.ndarray) -> np.ndarray:
        """Residuals whose plain squares are the soft-L1 losses of marks and corners."""
        rows = rows_of(problem, base.moved(problem, step))
        found = []
        for each in (rows.marks, *rows.cards):
            scaled = (each / problem.soft_at) ** 2
            loss = 2.0 * problem.soft_at**2 * (np.sqrt(1.0 + scaled) - 1.0)
            found.append(np.sign(each).ravel() * np.sqrt(loss).ravel())
        return np.concatenate([*found, rows.priors])

    peer = least_squares(soft, np.zeros(problem.frame_size + 3 * problem.points), x_scale="jac", xtol=1e-10, ftol=1e-8)
    assert cost == pytest.approx(peer.cost, rel=1e-4)


def test_the_covariance_is_the_inverse_of_the_squared_derivatives() -> None:
    """Against numpy's pseudo-inverse of the whole numeric Jacobian."""
    problem, start = started(NOISY)
    state, rows, cost = adjust(problem, start)
    assert np.isfinite(cost)
    spread, _ = covariance(replace(problem, soft_at=1e9), rows)
    size = problem.frame_size + 3 * problem.points
    jacobian = np.empty((len(flat_rows(problem, state)), size))
    for at in range(size):
        step = np.zeros(size)
        step[at] = 1e-5
        jacobian[:, at] = (
            flat_rows(problem, state.moved(problem, step)) - flat_rows(problem, state.moved(problem, -step))
        ) / 2e-5
    scale = 1.0 / np.linalg.norm(jacobian, axis=0)
    peer = np.linalg.pinv(jacobian * scale, rcond=1e-13)
    peer = peer @ peer.T * scale[:, None] * scale
    assert np.sqrt(np.diag(spread)) == pytest.approx(np.sqrt(np.diag(peer)), rel=1e-3)


def test_true_photos_cost_nothing() -> None:
    problem, start = started(Session())
    state, _, cost = adjust(problem, start)
    assert cost < 1e-6
    seen = project(state.points[problem.point_of[:5]], state.camera(problem, 0), state.pose(0))
    assert np.abs(seen - problem.pixels[:5]).max() < 1e-3


def test_a_start_behind_the_lens_is_told_and_not_followed() -> None:
    problem, start = started(NOISY)
    behind = replace(start, translations=start.translations * [1.0, 1.0, -1.0])
    _, rows, cost = adjust(problem, behind)
    assert cost == np.inf
    assert cost_of(problem, rows) == np.inf


def test_a_set_without_any_card_finds_the_shape_but_no_size() -> None:
    shots, points = take(Hoof(), Session(card=False, placing=0.5, told_placing=0.5, seed=4))
    solved = solve(shots)
    assert not isinstance(solved, Refusal)
    assert not solved.has_scale
    found = solved.points_of(list(points))
    true = np.array(list(points.values()))
    apart = [np.linalg.norm(each[:, None] - each[None], axis=2) for each in (found, true)]
    assert apart[0] / apart[0].max() == pytest.approx(apart[1] / apart[1].max(), abs=0.02)
