"""Does the card stand on the same floor as the hoof? Asked after marking, of what the fit could not explain.

A card that leans on the near wall stands nearer to the lens than told; with the lens h above the floor at distance D
its floor edge then shows low by h z / (D - z) for a card z nearer (similar triangles). That direction is tested by
itself (one sided normal test of the gaps' likelihood ratio, as in any test of one known alternative); the rest by the
chi-square of all ground marks together.
"""

from __future__ import annotations

import math
from collections.abc import Callable

import numpy as np

from hoofbook.measure import priors
from hoofbook.measure.solving import Solved
from hoofbook.terms.refusal import Refusal, Remark
from hoofbook.terms.views import CardPlane, CardStand

ALL_CODES = ("card_and_hoof_not_on_one_floor",)
NEARER_LIMIT = 2.33  # one sided, 1 in 100 of sound photos
ANY_LIMIT = 0.002  # share of sound photos


def believed_or_doubted(solve_as: Callable[[bool], Solved | Refusal]) -> tuple[Solved | Refusal, list[Remark]]:
    """The photo solved as told or, where card and ground marks disagree, with the card's stand and plane in doubt.

    `solve_as(doubted)` solves it. In doubt the ± is wider and the floor is found from the foot's own ground marks. A
    fit that settles nowhere is refused: `measure_not_solved`.
    """
    solved = solve_as(False)
    remarks = [] if isinstance(solved, Refusal) else floor_remarks(solved)
    if remarks:
        solved = solve_as(True)
    if isinstance(solved, Solved) and not solved.result.converged:
        return Refusal("measure_not_solved"), remarks
    return solved, remarks


def floor_remarks(solved: Solved) -> list[Remark]:
    """`card_and_hoof_not_on_one_floor` where card and ground marks disagree; empty where it cannot be asked."""
    shot, result = solved.shot, solved.result
    rows = [i for i, name in enumerate(solved.gap_names) if name.startswith("floor at ")]
    if solved.fit is None or shot.card_stands_on is not CardStand.FLOOR or not rows:
        return []
    gaps, spread = result.surprise[rows], result.surprise_spread[np.ix_(rows, rows)]
    weighed = np.linalg.solve(spread, gaps)
    off_mm = float(np.mean(gaps)) * priors.FLOOR_MM
    facts = {"off_mm": round(off_mm, 1)}
    if shot.card_plane is CardPlane.MID_LINE:
        column = solved.scene.inputs.source(f"photo {shot.key} card offset")
        expected = -result.source_effect[rows, column] * (priors.NEAR_WALL_MM / priors.OFFSET_MID_LINE_MM)
        size = math.sqrt(float(expected @ np.linalg.solve(spread, expected)))
        if size > 0.0 and float(expected @ weighed) / size > NEARER_LIMIT:
            return [Remark("card_and_hoof_not_on_one_floor", facts)]
    if _beyond(float(gaps @ weighed), len(rows)):
        return [Remark("card_and_hoof_not_on_one_floor", facts)]
    return []


def _beyond(square: float, degrees: int) -> bool:
    """True where a chi-square of 1 or 2 degrees of freedom is larger than ANY_LIMIT of sound photos would show."""
    share = math.erfc(math.sqrt(square / 2.0)) if degrees == 1 else math.exp(-square / 2.0)
    return share < ANY_LIMIT
