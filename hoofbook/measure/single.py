"""One photo to its measures: the view decides which module measures it."""

from __future__ import annotations

from hoofbook.measure.lateral import measure_lateral
from hoofbook.terms.measured import Measured, Shot
from hoofbook.terms.views import Grade, View


def measure_single(shot: Shot) -> Measured:
    """Every measure of one photo; a view that is never measured comes back as a picture only."""
    if shot.view is View.LATERAL:
        return measure_lateral(shot)
    return Measured(grades={shot.key: Grade.PICTURE_ONLY})
