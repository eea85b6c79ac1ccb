"""Sole concavity from two to five photos of one sole, marked by hand."""

from __future__ import annotations

from hoofbook.measure.concavity.epipolar import SeenAlong, epipolar_lines
from hoofbook.measure.concavity.expecting import Expected, expected_u
from hoofbook.measure.concavity.proposing import Proposal, propose
from hoofbook.measure.concavity.sets import ALL_CODES, SECTION, measure_set

__all__ = [
    "ALL_CODES",
    "SECTION",
    "Expected",
    "Proposal",
    "SeenAlong",
    "epipolar_lines",
    "expected_u",
    "measure_set",
    "propose",
]
