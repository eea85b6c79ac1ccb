"""What the adjustment of a set is given and what it changes: lenses, cards, sightings of marks; and one set of values.

Frames *foot*, *camera*, *photo* as in `hoofbook.measure.concavity.adjustment`.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from hoofbook.measure.projection import Array, Camera, Pose, rotation_matrix
from hoofbook.terms.card import PATTERN_MM

Whole = NDArray[np.int64]

CARD_MIDDLE = np.array(PATTERN_MM) / 2.0
SOFT_AT = 3.0  # residuals beyond about this many spreads count less than squared


@dataclass(frozen=True, slots=True, eq=False)
class Lens:
    """A lens before anything was seen through it: `expected` and `spread` of (ln focal, centre x, centre y, k1)."""

    expected: Array  # (4,)
    spread: Array  # (4,)
    size: tuple[int, int]


@dataclass(frozen=True, slots=True, eq=False)
class Board:
    """A printed card before it was seen: `expected` and `spread` of (print width, print height, bow across, along).

    The print's sizes are shares of the nominal pattern, the bows millimetres of a parabola from middle to edge.
    """

    expected: Array  # (4,)
    spread: Array  # (4,)


@dataclass(frozen=True, slots=True, eq=False)
class Seen:
    """The card in one photo: nominal corners (k, 2) from the pattern's middle, pixels (k, 2), spreads (k,)."""

    corners: Array
    pixels: Array
    spreads: Array


@dataclass(frozen=True, slots=True, eq=False)
class Problem:
    """Everything the adjustment is given.

    `lens_of`, `board_of` and `group_of` (photos,; -1 = no card) number a lens, a print and a card group. Marks are
    flat arrays over sightings: `photo_of`, `point_of` (n,), `pixels` (n, 2), `spreads` (n,) of one coordinate.
    `baseline` (photo, photo, length) holds the size of the whole where no card does.
    """

    lenses: tuple[Lens, ...]
    lens_of: tuple[int, ...]
    boards: tuple[Board, ...]
    board_of: tuple[int, ...]
    cards: tuple[Seen, ...]
    group_of: tuple[int, ...]
    photo_of: Whole
    point_of: Whole
    pixels: Array
    spreads: Array
    points: int
    baseline: tuple[int, int, float] | None = None
    soft_at: float = SOFT_AT

    @property
    def photos(self) -> int:
        return len(self.lens_of)

    @property
    def groups(self) -> int:
        return max(self.group_of, default=-1) + 1

    @property
    def anchored(self) -> bool:
        """True where card group 0 is shared by photos and so is the frame of the foot."""
        return self.group_of.count(0) >= 2

    def alone(self, group: int) -> bool:
        return self.group_of.count(group) == 1

    @property
    def frame_size(self) -> int:
        """Number of unknowns besides the points: lenses, boards, poses, places of the further cards."""
        return self.group_at(self.groups)

    def board_at(self, board: int) -> int:
        return 4 * len(self.lenses) + 4 * board

    def pose_at(self, photo: int) -> int:
        return self.board_at(len(self.boards)) + 6 * photo

    def group_at(self, group: int) -> int:
        """Place of a group's six unknowns; group 0 has none where it is the frame."""
        return self.pose_at(self.photos) + 6 * (group - int(self.anchored))


@dataclass(frozen=True, slots=True, eq=False)
class State:
    """Values of all unknowns: lenses (l, 4), boards (b, 4), poses (p), card places (g), points (m, 3).

    Rotations (p or g, 3, 3) and translations (p or g, 3); a card's place is in frame foot, or camera if it is alone.
    """

    lenses: Array
    boards: Array
    rotations: Array
    translations: Array
    card_rotations: Array
    card_translations: Array
    points: Array

    def camera(self, problem: Problem, photo: int) -> Camera:
        number = problem.lens_of[photo]
        log_focal, x, y, k1 = (float(each) for each in self.lenses[number])
        width, height = problem.lenses[number].size
        return Camera(float(np.exp(log_focal)), x, y, k1, width, height)

    def pose(self, photo: int) -> Pose:
        return Pose(self.rotations[photo], self.translations[photo])

    def moved(self, problem: Problem, step: Array) -> State:
        """The state after a step (frame unknowns, then points), rotations turned from the left."""
        lens_end, board_end, pose_end = problem.board_at(0), problem.pose_at(0), problem.pose_at(problem.photos)
        poses = step[board_end:pose_end].reshape(-1, 6)
        cards = np.zeros((self.card_rotations.shape[0], 6))
        cards[int(problem.anchored) : problem.groups] = step[pose_end : problem.frame_size].reshape(-1, 6)
        return State(
            self.lenses + step[:lens_end].reshape(-1, 4),
            self.boards + step[lens_end:board_end].reshape(-1, 4),
            rotation_matrix(poses[:, :3]) @ self.rotations,
            self.translations + poses[:, 3:],
            rotation_matrix(cards[:, :3]) @ self.card_rotations,
            self.card_translations + cards[:, 3:],
            self.points + step[problem.frame_size :].reshape(-1, 3),
        )


def card_in_camera(problem: Problem, state: State, photo: int) -> Pose:
    """Pose of one photo's card in the frame of its camera."""
    group, pose = problem.group_of[photo], state.pose(photo)
    turn, shift = state.card_rotations[group], state.card_translations[group]
    if problem.alone(group):
        return Pose(turn, shift)
    return Pose(pose.rotation @ turn, pose.to_camera(shift))


def regrouped(problem: Problem, group_of: tuple[int, ...], baseline: tuple[int, int, float] | None) -> Problem:
    """The same problem with other card groups."""
    return replace(problem, group_of=group_of, baseline=baseline)
