"""Solves a set: which marks are far off, in which photos the card lay still on the foot, and from where the scale is.

The hoof carries the shape, the card only the scale: a card that moved against the foot between photos is found by
comparing the fit that believes it with the fit in which every card is free, and is believed only where it agrees.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

import numpy as np

from hoofbook.measure.concavity.adjustment import Rows, adjust, covariance, frame_columns
from hoofbook.measure.concavity.far_off import FarOff, farthest, mark_rows
from hoofbook.measure.concavity.gathering import Gathered, common_marks, gather
from hoofbook.measure.concavity.problem import Problem, State, card_in_camera, regrouped
from hoofbook.measure.concavity.starting import start_from_cards, starts_from_marks, with_points
from hoofbook.measure.projection import Array, Pose
from hoofbook.terms.measured import Shot
from hoofbook.terms.refusal import Refusal

FEWEST_MARKS = 4  # three of an edge and the frog apex
_TEST_SHARE = 1e-3  # how often what is well may be called wrong: a card that lay still, marks placed as told
_FIRST_STEPS = 6  # enough to see which grouping is worth finishing
_NEARLY_STILL_MM = 1.0  # each coordinate; less than one part in a hundred of the way between two lenses
_NEARLY_STILL_DEG = 2.0
_LEAST_MOVED_MM = 0.2
_MOST_FAR_OFF = 0.25  # of the sightings


@dataclass(frozen=True, slots=True)
class NearlyStill:
    """Scale from cards that moved on the foot by less than a millimetre: mm per unit of the state, relative u."""

    size: float
    share: float
    moved_mm: float


@dataclass(frozen=True, slots=True, eq=False)
class Solved:
    """A solved set: everything in the frame of the foot.

    `held` = photos whose cards agree (at least two give millimetres), `slipped` = photos whose card moved on the
    foot, with mm; `nearly` = the scale where no two cards agree but all stayed near; `tested` False where too few
    marks were there to test the card. `covariance` covers all unknowns (frame,
    then points); `widened` is the factor on every mark's spread that the misfit asks for (1 when all is well).
    """

    gathered: Gathered
    problem: Problem
    state: State
    rows: Rows
    cost: float
    covariance: Array
    weights: tuple[Array, ...]
    held: tuple[str, ...]
    slipped: tuple[tuple[str, float], ...]
    nearly: NearlyStill | None
    tested: bool
    far_off: tuple[FarOff, ...]
    widened: float
    card_widened: float

    @property
    def has_scale(self) -> bool:
        return len(self.held) >= 2 or self.nearly is not None

    def points_of(self, names: Sequence[str]) -> Array:
        """Solved foot points (k, 3) of these marks."""
        return self.state.points[[self.gathered.names.index(name) for name in names]]

    def mark_rows(self) -> Array:
        """Derivatives (n, 2, all unknowns) of every sighting of a mark, over its spread."""
        return mark_rows(self.problem, self.rows)

    def card_rows(self) -> list[Array]:
        """Derivatives (k, 2, all unknowns) of the card corners of each photo, over their spread."""
        size, found = self.problem.frame_size + 3 * self.problem.points, []
        for photo, derivatives in enumerate(self.rows.cards_frame):
            columns = frame_columns(self.problem, photo, with_card=True)
            full = np.zeros((len(derivatives), 2, size))
            full[:, :, columns] = derivatives[:, :, : len(columns)]
            found.append(full)
        return found


@dataclass(frozen=True, slots=True, eq=False)
class _Fit:
    problem: Problem
    state: State
    rows: Rows
    cost: float


def solve(shots: Sequence[Shot]) -> Solved | Refusal:
    """Solves the photos of one set together, or says why it cannot be done."""
    if len(shots) < 2:
        return Refusal("set_needs_two_photos", {"photos": len(shots)})
    left_out: dict[tuple[str, str], FarOff] = {}
    while True:
        gathered = joined(shots, frozenset(left_out))
        if gathered.problem.photos < 2 or gathered.problem.points < FEWEST_MARKS:
            common = len(common_marks(shots))
            return Refusal("too_few_common_marks", {"common": common, "needed": FEWEST_MARKS})
        free, rigid = _first_fits(gathered.problem)
        fit = free if free is not None else rigid
        if fit is None:
            return Refusal("photos_do_not_join", {"common": gathered.problem.points})
        far = farthest(gathered, fit.problem, fit.rows)
        if far is None or len(left_out) >= _MOST_FAR_OFF * len(gathered.problem.photo_of):
            break
        left_out[(far.photo, far.mark)] = far
    return _finish(gathered, free, rigid, tuple(left_out.values()))


def joined(shots: Sequence[Shot], left_out: frozenset[tuple[str, str]] = frozenset()) -> Gathered:
    """The problem of those photos that share four marks or more with others; the rest cannot be tested: left out."""
    kept = list(shots)
    while True:
        gathered = gather(kept, left_out)
        counts = np.bincount(gathered.problem.photo_of, minlength=len(kept))
        still = [shot for shot, count in zip(kept, counts, strict=True) if count >= FEWEST_MARKS]
        if len(still) == len(kept):
            return gathered
        kept = still


def _finish(gathered: Gathered, free: _Fit | None, rigid: _Fit | None, far_off: tuple[FarOff, ...]) -> Solved | Refusal:
    tested = free is not None and rigid is not None
    if free is not None and rigid is not None:
        fit = _grouped(free, rigid)
    elif (one := rigid if rigid is not None else free) is not None:
        fit = one
    else:
        return Refusal("photos_do_not_join", {"common": gathered.problem.points})
    groups = fit.problem.group_of
    keys = [shot.key for shot in gathered.shots]
    held = tuple(key for key, group in zip(keys, groups, strict=True) if group >= 0 and groups.count(group) >= 2)
    alone = tuple(photo for photo, group in enumerate(groups) if group >= 0 and groups.count(group) < 2)
    slipped = tuple((keys[photo], _moved_mm(fit, photo)) for photo in alone)
    spread, weights = covariance(fit.problem, fit.rows)
    return Solved(
        gathered,
        fit.problem,
        fit.state,
        fit.rows,
        fit.cost,
        spread,
        weights,
        held,
        slipped if tested and held else (),
        _nearly_still(fit) if tested and not held else None,
        tested,
        far_off,
        _widening(fit, spread, weights[0]),
        max(1.0, _card_factor(fit)) ** 0.5,
    )


def _cards_on_foot(fit: _Fit, size: float) -> tuple[Array, Array]:
    """Middles (c, 3) and rotations (c, 3, 3) of all cards as they lay on the foot at `size` times the state."""
    middles, turns = [], []
    for photo, group in enumerate(fit.problem.group_of):
        if group >= 0:
            pose, card = fit.state.pose(photo), card_in_camera(fit.problem, fit.state, photo)
            middles.append(size * pose.lens + pose.rotation.T @ card.translation)
            turns.append(pose.rotation.T @ card.rotation)
    return np.array(middles), np.array(turns)


def _moved_mm(fit: _Fit, photo: int) -> float:
    """How far this photo's card lay from where the cards that agree lay (middle of the pattern)."""
    if not fit.problem.anchored:
        return 0.0
    pose, card = fit.state.pose(photo), card_in_camera(fit.problem, fit.state, photo)
    return float(np.linalg.norm(pose.to_world(card.translation)))


