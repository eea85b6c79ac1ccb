"""From where the photos of a set were taken, whether that is enough, and where to stand for a better one.

Poses are those of the solved set, before there are marks those of the cards (taken as lying still). Directions are told
as whoever held the camera saw them: right and up of the middle photo.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum
from itertools import pairwise

import numpy as np

from hoofbook.measure.concavity.proposing import View, middle_of, views_of
from hoofbook.measure.projection import Array
from hoofbook.terms.measured import Shot

LEAST_TURN_DEG = 6.0  # below, a click error of one pixel makes more than 2 mm of depth
ENOUGH_TURN_DEG = 25.0
WANTED_DEG = 30.0  # the middle of 25 to 35 degrees between neighbours
NEAR_DEG, WIDE_DEG = 18.0, 45.0  # neighbours nearer tell little new, wider apart show too little alike
_TAKEN_WITH_CARD = 4  # corners


class Side(StrEnum):
    LEFT = "left"
    RIGHT = "right"
    HIGHER = "higher"
    LOWER = "lower"


class Verdict(StrEnum):
    """Whether the places of the photos are enough: all is well; it can be measured, with a wider ±; it cannot."""

    GOOD = "good"
    FAIR = "fair"
    REFUSED = "refused"


@dataclass(frozen=True, slots=True)
class Stand:
    """One photo: `at_deg` along the way the photos go round the foot (right or up is positive), from the middle one."""

    key: str
    at_deg: float


@dataclass(frozen=True, slots=True)
class Move:
    """Take a photo `degrees` on to one side of photo `key`: that photo again (`retake`), or one more.

    `to_deg` is its place as in `Stand`, `mm` the way there in a straight line (None where nothing gives a scale).
    """

    key: str
    side: Side
    degrees: float
    to_deg: float
    mm: float | None
    retake: bool


@dataclass(frozen=True, slots=True)
class Stands:
    """`stands` in order along the way, `gaps_deg` between neighbours, `turn_deg` the largest between any two.

    `sideways` False where the photos go up and down the foot rather than round it. `unplaced` = photos of which nothing
    tells where they were taken. `by_marks` False while only the cards tell.
    """

    stands: tuple[Stand, ...]
    gaps_deg: tuple[float, ...]
    turn_deg: float
    sideways: bool
    verdict: Verdict
    moves: tuple[Move, ...]
    unplaced: tuple[str, ...]


def stands_of(shots: Sequence[Shot]) -> Stands | None:
    """Where the photos of one set were taken; None where fewer than two can be placed."""
    if len(shots) < 2:
        return None
    views = _views(shots)
    if len(views) < 2:
        return None
    on_card = all(_has_card(view.shot) for view in views.values())
    middle = middle_of(views, on_card)
    keys = [shot.key for shot in shots if shot.key in views]
    away = np.array([views[key].pose.lens - middle for key in keys])
    distance = float(np.mean(np.linalg.norm(away, axis=1)))
    ways = away / np.linalg.norm(away, axis=1)[:, None]
    between = np.degrees(np.arccos(np.clip(ways @ ways.T, -1.0, 1.0)))
    at, sideways = _along(views[keys[int(np.argmin(between.sum(axis=1)))]], ways)
    order = np.argsort(at)
    stands = tuple(Stand(keys[number], float(at[number])) for number in order)
    gaps = tuple(float(between[one, two]) for one, two in pairwise(order))
    turn = float(between.max())
    moves = _moves(stands, gaps, turn, sideways, distance if on_card else None)
    return Stands(
        stands=stands,
        gaps_deg=gaps,
        turn_deg=turn,
        sideways=sideways,
        verdict=_verdict(gaps, turn),
        moves=moves,
        unplaced=tuple(shot.key for shot in shots if shot.key not in views),
    )


def _has_card(shot: Shot) -> bool:
    return shot.sighting is not None and len(shot.sighting.corners) >= _TAKEN_WITH_CARD


def _views(shots: Sequence[Shot]) -> dict[str, View]:
    """Every photo that can be placed: those solved together, and each further one that its card or marks add."""
    found: dict[str, View] = {}
    for shot in shots:
        if shot.key not in found:
            views, _, _ = views_of(shots, shot)
            found = views if len(views) > len(found) else found
    return found


def _along(middle_photo: View, ways: Array) -> tuple[Array, bool]:
    """Angles (photos,) in degrees along the way the photos go, zero at the middle photo; whether that is sideways."""
    turn = middle_photo.pose.rotation
    right, up, back = ways @ turn[0], -(ways @ turn[1]), -(ways @ turn[2])
    across, along = np.degrees(np.arctan2(right, back)), np.degrees(np.arctan2(up, back))
    sideways = bool(np.ptp(across) >= np.ptp(along))
    return (across if sideways else along), sideways


def _verdict(gaps: Sequence[float], turn: float) -> Verdict:
    if turn < LEAST_TURN_DEG:
        return Verdict.REFUSED
    well_apart = all(NEAR_DEG <= gap <= WIDE_DEG for gap in gaps)
    return Verdict.GOOD if len(gaps) >= 2 and well_apart else Verdict.FAIR


def _moves(
    stands: Sequence[Stand], gaps: Sequence[float], turn: float, sideways: bool, distance: float | None
) -> tuple[Move, ...]:
    """What to take again or add, the most needed first; nothing where all is well."""

    def move(stand: Stand, way: float, degrees: float, *, retake: bool) -> Move:
        side = (Side.RIGHT if way > 0 else Side.LEFT) if sideways else (Side.HIGHER if way > 0 else Side.LOWER)
        mm = None if distance is None else 2.0 * distance * float(np.sin(np.radians(degrees) / 2.0))
        return Move(stand.key, side, degrees, stand.at_deg + way * degrees, mm, retake)

    for number, gap in enumerate(gaps):
        if gap > WIDE_DEG:
            return (move(stands[number], 1.0, gap / 2.0, retake=False),)
    first, last = stands[0], stands[-1]
    found = []
    if len(gaps) == 1:
        if gaps[0] < NEAR_DEG:
            return (move(last, 1.0, WANTED_DEG - gaps[0], retake=True),)
        fewer = -1.0 if abs(first.at_deg) <= abs(last.at_deg) else 1.0
        return (move(first if fewer < 0 else last, fewer, WANTED_DEG, retake=False),)
    if gaps[0] < NEAR_DEG:
        found.append(move(first, -1.0, WANTED_DEG - gaps[0], retake=True))
    if gaps[-1] < NEAR_DEG:
        found.append(move(last, 1.0, WANTED_DEG - gaps[-1], retake=True))
    if turn >= 2.0 * ENOUGH_TURN_DEG:
        return tuple(found[:1])  # wide enough as it is: one of the near ones may be spent better
    return tuple(found)
