"""Where a mark of one photo should lie in another photo of the set: a place to look, with how far to look.

A mark seen in two other photos is put where their solved rays meet. A mark seen in one is put where its ray meets its
edge's plane: lying as the card lies, as deep as the marks met so far say. Without a card, a few marks common to both
pictures tell how to move, turn and stretch the one onto the other. Proposals count nowhere until confirmed.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from hoofbook.measure.concavity.adjustment import adjust
from hoofbook.measure.concavity.flat_guess import FlatGuess, flat_guess
from hoofbook.measure.concavity.gathering import gather, lens_of_tags, seen_card, spread_px
from hoofbook.measure.concavity.problem import Seen
from hoofbook.measure.concavity.solving import FEWEST_MARKS, Solved, solve
from hoofbook.measure.concavity.starting import pose_of_card, pose_of_points, start_from_cards
from hoofbook.measure.projection import Array, Camera, Pose, project, rays
from hoofbook.terms.marks import MarkState
from hoofbook.terms.measured import Shot
from hoofbook.terms.refusal import Refusal

SPREADS = 3.0  # look this many standard uncertainties far
SLIPPED_MM = 3.0  # where cards are known to have moved, but not which
POSE_MM = 0.4  # how far a card may have moved on the foot before it is noticed
PICTURE_SHARE = 0.012  # a flat move of one picture onto the other: of the longer side
_NEIGHBOUR_MM = 1.0
_LEAST_CROSSING = 1e-4
_FOOT_AWAY_MM = 400.0  # where neither marks nor card tell

Warp = tuple[tuple[float, float], tuple[float, float]]


@dataclass(frozen=True, slots=True)
class Proposal:
    """Place (x, y) in the target photo, frame photo; search within `radius_px`; `source_key` = photo to match from.

    Where the photos' poses are known, `along` (unit direction) is that of the line on which the mark must lie, and it
    lies within `aside_px` of that line.
    `warp` (2 x 2, rows) takes small steps in the source photo to steps in the target photo.
    """

    x: float
    y: float
    radius_px: float
    source_key: str
    warp: Warp = ((1.0, 0.0), (0.0, 1.0))
    along: tuple[float, float] | None = None
    aside_px: float = 0.0


@dataclass(frozen=True, slots=True, eq=False)
class View:
    """A photo with its camera and pose in the common frame."""

    shot: Shot
    camera: Camera
    pose: Pose

    def ray(self, name: str) -> Array:
        """Unit direction (3,) of a mark in the common frame."""
        mark = self.shot.marking.confirmed[name]
        way = rays(np.array([mark.x, mark.y]), self.camera) @ self.pose.rotation
        return np.asarray(way / np.linalg.norm(way))

    def spread_mm(self, name: str, place: Array) -> float:
        """Placing error of a mark, mm at a place of the common frame."""
        return spread_px(self.shot, name) * float(self.pose.to_camera(place)[2]) / self.camera.focal_px


def propose(shots: Sequence[Shot], target: int) -> Mapping[str, Proposal]:
    """Places of every mark confirmed in other photos of the set and neither confirmed nor unseen in `shots[target]`.

    Empty where nothing joins the photos: neither cards nor at least two common marks.
    """
    settled = {name for name, mark in shots[target].marking.marks.items() if mark.state is not MarkState.PROPOSED}
    names = dict.fromkeys(
        name for at, shot in enumerate(shots) if at != target for name in shot.marking.confirmed if name not in settled
    )
    if not names:
        return {}
    views, on_card, rest_mm = views_of(shots, shots[target])
    here = views.pop(shots[target].key, None)
    found: dict[str, Proposal] = {}
    if here is not None:
        known = _known(views, here)
        into = None if on_card else _into(views, here)
        guess = flat_guess(known, into) if on_card or len(known) >= 3 else None
        for name in names:
            proposal = _by_place(views, here, name, guess, rest_mm)
            if proposal is not None:
                found[name] = proposal
    for name in names:
        if name not in found:
            proposal = _by_picture(shots, target, name)
            if proposal is not None:
                found[name] = proposal
    return found


def _into(views: Mapping[str, View], here: View) -> Array:
    return np.asarray(here.pose.rotation[2] + sum(view.pose.rotation[2] for view in views.values()))


def views_of(shots: Sequence[Shot], target: Shot) -> tuple[dict[str, View], bool, float]:
    """Photos with a pose by key, whether the common frame is the card's on the foot, mm the card may have moved."""
    solved = solve(shots)
    if isinstance(solved, Refusal):
        return _views_of_cards(shots), True, POSE_MM
    problem, state = solved.problem, solved.state
    views = {
        shot.key: View(shot, state.camera(problem, at), state.pose(at)) for at, shot in enumerate(solved.gathered.shots)
    }
    if target.key not in views:
        added = _added(solved, target)
        if added is None:
            return _views_of_cards(shots), True, SLIPPED_MM
        views[target.key] = added
    return views, problem.anchored, POSE_MM


