"""A number read by hand beside one from photos, of the same foot, visit and moment: their difference, never a mix."""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass

from hoofbook.progress.series import HAND, Reading
from hoofbook.terms.quantity import COVERAGE, Definition, Quantity

_AT_APEX = ("sole_concavity_at_frog_apex", "whole_sole_concavity_at_frog_apex")


@dataclass(frozen=True, slots=True)
class HandBeside:
    """`difference` = the hand's less the other, in the measure's unit; `half` of its 95 % interval, None where the
    hand's own u is not known. `against` = the edge from which the other was taken."""

    hand: Reading
    other: float
    against: Definition
    difference: float
    half: float | None


def hand_readings(readings: Iterable[Reading], like: Reading) -> tuple[Reading, ...]:
    """What was read by hand at the place of a sole concavity from photos, of one foot, visit and moment."""
    if like.measure not in _AT_APEX:
        return ()
    return tuple(
        reading
        for reading in readings
        if reading.measure in _AT_APEX
        and reading.method == HAND
        and (reading.foot, reading.moment) == (like.foot, like.moment)
        and _same_visit(reading, like)
    )


def _same_visit(one: Reading, other: Reading) -> bool:
    return one.visit == other.visit if one.visit and other.visit else one.day == other.day


def edge_of_hand(hand: Reading, had: Iterable[Definition]) -> Definition | None:
    """From which edge a value must be taken to stand beside what the hand read: as it was told, else the wall's, on
    which a gauge's bar lies; the sole's where there is no other."""
    there = tuple(had)
    asked = (hand.definition, Definition.FROM_WALL_EDGE, Definition.FROM_SOLE_EDGE)
    if hand.definition is Definition.FROM_SOLE_EDGE:
        asked = (hand.definition,) * 3
    return next((definition for definition in asked if definition in there), None)


def beside(hand: Reading, others: Iterable[Reading | Quantity]) -> HandBeside | None:
    """The hand's reading beside the one of `others` (of one place, by several definitions) that is taken alike."""
    by = {other.definition: other for other in others}
    edge = edge_of_hand(hand, by)
    if edge is None:
        return None
    other = by[edge]
    u = None if hand.u is None or other.u is None else math.hypot(hand.u, other.u)
    return HandBeside(hand, other.value, edge, hand.value - other.value, None if u is None else COVERAGE * u)
