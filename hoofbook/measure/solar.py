"""One plain sole photo: outline measures. It shows no depth, so nothing here is a concavity.

Frame *scene* with z = 0 the plane of the outline (the bearing surface), z towards the camera; the card lies in that
plane or parallel to it, as told. Marks that lie deeper (the sole in front of the frog's point) are solved in their own
plane. In that plane:

- foot length: middle between the heel buttresses to the toe, and along that line the part in front of and behind the
  widest place (mean of `widest_medial` and `widest_lateral`); foot width: between those two;
- frog length: `frog_apex` to the middle of the frog's base; frog width: between the base's two ends; frog ratio: width
  over length ("measured at their longest and widest points", Turner);
- heel separation: between the two heel buttresses (Phannithi et al. 2024, Animals 14:1197).
"""

from __future__ import annotations

import math
from collections.abc import Mapping

import numpy as np

from hoofbook.measure import priors
from hoofbook.measure.camera import CardFit, lens_prior
from hoofbook.measure.figures import Place, measured_line
from hoofbook.measure.projection import Array
from hoofbook.measure.scene import (
    CardPlacing,
    HeldCamera,
    Points,
    Scene,
    card_offset,
    scene_with_card,
    scene_without_card,
)
from hoofbook.measure.solving import (
    Gap,
    Solved,
    add_ruler,
    find_scale,
    first_remarks,
    quantities,
    scale_of,
    scale_of_card,
    solve,
    with_ruler,
)
from hoofbook.terms.drawing import Drawing
from hoofbook.terms.measured import Measured, ScaleSource, Shot, Told
from hoofbook.terms.quantity import MEASURES, Quantity, Unit
from hoofbook.terms.refusal import Refusal
from hoofbook.terms.views import CardPlane, Grade

METHOD = "sole outline 1"
ALL_CODES: tuple[str, ...] = ()
_HEELS = ("heel_medial", "heel_lateral")
_WIDEST: tuple[str, str] = ("widest_medial", "widest_lateral")
_FROG_BASE = ("frog_base_medial", "frog_base_lateral")
NEEDS: Mapping[str, tuple[str, ...]] = {
    "foot_length": ("toe_tip", *_HEELS),
    "foot_width": _WIDEST,
    "length_before_widest": ("toe_tip", *_HEELS, *_WIDEST),
    "length_behind_widest": ("toe_tip", *_HEELS, *_WIDEST),
    "frog_length": ("frog_apex", *_FROG_BASE),
    "frog_width": _FROG_BASE,
    "heel_separation": _HEELS,
}
DERIVED: Mapping[str, tuple[str, str]] = {"frog_ratio": ("frog_width", "frog_length")}
OUTLINE_MARKS = ("toe_tip", *_HEELS, *_WIDEST, "frog_apex", *_FROG_BASE)


def heel_half_separation(separation: Quantity) -> Told:
    """Half the heel separation of a sole photo, as a side view of the same foot and visit wants to be told it.

    The heel marks of a side view lie near the buttresses but not on them: at least 3 mm of standard uncertainty.
    """
    return Told(separation.value / 2.0, max(priors.HEEL_HALF_SEPARATION_TOLD_MM, separation.u / 2.0))


def sole_measures(points: Mapping[str, Array]) -> dict[str, Array]:
    """Outline measures of points (..., 2) in the bearing plane, in any one unit."""
    found: dict[str, Array] = {}
    for name, needs in NEEDS.items():
        if all(mark in points for mark in needs):
            found[name] = _one(name, points)
    return found


def _one(name: str, points: Mapping[str, Array]) -> Array:
    if name in ("foot_width", "frog_width", "heel_separation"):
        a, b = NEEDS[name]
        return _apart(points[a], points[b])
    if name == "frog_length":
        return _apart(points["frog_apex"], (points[_FROG_BASE[0]] + points[_FROG_BASE[1]]) / 2.0)
    heels = (points["heel_medial"] + points["heel_lateral"]) / 2.0
    along = points["toe_tip"] - heels
    whole = np.linalg.norm(along, axis=-1)
    if name == "foot_length":
        return np.asarray(whole)
    widest = (points["widest_medial"] + points["widest_lateral"]) / 2.0 - heels
    behind = np.sum(widest * along, axis=-1) / whole
    return np.asarray(behind if name == "length_behind_widest" else whole - behind)


def _apart(a: Array, b: Array) -> Array:
    return np.asarray(np.linalg.norm(a - b, axis=-1))


def measure_sole(shot: Shot) -> Measured:
    """Outline measures of one sole photo, their drawing, and refusals for those that cannot be had.

    A photo of a set without any outline mark is not asked for outline measures.
    """
    marks = {name: (m.x, m.y) for name, m in shot.marking.confirmed.items() if name in OUTLINE_MARKS}
    if not set(marks) - {"frog_apex"} and shot.set_name:
        return Measured()
    source, fit, why = find_scale(shot, _WIDEST)
    remarks = first_remarks(fit, why)
    found: dict[str, Quantity] = {}
    drawing, scale, unsolved = None, scale_of_card(source, fit), None
    if any(set(needs) <= set(marks) for needs in NEEDS.values()):
        solved = _solve(shot, marks, source, fit)
        if isinstance(solved, Refusal):
            unsolved = solved
        else:
            scale = scale_of(solved)
            remarks += solved.remarks
            found = quantities(solved, DERIVED)
            drawing = _drawing(solved)
    kept, refused = _sorted_out(found, marks, scale=source is not ScaleSource.NONE, unsolved=unsolved)
    return Measured(
        quantities=kept,
        refusals=refused,
        remarks={shot.key: tuple(remarks)},
        scales={shot.key: scale},
        grades={shot.key: Grade.ANGLES_AND_RATIOS if source is ScaleSource.NONE else Grade.FULL},
        drawings={} if drawing is None else {shot.key: drawing},
    )


