"""What the photos of a set still lack before the whole sole can be measured from them."""

from __future__ import annotations

from collections.abc import Sequence

from hoofbook.measure.concavity.axes import FEWEST_ROUND, turn_between
from hoofbook.measure.concavity.gathering import common_marks
from hoofbook.measure.concavity.measures import APEX, WANTS_THREE
from hoofbook.measure.concavity.planes import FEWEST
from hoofbook.measure.concavity.solving import solve
from hoofbook.measure.concavity.stands import ENOUGH_TURN_DEG, LEAST_TURN_DEG
from hoofbook.terms.marks import mark_group
from hoofbook.terms.measured import Shot
from hoofbook.terms.refusal import Refusal

HEELS = ("heel_medial", "heel_lateral")


def missing_for_map(shots: Sequence[Shot]) -> tuple[Refusal, ...]:
    """What to mark, or to take again, before the whole sole can be measured; nothing where it can be tried.

    Enough are three places of the wall edge, three of the sole edge and the frog apex, each in two photos. Takes a
    solve once the marks are there. Codes: those of `solve`, `too_little_turn` and the missing marks of `measure_set`.
    """
    if sum(bool(shot.marking.confirmed) for shot in shots) < 2:
        return (Refusal("set_needs_two_photos", {"photos": len(shots)}),)
    common = common_marks(shots)
    counts = {group: sum(mark_group(name) == group for name in common) for group in WANTS_THREE}
    missing = []
    if counts["sole_edge"] < FEWEST:
        missing.append(Refusal(WANTS_THREE["sole_edge"], {"found": counts["sole_edge"], "needed": FEWEST}))
    toe_told = set(HEELS) <= set(common) or max(counts.values()) >= FEWEST_ROUND
    if counts["rim"] < FEWEST and not toe_told:
        missing.append(Refusal(WANTS_THREE["rim"], {"found": counts["rim"], "needed": FEWEST}))
    if APEX not in common:
        missing.append(Refusal("frog_apex_missing", {}))
    return tuple(missing) or _from_solved(shots)


def _from_solved(shots: Sequence[Shot]) -> tuple[Refusal, ...]:
    solved = solve(shots)
    if isinstance(solved, Refusal):
        return (solved,)
    turn = turn_between(solved)
    if turn < LEAST_TURN_DEG:
        return (Refusal("too_little_turn", {"turn_deg": turn, "wanted_deg": ENOUGH_TURN_DEG}),)
    return ()
