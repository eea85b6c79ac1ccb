"""Where the adjustment starts: poses from each photo's card or from marks already placed, points where rays meet.

Frames *card*, *foot*, *camera* and *photo* as in `hoofbook.measure.concavity.adjustment`.
"""

from __future__ import annotations

from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from hoofbook.measure.concavity.problem import Problem, Seen, State
from hoofbook.measure.homography import pose_of_plane
from hoofbook.measure.projection import Array, Camera, Pose, meet_plane, rays, rotation_matrix

Flags = NDArray[np.bool_]

_FIRST_DISTANCE_MM = 400.0
_LEAST_CROSSING = 1e-6  # about a thousandth of a radian between two rays


def pose_of_card(card: Seen, camera: Camera) -> Pose | None:
    """First pose of a camera in the card's frame from its corners (at least four, not on one line)."""
    found = pose_of_plane(card.corners, card.pixels, camera)
    return None if found is None else Pose(*found)


def with_points(problem: Problem, state: State) -> State:
    """The state with every point of two sightings or more put where its rays come nearest to each other."""
    matrix, right = np.zeros((problem.points, 3, 3)), np.zeros((problem.points, 3))
    for photo in range(problem.photos):
        here = problem.photo_of == photo
        pose, numbers = state.pose(photo), problem.point_of[here]
        way = rays(problem.pixels[here], state.camera(problem, photo)) @ pose.rotation
        way = way / np.linalg.norm(way, axis=1)[:, None]
        across = np.eye(3) - way[:, :, None] * way[:, None, :]
        np.add.at(matrix, numbers, across)
        np.add.at(right, numbers, across @ pose.lens)
    points = np.array(state.points)
    clear = np.linalg.eigvalsh(matrix)[:, 0] > _LEAST_CROSSING
    points[clear] = np.linalg.solve(matrix[clear], right[clear][:, :, None])[:, :, 0]
    return replace(state, points=points)


def _blank(problem: Problem) -> State:
    count, groups = problem.photos, max(problem.groups, 1)
    return State(
        np.array([lens.expected for lens in problem.lenses]),
        np.array([board.expected for board in problem.boards]),
        np.tile(np.eye(3), (count, 1, 1)),
        np.tile(np.array([0.0, 0.0, 400.0]), (count, 1)),
        np.tile(np.eye(3), (groups, 1, 1)),
        np.zeros((groups, 3)),
        np.zeros((problem.points, 3)),
    )


def start_from_cards(problem: Problem) -> State | None:
    """Poses from the cards of at least two photos, the others from the marks these place; None without them."""
    state = _blank(problem)
    known = [photo for photo in range(problem.photos) if len(problem.cards[photo].corners) >= 4]
    if len(known) < min(2, problem.photos):
        return None
    for photo in known:
        pose = pose_of_card(problem.cards[photo], state.camera(problem, photo))
        if pose is None:
            return None
        state = _with_pose(state, photo, pose)
    return _with_others(problem, with_points(_only(problem, known), state), known)


def starts_from_marks(problem: Problem) -> list[State]:
    """Starts without a card: the marks of photo 0 on a plane 400 mm away, square to the view or leaning four ways."""
    starts = []
    here = problem.photo_of == 0
    for lean in ((0.0, 0.0), (0.4, 0.0), (-0.4, 0.0), (0.0, 0.4), (0.0, -0.4)):
        state = _with_pose(_blank(problem), 0, Pose(np.eye(3), np.zeros(3)))
        way = rays(problem.pixels[here], state.camera(problem, 0))
        points = np.array(state.points)
        normal = rotation_matrix([*lean, 0.0])[:, 2]
        points[problem.point_of[here]] = meet_plane(np.zeros(3), way, np.array([0.0, 0.0, _FIRST_DISTANCE_MM]), normal)
        found = _with_others(problem, replace(state, points=points), [0])
        if found is not None:
            starts.append(found)
    return starts


def _with_pose(state: State, photo: int, pose: Pose) -> State:
    turns, shifts = np.array(state.rotations), np.array(state.translations)
    turns[photo], shifts[photo] = pose.rotation, pose.translation
    return replace(state, rotations=turns, translations=shifts)


def _with_others(problem: Problem, state: State, known: list[int]) -> State | None:
    """Adds the photos that have no pose yet, one by one, from the points that the known photos place."""
    placed = np.zeros(problem.points, dtype=bool)
    counts = np.bincount(problem.point_of[np.isin(problem.photo_of, known)], minlength=problem.points)
    placed[:] = counts >= min(2, len(known))
    for photo in [each for each in range(problem.photos) if each not in known]:
        here = (problem.photo_of == photo) & placed[problem.point_of]
        pose = _pose_from_points(state, problem, photo, here)
        if pose is None:
            return None
        state = _with_pose(state, photo, pose)
        known = [*known, photo]
        if len(known) > 2:
            state = with_points(_only(problem, known), state)
            counts = np.bincount(problem.point_of[np.isin(problem.photo_of, known)], minlength=problem.points)
            placed = counts >= 2
    return with_points(problem, state)


def _pose_from_points(state: State, problem: Problem, photo: int, here: Flags) -> Pose | None:
    """Pose of a photo from at least four placed points, taken as lying on their best plane; None with fewer."""
    if np.count_nonzero(here) < 4:
        return None
    return pose_of_points(state.points[problem.point_of[here]], problem.pixels[here], state.camera(problem, photo))


def pose_of_points(points: Array, pixels: Array, camera: Camera) -> Pose | None:
    """First pose of a camera from known points (k, 3) and their pixels (k, 2), as if they lay on their best plane."""
    middle = points.mean(axis=0)
    _, _, axes = np.linalg.svd(points - middle)
    if np.linalg.det(axes) < 0.0:
        axes = -axes
    on_plane = pose_of_plane(((points - middle) @ axes.T)[:, :2], pixels, camera)
    if on_plane is None:
        return None
    turn = on_plane[0] @ axes
    return Pose(turn, on_plane[1] - turn @ middle)


def _only(problem: Problem, known: list[int]) -> Problem:
    """The problem with only the sightings of the known photos."""
    kept = np.isin(problem.photo_of, known)
    return replace(
        problem,
        photo_of=problem.photo_of[kept],
        point_of=problem.point_of[kept],
        pixels=problem.pixels[kept],
        spreads=problem.spreads[kept],
    )
