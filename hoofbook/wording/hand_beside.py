"""A hand gauge's number beside that from photos, with the difference."""

from __future__ import annotations

from hoofbook.progress.beside import HandBeside
from hoofbook.terms.quantity import COVERAGE, MEASURES
from hoofbook.wording.numbers import figure, measured, unit_sign
from hoofbook.wording.places import definition_name

LABEL = "By hand gauge"


def gauge_value(beside: HandBeside) -> str:
    """`5.4 mm ± 0.5`; `5.4 mm` where its ± was not told."""
    hand = beside.hand
    return measured(hand.value, None if hand.u is None else COVERAGE * hand.u, MEASURES[hand.measure])


def difference(beside: HandBeside) -> str:
    """`0.6 mm ± 0.7 more than from the wall edge`, `as much as from the wall edge`"""
    unit = MEASURES[beside.hand.measure]
    edge = definition_name(beside.against)
    size = abs(beside.difference)
    if figure(size, 1) == figure(0.0, 1):
        return f"as much as {edge}"
    half = "" if beside.half is None else f" ± {figure(beside.half, 1)}"
    more = "more" if beside.difference > 0 else "less"
    return f"{figure(size, 1)}{unit_sign(unit)}{half} {more} than {edge}"


def row(beside: HandBeside) -> tuple[str, str]:
    """For a list of values: `By hand gauge`, `5.4 mm ± 0.5, 0.6 mm ± 0.7 more than from the wall edge`"""
    by = f", {beside.hand.person}" if beside.hand.person else ""
    return LABEL + by, f"{gauge_value(beside)}, {difference(beside)}"
