"""Bundle adjustment of one set of sole photos: cameras, hoof points and cards from pixels, by least squares.

Frames: *foot* is the frame of the adjustment, millimetres: that of card group 0 (the card as it lay on the foot,
origin in the middle of its pattern, x right, y down, z into the card), or near photo 0 where no two cards agree;
*camera* and *photo* as in `hoofbook.measure.projection`. Card corners of photos in one group share one place on the
foot. A card that is alone in its group has its place in the camera's frame: it tells of the lens and nothing of the
foot, and the two stay apart (placed on the foot, its stiffness would bend the valley of the cost).

Levenberg-Marquardt with the hoof points eliminated by their Schur complement (Triggs, McLauchlan, Hartley and
Fitzgibbon, Bundle Adjustment - A Modern Synthesis, 2000, sections 6 and 7), soft-L1 on marks and corners.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from hoofbook.measure.concavity.problem import CARD_MIDDLE, Board, Lens, Problem, State, Whole
from hoofbook.measure.projection import Array, Camera, Pose, cross_matrix, project

_HELD_SPREAD = 1e-5
_LENGTH_SPREAD = 0.02  # nothing else tells the size, so a loose hold is as good and bends the valley less
_MOST_STEPS = 60
_AT_LENS = Pose(np.eye(3), np.zeros(3))
_ENOUGH = 1e-7
_MOST_GROWTH = 2.0**12


@dataclass(frozen=True, slots=True, eq=False)
class Rows:
    """Residuals over their spread with their derivatives, sorted by photo.

    `marks` (n, 2), by lens and pose `marks_frame` (n, 2, 10), by point `marks_point` (n, 2, 3); `cards[i]` (k, 2)
    with `cards_frame[i]` (k, 2, 20: lens, pose, board, card place); `priors` (q,) with `priors_frame` (q, frame size).
    """

    marks: Array
    marks_frame: Array
    marks_point: Array
    cards: tuple[Array, ...]
    cards_frame: tuple[Array, ...]
    priors: Array
    priors_frame: Array


def _derivatives(seen: Array, camera: Camera) -> tuple[Array, Array]:
    """Pixels by camera point (k, 2, 3) and by (ln focal, centre x, centre y, k1) (k, 2, 4); `seen` (k, 3)."""
    inverse = 1.0 / seen[:, 2]
    slope = seen[:, :2] * inverse[:, None]
    square = np.sum(slope * slope, axis=1)
    bend = 1.0 + camera.k1 * square
    by_slope = 2.0 * camera.k1 * slope[:, :, None] * slope[:, None, :]
    by_slope[:, 0, 0] += bend
    by_slope[:, 1, 1] += bend
    by_slope *= camera.focal_px
    by_seen = np.empty((len(seen), 2, 3))
    by_seen[:, :, :2] = by_slope * inverse[:, None, None]
    by_seen[:, :, 2] = -np.einsum("kij,kj->ki", by_slope, slope) * inverse[:, None]
    by_lens = np.zeros((len(seen), 2, 4))
    by_lens[:, :, 0] = camera.focal_px * bend[:, None] * slope
    by_lens[:, 0, 1] = 1.0
    by_lens[:, 1, 2] = 1.0
    by_lens[:, :, 3] = camera.focal_px * square[:, None] * slope
    return by_seen, by_lens


def _view(points: Array, state: State, problem: Problem, photo: int) -> tuple[Array, Array, Array]:
    """Pixels (k, 2) of foot points in one photo, by (lens, pose) (k, 2, 10) and by foot point (k, 2, 3)."""
    camera, pose = state.camera(problem, photo), state.pose(photo)
    turned = points @ pose.rotation.T
    by_seen, by_lens = _derivatives(turned + pose.translation, camera)
    by_frame = np.concatenate([by_lens, -by_seen @ cross_matrix(turned), by_seen], axis=2)
    return project(points, camera, pose), by_frame, by_seen @ pose.rotation


def _card_rows(problem: Problem, state: State, photo: int) -> tuple[Array, Array]:
    """Residuals (k, 2) of a photo's card corners, derivatives by lens, pose, board and card place (k, 2, 20)."""
    card, group = problem.cards[photo], problem.group_of[photo]
    if group < 0 or not len(card.corners):
        return np.zeros((0, 2)), np.zeros((0, 2, 20))
    board, turn = state.boards[problem.board_of[photo]], state.card_rotations[group]
    bow = (card.corners / CARD_MIDDLE) ** 2 - 1.0 / 3.0
    turned = np.column_stack([card.corners * board[:2], bow @ board[2:]]) @ turn.T
    placed = turned + state.card_translations[group]
    if problem.alone(group):
        camera = state.camera(problem, photo)
        by_point, by_lens = _derivatives(placed, camera)
        by_frame = np.concatenate([by_lens, np.zeros((len(placed), 2, 6))], axis=2)
        pixels = project(placed, camera, _AT_LENS)
    else:
        pixels, by_frame, by_point = _view(placed, state, problem, photo)
    by_axis = by_point @ turn
    by_board = np.concatenate(
        [by_axis[:, :, :2] * card.corners[:, None, :], by_axis[:, :, 2:] * bow[:, None, :]], axis=2
    )
    by_card = np.concatenate([by_board, -by_point @ cross_matrix(turned), by_point], axis=2)
    weight = 1.0 / card.spreads
    rows = (pixels - card.pixels) * weight[:, None]
    return rows, np.concatenate([by_frame, by_card], axis=2) * weight[:, None, None]


