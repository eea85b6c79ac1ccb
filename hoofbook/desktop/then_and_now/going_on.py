"""Where one may go on from a pair: to the question whether it could be noise, to a picture for the owner."""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from hoofbook.casework.then_and_now import PairSheet

Where = tuple[str, dict[str, str]]


def to_noise(sheet: PairSheet) -> Where | None:
    """Could the difference of these two photos be noise? Their marks are placed anew in Cycle by cycle."""
    if sheet.noise_of is None or sheet.then is None or sheet.now is None:
        return None
    foot, measure, definition = sheet.noise_of
    where = {"foot": foot, "measure": measure, "definition": definition}
    return "cycle_by_cycle", {**where, "noise_then": sheet.then.key, "noise_now": sheet.now.key}


def to_owner(sheet: PairSheet) -> Where | None:
    """The same two photos as a picture for the owner."""
    if sheet.then is None or sheet.now is None:
        return None
    pair = {"then": sheet.then.key, "now": sheet.now.key}
    return "papers", {"paper": "owner", "foot": sheet.feet.chosen, "view": sheet.views.chosen, **pair}
