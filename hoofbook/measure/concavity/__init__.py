"""Sole concavity from two to five photos of one sole, marked by hand."""

from __future__ import annotations

from hoofbook.measure.concavity.sets import ALL_CODES, measure_set

__all__ = ["ALL_CODES", "measure_set"]
