"""The whole surface of a sole from a solved set and the shifts between its photos: ties, depths, their uncertainty.

Whoever has the pixels goes round: draw the photos onto a guessed surface, find the shifts, `fused` makes the next
guess. Between the first and second round `with_ties` turns the best shifts into further points of the adjustment.
`finished` adds what each depth is worth and which cells are not to be believed.

Uncertainty of a cell (JCGM 100:2008, 5.1; JCGM 101 for the cameras):
- matching: two true rays meet, so the distance by which found ones miss each other is matching error across the line
  of search; along it, where it becomes depth, it is taken as large;
- a second matcher (correlation over a sweep of surfaces) may put the surface elsewhere: half the difference;
- a depth may belong to a place a little aside: on a slope that counts;
- lenses, poses, card and the plane through the marked edge move together: the same shifts are met again with draws
  from the covariance of the adjustment.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace

import numpy as np
from scipy import ndimage

from hoofbook.measure.concavity.gathering import TIE
from hoofbook.measure.concavity.measures import APEX, Shape
from hoofbook.measure.concavity.planes import plane_through
from hoofbook.measure.concavity.solving import Solved
from hoofbook.measure.concavity.surface import (
    Flags,
    Grid,
    PairDepth,
    central_photo,
    meeting,
    named,
    outline_flags,
    outside_of,
    places,
    sole_corners,
)
from hoofbook.measure.projection import Array, rays
from hoofbook.terms.marks import Mark
from hoofbook.terms.measured import Shot
from hoofbook.terms.quantity import Definition
from hoofbook.terms.refusal import Refusal
from hoofbook.terms.sole_shape import Map, ShiftField, SoleShape

ALL_CODES = ("sole_not_seen_enough", "frog_apex_missing")
TIES = 99
TIE_EVERY_MM = 6.0
TIE_UNSURE_PX = 0.3
OFF_THE_EDGE_MM = 3.0
LEAST_COMPLETE = 0.6  # of the sole's cells; below, a map would be a guess with holes
OUT_STEP_MM = 0.5
SMOOTH_MM = 0.9  # standard deviation of the bell that evens the depths out: finer than a groove, coarser than grain
GAP_MM = 0.6
FROM_MIDDLE_MM = 0.5
SWEEP_MM: tuple[float, ...] = tuple(round(0.15 * number, 2) for number in range(-7, 8))
LEAST_ALIKE = 0.3
MOST_APART_MM = 0.8
MAJORITY_MM = 1.5  # a cell is believed where most of those around it are
_LOCAL_MM = 2.5
ASIDE_MM = 0.3  # how far aside of its place a depth may be read, evened out as it is
_DRAWS = 32
_COARSE_MM = 5.0
_SEED = 20250114
GROOVE_MM = 7.0  # a frog's grooves lie within this of the lines from its point to its base


def with_ties(
    shots: Sequence[Shot], shape: Shape, grid: Grid, shifts: Mapping[int, ShiftField], strength: Map
) -> tuple[Shot, ...]:
    """The shots with natural points of the sole as further marks `tie_01`...

    All photos were drawn onto the plane; `shifts` go from the central photo to each other one; `strength`
    (rows, columns) says how well a spot can be told from its neighbours. The best spot of every 6 mm is taken where
    all photos agree there and back.
    """
    solved = shape.solved
    centre, points = central_photo(solved), grid.points(grid.flat())
    kept = outline_flags(grid, sole_corners(shape, grid)) & _off_the_edge(shape, grid)
    rows, columns = np.indices(grid.shape, dtype=np.float64)
    found = {centre: places(solved, centre, points)}
    for photo, shift in shifts.items():
        kept &= shift.unsure < TIE_UNSURE_PX
        there = places(solved, photo, points)
        found[photo] = np.stack(
            [
                ndimage.map_coordinates(there[..., k], [rows + shift.down, columns + shift.across], order=1)
                for k in (0, 1)
            ],
            axis=-1,
        )
    chosen = _best_of_blocks(np.where(kept, strength, 0.0), max(1, round(TIE_EVERY_MM / grid.step)))
    by_key = {shot.key: number for number, shot in enumerate(solved.gathered.shots)}
    tied = []
    for shot in shots:
        number = by_key.get(shot.key)
        if number in found:
            marking = shot.marking
            for name, (row, column) in enumerate(chosen, 1):
                x, y = found[number][row, column]
                marking = marking.with_mark(f"{TIE}{name:02d}", Mark(float(x), float(y)))
            tied.append(replace(shot, marking=marking))
        else:
            tied.append(shot)
    return tuple(tied)


def _off_the_edge(shape: Shape, grid: Grid) -> Flags:
    corners = sole_corners(shape, grid)
    middle = corners.mean(axis=0)
    reach = np.linalg.norm(corners - middle, axis=1, keepdims=True)
    return outline_flags(grid, middle + (corners - middle) * (1.0 - OFF_THE_EDGE_MM / reach))


def _best_of_blocks(strength: Array, side: int) -> list[tuple[int, int]]:
    found = []
    for row in range(0, strength.shape[0], side):
        for column in range(0, strength.shape[1], side):
            block = strength[row : row + side, column : column + side]
            place = int(np.argmax(block))
            down, across = divmod(place, block.shape[1])
            if block[down, across] > 0:
                found.append((float(block[down, across]), row + down, column + across))
    found.sort(reverse=True)
    return [(row, column) for _, row, column in found[:TIES]]


@dataclass(frozen=True, slots=True, eq=False)
class Fused:
    """All pairs together, each (rows, columns): `depth` in mm filled and evened out, `seen` where a pair was believed,
    `noise` the standard uncertainty in mm that the missing rays tell."""

    depth: Array
    seen: Flags
    noise: Array


def fused(grid: Grid, guess: Array, pairs: Sequence[PairDepth], photos: int) -> Fused:
    """One surface from the pairs: mean of those near the median, weighted by what a mm of depth moves (squared)."""
    depth = np.stack([pair.depth for pair in pairs])
    weight = np.stack([np.where(pair.kept & (pair.gap < GAP_MM), pair.slope**2, 0.0) for pair in pairs])
    masked = np.where(weight > 0, depth, np.nan)
    anything = (weight > 0).any(axis=0)
    middle = np.full(grid.shape, np.nan)
    middle[anything] = np.nanmedian(masked[:, anything], axis=0)
    weight = np.where(np.abs(depth - np.where(anything, middle, 0.0)) < FROM_MIDDLE_MM, weight, 0.0)
    total = weight.sum(axis=0)
    seen = total > 0
    mean = np.where(seen, (weight * depth).sum(axis=0) / np.maximum(total, 1e-12), 0.0)
    local = _LOCAL_MM / grid.step
    missed = np.stack([(pair.gap / (pair.slope * grid.step)) ** 2 for pair in pairs])
    here = np.where(seen, (weight * missed).sum(axis=0) / np.maximum(total, 1e-12), 0.0)
    share = ndimage.gaussian_filter(seen.astype(float), local)
    noise = np.sqrt(ndimage.gaussian_filter(here, local) / np.maximum(share, 1e-3) / max(photos - 1, 1))
    return Fused(_evened(grid, guess, mean, seen), seen, noise)


def _evened(grid: Grid, guess: Array, depth: Array, seen: Flags) -> Array:
    """Depths evened out by a bell of `SMOOTH_MM`, holes filled from their neighbours and far from any by the guess."""
    wide = SMOOTH_MM / grid.step
    share = ndimage.gaussian_filter(seen.astype(float), wide)
    even = ndimage.gaussian_filter(np.where(seen, depth, 0.0), wide) / np.maximum(share, 1e-6)
    broad = ndimage.gaussian_filter(seen.astype(float), 4 * wide)
    filled = ndimage.gaussian_filter(np.where(seen, depth, 0.0), 4 * wide) / np.maximum(broad, 1e-6)
    return np.where(share > 0.1, even, np.where(broad > 1e-3, filled, guess))


def sweep_places(solved: Solved, photo: int, grid: Grid, guess: Array) -> Iterator[Array]:
    """Pixels (rows, columns, 2) of the surfaces of the sweep in one photo, `SWEEP_MM` deeper than the guess.

    Over a millimetre or two a place moves evenly with depth: two projections are enough (to a thousandth of a px).
    """
    first, last = (places(solved, photo, grid.points(guess + deeper)) for deeper in (SWEEP_MM[0], SWEEP_MM[-1]))
    for deeper in SWEEP_MM:
        share = (deeper - SWEEP_MM[0]) / (SWEEP_MM[-1] - SWEEP_MM[0])
        yield first + share * (last - first)


def swept(layers: Sequence[Sequence[Map]]) -> tuple[Array, Array]:
    """Where on a sweep of surfaces (`SWEEP_MM` deeper than the guess) the photos look most alike.

    `layers` hold for each surface the likeness (rows, columns) of every pair. Returns how much deeper, in mm (top of
    the parabola through the best and its neighbours; nan at either end), and the best likeness.
    """
    alike = np.stack([np.mean(layer, axis=0, dtype=np.float64) for layer in layers])
    best = np.argmax(alike, axis=0)
    inner = np.clip(best, 1, len(SWEEP_MM) - 2)
    before, here, after = (np.take_along_axis(alike, (inner + k)[None], 0)[0] for k in (-1, 0, 1))
    bend = before - 2 * here + after
    beside = np.where(bend < 0, 0.5 * (before - after) / np.where(bend < 0, bend, 1.0), 0.0)
    step = SWEEP_MM[1] - SWEEP_MM[0]
    deeper = np.asarray(SWEEP_MM)[inner] + step * np.clip(beside, -1.0, 1.0)
    return np.where(best == inner, deeper, np.nan), np.take_along_axis(alike, best[None], 0)[0]


def finished(
    shape: Shape, grid: Grid, found: Fused, deeper: Array, alike: Array, *, size_share: float = 0.0
) -> SoleShape | Refusal:
    """The map in cells of half a millimetre, or why there is none; `size_share` = relative u of a told size.

    Refused: `sole_not_seen_enough` (facts `share`, `needed`), `frog_apex_missing`.
    """
    apex = named(shape, (APEX,))
    if apex is None:
        return Refusal("frog_apex_missing", {})
    asked = outline_flags(grid, sole_corners(shape, grid)) & ~_frog(shape, grid)
    agrees = np.abs(np.where(np.isfinite(deeper), deeper, np.inf)) < MOST_APART_MM
    good = found.seen & agrees & (alike > LEAST_ALIKE)
    good = ndimage.uniform_filter(good.astype(float), max(1, round(MAJORITY_MM / grid.step))) > 0.5
    depths = _depths(shape, grid, found.depth)
    second = _second_opinion(grid, good, deeper)
    u = _uncertainties(shape, grid, found, depths, second=second, size_share=size_share)
    coarse = grid.finer(OUT_STEP_MM)
    measured, inside = (coarse.taken_over(grid, flags.astype(float)) > 0.5 for flags in (good, asked))
    share = float((measured & inside).sum() / max(int(inside.sum()), 1))
    if share < LEAST_COMPLETE:
        return Refusal("sole_not_seen_enough", {"share": share, "needed": LEAST_COMPLETE})
    shown = measured & inside
    place = grid.local(apex)[0]
    kept = {
        (name, by): np.where(shown, coarse.taken_over(grid, values[by]), np.nan).astype(np.float32)
        for name, values in (("depth", depths), ("u", u))
        for by in values
    }
    return SoleShape(
        depth=kept["depth", Definition.FROM_SOLE_EDGE],
        u=kept["u", Definition.FROM_SOLE_EDGE],
        inside=inside,
        step=OUT_STEP_MM,
        first=(float(coarse.first[0] - place[0]), float(coarse.first[1] - place[1])),
        completeness=share,
        toward_lateral=outside_of(shape, grid),
        from_wall=kept.get(("depth", Definition.FROM_WALL_EDGE)),
        u_from_wall=kept.get(("u", Definition.FROM_WALL_EDGE)),
    )


def _second_opinion(grid: Grid, good: Array, deeper: Array) -> Array:
    """Mean square (mm²) of what the second matcher differs by, near every cell."""
    near = _LOCAL_MM / grid.step
    squares = ndimage.gaussian_filter(np.where(good, np.nan_to_num(deeper) ** 2, 0.0), near)
    return np.asarray(squares / np.maximum(ndimage.gaussian_filter(good.astype(float), near), 1e-3), np.float64)


def _uncertainties(
    shape: Shape, grid: Grid, found: Fused, depths: Mapping[Definition, Array], *, second: Array, size_share: float
) -> dict[Definition, Array]:
    """u (mm) of every cell: its own noise, half of what the second matcher differs by, a place off to the side on a
    slope, the frame, the choice of edge points, a told size."""
    frame = _frame_uncertainty(shape, grid, found.depth)
    steep = np.hypot(*np.gradient(found.depth, grid.step))
    own = found.noise**2 + second / 4.0 + (ASIDE_MM * steep) ** 2
    choice = {by: _by_choice(shape, grid, found.depth, by, depths[by]) for by in depths}
    return {by: np.sqrt(own + frame[by] ** 2 + choice[by] + (size_share * depths[by]) ** 2) for by in depths}


def _depths(shape: Shape, grid: Grid, depth: Array) -> dict[Definition, Array]:
    """Depths (rows, columns) in mm of the surface `depth` from the plane of each edge that was marked."""
    found = {Definition.FROM_SOLE_EDGE: depth}
    if Definition.FROM_WALL_EDGE in shape.planes:
        middle, normal = shape.plane(Definition.FROM_WALL_EDGE, shape.solved.state.points)
        found[Definition.FROM_WALL_EDGE] = (grid.points(depth) - middle) @ normal
    return found


def _frog(shape: Shape, grid: Grid) -> Flags:
    """Cells of the frog and its grooves: from its point to its base where that is marked, else nothing."""
    base = named(shape, ("frog_base_medial", "frog_base_lateral"))
    apex = named(shape, (APEX,))
    if base is None or apex is None:
        return np.zeros(grid.shape, dtype=bool)
    tip, sides = grid.local(apex)[0, :2], grid.local(base)[:, :2]
    corners = [tip]
    for side in sorted(sides, key=lambda place: float(place[1] - tip[1])):
        way = (side - tip) / np.linalg.norm(side - tip)
        outward = np.array([0.0, GROOVE_MM if side[1] > tip[1] else -GROOVE_MM])
        line = [tip + 2 * GROOVE_MM * way + outward, side + outward, side + (side - tip) + outward]
        corners = [*corners, *line] if side[1] < tip[1] else [*corners, *reversed(line)]  # it runs on behind its base
    return outline_flags(grid, np.stack(corners))


def _by_choice(shape: Shape, grid: Grid, depth: Array, by: Definition, depths: Array) -> Array:
    """Square of what the choice of the edge's points leaves open, (rows, columns), mm2: of planes nearly as likely."""
    square, points = np.zeros(grid.shape), grid.points(depth)
    for chance, rival in shape.rivals(by):
        middle, normal = rival.plane(by, shape.solved.state.points)
        square += chance * ((points - middle) @ normal - depths) ** 2
    return square


