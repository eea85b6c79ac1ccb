"""The camera of one photo of the card: one least-squares fit of lens and pose with stated priors.

Frame *card*: true millimetres in OpenCV's board frame (origin at the pattern's top left corner, x right, y down, z
away from the viewer). Unknowns: logarithm of the focal length, principal point, k1, pose (6), the print's two scales,
and the card's bow about both axes. Start value: the homography's decomposition (Zhang, "A flexible new technique for
camera calibration", IEEE PAMI 22, 2000, section 3.1, with the lens known). Then Levenberg-Marquardt.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import lru_cache

import numpy as np

from hoofbook.measure import priors
from hoofbook.measure.homography import mirrored, pose_of_plane
from hoofbook.measure.projection import Array, Camera, Pose, cross_matrix, rotation_matrix
from hoofbook.terms.card import PATTERN_MM, CardSighting
from hoofbook.terms.measured import Shot
from hoofbook.terms.refusal import Refusal, Remark

METHOD = "camera 1"
ALL_CODES = (
    "card_not_found",
    "card_corners_too_few",
    "card_pose_failed",
    "card_misfit",
    "card_bent",
    "focal_contradicted_by_card",
)

LOG_FOCAL, CENTRE_X, CENTRE_Y, K1 = 0, 1, 2, 3
TURN, SHIFT = slice(4, 7), slice(7, 10)
PRINT_X, PRINT_Y, BOW_X, BOW_Y = 10, 11, 12, 13
SIZE = 14
CARD_MIDDLE = np.array([PATTERN_MM[0] / 2.0, PATTERN_MM[1] / 2.0])
_FEWEST_CORNERS = 8
_PRIOR_AT = np.array([LOG_FOCAL, CENTRE_X, CENTRE_Y, K1, PRINT_X, PRINT_Y, BOW_X, BOW_Y])


@dataclass(frozen=True, slots=True)
class LensPrior:
    """What is believed of the lens before the card is looked at (means and standard deviations)."""

    focal_px: float
    focal_u: float  # of the logarithm
    centre: tuple[float, float]
    centre_u: float
    k1_u: float
    assumed: bool


@dataclass(frozen=True, slots=True, eq=False)
class CardFit:
    """The fitted camera with all it is uncertain of.

    `pose` takes true card millimetres to the camera; a printed place (x, y) of the nominal pattern lies at
    (x * print_scale[0], y * print_scale[1], 0). `middle_pose` is the same pose with its origin at the pattern's
    middle, which is what `values` holds: `values` (14,) are the unknowns in the order of this module's constants,
    the turn being a small rotation vector applied before `middle_pose.rotation` (zero here). True values are
    `values + factor @ q` with q standard normal, one entry per source: `factor` (14, k), `sources` (k).
    `misfit` is the rms of the corners' residuals over their stated spread; `focal_implied` what the card alone says.
    """

    camera: Camera
    pose: Pose
    middle_pose: Pose
    print_scale: tuple[float, float]
    bow_mm: tuple[float, float]
    values: Array
    factor: Array
    sources: tuple[str, ...]
    assumed: tuple[bool, ...]
    misfit: float
    px_per_mm: float
    corners_used: int
    focal_implied: float | None
    focal_implied_u: float | None
    remarks: tuple[Remark, ...]


def lens_prior(photo_size: tuple[int, int], focal_35mm: float | None, edited: bool) -> LensPrior:
    """The lens as its tags tell it: `focal_35mm` by the Exif standard, middle of the picture, no distortion."""
    longest = float(max(photo_size))
    centre = ((photo_size[0] - 1) / 2.0, (photo_size[1] - 1) / 2.0)
    focal = priors.focal_from_35mm(focal_35mm or priors.FOCAL_UNKNOWN_35MM, photo_size)
    told = priors.FOCAL_EDITED if edited else priors.FOCAL
    spread = priors.FOCAL_UNKNOWN if focal_35mm is None else told
    return LensPrior(
        focal,
        spread,
        centre,
        longest * (priors.CENTRE_EDITED if edited else priors.CENTRE),
        priors.K1_EDITED if edited else priors.K1,
        edited or focal_35mm is None,
    )


def fit_card(shot: Shot) -> CardFit | Refusal:
    """Lens and pose of the card in this photo. Refused: `card_not_found`, `card_corners_too_few`, `card_pose_failed`.

    The answer depends on nothing but the sighting, the tags and the printed size, and is kept for the next call.
    """
    if shot.sighting is None:
        return Refusal("card_not_found")
    return _fit(
        shot.sighting,
        shot.photo_size,
        shot.focal_35mm,
        shot.edited,
        shot.card_size_mm,
        (shot.key, shot.card_key, shot.lens_key),
    )


@lru_cache(maxsize=64)
def _fit(
    sighting: CardSighting,
    photo_size: tuple[int, int],
    focal_35mm: float | None,
    edited: bool,
    card_size_mm: tuple[float, float] | None,
    keys: tuple[str, str, str],
) -> CardFit | Refusal:
    corners = sighting.corners
    if len(corners) < _FEWEST_CORNERS:
        return Refusal("card_corners_too_few", {"corners": len(corners)})
    problem = _Problem(
        np.array([c.card_mm for c in corners]),
        np.array([c.photo_px for c in corners]),
        np.array([max(c.spread_px, 0.01) for c in corners]),
        lens_prior(photo_size, focal_35mm, edited),
        card_size_mm,
    )
    found = problem.best()
    if found is None:
        return Refusal("card_pose_failed")
    examined = _examine(problem, found, told=focal_35mm is not None and not edited)
    return examined.problem.report(examined.state, photo_size, keys, edited, card_size_mm is None, examined)


@dataclass(slots=True, eq=False)
class _State:
    """Unknowns (14,) with the rotation they are a small turn of; cost; corner residuals (2n,) over their spread."""

    values: Array
    rotation: Array
    cost: float
    residuals: Array
    jacobian: Array


class _Problem:
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

    def keeping(self, kept: Array) -> _Problem:
        """The same problem with only the corners where `kept` is true."""
        other = object.__new__(_Problem)
        for name in ("lens", "mean", "prior_u"):
            setattr(other, name, getattr(self, name))
        for name in ("flat", "pixels", "spread", "bow"):
            setattr(other, name, getattr(self, name)[kept])
        return other

    def with_prior(self, at: tuple[int, ...], spread: float) -> _Problem:
        other = self.keeping(np.ones(len(self.flat), dtype=bool))
        other.prior_u = np.where(np.isin(_PRIOR_AT, at), spread, self.prior_u)
        return other

    def state(self, values: Array, rotation: Array) -> _State:
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

        prior = (values[_PRIOR_AT] - self.mean[_PRIOR_AT]) / self.prior_u
        by_prior = np.zeros((len(_PRIOR_AT), SIZE))
        by_prior[np.arange(len(_PRIOR_AT)), _PRIOR_AT] = 1.0 / self.prior_u
        weight = 1.0 / self.spread[:, None]
        residuals = np.concatenate([((pixels - self.pixels) * weight).ravel(), prior])
        whole = np.concatenate([(jacobian * weight[:, :, None]).reshape(-1, SIZE), by_prior])
        cost = float(residuals @ residuals) if np.all(depth > 1.0) else math.inf
        return _State(values, turn, cost, residuals, whole)

    def solve(self, values: Array, rotation: Array, steps: int = 40) -> _State:
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

    def best(self) -> _State | None:
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

    def corner_misfit(self, state: _State) -> float:
        """Rms of the corners' residuals over their spread, corrected for the eight places a homography takes up."""
        count = 2 * len(self.flat)
        inner = state.residuals[:count]
        return math.sqrt(float(inner @ inner) / max(1, count - 8))

    def report(
        self,
        state: _State,
        photo_size: tuple[int, int],
        keys: tuple[str, str, str],
        edited: bool,
        print_assumed: bool,
        examined: _Examined,
    ) -> CardFit:
        remarks, implied = examined.remarks, examined.implied
        values, count = state.values, 2 * len(self.flat)
        inverse = np.linalg.inv(state.jacobian.T @ state.jacobian)
        by_prior = inverse @ state.jacobian[count:].T
        widened = max(1.0, self.corner_misfit(state))
        corners = state.jacobian[:count]
        spread = inverse @ (corners.T @ corners) @ inverse * widened**2
        by_corner = _root(spread)
        photo, card, lens = keys
        of_lens = f"photo {photo}" if edited else lens
        sources = (
            f"{of_lens} focal",
            f"photo {photo} principal point x",
            f"photo {photo} principal point y",
            f"{of_lens} distortion",
            f"{card} print width",
            f"{card} print height",
            f"{card} bow across",
            f"{card} bow along",
            *(f"photo {photo} card corners {i + 1}" for i in range(by_corner.shape[1])),
        )
        lens_assumed = self.lens.assumed
        assumed = (lens_assumed, False, False, False, print_assumed, print_assumed, True, True)
        camera = Camera(
            math.exp(values[LOG_FOCAL]), values[CENTRE_X], values[CENTRE_Y], values[K1], photo_size[0], photo_size[1]
        )
        middle = Pose(state.rotation, values[SHIFT])
        scale = (float(values[PRINT_X]), float(values[PRINT_Y]))
        centre = np.array([CARD_MIDDLE[0] * scale[0], CARD_MIDDLE[1] * scale[1], 0.0])
        pose = Pose(state.rotation, values[SHIFT] - state.rotation @ centre)
        return CardFit(
            camera=camera,
            pose=pose,
            middle_pose=middle,
            print_scale=scale,
            bow_mm=(float(values[BOW_X]), float(values[BOW_Y])),
            values=values,
            factor=np.concatenate([by_prior, by_corner], axis=1),
            sources=sources,
            assumed=assumed + (False,) * by_corner.shape[1],
            misfit=self.corner_misfit(state),
            px_per_mm=camera.focal_px / float(values[SHIFT][2]),
            corners_used=len(self.flat),
            focal_implied=None if implied is None else implied[0],
            focal_implied_u=None if implied is None else implied[1],
            remarks=remarks,
        )