def _nearly_still(free: _Fit) -> NearlyStill | None:
    """Scale from cards that all moved a little; None where they moved more than that."""
    at_nothing, turns = _cards_on_foot(free, 0.0)
    count = len(turns)
    if count < 2:
        return None
    lever = _cards_on_foot(free, 1.0)[0] - at_nothing
    lever, offset = lever - lever.mean(axis=0), at_nothing - at_nothing.mean(axis=0)
    size = -float(np.sum(lever * offset) / np.sum(lever * lever))
    left = size * lever + offset
    moved = float(np.sqrt(np.sum(left * left) / (3 * (count - 1) - 1)))
    turned = np.einsum("aij,bij->ab", turns, turns).min()
    if size <= 0.0 or moved > _NEARLY_STILL_MM or turned < 1.0 + 2.0 * np.cos(np.radians(_NEARLY_STILL_DEG)):
        return None
    spread = max(moved, _LEAST_MOVED_MM)
    return NearlyStill(size, spread / float(np.sqrt(np.sum(lever * lever))) / size, moved)


def _mark_freedom(problem: Problem) -> int:
    """Degrees of freedom of the marks alone: what is left after points and the photos' relative poses."""
    return 2 * len(problem.photo_of) - 3 * problem.points - 6 * (problem.photos - 1) + 1