def _views_of_cards(shots: Sequence[Shot]) -> dict[str, View]:
    """Poses from the cards alone (and the few marks that are common), every card taken as lying still."""
    with_card = [shot for shot in shots if len(seen_card(shot).corners) >= 4]
    if len(with_card) < 2:
        return {}
    problem = gather(with_card).problem
    start = start_from_cards(problem)
    if start is None:
        return {}
    state, _, cost = adjust(problem, start)
    if not np.isfinite(cost):
        return {}
    return {shot.key: View(shot, state.camera(problem, at), state.pose(at)) for at, shot in enumerate(with_card)}


def _added(solved: Solved, target: Shot) -> View | None:
    """The target's pose in the frame of a set solved without it: from its card, else from marks it shares."""
    camera = _camera_like(solved, target)
    card = seen_card(target)
    if solved.problem.anchored and len(card.corners) >= 4:
        size = solved.state.boards[0][:2]
        pose = pose_of_card(Seen(card.corners * size, card.pixels, card.spreads), camera)
        return None if pose is None else View(target, camera, pose)
    names = [name for name in target.marking.confirmed if name in solved.gathered.names]
    if len(names) < FEWEST_MARKS:
        return None
    pixels = np.array([(mark.x, mark.y) for mark in (target.marking.marks[name] for name in names)])
    pose = pose_of_points(solved.points_of(names), pixels, camera)
    return None if pose is None else View(target, camera, pose)


def _camera_like(solved: Solved, target: Shot) -> Camera:
    """The lens solved with another photo of the same lens and size, else the lens as the tags tell it."""
    for at, shot in enumerate(solved.gathered.shots):
        if (shot.lens_key, shot.photo_size) == (target.lens_key, target.photo_size):
            return solved.state.camera(solved.problem, at)
    log_focal, x, y, k1 = lens_of_tags(target).expected
    return Camera(float(np.exp(log_focal)), float(x), float(y), float(k1), *target.photo_size)


def _meeting(views: Sequence[View], name: str) -> tuple[Array, float] | None:
    """Where the rays of a mark come nearest to each other (3,), and its largest standard uncertainty in mm."""
    matrix, right = np.zeros((3, 3)), np.zeros(3)
    for view in views:
        way = view.ray(name)
        across = np.eye(3) - np.outer(way, way)
        matrix += across
        right += across @ view.pose.lens
    least = float(np.linalg.eigvalsh(matrix)[0])
    if len(views) < 2 or least < _LEAST_CROSSING:
        return None
    place: Array = np.asarray(np.linalg.solve(matrix, right), dtype=np.float64)
    return place, max(view.spread_mm(name, place) for view in views) / least**0.5


def _known(views: Mapping[str, View], here: View) -> dict[str, tuple[Array, float]]:
    """Places of the marks that two or more photos show, the target among them."""
    everywhere = [*views.values(), here]
    names = dict.fromkeys(name for view in everywhere for name in view.shot.marking.confirmed)
    found = {}
    for name in names:
        place = _meeting([view for view in everywhere if name in view.shot.marking.confirmed], name)
        if place is not None:
            found[name] = place
    return found


def middle_of(views: Mapping[str, View], on_card: bool) -> Array:
    """Where the foot is (3,): the middle of the marks met so far, else of the card, else where the lenses look."""
    everywhere = list(views.values())
    names = dict.fromkeys(name for view in everywhere for name in view.shot.marking.confirmed)
    met = [_meeting([view for view in everywhere if name in view.shot.marking.confirmed], name) for name in names]
    places = [found[0] for found in met if found is not None]
    if places:
        return np.asarray(np.mean(places, axis=0))
    if on_card:
        return np.zeros(3)
    first = everywhere[0].pose
    return np.asarray(first.lens + _FOOT_AWAY_MM * first.rotation[2])