@dataclass(frozen=True, slots=True, eq=False)
class _Examined:
    """The fit after its faults were looked for: remarks, and the focal length (px, standard u) the card alone shows."""

    problem: _Problem
    state: _State
    remarks: tuple[Remark, ...]
    implied: tuple[float, float] | None


def _examine(problem: _Problem, state: _State, *, told: bool) -> _Examined:
    """Leaves out stray corners, frees a bow that shows, and asks whether card and tag agree on the focal length."""
    remarks: list[Remark] = []
    problem, state = _without_strays(problem, state)
    implied = None
    if told and _could_contradict(problem, state):
        freed = problem.with_prior((LOG_FOCAL,), 0.6)
        alone = freed.solve(state.values, state.rotation)
        spread = math.sqrt(float(np.linalg.inv(alone.jacobian.T @ alone.jacobian)[LOG_FOCAL, LOG_FOCAL]))
        spread *= max(1.0, freed.corner_misfit(alone))
        off = alone.values[LOG_FOCAL] - problem.mean[LOG_FOCAL]
        implied = (math.exp(alone.values[LOG_FOCAL]), spread * math.exp(alone.values[LOG_FOCAL]))
        if abs(math.expm1(off)) > priors.FOCAL_CONTRADICTED and abs(off) > 3.0 * math.hypot(spread, priors.FOCAL):
            problem, state = freed, alone
            remarks.append(Remark("focal_contradicted_by_card", {"percent": round(100.0 * math.expm1(off), 1)}))
    misfit = problem.corner_misfit(state)
    if _misfits(misfit, len(problem.flat)):
        freed = problem.with_prior((BOW_X, BOW_Y), priors.BOW_FREE_MM)
        bent = freed.solve(state.values, state.rotation)
        less = freed.corner_misfit(bent)
        if less < 0.75 * misfit:
            problem, state = freed, bent
            bow = float(np.abs(bent.values[[BOW_X, BOW_Y]]).max())
            remarks.append(Remark("card_bent", {"bow_mm": round(bow, 1), "misfit": round(misfit, 2)}))
        if _misfits(less, len(problem.flat)):
            remarks.append(Remark("card_misfit", {"misfit": round(problem.corner_misfit(state), 2)}))
    return _Examined(problem, state, tuple(remarks), implied)