def _first_fits(problem: Problem) -> tuple[_Fit | None, _Fit | None]:
    """The fit with every card free (None where marks alone cannot join the photos) and the fit that believes all."""
    cards = sum(group >= 0 for group in problem.group_of)
    start = start_from_cards(problem)
    rigid = None
    if cards >= 2 and start is not None:
        rigid = _fit(problem, start)
    if _mark_freedom(problem) < 1:
        return None, rigid
    if rigid is not None:
        free = _free_fit(problem, rigid.state)
        return free, rigid
    fits = [_free_fit(problem, each) for each in starts_from_marks(problem)]
    good = [each for each in fits if each is not None]
    return (min(good, key=lambda each: each.cost) if good else None), None


def _fit(problem: Problem, start: State, most_steps: int = 60) -> _Fit | None:
    state, rows, cost = adjust(problem, start, most_steps)
    return _Fit(problem, state, rows, cost) if np.isfinite(cost) else None


def _free_fit(problem: Problem, start: State) -> _Fit | None:
    """The fit with every card on its own, so that only the marks join the photos; a baseline holds the size."""
    groups, number = [], 0
    for group in problem.group_of:
        groups.append(number if group >= 0 else -1)
        number += group >= 0
    lenses = np.array([start.pose(photo).lens for photo in range(problem.photos)])
    lengths = np.linalg.norm(lenses - lenses[0], axis=1)
    second = int(np.argmax(lengths))
    if lengths[second] <= 0.0:
        return None
    changed = regrouped(problem, tuple(groups), (0, second, float(lengths[second])))
    places = [card_in_camera(problem, start, photo) for photo, group in enumerate(groups) if group >= 0]
    return _fit(changed, _with_cards(start, places))


def _with_cards(state: State, places: Sequence[Pose]) -> State:
    turns = np.array([place.rotation for place in places]).reshape(-1, 3, 3)
    shifts = np.array([place.translation for place in places]).reshape(-1, 3)
    return replace(state, card_rotations=turns, card_translations=shifts)


def _regrouped_fit(free: _Fit, groups: tuple[int, ...]) -> _Fit | None:
    """First steps of a fit with these card groups: photos of group 0 start from their cards, others as in `free`."""
    problem, state = free.problem, free.state
    cards = {photo: card_in_camera(problem, state, photo) for photo, group in enumerate(groups) if group >= 0}
    members = [photo for photo, group in enumerate(groups) if group == 0]
    size = _size_by_cards(state, cards, members)
    first, card = state.pose(members[0]), cards[members[0]]
    turns, shifts = np.array(state.rotations), np.array(state.translations)
    for photo in range(problem.photos):
        if photo in members:
            turns[photo], shifts[photo] = cards[photo].rotation, cards[photo].translation
            continue
        across = state.rotations[photo] @ first.rotation.T
        turns[photo] = across @ card.rotation
        shifts[photo] = across @ (card.translation - size * first.translation) + size * state.translations[photo]
    changed = regrouped(problem, groups, None)
    places = []
    for group in range(changed.groups):
        photo = groups.index(group)
        place, pose = cards[photo], Pose(turns[photo], shifts[photo])
        if not changed.alone(group):
            place = Pose(pose.rotation.T @ place.rotation, pose.to_world(place.translation))
        places.append(place)
    start = _with_cards(replace(state, rotations=turns, translations=shifts), places)
    return _fit(changed, with_points(changed, start), _FIRST_STEPS)


