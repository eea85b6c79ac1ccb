"""Two photos of one foot at one millimetre scale: each only moved, turned and scaled, never stretched or bent.

What shows a change must not be used to lay the photos together: aligned on the measured marks themselves a picture
shows only a third of a true change, an affine or perspective fit on them invents or wipes out change. So:

- scale: the card's plane at the foot (its perspective is averaged over the foot into one similarity), in a set of sole
  photos the solved plane of the sole's edge, else a ruler or a told foot width, else the distance of two hairline
  marks in the photo that has no scale of its own;
- turn: a standing card's own axes (its lower edge is the floor); on the sole, where a card may lie at any angle, the
  foot's mid-line through frog base (else heel buttresses) and frog apex; else the line through two hairline marks
  (seen along the sole: through the two edges, from which the depth is measured);
- place: height from the floor under a standing card, sideways and without a floor the toe's hairline mark; on the
  sole the frog apex. Toe and heel on the ground, the outline and the sole's edge are never used.

Frame *common*: millimetres, x right and y down as on screen; origin at the mark that gives the place, its height at
the floor where both photos have one; on the sole the toe is up.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache
from typing import TYPE_CHECKING

import numpy as np

from hoofbook.measure import priors
from hoofbook.measure.camera import fit_card
from hoofbook.measure.projection import Array, Camera, Pose, meet_plane, project, rays
from hoofbook.terms.card import FLOOR_BELOW_PATTERN_TOP_MM
from hoofbook.terms.measured import Shot
from hoofbook.terms.refusal import Refusal
from hoofbook.terms.views import CardPlane, CardStand, View

if TYPE_CHECKING:
    from hoofbook.measure.concavity.solving import Solved

METHOD = "comparison 1"
ALL_CODES = ("different_views", "different_feet", "toe_points_other_way", "view_not_compared")

CARD_PLANE, HAIRLINE, NONE = "card plane", "hairline", "none"
HALF_FOOT_MM = 60.0  # the card's perspective is averaged over a foot this large
_GRID = 5
_FRONT_MARKS = ("medial_hairline", "lateral_hairline")
_LEVEL_MARKS = {
    View.LATERAL: ("toe_hairline", "heel_hairline"),
    View.DORSAL: _FRONT_MARKS,
    View.PALMAR: _FRONT_MARKS,
    View.PLANTAR: _FRONT_MARKS,
    View.ALONG_SOLE: ("edge_medial", "edge_lateral"),
}
_SOLE_MARKS = (("frog_base_medial", "frog_base_lateral"), ("heel_medial", "heel_lateral"))
_APEX = "frog_apex"
_CRACK_MARKS = ("crack_hairline", "crack_top")

Similarity = tuple[tuple[float, float, float], tuple[float, float, float]]


@dataclass(frozen=True, slots=True)
class Alignment:
    """Photo pixels of both photos to the common frame: (2, 3) matrices that only move, turn and scale.

    `way` is "card plane", "hairline" or "none". `px_per_mm_then` and `_now` are None where nothing gives millimetres
    (then one unit of the common frame is as good as arbitrary and a picture is not to scale); `placed_by` names the
    mark that lies on the same place in both, "" where the photos' middles do; `on_floor` = heights start at the floor.
    """

    way: str
    then_to_mm: Similarity
    now_to_mm: Similarity
    px_per_mm_then: float | None
    px_per_mm_now: float | None
    placed_by: str
    on_floor: bool


@dataclass(frozen=True, slots=True, eq=False)
class Seen:
    """What one photo offers. `card` is the similarity (2, 3) of the plane at the foot, px to mm in the card's axes."""

    shot: Shot
    card: Array | None
    px_per_mm: float | None
    floor_y: float | None  # in the card's axes

    def mark(self, name: str) -> Array | None:
        mark = self.shot.marking.confirmed.get(name)
        return None if mark is None else np.array([mark.x, mark.y])

    def middle(self, names: tuple[str, ...]) -> Array | None:
        found = [self.mark(name) for name in names]
        kept = [place for place in found if place is not None]
        return np.mean(kept, axis=0) if len(kept) == len(names) else None


def align(then: Shot, now: Shot, *, then_set: Sequence[Shot] = (), now_set: Sequence[Shot] = ()) -> Alignment | Refusal:
    """Lays two photos of one foot and view together. `then_set`, `now_set`: all sole photos of their sets, if any.

    Refused: `different_views`, `different_feet`, `view_not_compared`, `toe_points_other_way`.
    """
    refusal = not_alike(then, now)
    return refusal if refusal is not None else aligned((seen_of(then, then_set), seen_of(now, now_set)))