def _prior_rows(problem: Problem, state: State) -> tuple[Array, Array]:
    """Residuals of the lens priors and of whatever holds place and size of the whole, with their derivatives."""
    first = problem.pose_at(0)
    believed: tuple[Lens | Board, ...] = (*problem.lenses, *problem.boards)
    expected = np.concatenate([each.expected for each in believed])
    spread = np.concatenate([each.spread for each in believed])
    residuals = [(np.concatenate([state.lenses.ravel(), state.boards.ravel()]) - expected) / spread]
    derivatives = [np.hstack([np.diag(1.0 / spread), np.zeros((first, problem.frame_size - first))])]
    if not problem.anchored:  # nothing else holds the frame: photo 0 stays where it is
        held = np.zeros((6, problem.frame_size))
        held[:, problem.pose_at(0) : problem.pose_at(0) + 6] = np.eye(6) / _HELD_SPREAD
        residuals.append(np.zeros(6))
        derivatives.append(held)
    if problem.baseline is not None:
        one, other, length = problem.baseline
        apart = state.pose(other).lens - state.pose(one).lens
        distance = float(np.linalg.norm(apart))
        row = np.zeros((1, problem.frame_size))
        for photo, sign in ((one, -1.0), (other, 1.0)):
            turn, shift = state.rotations[photo], state.translations[photo]
            by_pose = -turn.T @ np.hstack([cross_matrix(shift), np.eye(3)])
            row[0, problem.pose_at(photo) : problem.pose_at(photo) + 6] = sign * (apart / distance) @ by_pose
        residuals.append(np.array([(distance / length - 1.0) / _LENGTH_SPREAD]))
        derivatives.append(row / (length * _LENGTH_SPREAD))
    return np.concatenate(residuals), np.vstack(derivatives)


def rows_of(problem: Problem, state: State) -> Rows:
    """All residuals and derivatives at one state. Derivatives of rotations are by a small turn from the left."""
    count = len(problem.photo_of)
    marks, by_frame, by_point = np.empty((count, 2)), np.empty((count, 2, 10)), np.empty((count, 2, 3))
    cards, cards_frame = [], []
    for photo in range(problem.photos):
        here = problem.photo_of == photo
        pixels, frame, point = _view(state.points[problem.point_of[here]], state, problem, photo)
        weight = 1.0 / problem.spreads[here]
        marks[here] = (pixels - problem.pixels[here]) * weight[:, None]
        by_frame[here] = frame * weight[:, None, None]
        by_point[here] = point * weight[:, None, None]
        residuals, derivatives = _card_rows(problem, state, photo)
        cards.append(residuals)
        cards_frame.append(derivatives)
    priors, priors_frame = _prior_rows(problem, state)
    return Rows(marks, by_frame, by_point, tuple(cards), tuple(cards_frame), priors, priors_frame)


