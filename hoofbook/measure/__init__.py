"""Marks and cameras into quantities with uncertainty, each with its drawing, or a refusal."""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from hoofbook.terms.measured import Measured, Shot


def measure_shot(shot: Shot) -> Measured:
    """Every measure that one photo allows by itself, by its view; refusals for those that cannot be had.

    Sets of sole photos are measured together by `hoofbook.measure.concavity.measure_set`.
    """
    from hoofbook.measure.single import measure_single

    return measure_single(shot)