def _frame_uncertainty(shape: Shape, grid: Grid, depth: Array) -> dict[Definition, Array]:
    """What lenses, poses, card and edge plane leave open, (rows, columns) in mm for the depths from each edge: the same
    shifts met with draws.

    On cells 5 mm apart; a draw moves all unknowns at once by their covariance, so what is shared stays shared.
    """
    solved = shape.solved
    coarse = grid.finer(_COARSE_MM)
    points = coarse.points(coarse.taken_over(grid, depth))
    seen = [places(solved, photo, points) for photo in range(solved.problem.photos)]
    root = _root(solved.covariance)
    random = np.random.default_rng(_SEED)
    edges = {by: (shape.numbers(plane.kept), np.array(plane.weights)) for by, plane in shape.planes.items()}
    pairs = _wide_pairs(solved)
    found: dict[Definition, list[Array]] = {by: [] for by in edges}
    for _ in range(_DRAWS):
        state = solved.state.moved(solved.problem, root @ random.standard_normal(root.shape[1]))
        moved = replace(solved, state=state)
        met = np.mean([_met(moved, pair, seen) for pair in pairs], axis=0)
        for by, (kept, weights) in edges.items():
            middle, normal = plane_through(state.points[kept], grid.axes[2], weights)
            found[by].append((met - middle) @ normal)
    return {by: grid.taken_over(coarse, np.std(each, axis=0, ddof=1)) for by, each in found.items()}


def _root(covariance: Array) -> Array:
    values, vectors = np.linalg.eigh(covariance)
    return np.asarray(vectors * np.sqrt(np.maximum(values, 0.0)))


def _wide_pairs(solved: Solved) -> list[tuple[int, int]]:
    count = solved.problem.photos
    return [(one, two) for one in range(count) for two in range(one + 1, count)]


def _met(solved: Solved, pair: tuple[int, int], seen: Sequence[Array]) -> Array:
    """Where the rays of two photos through the pixels seen pass nearest, (..., 3) frame foot."""
    ends = []
    for photo in pair:
        camera, pose = solved.state.camera(solved.problem, photo), solved.state.pose(photo)
        ends.append((pose.lens, pose.to_world(rays(seen[photo], camera))))
    return meeting(ends[0][0], ends[0][1], ends[1][0], ends[1][1])[0]