def cost_of(problem: Problem, rows: Rows) -> float:
    """Half the sum of soft-L1 losses of marks and corners and of squared priors; inf where a point is behind a lens."""
    total = float(rows.priors @ rows.priors)
    for residuals in (rows.marks, *rows.cards):
        scaled = (residuals / problem.soft_at) ** 2
        total += float(np.sum(2.0 * problem.soft_at**2 * (np.sqrt(1.0 + scaled) - 1.0)))
    return 0.5 * total if np.isfinite(total) else float("inf")


@dataclass(frozen=True, slots=True, eq=False)
class Normal:
    """Normal equations in blocks: frame (f, f), frame by point (f, m, 3), point (m, 3, 3), and the gradients."""

    frame: Array
    cross: Array
    point: Array
    frame_gradient: Array
    point_gradient: Array


def frame_columns(problem: Problem, photo: int, with_card: bool = False) -> Whole:
    """Places among the frame unknowns of lens and pose of one photo, and of its board and card place."""
    lens, pose = 4 * problem.lens_of[photo], problem.pose_at(photo)
    found = [*range(lens, lens + 4), *range(pose, pose + 6)]
    if with_card and problem.group_of[photo] >= 0:
        board = problem.board_at(problem.board_of[photo])
        found += range(board, board + 4)
    if with_card and problem.group_of[photo] >= int(problem.anchored):
        start = problem.group_at(problem.group_of[photo])
        found += range(start, start + 6)
    return np.array(found, dtype=np.int64)


def normal_equations(problem: Problem, rows: Rows, weights: tuple[Array, ...]) -> Normal:
    """Normal equations with `weights` for the squares of (marks, card of photo 0, card of photo 1, ...)."""
    size, points = problem.frame_size, problem.points
    frame = rows.priors_frame.T @ rows.priors_frame
    gradient = rows.priors_frame.T @ rows.priors
    cross, point, point_gradient = np.zeros((size, points, 3)), np.zeros((points, 3, 3)), np.zeros((points, 3))
    heavy_point = rows.marks_point * weights[0][:, :, None]
    pulled = rows.marks * weights[0]
    np.add.at(point, problem.point_of, np.swapaxes(heavy_point, 1, 2) @ rows.marks_point)
    np.add.at(point_gradient, problem.point_of, np.einsum("kij,ki->kj", rows.marks_point, pulled))
    for photo in range(problem.photos):
        here, columns = problem.photo_of == photo, frame_columns(problem, photo)
        by_frame = rows.marks_frame[here]
        flat = by_frame.reshape(-1, 10)
        frame[np.ix_(columns, columns)] += flat.T @ (flat * weights[0][here].reshape(-1, 1))
        gradient[columns] += flat.T @ pulled[here].ravel()
        blocks = np.swapaxes(by_frame, 1, 2) @ heavy_point[here]
        cross[columns[:, None], problem.point_of[here][None, :]] += np.swapaxes(blocks, 0, 1)
        columns = frame_columns(problem, photo, with_card=True)
        flat = rows.cards_frame[photo].reshape(-1, 20)[:, : len(columns)]
        frame[np.ix_(columns, columns)] += flat.T @ (flat * weights[photo + 1].reshape(-1, 1))
        gradient[columns] += flat.T @ (rows.cards[photo] * weights[photo + 1]).ravel()
    return Normal(frame, cross, point, gradient, point_gradient)


def _soft_weights(problem: Problem, rows: Rows) -> tuple[Array, ...]:
    """Weights (1 + z)^-1/2 of soft-L1: they bound the loss from above, so no step is promised more than it gives."""
    return tuple(1.0 / np.sqrt(1.0 + (each / problem.soft_at) ** 2) for each in (rows.marks, *rows.cards))


