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
from hoofbook.measure.card_problem import (
    BOW_X,
    BOW_Y,
    CARD_MIDDLE,
    CENTRE_X,
    CENTRE_Y,
    K1,
    LOG_FOCAL,
    PRINT_X,
    PRINT_Y,
    SHIFT,
    CardProblem,
    LensPrior,
    State,
)
from hoofbook.measure.projection import Array, Camera, Pose
from hoofbook.terms.card import CardSighting
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

_FEWEST_CORNERS = 8


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
        _Request(
            shot.sighting,
            shot.photo_size,
            shot.focal_35mm,
            shot.edited,
            shot.card_size_mm,
            shot.key,
            shot.card_key,
            shot.lens_key,
        )
    )


@dataclass(frozen=True, slots=True)
class _Request:
    """All that a fit depends on: equal requests have equal answers."""

    sighting: CardSighting
    photo_size: tuple[int, int]
    focal_35mm: float | None
    edited: bool
    card_size_mm: tuple[float, float] | None
    key: str
    card_key: str
    lens_key: str


@lru_cache(maxsize=64)
def _fit(request: _Request) -> CardFit | Refusal:
    corners = request.sighting.corners
    if len(corners) < _FEWEST_CORNERS:
        return Refusal("card_corners_too_few", {"corners": len(corners)})
    problem = CardProblem(
        np.array([c.card_mm for c in corners]),
        np.array([c.photo_px for c in corners]),
        np.array([max(c.spread_px, 0.01) for c in corners]),
        lens_prior(request.photo_size, request.focal_35mm, request.edited),
        request.card_size_mm,
    )
    found = problem.best()
    if found is None:
        return Refusal("card_pose_failed")
    told = request.focal_35mm is not None and not request.edited
    return _report(_examine(problem, found, told=told), request)


@dataclass(frozen=True, slots=True, eq=False)
class _Examined:
    """The fit after its faults were looked for: remarks, and the focal length (px, standard u) the card alone shows."""

    problem: CardProblem
    state: State
    remarks: tuple[Remark, ...]
    implied: tuple[float, float] | None


def _examine(problem: CardProblem, state: State, *, told: bool) -> _Examined:
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


def _could_contradict(problem: CardProblem, state: State) -> bool:
    pull = (state.values[LOG_FOCAL] - problem.mean[LOG_FOCAL]) / problem.lens.focal_u
    return abs(pull) > 1.0 or _misfits(problem.corner_misfit(state), len(problem.flat))


def _without_strays(problem: CardProblem, state: State) -> tuple[CardProblem, State]:
    """Corners that lie far from where all others put them are left out, while most remain."""
    inner = state.residuals[: 2 * len(problem.flat)].reshape(-1, 2)
    far = np.sqrt(np.sum(inner * inner, axis=1))
    kept = far <= 6.0 * max(1.0, float(np.median(far)))
    if kept.all() or kept.sum() < max(_FEWEST_CORNERS, 0.8 * len(kept)):
        return problem, state
    less = problem.keeping(kept)
    return less, less.solve(state.values, state.rotation)


def _report(examined: _Examined, request: _Request) -> CardFit:
    problem, state = examined.problem, examined.state
    values = state.values
    factor, sources, assumed = _uncertain(problem, state, request)
    camera = Camera(
        math.exp(values[LOG_FOCAL]),
        float(values[CENTRE_X]),
        float(values[CENTRE_Y]),
        float(values[K1]),
        *request.photo_size,
    )
    scale = (float(values[PRINT_X]), float(values[PRINT_Y]))
    middle = np.array([CARD_MIDDLE[0] * scale[0], CARD_MIDDLE[1] * scale[1], 0.0])
    implied = examined.implied or (None, None)
    return CardFit(
        camera=camera,
        pose=Pose(state.rotation, values[SHIFT] - state.rotation @ middle),
        middle_pose=Pose(state.rotation, values[SHIFT]),
        print_scale=scale,
        bow_mm=(float(values[BOW_X]), float(values[BOW_Y])),
        values=values,
        factor=factor,
        sources=sources,
        assumed=assumed,
        misfit=problem.corner_misfit(state),
        px_per_mm=camera.focal_px / float(values[SHIFT][2]),
        corners_used=len(problem.flat),
        focal_implied=implied[0],
        focal_implied_u=implied[1],
        remarks=examined.remarks,
    )


def _uncertain(
    problem: CardProblem, state: State, request: _Request
) -> tuple[Array, tuple[str, ...], tuple[bool, ...]]:
    """Factor (14, k), sources and which are defaults of ours: each prior by itself, the corners' noise together.

    With J the whitened derivatives, the estimate errs by -inv(J.T J) J.T e for residual errors e of spread 1.
    """
    count = 2 * len(problem.flat)
    inverse = np.linalg.inv(state.jacobian.T @ state.jacobian)
    by_prior = inverse @ state.jacobian[count:].T
    corners = state.jacobian[:count]
    widened = max(1.0, problem.corner_misfit(state))
    by_corner = _root(inverse @ (corners.T @ corners) @ inverse * widened**2)
    photo, card = f"photo {request.key}", request.card_key
    lens = photo if request.edited else request.lens_key
    sources = (
        f"{lens} focal",
        f"{photo} principal point x",
        f"{photo} principal point y",
        f"{lens} distortion",
        f"{card} print width",
        f"{card} print height",
        f"{photo} card bow across",
        f"{photo} card bow along",
        *(f"{photo} card corners {i + 1}" for i in range(by_corner.shape[1])),
    )
    unchecked = request.card_size_mm is None
    assumed = (problem.lens.assumed, False, False, False, unchecked, unchecked, True, True)
    return np.concatenate([by_prior, by_corner], axis=1), sources, assumed + (False,) * by_corner.shape[1]


def _root(covariance: Array) -> Array:
    """F (n, r) with F @ F.T = covariance, without the directions that carry nothing."""
    size = np.sqrt(np.maximum(np.diag(covariance), 1e-30))
    worth, ways = np.linalg.eigh(covariance / np.outer(size, size))
    carried = worth > 1e-9 * worth[-1]
    return np.asarray(size[:, None] * ways[:, carried] * np.sqrt(worth[carried]), dtype=np.float64)
