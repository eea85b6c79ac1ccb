"""The dense shape of a sole: photos of one set drawn onto a guessed surface, compared, measured again, in rounds."""

from __future__ import annotations

from collections.abc import Generator, Mapping, Sequence
from dataclasses import dataclass
from itertools import combinations
from pathlib import Path

from hoofbook.housekeeping.child import in_child
from hoofbook.imaging.shifts import Grey, corner_strength, likeness, resampled, shift_fields
from hoofbook.measure.concavity.axes import turn_between
from hoofbook.measure.concavity.dense import finished, fused, sweep_places, swept, with_ties
from hoofbook.measure.concavity.map_measures import map_quantities
from hoofbook.measure.concavity.measures import Shape, shape_of
from hoofbook.measure.concavity.scaled import in_millimetres
from hoofbook.measure.concavity.solving import Solved, solve
from hoofbook.measure.concavity.stands import ENOUGH_TURN_DEG, LEAST_TURN_DEG
from hoofbook.measure.concavity.surface import (
    Grid,
    PairDepth,
    central_photo,
    depth_of_pair,
    finest_step,
    grid_of,
    places,
)
from hoofbook.measure.projection import Array
from hoofbook.terms.measured import Shot
from hoofbook.terms.quantity import Quantity
from hoofbook.terms.refusal import Refusal
from hoofbook.terms.shown import Step
from hoofbook.terms.sole_shape import Map, SoleShape
from hoofbook.wording.measures import WHOLE_SOLE

FIRST_STEP_MM = 0.4


@dataclass(frozen=True, slots=True)
class DenseResult:
    """The map of one set with the measures read off it."""

    sole: SoleShape
    quantities: tuple[Quantity, ...]
    refusals: tuple[Refusal, ...]


def dense_in_child(shots: Sequence[Shot], files: Mapping[str, Path]) -> Generator[Step, None, DenseResult | Refusal]:
    """As `dense_of`, in a process of its own: closing the generator stops it."""
    return (yield from in_child(dense_of, tuple(shots), dict(files), beat=Step(0, STEPS, WHOLE_SOLE)))


def dense_of(shots: Sequence[Shot], files: Mapping[str, Path]) -> Generator[Step, None, DenseResult | Refusal]:
    """The map of the sole in the photos of one set, `files` by `Shot.key`, and what is read off it.

    Refuses what reading a photo and `sole_shape` refuse.
    """
    from hoofbook.imaging.pixels import open_grey

    greys: dict[str, Grey] = {}
    for shot in shots:
        grey = open_grey(files[shot.key])
        if isinstance(grey, Refusal):
            return grey
        greys[shot.key] = grey
    found = yield from sole_shape(shots, greys)
    if isinstance(found, Refusal):
        return found
    sole, shape = found
    photos = tuple(shot.key for shot in shape.solved.gathered.shots)
    return DenseResult(sole, *map_quantities(sole, photos))


ROUNDS = 3
STEPS = ROUNDS + 3


def sole_shape(
    shots: Sequence[Shot], greys: Mapping[str, Grey]
) -> Generator[Step, None, tuple[SoleShape, Shape] | Refusal]:
    """The surface of the sole in the photos of one set; `greys` by `Shot.key`, frame photo (upright).

    Refuses photos from one place (`too_little_turn`), and what `solve`, `in_millimetres`, `grid_of` and `finished`
    refuse.
    """
    yield Step(0, STEPS, WHOLE_SOLE)
    sized = _sized(shots)
    if isinstance(sized, Refusal):
        return sized
    shape = shape_of(sized[0])
    grid = grid_of(shape, FIRST_STEP_MM)
    if isinstance(grid, Refusal):
        return grid
    tied = _tied(shots, shape, grid, greys)
    yield Step(1, STEPS, WHOLE_SOLE)
    again = _sized(tied)
    if isinstance(again, Refusal):
        if again.code == "scale_lost":  # natural points see a card slip that marks alone could not
            return again
    else:
        sized, shape = again, shape_of(again[0])
    grid = grid_of(shape, FIRST_STEP_MM)
    if isinstance(grid, Refusal):
        return grid
    guess = grid.flat()
    yield Step(2, STEPS, WHOLE_SOLE)
    for number in range(ROUNDS):
        if number == ROUNDS - 1:  # the finest cells cost most and find what little is left
            finer = grid.finer(finest_step(shape.solved))
            guess, grid = finer.taken_over(grid, guess), finer
        found = fused(grid, guess, _pairs(shape, grid, guess, greys), shape.solved.problem.photos)
        guess = found.depth
        yield Step(3 + number, STEPS, WHOLE_SOLE)
    deeper, alike = swept(_sweep(shape, grid, guess, greys))
    result = finished(shape, grid, found, deeper, alike, size_share=sized[1])
    yield Step(STEPS, STEPS, WHOLE_SOLE)
    return result if isinstance(result, Refusal) else (result, shape)


def _sized(shots: Sequence[Shot]) -> tuple[Solved, float] | Refusal:
    solved = solve(shots)
    if isinstance(solved, Refusal):
        return solved
    turn = turn_between(solved)
    if turn < LEAST_TURN_DEG:
        return Refusal("too_little_turn", {"turn_deg": turn, "wanted_deg": ENOUGH_TURN_DEG})
    return in_millimetres(solved)


def _drawn(shape: Shape, grid: Grid, depth: Array, greys: Mapping[str, Grey]) -> list[Grey]:
    points, solved = grid.points(depth), shape.solved
    return [
        resampled(greys[shot.key], places(solved, photo, points)) for photo, shot in enumerate(solved.gathered.shots)
    ]


def _pairs(shape: Shape, grid: Grid, guess: Array, greys: Mapping[str, Grey]) -> list[PairDepth]:
    drawn, found = _drawn(shape, grid, guess, greys), []
    for one, two in combinations(range(len(drawn)), 2):
        there, back = shift_fields(drawn[one], drawn[two])
        for pair, field in (((one, two), there), ((two, one), back)):
            found.append(depth_of_pair(shape.solved, grid, guess, pair, field))
    return found


def _tied(shots: Sequence[Shot], shape: Shape, grid: Grid, greys: Mapping[str, Grey]) -> tuple[Shot, ...]:
    drawn, centre = _drawn(shape, grid, grid.flat(), greys), central_photo(shape.solved)
    shifts = {photo: shift_fields(drawn[centre], picture)[0] for photo, picture in enumerate(drawn) if photo != centre}
    return with_ties(shots, shape, grid, shifts, corner_strength(drawn[centre]))


def _sweep(shape: Shape, grid: Grid, guess: Array, greys: Mapping[str, Grey]) -> list[list[Map]]:
    solved = shape.solved
    ways = [sweep_places(solved, photo, grid, guess) for photo in range(solved.problem.photos)]
    layers = []
    for spots in zip(*ways, strict=True):
        drawn = [resampled(greys[shot.key], at) for shot, at in zip(solved.gathered.shots, spots, strict=True)]
        layers.append([likeness(one, two) for one, two in combinations(drawn, 2)])
    return layers