def own_frame(shot: Shot, whole_set: Sequence[Shot] = ()) -> Alignment | Refusal:
    """One photo laid by itself: as `align` would lay it over itself, looked at once. Refused: `view_not_compared`."""
    refusal = not_alike(shot, shot)
    if refusal is not None:
        return refusal
    seen = seen_of(shot, whole_set)
    return aligned((seen, seen))


def not_alike(then: Shot, now: Shot) -> Refusal | None:
    if then.view is not now.view:
        return Refusal("different_views", {"then": then.view.value, "now": now.view.value})
    if then.foot is not None and now.foot is not None and then.foot is not now.foot:
        return Refusal("different_feet", {"then": then.foot.value, "now": now.foot.value})
    if then.from_inside is not now.from_inside:
        return Refusal("toe_points_other_way")
    if then.view is View.WHOLE:
        return Refusal("view_not_compared", {"view": then.view.value})
    return None


def aligned(both: tuple[Seen, Seen]) -> Alignment | Refusal:
    view = both[0].shot.view
    return _aligned_soles(both) if view is View.SOLAR else _aligned_standing(both, _LEVEL_MARKS[view])


def seen_of(shot: Shot, whole_set: Sequence[Shot]) -> Seen:
    card = _plane_of_set(shot, whole_set)
    floor = None
    if card is None and shot.sighting is not None:
        fit = fit_card(shot)
        if not isinstance(fit, Refusal):
            card = _best_similarity(fit.camera, fit.pose, _foot_pixel(shot), _behind_card(shot))
            if shot.card_stands_on is CardStand.FLOOR:
                floor = FLOOR_BELOW_PATTERN_TOP_MM * fit.print_scale[1]
    if card is not None:
        return Seen(shot, card, 1.0 / _size(card), floor)
    return Seen(shot, None, _told_scale(shot), None)


def _behind_card(shot: Shot) -> float:
    """How far behind the card (mm) the plane lies that a picture is to scale in: the foot's mid plane, but a crack
    that is followed lies on the near wall, where its card stands."""
    crack = any(name in shot.marking.confirmed for name in _CRACK_MARKS)
    return priors.NEAR_WALL_MM if shot.card_plane is CardPlane.NEAR_WALL and not crack else 0.0


def _told_scale(shot: Shot) -> float | None:
    """Pixels per millimetre by a ruler in the photo or a told foot width."""
    marks = shot.marking.confirmed
    if shot.ruler is not None and shot.ruler.mm > 0.0:
        return float(np.hypot(*np.subtract(shot.ruler.a, shot.ruler.b))) / shot.ruler.mm
    if shot.foot_width is not None and {"widest_medial", "widest_lateral"} <= set(marks):
        one, other = marks["widest_medial"], marks["widest_lateral"]
        return float(np.hypot(one.x - other.x, one.y - other.y)) / shot.foot_width.value
    return None


def _foot_pixel(shot: Shot) -> Array:
    """Where the foot is in the picture: the middle of its marks, of the picture if it has none."""
    marks = list(shot.marking.confirmed.values())
    if not marks:
        return (np.array(shot.photo_size) - 1.0) / 2.0
    return np.array([np.mean([mark.x for mark in marks]), np.mean([mark.y for mark in marks])])


def _best_similarity(camera: Camera, pose: Pose, at: Array, depth: float) -> Array:
    """Similarity (2, 3) from px to mm nearest to the plane z = `depth` of the pose's frame, round what is seen `at`."""
    way = rays(at, camera) @ pose.rotation
    middle = meet_plane(pose.lens, way, np.array([0.0, 0.0, depth]), np.array([0.0, 0.0, 1.0]))
    steps = np.linspace(-HALF_FOOT_MM, HALF_FOOT_MM, _GRID)
    across, down = np.meshgrid(steps, steps)
    plane = np.stack([across.ravel(), down.ravel(), np.zeros(across.size)], axis=1) + middle
    return _similarity(project(plane, camera, pose), plane[:, :2])