def _size_by_cards(state: State, cards: dict[int, Pose], members: list[int]) -> float:
    """How much larger the set is by the cards of these photos than in the free state."""
    by_card = np.array([cards[photo].lens for photo in members])
    by_marks = np.array([state.pose(photo).lens for photo in members])
    apart = np.linalg.norm(by_marks[1:] - by_marks[0], axis=1)
    widest = int(np.argmax(apart))
    return float(np.linalg.norm(by_card[widest + 1] - by_card[0]) / max(float(apart[widest]), 1e-9))


def _groupings(group_of: Sequence[int]) -> Iterator[list[tuple[int, ...]]]:
    """All ways to sort the photos with a card into groups, fewest groups first; one list per number of groups."""
    with_card = [photo for photo, group in enumerate(group_of) if group >= 0]
    ways: list[list[list[int]]] = [[]]
    for photo in with_card:
        longer: list[list[list[int]]] = []
        for way in ways:
            for number in range(len(way)):
                longer.append([*way[:number], [*way[number], photo], *way[number + 1 :]])
            longer.append([*way, [photo]])
        ways = longer
    for count in range(2, len(with_card)):
        level = []
        for way in (each for each in ways if len(each) == count):
            groups = [-1] * len(group_of)
            for number, members in enumerate(sorted(way, key=lambda each: (-len(each), each))):
                for photo in members:
                    groups[photo] = number
            level.append(tuple(groups))
        yield level


def _grouped(free: _Fit, rigid: _Fit) -> _Fit:
    """The fit with the fewest card groups that is not worse than the free fit beyond chance."""
    from scipy.special import chdtri

    cards = sum(group >= 0 for group in rigid.problem.group_of)
    factor = max(1.0, _mark_factor(free), _card_factor(free))

    def agrees(fit: _Fit) -> bool:
        freed = 6 * (cards - fit.problem.groups) - 1
        return 2.0 * (fit.cost - free.cost) / factor <= float(chdtri(freed, _TEST_SHARE))

    if agrees(rigid):
        return rigid
    for level in _groupings(rigid.problem.group_of):
        fits = [_regrouped_fit(free, groups) for groups in level]
        good = sorted((each for each in fits if each is not None), key=lambda each: each.cost)
        best = _fit(good[0].problem, good[0].state) if good else None
        if best is not None and agrees(best):
            return best
    return free


def _mark_factor(fit: _Fit) -> float:
    """Mean square of the marks' residuals over their stated spread, by the marks' own freedom; never below 1."""
    freedom = max(_mark_freedom(fit.problem), 1)
    soft = fit.problem.soft_at
    squares = 2.0 * soft**2 * (np.sqrt(1.0 + (fit.rows.marks / soft) ** 2) - 1.0)
    return max(1.0, float(squares.sum()) / freedom)


def _widening(fit: _Fit, spread: Array, weights: Array) -> float:
    """Factor on the marks' spreads that their misfit asks for: 1 unless it is beyond chance (1 in 1000)."""
    from scipy.special import chdtri

    full = mark_rows(fit.problem, fit.rows)
    taken = float(np.sum((full @ spread) * full * weights[:, :, None]))
    freedom = max(2.0 * len(full) - taken, 1.0)
    square = float(np.sum(weights * fit.rows.marks**2))
    return (square / freedom) ** 0.5 if square > float(chdtri(freedom, _TEST_SHARE)) else 1.0


def _card_factor(fit: _Fit) -> float:
    corners = sum(rows.size for rows in fit.rows.cards)
    cards = sum(len(rows) > 0 for rows in fit.rows.cards)
    squares = sum(float(np.sum(rows**2)) for rows in fit.rows.cards)
    return squares / max(corners - 6 * cards, 1)