def _by_place(
    views: Mapping[str, View], here: View, name: str, guess: FlatGuess | None, rest_mm: float
) -> Proposal | None:
    """Proposal through the mark's place on the foot."""
    showing = [view for view in views.values() if name in view.shot.marking.confirmed]
    if not showing:
        return None
    source = max(showing, key=lambda view: float(view.pose.rotation[2] @ here.pose.rotation[2]))
    way = source.ray(name)
    met = _meeting(showing, name)
    if met is None and guess is not None:
        met = guess.meet(name, source.pose.lens, way)
    if met is None:
        return None
    place, spread = met
    pixel = project(place, here.camera, here.pose)
    width, height = here.shot.photo_size
    if not (np.isfinite(pixel).all() and 0.0 <= pixel[0] < width and 0.0 <= pixel[1] < height):
        return None
    # along the source's ray the place may be nearer or farther; across it only by placing and by the card's rest
    nearer, farther = (project(place + sign * spread * way, here.camera, here.pose) for sign in (-1.0, 1.0))
    step = farther - nearer
    along = float(np.linalg.norm(step)) / 2.0
    mm = here.camera.focal_px / float(here.pose.to_camera(place)[2])
    across = float(np.hypot(2.0 * spread_px(source.shot, name), rest_mm * mm))
    radius = SPREADS * float(np.hypot(along, across))
    x, y, warp = float(pixel[0]), float(pixel[1]), _warp(source, here, place, guess)
    if along < across:  # nothing is gained from a line as short as it is wide
        return Proposal(x, y, radius, source.shot.key, warp)
    line = float(step[0]) / (2.0 * along), float(step[1]) / (2.0 * along)
    return Proposal(x, y, radius, source.shot.key, warp, line, SPREADS * across)


def _warp(source: View, here: View, place: Array, guess: FlatGuess | None) -> Warp:
    axes = guess.tangents if guess is not None else here.pose.rotation[:2]
    around = np.vstack([place + _NEIGHBOUR_MM * axes, place - _NEIGHBOUR_MM * axes])
    steps = []
    for view in (source, here):
        seen = project(around, view.camera, view.pose)
        steps.append((seen[:2] - seen[2:]).T)
    warp = steps[1] @ np.linalg.inv(steps[0])
    return (float(warp[0, 0]), float(warp[0, 1])), (float(warp[1, 0]), float(warp[1, 1]))


def _by_picture(shots: Sequence[Shot], target: int, name: str) -> Proposal | None:
    """Proposal by laying one picture onto the other along their common marks: 2 move and turn it, 3 stretch it too."""
    best: tuple[int, Proposal] | None = None
    to = shots[target]
    for at, shot in enumerate(shots):
        if at == target or name not in shot.marking.confirmed:
            continue
        common = [each for each in shot.marking.confirmed if each in to.marking.confirmed]
        if len(common) < 2 or (best is not None and len(common) <= best[0]):
            continue
        old = np.array([(shot.marking.marks[each].x, shot.marking.marks[each].y) for each in common])
        new = np.array([(to.marking.marks[each].x, to.marking.marks[each].y) for each in common])
        matrix, left = _flat_move(old - old.mean(axis=0), new - new.mean(axis=0))
        mark = shot.marking.marks[name]
        x, y = matrix @ (np.array([mark.x, mark.y]) - old.mean(axis=0)) + new.mean(axis=0)
        radius = max(SPREADS * left, PICTURE_SHARE * max(to.photo_size) * (1.0 + 2.0 / len(common)))
        warp = (float(matrix[0, 0]), float(matrix[0, 1])), (float(matrix[1, 0]), float(matrix[1, 1]))
        best = len(common), Proposal(float(x), float(y), radius, shot.key, warp)
    return None if best is None else best[1]


def _flat_move(old: Array, new: Array) -> tuple[Array, float]:
    """Matrix (2, 2) that takes centred points to centred points, and the rms of what is left, px."""
    spread = np.linalg.svd(old, compute_uv=False)
    if len(old) >= 3 and spread[1] > 0.1 * spread[0]:
        matrix: Array = np.asarray(np.linalg.lstsq(old, new, rcond=None)[0].T, dtype=np.float64)
    else:
        size = float(np.sum(old * old))
        cosine, sine = (
            float(np.sum(old * new)) / size,
            float(np.sum(old[:, 0] * new[:, 1] - old[:, 1] * new[:, 0])) / size,
        )
        matrix = np.array([[cosine, -sine], [sine, cosine]])
    left = new - old @ matrix.T
    return matrix, float(np.sqrt(np.mean(np.sum(left * left, axis=1))))