def flat_card(shot: Shot) -> CardPlacing:
    """A card on the foot, in the bearing plane as told or somewhere parallel to it."""
    photo = f"photo {shot.key}"
    if shot.card_plane is CardPlane.BEARING_PLANE:
        offset, assumed, tilt = (0.0, priors.BEARING_PLANE_MM), False, priors.CARD_ON_FOOT_TILT_DEG
    else:
        (offset, assumed), tilt = card_offset(shot), priors.CARD_UNSURE_TILT_DEG
    return CardPlacing(tilt, tilt, (), 0.0, f"{photo} card height", offset, assumed)


def _solve(shot: Shot, marks: Mapping[str, Place], source: ScaleSource, fit: CardFit | None) -> Solved | Refusal:
    gaps: dict[str, tuple[Gap, float]] = {}
    if fit is not None:
        scene = scene_with_card(shot, fit, marks, flat_card(shot))
    else:
        whole = with_ruler(shot, dict(marks)) if source is ScaleSource.RULER else dict(marks)
        scene = scene_without_card(shot, whole, next(iter(marks)), _held(shot, marks, source))
        if source is ScaleSource.RULER:
            add_ruler(scene, gaps)
    _add_depths(scene)
    told = shot.foot_width
    if source is ScaleSource.FOOT_WIDTH and told is not None:
        gaps["foot width as told"] = (
            lambda seen: _apart(seen[_WIDEST[0]][:, :2], seen[_WIDEST[1]][:, :2]) - told.value,
            max(told.u, priors.FOOT_WIDTH_LEAST_MM),
        )

    def outputs(seen: Points) -> dict[str, Array]:
        return sole_measures({name: place[:, :2] for name, place in seen.items()})

    return solve(scene, gaps, outputs, source=source, fit=fit, method=METHOD)


def _add_depths(scene: Scene) -> None:
    for name in scene.names:
        source = f"photo {scene.shot.key} depth {name}"
        if name == "frog_apex":
            scene.add_depth(name, -priors.FROG_APEX_BELOW_MM, (source, priors.FROG_APEX_U_MM))
        elif name.startswith("frog_base"):
            scene.add_depth(name, 0.0, (source, priors.FROG_BASE_U_MM))
        elif not name.startswith("ruler_"):
            scene.add_depth(name, 0.0, (source, priors.SOLE_EDGE_MARK_MM))


def _held(shot: Shot, marks: Mapping[str, Place], source: ScaleSource) -> HeldCamera:
    """A sole photo is meant to be square-on: the lens 0 off the normal, within a few degrees either way."""
    lens = lens_prior(shot.photo_size, shot.focal_35mm, shot.edited)
    distance, spread = priors.SOLE_DISTANCE_MM, priors.DISTANCE_LOG
    if source is ScaleSource.RULER and shot.ruler is not None:
        distance = lens.focal_px * shot.ruler.mm / max(1.0, math.dist(shot.ruler.a, shot.ruler.b))
        spread = 0.5
    elif source is ScaleSource.FOOT_WIDTH and shot.foot_width is not None:
        seen = max(1.0, math.dist(*(marks[name] for name in _WIDEST)))
        distance, spread = lens.focal_px * shot.foot_width.value / seen, 0.5
    beside = distance * math.sin(math.radians(priors.SOLE_VIEW_DEG))
    return HeldCamera(distance, spread, (0.0, beside), priors.SOLE_VIEW_DEG, (0.0, 0.0), square_on=True)


def _sorted_out(
    found: Mapping[str, Quantity], marks: Mapping[str, Place], *, scale: bool, unsolved: Refusal | None
) -> tuple[tuple[Quantity, ...], tuple[Refusal, ...]]:
    kept, refused = [], []
    for name in (*NEEDS, *DERIVED):
        bases = DERIVED.get(name, (name,))
        needs = dict.fromkeys(mark for base in bases for mark in NEEDS[base])
        missing = [mark for mark in needs if mark not in marks]
        if missing:
            if not name.startswith("frog_") or set(_FROG_BASE) & set(marks):
                refused.append(Refusal("marks_missing", {"marks": ", ".join(missing)}, name))
        elif unsolved is not None:
            refused.append(Refusal(unsolved.code, unsolved.facts, name))
        elif not scale and MEASURES[name] is Unit.MM:
            refused.append(Refusal("scale_missing", name=name))
        elif name not in found:
            refused.append(Refusal("measure_not_solved", name=name))
        else:
            kept.append(found[name])
    return tuple(kept), tuple(refused)


def _drawing(solved: Solved) -> Drawing:
    """The frog's length and base as thin lines. Proportions of the whole foot are shown as bars beside it."""
    size = solved.shot.photo_size
    drawing = Drawing(float(size[0]), float(size[1]))
    at = solved.scene.at
    if set(_FROG_BASE) <= set(at):
        a, b = (at[name] for name in _FROG_BASE)
        drawing = drawing.plus(measured_line((a, b), size))
        if "frog_apex" in at:
            drawing = drawing.plus(measured_line((at["frog_apex"], ((a[0] + b[0]) / 2, (a[1] + b[1]) / 2)), size))
    return drawing