def _similarity(pixels: Array, places: Array) -> Array:
    """The move, turn and scale (2, 3) that takes points (k, 2) nearest to points (k, 2), in the scale of `pixels`.

    Umeyama, IEEE PAMI 13 (1991), in two dimensions; fitted from places to pixels and turned round, so that errors
    are weighed in the picture.
    """
    from_middle, to_middle = places.mean(axis=0), pixels.mean(axis=0)
    old, new = places - from_middle, pixels - to_middle
    weight = float(np.sum(old * old))
    cosine = float(np.sum(old * new)) / weight
    sine = float(np.sum(old[:, 0] * new[:, 1] - old[:, 1] * new[:, 0])) / weight
    turn = np.linalg.inv(np.array([[cosine, -sine], [sine, cosine]]))
    return np.column_stack([turn, from_middle - turn @ to_middle])


@dataclass(frozen=True, slots=True, eq=False)
class _SameShots:
    """A set of photos as a key: equal where the very same shots are meant, which never change."""

    shots: tuple[Shot, ...]

    def __hash__(self) -> int:
        return hash(tuple(map(id, self.shots)))

    def __eq__(self, other: object) -> bool:
        return isinstance(other, _SameShots) and tuple(map(id, self.shots)) == tuple(map(id, other.shots))


@lru_cache(maxsize=4)
def _solved(same: _SameShots) -> Solved | Refusal:
    """Kept for the next photo of the set."""
    from hoofbook.measure.concavity.solving import solve

    return solve(same.shots)


def _plane_of_set(shot: Shot, whole_set: Sequence[Shot]) -> Array | None:
    """Similarity of the sole edge's (else wall edge's) plane by the solved set of this photo; None without one."""
    if shot.view is not View.SOLAR or len(whole_set) < 2:
        return None
    from hoofbook.measure.concavity.measures import shape_of, sizing_of

    solved = _solved(_SameShots(tuple(whole_set)))
    if isinstance(solved, Refusal):
        return None
    sizing = None if len(solved.held) >= 2 else sizing_of(solved)
    keys = [each.key for each in solved.gathered.shots]
    shape = shape_of(solved)
    if shot.key not in keys or not shape.planes or (len(solved.held) < 2 and sizing is None):
        return None
    photo = keys.index(shot.key)
    pose = solved.state.pose(photo)
    middle, normal = shape.plane(next(iter(shape.planes)), solved.state.points)
    right = pose.rotation[0] - (pose.rotation[0] @ normal) * normal
    right = right / np.linalg.norm(right)
    axes = np.stack([right, np.cross(normal, right), normal])
    size = 1.0 if sizing is None else sizing.mm_per_unit(shape)
    on_plane = Pose(pose.rotation @ axes.T, pose.to_camera(middle) * size)
    camera = solved.state.camera(solved.problem, photo)
    return _best_similarity(camera, on_plane, project(middle, camera, pose), 0.0)


def _size(matrix: Array) -> float:
    """Millimetres per pixel of a similarity (2, 3)."""
    return float(np.hypot(matrix[0, 0], matrix[1, 0]))


def _turned(mm_per_px: float, along: Array, wanted: Array) -> Array:
    """Matrix (2, 2): scale, and the turn that takes direction `along` in the photo to `wanted` (unit) on screen."""
    unit = along / np.linalg.norm(along)
    cosine = float(unit @ wanted)
    sine = float(unit[0] * wanted[1] - unit[1] * wanted[0])
    return mm_per_px * np.array([[cosine, -sine], [sine, cosine]])


def _aligned_standing(both: tuple[Seen, Seen], names: tuple[str, str]) -> Alignment | Refusal:
    """Side, front, heel and along-the-sole views."""
    lines = [_line(seen, names) for seen in both]
    have_lines = lines[0] is not None and lines[1] is not None
    placed_by = names[0] if all(seen.mark(names[0]) is not None for seen in both) else ""
    if both[0].card is not None and both[1].card is not None:
        way, turns = CARD_PLANE, [seen.card[:, :2] for seen in both if seen.card is not None]
        if lines[0] is not None and lines[1] is not None and (turns[0] @ lines[0])[0] * (turns[1] @ lines[1])[0] < 0.0:
            return Refusal("toe_points_other_way")
    elif lines[0] is not None and lines[1] is not None:
        if lines[0][0] * lines[1][0] < 0.0:
            return Refusal("toe_points_other_way")
        way, turns = HAIRLINE, _turns_by_lines(both, (lines[0], lines[1]))
    else:
        way, turns = NONE, [np.eye(2) / (seen.px_per_mm or _whole_width(seen)) for seen in both]
    floors = [seen.floor_y for seen in both]
    on_floor = way == CARD_PLANE and None not in floors
    matrices = []
    for seen, turn, floor in zip(both, turns, floors, strict=True):
        anchor = seen.mark(placed_by) if placed_by else (np.array(seen.shot.photo_size) - 1.0) / 2.0
        shift = -turn @ (anchor if anchor is not None else np.zeros(2))
        if on_floor and seen.card is not None and floor is not None:
            shift = np.array([shift[0], seen.card[1, 2] - floor])
        matrices.append(np.column_stack([turn, shift]))
    return _alignment(way, both, matrices, placed_by, on_floor, by_hairline=have_lines)


