"""The least-squares problem of one card in one photo: residuals, derivatives, Levenberg-Marquardt.

Unknowns (14,): logarithm of the focal length, principal point x and y (px), k1, a small turn (3, radians, applied
before the state's rotation), translation of the pattern's middle (3, mm), the print's two scales, and the card's bow
across and along (mm at the edge against the middle). Residuals: corners over their spread, then the priors over theirs.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from hoofbook.measure import priors
from hoofbook.measure.homography import mirrored, pose_of_plane
from hoofbook.measure.projection import Array, Camera, cross_matrix, rotation_matrix
from hoofbook.terms.card import PATTERN_MM

LOG_FOCAL, CENTRE_X, CENTRE_Y, K1 = 0, 1, 2, 3
TURN, SHIFT = slice(4, 7), slice(7, 10)
PRINT_X, PRINT_Y, BOW_X, BOW_Y = 10, 11, 12, 13
SIZE = 14
CARD_MIDDLE = np.array([PATTERN_MM[0] / 2.0, PATTERN_MM[1] / 2.0])
PRIOR_AT = np.array([LOG_FOCAL, CENTRE_X, CENTRE_Y, K1, PRINT_X, PRINT_Y, BOW_X, BOW_Y])


@dataclass(frozen=True, slots=True)
class LensPrior:
    """What is believed of the lens before the card is looked at (means and standard deviations)."""

    focal_px: float
    focal_u: float  # of the logarithm
    centre: tuple[float, float]
    centre_u: float
    k1_u: float
    assumed: bool


@dataclass(slots=True, eq=False)
class State:
    """Unknowns (14,) with the rotation they are a small turn of; cost; corner residuals (2n,) over their spread."""

    values: Array
    rotation: Array
    cost: float
    residuals: Array
    jacobian: Array


class CardProblem:
    """Corners of one card in one photo, and the priors."""

    def __init__(
        self, card_mm: Array, pixels: Array, spread: Array, lens: LensPrior, size_mm: tuple[float, float] | None
    ) -> None:
        self.flat = card_mm - CARD_MIDDLE
        self.pixels, self.spread, self.lens = pixels, spread, lens
        printed = size_mm or PATTERN_MM
        mean = np.zeros(SIZE)
        mean[LOG_FOCAL] = math.log(lens.focal_px)
        mean[CENTRE_X], mean[CENTRE_Y] = lens.centre
        mean[PRINT_X], mean[PRINT_Y] = printed[0] / PATTERN_MM[0], printed[1] / PATTERN_MM[1]
        told = np.array([priors.PRINT_TOLD_MM / side for side in PATTERN_MM])
        print_u = np.full(2, priors.PRINT_UNCHECKED) if size_mm is None else told
        self.mean = mean
        self.prior_u = np.array(
            [lens.focal_u, lens.centre_u, lens.centre_u, lens.k1_u, *print_u, priors.BOW_MM, priors.BOW_MM]
        )
        self.bow = (self.flat / CARD_MIDDLE) ** 2 - 1.0 / 3.0

    @property
    def start_camera(self) -> Camera:
        return Camera(self.lens.focal_px, *self.lens.centre)

    def keeping(self, kept: Array) -> CardProblem:
        """The same problem with only the corners where `kept` is true."""
        other = object.__new__(CardProblem)
        for name in ("lens", "mean", "prior_u"):
            setattr(other, name, getattr(self, name))
        for name in ("flat", "pixels", "spread", "bow"):
            setattr(other, name, getattr(self, name)[kept])
        return other

    def with_prior(self, at: tuple[int, ...], spread: float) -> CardProblem:
        other = self.keeping(np.ones(len(self.flat), dtype=bool))
        other.prior_u = np.where(np.isin(PRIOR_AT, at), spread, self.prior_u)
        return other

    def state(self, values: Array, rotation: Array) -> State:
        """Residuals and their derivatives, all over their spreads; priors stand behind the corners."""
        turn = rotation_matrix(values[TURN]) @ rotation
        x, y = self.flat[:, 0] * values[PRINT_X], self.flat[:, 1] * values[PRINT_Y]
        high = self.bow @ values[[BOW_X, BOW_Y]]
        turned = np.stack([x, y, high], axis=1) @ turn.T
        seen = turned + values[SHIFT]
        depth = seen[:, 2]
        flat = seen[:, :2] / depth[:, None]
        square = np.sum(flat * flat, axis=1)
        focal = math.exp(values[LOG_FOCAL])
        bent = flat * (1.0 + values[K1] * square)[:, None]
        pixels = bent * focal + values[[CENTRE_X, CENTRE_Y]]

        by_flat = focal * (
            (1.0 + values[K1] * square)[:, None, None] * np.eye(2)
            + 2.0 * values[K1] * flat[:, :, None] * flat[:, None, :]
        )
        by_seen = np.zeros((len(depth), 2, 3))
        by_seen[:, 0, 0] = by_seen[:, 1, 1] = 1.0 / depth
        by_seen[:, :, 2] = -flat / depth[:, None]
        by_seen = by_flat @ by_seen
        jacobian = np.zeros((len(depth), 2, SIZE))
        jacobian[:, :, LOG_FOCAL] = bent * focal
        jacobian[:, 0, CENTRE_X] = jacobian[:, 1, CENTRE_Y] = 1.0
        jacobian[:, :, K1] = focal * flat * square[:, None]
        jacobian[:, :, TURN] = -by_seen @ cross_matrix(turned)
        jacobian[:, :, SHIFT] = by_seen
        jacobian[:, :, PRINT_X] = (by_seen @ turn[:, 0]) * self.flat[:, :1]
        jacobian[:, :, PRINT_Y] = (by_seen @ turn[:, 1]) * self.flat[:, 1:]
        jacobian[:, :, BOW_X] = (by_seen @ turn[:, 2]) * self.bow[:, :1]
        jacobian[:, :, BOW_Y] = (by_seen @ turn[:, 2]) * self.bow[:, 1:]

        prior, by_prior = self._priors(values)
        weight = 1.0 / self.spread[:, None]
        residuals = np.concatenate([((pixels - self.pixels) * weight).ravel(), prior])
        whole = np.concatenate([(jacobian * weight[:, :, None]).reshape(-1, SIZE), by_prior])
        cost = float(residuals @ residuals) if np.all(depth > 1.0) else math.inf
        return State(values, turn, cost, residuals, whole)

    def _priors(self, values: Array) -> tuple[Array, Array]:
        """Residuals of the priors and their derivatives, both over their spreads."""
        derivatives = np.zeros((len(PRIOR_AT), SIZE))
        derivatives[np.arange(len(PRIOR_AT)), PRIOR_AT] = 1.0 / self.prior_u
        return (values[PRIOR_AT] - self.mean[PRIOR_AT]) / self.prior_u, derivatives

    def solve(self, values: Array, rotation: Array, steps: int = 40) -> State:
        """Levenberg-Marquardt with the rotation folded in after each step (Marquardt, J. SIAM 11, 1963)."""
        now = self.state(values, rotation)
        damping = 1e-3
        for _ in range(steps):
            normal = now.jacobian.T @ now.jacobian
            slope = now.jacobian.T @ now.residuals
            folded = now.values.copy()
            folded[TURN] = 0.0
            step = -np.linalg.solve(normal + damping * np.diag(np.diag(normal)), slope)
            tried = self.state(folded + step, now.rotation)
            if not tried.cost < now.cost:
                if damping > 1e6 or float(step @ normal @ step) < 1e-10:
                    break
                damping *= 8.0
                continue
            gained = now.cost - tried.cost
            now, damping = tried, max(damping / 10.0, 1e-12)
            if gained < 1e-9 * (1.0 + now.cost):
                break
        folded = now.values.copy()
        folded[TURN] = 0.0
        return self.state(folded, now.rotation)

    def best(self) -> State | None:
        """The better of the two poses that a flat board allows (its mirror about the line of sight)."""
        start = pose_of_plane(self.flat * self.mean[[PRINT_X, PRINT_Y]], self.pixels, self.start_camera)
        if start is None or start[1][2] <= 1.0:
            return None
        rotation, shift = start
        values = self.mean.copy()
        values[SHIFT] = shift
        found = self.solve(values, rotation)
        second = self.solve(found.values, mirrored(found.rotation, found.values[SHIFT]), steps=12)
        found = second if second.cost < found.cost else found
        return found if math.isfinite(found.cost) else None

    def corner_misfit(self, state: State) -> float:
        """Rms of the corners' residuals over their spread, corrected for the eight places a homography takes up."""
        count = 2 * len(self.flat)
        inner = state.residuals[:count]
        return math.sqrt(float(inner @ inner) / max(1, count - 8))
