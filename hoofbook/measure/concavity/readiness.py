"""What the photos of a set still lack before the whole sole can be measured from them."""

from __future__ import annotations

from collections.abc import Sequence

from hoofbook.measure.concavity.axes import foot_axes, turn_between
from hoofbook.measure.concavity.gathering import common_marks
from hoofbook.measure.concavity.measures import APEX, WANTS_THREE, shape_of
from hoofbook.measure.concavity.planes import FEWEST
from hoofbook.measure.concavity.scaled import in_millimetres
from hoofbook.measure.concavity.solving import solve
from hoofbook.measure.concavity.stands import ENOUGH_TURN_DEG, LEAST_TURN_DEG
from hoofbook.terms.marks import mark_group
from hoofbook.terms.measured import Shot
from hoofbook.terms.refusal import Refusal

SOLE_EDGE = "sole_edge"


def missing_for_map(shots: Sequence[Shot], *, marks_alone: bool = False) -> tuple[Refusal, ...]:
    """What to mark, or to take again, before the whole sole can be measured; nothing where it can be tried.

    Enough are three places of the sole edge and the frog apex, each in two photos; with three of the wall edge more of
    the sole is outlined. Takes a solve once the marks are there, unless `marks_alone`. Codes: those of `solve`,
    `too_little_turn`, `scale_lost`, `toe_not_known` and the missing marks of `measure_set`.
    """
    if sum(bool(shot.marking.confirmed) for shot in shots) < 2:
        return (Refusal("set_needs_two_photos", {"photos": len(shots)}),)
    common = common_marks(shots)
    edge = sum(mark_group(name) == SOLE_EDGE for name in common)
    missing = []
    if edge < FEWEST:
        missing.append(Refusal(WANTS_THREE[SOLE_EDGE], {"found": edge, "needed": FEWEST}))
    if APEX not in common:
        missing.append(Refusal("frog_apex_missing", {}))
    if missing or marks_alone:
        return tuple(missing)
    return _from_solved(shots)


def _from_solved(shots: Sequence[Shot]) -> tuple[Refusal, ...]:
    solved = solve(shots)
    if isinstance(solved, Refusal):
        return (solved,)
    turn = turn_between(solved)
    if turn < LEAST_TURN_DEG:
        return (Refusal("too_little_turn", {"turn_deg": turn, "wanted_deg": ENOUGH_TURN_DEG}),)
    sized = in_millimetres(solved)
    if isinstance(sized, Refusal):
        return (Refusal(sized.code, sized.facts),)
    if foot_axes(shape_of(solved)) is None:
        return (Refusal("toe_not_known", {}),)
    return ()
