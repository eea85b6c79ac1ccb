"""One photo to its measures: the view decides which module measures it."""

from __future__ import annotations

from collections.abc import Callable, Mapping

from hoofbook.measure.along_sole import measure_along
from hoofbook.measure.dorsal import measure_front
from hoofbook.measure.lateral import measure_lateral
from hoofbook.measure.solar import measure_sole
from hoofbook.terms.measured import Measured, Shot
from hoofbook.terms.views import Grade, View

_BY_VIEW: Mapping[View, Callable[[Shot], Measured]] = {
    View.LATERAL: measure_lateral,
    View.DORSAL: measure_front,
    View.PALMAR: measure_front,
    View.PLANTAR: measure_front,
    View.SOLAR: measure_sole,
    View.ALONG_SOLE: measure_along,
}


def measure_single(shot: Shot) -> Measured:
    """Every measure of one photo; a view that is never measured comes back as a picture only."""
    measure = _BY_VIEW.get(shot.view)
    return Measured(grades={shot.key: Grade.PICTURE_ONLY}) if measure is None else measure(shot)
