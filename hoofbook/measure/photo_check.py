"""The second stage of the photo check: what only shows after marking."""

from __future__ import annotations

from hoofbook.terms.measured import Measured, ScaleSource, Shot
from hoofbook.terms.refusal import Remark
from hoofbook.terms.views import View

METHOD = "photo check 1"
ALL_CODES = (
    "card_and_hoof_not_on_one_floor",
    "toe_points_wrong_way",
    "focal_contradicted_by_card",
    "card_bent",
    "card_misfit",
    "view_doubtful",
)
_FRONT = (View.DORSAL, View.PALMAR, View.PLANTAR)


def check_marked(shot: Shot, measured: Measured) -> tuple[Remark, ...]:
    """Faults of a marked photo, from what measuring it found; empty for a sound one.

    `measured` is what `measure_shot(shot)` gave. `view_doubtful` says that the marks cannot be those of the view under
    which the photo is filed (a hoof seen from the side is not as high as this, or stands on its head).
    """
    found = [remark for remark in measured.remarks.get(shot.key, ()) if remark.code in ALL_CODES]
    doubt = _doubt(shot, measured)
    return (*found, doubt) if doubt is not None else tuple(found)


def _doubt(shot: Shot, measured: Measured) -> Remark | None:
    """Marks in an order that no photo of this view can show: hairline below the ground edge, sides crossed."""
    marks = shot.marking.confirmed
    pairs = {
        View.LATERAL: (("toe_ground", "toe_hairline"), ("heel_ground", "heel_hairline")),
        **dict.fromkeys(_FRONT, (("medial_ground", "medial_hairline"), ("lateral_ground", "lateral_hairline"))),
    }
    for low, high in pairs.get(shot.view, ()):
        if low in marks and high in marks and marks[high].y >= marks[low].y:
            return Remark("view_doubtful", {"view": shot.view.value, "reason": "upside down"})
    toe = measured.quantity("toe_angle")
    if toe is not None and not 20.0 < toe.value < 90.0:
        return Remark("view_doubtful", {"view": shot.view.value, "reason": "toe angle", "toe_angle": round(toe.value)})
    scale = measured.scales.get(shot.key)
    if scale is not None and scale.source is ScaleSource.CARD:
        length = measured.quantity("bearing_length") or measured.quantity("foot_length")
        if length is not None and not 40.0 < length.value < 250.0:
            facts = {"view": shot.view.value, "reason": "size", "length_mm": round(length.value)}
            return Remark("view_doubtful", facts)
    return None