def _line(seen: Seen, names: tuple[str, str]) -> Array | None:
    one, other = seen.mark(names[0]), seen.mark(names[1])
    return None if one is None or other is None else other - one


def _turns_by_lines(both: tuple[Seen, Seen], lines: tuple[Array, Array]) -> list[Array]:
    """Matrices (2, 2) by the line through two hairline marks: level as in the photo that has a card, else as in now."""
    sizes = _sizes_by_lines(both, lines)
    model = 0 if both[0].card is not None and both[1].card is None else 1
    card = both[model].card
    axes = card[:, :2] / _size(card) if card is not None else np.eye(2)
    wanted = axes @ lines[model]
    wanted = wanted / np.linalg.norm(wanted)
    return [_turned(size, line, wanted) for size, line in zip(sizes, lines, strict=True)]


def _sizes_by_lines(both: tuple[Seen, Seen], lines: tuple[Array, Array]) -> list[float]:
    """Millimetres per pixel of both photos: their own, else so that the two marks lie equally far apart."""
    lengths = [float(np.linalg.norm(line)) for line in lines]
    own = [None if seen.px_per_mm is None else 1.0 / seen.px_per_mm for seen in both]
    if own[0] is None and own[1] is None:
        return [1.0, lengths[0] / lengths[1]]
    first = own[0] if own[0] is not None else (own[1] or 1.0) * lengths[1] / lengths[0]
    second = own[1] if own[1] is not None else first * lengths[0] / lengths[1]
    return [first, second]


def _whole_width(seen: Seen) -> float:
    """Without anything to go by both pictures are shown equally wide: px per hundredth of the width."""
    return seen.shot.photo_size[0] / 100.0


def _aligned_soles(both: tuple[Seen, Seen]) -> Alignment | Refusal:
    """Sole views: scale by the plane, turn by the mid-line, place by the frog apex."""
    base = next((names for names in _SOLE_MARKS if all(seen.middle(names) is not None for seen in both)), None)
    apexes = [seen.mark(_APEX) for seen in both]
    placed_by = _APEX if all(apex is not None for apex in apexes) else ""
    lines: list[Array] = []
    for seen, apex in zip(both, apexes, strict=True):
        heel = seen.middle(base) if base is not None else None
        if apex is not None and heel is not None:
            lines.append(apex - heel)
    scaled = all(seen.px_per_mm is not None for seen in both)
    up = np.array([0.0, -1.0])
    sizes = [1.0 / (seen.px_per_mm if scaled and seen.px_per_mm is not None else _whole_width(seen)) for seen in both]
    if len(lines) == 2:
        turns = [_turned(size, line, up) for size, line in zip(sizes, lines, strict=True)]
    elif all(seen.card is not None for seen in both):
        turns = [seen.card[:, :2] for seen in both if seen.card is not None]
    else:
        turns = [np.eye(2) * size for size in sizes]
    matrices = []
    for seen, turn, apex in zip(both, turns, apexes, strict=True):
        anchor = apex if placed_by and apex is not None else (np.array(seen.shot.photo_size) - 1.0) / 2.0
        matrices.append(np.column_stack([turn, -turn @ anchor]))
    way = CARD_PLANE if all(seen.card is not None for seen in both) else NONE
    return _alignment(way, both, matrices, placed_by, False, by_hairline=False)


def _alignment(
    way: str, both: tuple[Seen, Seen], matrices: Sequence[Array], placed_by: str, on_floor: bool, *, by_hairline: bool
) -> Alignment:
    known = [seen.px_per_mm is not None for seen in both]
    has_scale = all(known) or (by_hairline and any(known))
    sizes = [1.0 / _size(matrix) if has_scale else None for matrix in matrices]
    then, now = (rows_of(matrix) for matrix in matrices)
    return Alignment(way, then, now, sizes[0], sizes[1], placed_by, on_floor)


def rows_of(matrix: Array) -> Similarity:
    first, second = ((float(a), float(b), float(c)) for a, b, c in matrix)
    return first, second
