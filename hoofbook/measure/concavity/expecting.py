"""What the next photo of a set should bring: the ± that the same marks in one more photo would leave."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from hoofbook.measure.concavity.adjustment import covariance, rows_of
from hoofbook.measure.concavity.measures import MEASURE, readings_of, shape_of, spread_of
from hoofbook.measure.concavity.problem import Problem, Seen, State
from hoofbook.measure.concavity.proposing import views_of
from hoofbook.measure.concavity.solving import Solved, solve
from hoofbook.measure.projection import Array, Pose, project, rotation_matrix
from hoofbook.terms.measured import Shot
from hoofbook.terms.quantity import Definition
from hoofbook.terms.refusal import Refusal

NEXT_TURN_DEG = 27.0  # from the nearest photo taken so far; the protocol asks for 25 to 35
_COVERAGE = 1.959963984540054


@dataclass(frozen=True, slots=True)
class Expected:
    """Half widths of the 95 % interval of the concavity at the frog apex, mm: as it is and with one photo more.

    `photo_key` is that photo where it lies in the set already with a known place, "" where it is yet to be taken.
    """

    now: float
    after: float
    definition: Definition
    photo_key: str


def expected_u(shots: Sequence[Shot]) -> Expected | Refusal:
    """What one more photo should bring. Refused as `solve` refuses, or `scale_lost`, or for a missing edge or apex."""
    solved = solve(shots)
    if isinstance(solved, Refusal):
        return solved
    if not solved.problem.anchored:
        return Refusal("scale_lost", {"photos": len(shots), "cards": 0}, MEASURE)
    shape = shape_of(solved)
    readings, refusals = readings_of(shape)
    reading = next((each for each in readings if each[0] == MEASURE), None)
    if reading is None:
        return refusals[0]
    _, definition, read = reading
    shot, pose = _next(shots, solved)
    longer = _with_photo(solved, shot, pose)
    now = spread_of(read, solved.state.points, solved.problem.frame_size, solved.covariance)
    state = _stretched(solved.state, pose)
    spread, _ = covariance(longer, rows_of(longer, state))
    after = spread_of(read, state.points, longer.frame_size, spread)
    factor = _COVERAGE * solved.widened
    key = "" if any(each.key == shot.key for each in solved.gathered.shots) else shot.key
    return Expected(factor * now, factor * after, definition, key)


def _next(shots: Sequence[Shot], solved: Solved) -> tuple[Shot, Pose]:
    """A photo of the set that waits to be marked, with its pose, else one as the protocol asks for."""
    joined = {shot.key for shot in solved.gathered.shots}
    for shot in shots:
        if shot.key not in joined:
            views, on_card, _ = views_of(shots, shot)
            if on_card and shot.key in views:
                return shot, views[shot.key].pose
    return solved.gathered.shots[-1], _turned_on(solved)


def _turned_on(solved: Solved) -> Pose:
    """The pose of one more photo, turned on from the outermost one on the side that has fewer."""
    poses = [solved.state.pose(photo) for photo in range(solved.problem.photos)]
    middle = solved.state.points.mean(axis=0)
    lenses = np.array([pose.lens for pose in poses]) - middle
    mean = lenses.mean(axis=0)
    _, _, ways = np.linalg.svd(lenses - mean)
    along = (lenses - mean) @ ways[0]
    side = -1.0 if along.mean() >= 0.5 * (along.max() + along.min()) else 1.0
    outermost = int(np.argmax(side * along))
    axis = np.cross(mean, side * ways[0])
    turn = rotation_matrix(axis / np.linalg.norm(axis) * np.radians(NEXT_TURN_DEG))
    pose = poses[outermost]
    rotation = pose.rotation @ turn.T
    return Pose(rotation, pose.to_camera(middle) - rotation @ middle)


def _with_photo(solved: Solved, shot: Shot, pose: Pose) -> Problem:
    """The problem with one photo more, which shows every mark and the card just where it should."""
    problem, state = solved.problem, solved.state
    like = next((at for at, each in enumerate(solved.gathered.shots) if each.lens_key == shot.lens_key), 0)
    camera, card = state.camera(problem, like), _card(solved)
    usual = np.array([np.median(problem.spreads[problem.point_of == point]) for point in range(problem.points)])
    flat = np.column_stack([card.corners, np.zeros(len(card.corners))])
    count = problem.points
    return replace(
        problem,
        lens_of=(*problem.lens_of, problem.lens_of[like]),
        board_of=(*problem.board_of, problem.board_of[like]),
        cards=(*problem.cards, replace(card, pixels=project(flat, camera, pose))),
        group_of=(*problem.group_of, 0),
        photo_of=np.append(problem.photo_of, np.full(count, problem.photos)),
        point_of=np.append(problem.point_of, np.arange(count)),
        pixels=np.vstack([problem.pixels, project(state.points, camera, pose)]),
        spreads=np.append(problem.spreads, usual),
    )


def _card(solved: Solved) -> Seen:
    return next(card for card, group in zip(solved.problem.cards, solved.problem.group_of, strict=True) if group == 0)


def _stretched(state: State, pose: Pose) -> State:
    def more(stack: Array, one: Array) -> Array:
        return np.concatenate([stack, one[None]])

    return replace(
        state,
        rotations=more(state.rotations, pose.rotation),
        translations=more(state.translations, pose.translation),
    )