def _misfits(misfit: float, corners: int) -> bool:
    """True where the residuals' rms is more than 3 sd above the 1 expected, and by enough to matter."""
    return misfit > max(1.25, 1.0 + 3.0 / math.sqrt(2.0 * max(1, 2 * corners - 8)))


def _could_contradict(problem: _Problem, state: _State) -> bool:
    pull = (state.values[LOG_FOCAL] - problem.mean[LOG_FOCAL]) / problem.lens.focal_u
    return abs(pull) > 1.0 or _misfits(problem.corner_misfit(state), len(problem.flat))


def _without_strays(problem: _Problem, state: _State) -> tuple[_Problem, _State]:
    """Corners that lie far from where all others put them are left out, while most remain."""
    inner = state.residuals[: 2 * len(problem.flat)].reshape(-1, 2)
    far = np.sqrt(np.sum(inner * inner, axis=1))
    kept = far <= 6.0 * max(1.0, float(np.median(far)))
    if kept.all() or kept.sum() < max(_FEWEST_CORNERS, 0.8 * len(kept)):
        return problem, state
    less = problem.keeping(kept)
    return less, less.solve(state.values, state.rotation)


def _root(covariance: Array) -> Array:
    """F (n, r) with F @ F.T = covariance, without the directions that carry nothing."""
    size = np.sqrt(np.maximum(np.diag(covariance), 1e-30))
    worth, ways = np.linalg.eigh(covariance / np.outer(size, size))
    carried = worth > 1e-9 * worth[-1]
    return np.asarray(size[:, None] * ways[:, carried] * np.sqrt(worth[carried]), dtype=np.float64)