def _step(normal: Normal, damping: float) -> Array:
    """One damped step: points eliminated, frame unknowns solved, points put back."""
    size, points = normal.cross.shape[0], normal.cross.shape[1]
    raised = normal.point.copy()
    diagonal = np.arange(3)
    raised[:, diagonal, diagonal] *= 1.0 + damping
    inverse = np.linalg.inv(raised)
    carried = np.einsum("fmi,mij->fmj", normal.cross, inverse)
    reduced = normal.frame + damping * np.diag(np.diag(normal.frame))
    reduced = reduced - carried.reshape(size, -1) @ normal.cross.reshape(size, -1).T
    right = -normal.frame_gradient + carried.reshape(size, -1) @ normal.point_gradient.ravel()
    scale = 1.0 / np.sqrt(np.maximum(np.diag(normal.frame), 1e-30))
    frame = scale * np.linalg.solve(reduced * scale[:, None] * scale, right * scale)
    back = -normal.point_gradient - np.einsum("fmi,f->mi", normal.cross, frame)
    return np.concatenate([frame, np.einsum("mij,mj->mi", inverse, back).reshape(3 * points)])


def _diagonal(normal: Normal) -> Array:
    diagonal = np.arange(3)
    return np.concatenate([np.diag(normal.frame), normal.point[:, diagonal, diagonal].ravel()])


def adjust(problem: Problem, start: State, most_steps: int = _MOST_STEPS) -> tuple[State, Rows, float]:
    """The state of least cost near `start`, its rows and its cost (inf where the start cannot be used)."""
    state, rows = start, rows_of(problem, start)
    cost, damping, growth = cost_of(problem, rows), 1e-4, 2.0
    if not np.isfinite(cost):
        return state, rows, cost
    normal = normal_equations(problem, rows, _soft_weights(problem, rows))
    for _ in range(most_steps):
        try:
            step = _step(normal, damping)
        except np.linalg.LinAlgError:
            damping *= 10.0
            continue
        slope = np.concatenate([normal.frame_gradient, normal.point_gradient.ravel()])
        if not -float(slope @ step) > _ENOUGH * (cost + 0.1):
            break  # even the step's own promise is not worth taking
        moved = state.moved(problem, step)
        moved_rows = rows_of(problem, moved)
        moved_cost = cost_of(problem, moved_rows)
        promised = 0.5 * (damping * float(step @ (_diagonal(normal) * step)) - float(slope @ step))
        if moved_cost < cost:  # damping by the gain ratio: Nielsen, IMM-REP-1999-05
            gain = (cost - moved_cost) / max(promised, 1e-300)
            damping = max(damping * max(1.0 / 10.0, 1.0 - (2.0 * gain - 1.0) ** 3), 1e-12)
            state, rows, cost, growth = moved, moved_rows, moved_cost, 2.0
            normal = normal_equations(problem, rows, _soft_weights(problem, rows))
        else:
            damping *= growth
            growth *= 2.0
            if growth > _MOST_GROWTH:
                break
    return state, rows, cost


def covariance(problem: Problem, rows: Rows) -> tuple[Array, tuple[Array, ...]]:
    """Covariance of all unknowns (frame, then points) and the weights (marks, cards) that it was made with.

    Residuals within the soft limit count fully (the loss is nearly square there and the estimate nearly as good as
    plain least squares), larger ones by their pull.
    """
    weights = tuple(
        np.where(np.abs(each) < problem.soft_at, 1.0, 1.0 / np.sqrt(1.0 + (each / problem.soft_at) ** 2))
        for each in (rows.marks, *rows.cards)
    )
    normal = normal_equations(problem, rows, weights)
    size = problem.frame_size
    whole = np.zeros((size + 3 * problem.points,) * 2)
    whole[:size, :size] = normal.frame
    whole[:size, size:] = normal.cross.reshape(size, -1)
    whole[size:, :size] = whole[:size, size:].T
    at = size + 3 * np.arange(problem.points)[:, None] + np.arange(3)
    whole[at[:, :, None], at[:, None, :]] = normal.point
    scale = 1.0 / np.sqrt(np.maximum(np.diag(whole), 1e-30))
    return np.linalg.inv(whole * scale[:, None] * scale) * scale[:, None] * scale, weights
