"""From the shots of one set to the adjustment's problem: which marks are common, what each lens and card promises."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from hoofbook.measure import priors
from hoofbook.measure.concavity.problem import CARD_MIDDLE, Board, Lens, Problem, Seen
from hoofbook.terms.card import PATTERN_MM
from hoofbook.terms.marks import is_edge
from hoofbook.terms.measured import Shot

TIE = "tie_"  # begins the names of natural points found by matching, never placed by a person
TIE_PX = 0.3  # they are found again to about that, as the distance by which their rays miss each other shows
_LEAST_SPREAD_PX = 0.01
_SURFACE_SHARE = 1.6  # a place on the sole's surface against an edge: harder to find again in the next photo


@dataclass(frozen=True, slots=True)
class Gathered:
    """A problem with the names behind its numbers: `names` of the points, keys of lenses and cards."""

    problem: Problem
    shots: tuple[Shot, ...]
    names: tuple[str, ...]
    lens_keys: tuple[str, ...]
    card_keys: tuple[str, ...]

    def index(self, name: str) -> int | None:
        return self.names.index(name) if name in self.names else None


def spread_px(shot: Shot, name: str) -> float:
    """Standard deviation of placing one mark, one coordinate, in px: as told, else the book's own for an edge, else the
    default of its kind."""
    if name.startswith(TIE):
        return TIE_PX
    if shot.placing_px is not None:
        return max(shot.placing_px, 1e-3)
    edge = priors.placing_px(True, shot.photo_size)
    if shot.placing is not None:
        edge = max(shot.placing.edge * priors.placing_scale(shot.photo_size), 1e-3)
    return edge if is_edge(shot.view, name) else _SURFACE_SHARE * edge


def lens_of_tags(shot: Shot) -> Lens:
    """What is known of a lens beforehand: focal length by its tag, middle of the picture, no distortion."""
    width, height = shot.photo_size
    focal = priors.focal_from_35mm(shot.focal_35mm or priors.FOCAL_UNKNOWN_35MM, shot.photo_size)
    told = priors.FOCAL_EDITED if shot.edited else priors.FOCAL
    centre = max(width, height) * (priors.CENTRE_EDITED if shot.edited else priors.CENTRE)
    k1 = priors.K1_EDITED if shot.edited else priors.K1
    return Lens(
        np.array([math.log(focal), (width - 1) / 2.0, (height - 1) / 2.0, 0.0]),
        np.array([priors.FOCAL_UNKNOWN if shot.focal_35mm is None else told, centre, centre, k1]),
        shot.photo_size,
    )


def board_as_told(shot: Shot) -> Board:
    """The print as the person measured it, or as printed at 100 % and never checked."""
    told = shot.card_size_mm
    size = (1.0, 1.0) if told is None else (told[0] / PATTERN_MM[0], told[1] / PATTERN_MM[1])
    spread = [priors.PRINT_UNCHECKED if told is None else priors.PRINT_TOLD_MM / side for side in PATTERN_MM]
    return Board(np.array([*size, 0.0, 0.0]), np.array([*spread, priors.BOW_MM, priors.BOW_MM]))


def seen_card(shot: Shot) -> Seen:
    """Card corners of one photo, nominal places counted from the pattern's middle."""
    corners = () if shot.sighting is None else shot.sighting.corners
    return Seen(
        np.array([corner.card_mm for corner in corners], dtype=np.float64).reshape(-1, 2) - CARD_MIDDLE,
        np.array([corner.photo_px for corner in corners], dtype=np.float64).reshape(-1, 2),
        np.array([max(corner.spread_px, _LEAST_SPREAD_PX) for corner in corners], dtype=np.float64),
    )


def common_marks(shots: Sequence[Shot], left_out: frozenset[tuple[str, str]] = frozenset()) -> tuple[str, ...]:
    """Names confirmed in two photos or more, in order of first sight; `left_out` holds (photo key, mark)."""
    counts: dict[str, int] = {}
    for shot in shots:
        for name in shot.marking.confirmed:
            if (shot.key, name) not in left_out:
                counts[name] = counts.get(name, 0) + 1
    return tuple(name for name, count in counts.items() if count >= 2)


def gather(shots: Sequence[Shot], left_out: frozenset[tuple[str, str]] = frozenset()) -> Gathered:
    """The problem of these photos: every card taken as lying still on the foot, marks of `left_out` not used."""
    board_names = [(shot.card_key, shot.card_size_mm) for shot in shots]
    prints = list(dict.fromkeys(board_names))
    lens_names = [(shot.lens_key, shot.photo_size, shot.focal_35mm, shot.edited) for shot in shots]
    different = list(dict.fromkeys(lens_names))
    lenses = tuple(lens_of_tags(shots[lens_names.index(each)]) for each in different)
    names = common_marks(shots, left_out)
    numbers = {name: number for number, name in enumerate(names)}
    photo_of, point_of, pixels, spreads = [], [], [], []
    for number, shot in enumerate(shots):
        for name, mark in shot.marking.confirmed.items():
            if name in numbers and (shot.key, name) not in left_out:
                photo_of.append(number)
                point_of.append(numbers[name])
                pixels.append((mark.x, mark.y))
                spreads.append(spread_px(shot, name))
    cards = tuple(seen_card(shot) for shot in shots)
    problem = Problem(
        lenses=lenses,
        lens_of=tuple(different.index(each) for each in lens_names),
        boards=tuple(board_as_told(shots[board_names.index(each)]) for each in prints),
        board_of=tuple(prints.index(each) for each in board_names),
        cards=cards,
        group_of=tuple(0 if len(card.corners) else -1 for card in cards),
        photo_of=np.array(photo_of, dtype=np.int64),
        point_of=np.array(point_of, dtype=np.int64),
        pixels=np.array(pixels, dtype=np.float64).reshape(-1, 2),
        spreads=np.array(spreads, dtype=np.float64),
        points=len(names),
    )
    return Gathered(
        problem, tuple(shots), names, _lens_sources(different, shots, lens_names), tuple(each[0] for each in prints)
    )


def _lens_sources(different: Sequence[object], shots: Sequence[Shot], names: Sequence[object]) -> tuple[str, ...]:
    """Whose error a lens figure is: the lens's, or the photo's own where that was edited."""
    firsts = [shots[names.index(each)] for each in different]
    return tuple(f"photo {shot.key}" if shot.edited else shot.lens_key for shot in firsts)
