"""Sole concavity from one photo taken along the sole: a straight edge across the foot and the hollow under it.

Frame *scene*: x and y in the plane of the straight edge (parallel to the card, or to the picture where there is none),
z towards the camera. The greatest concavity is the perpendicular distance of `sole_deepest` from the line
`edge_medial` to `edge_lateral`; the mean one is the area between that line and the profile (`profile_01`.., with
`sole_deepest`, in order along the line) over the line's length (trapezoids). Both are depths, so the deepest place is
taken to lie inside the foot: a sole that bulges out is not told apart this way.
"""

from __future__ import annotations

import math
from collections.abc import Mapping

import numpy as np

from hoofbook.measure import priors
from hoofbook.measure.camera import CardFit, lens_prior
from hoofbook.measure.figures import Place, measured_line
from hoofbook.measure.projection import Array
from hoofbook.measure.scene import HeldCamera, Points, scene_with_card, scene_without_card
from hoofbook.measure.solar import flat_card
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
from hoofbook.terms.marks import mark_group
from hoofbook.terms.measured import Measured, ScaleSource, Shot
from hoofbook.terms.quantity import Definition, Quantity
from hoofbook.terms.refusal import Refusal
from hoofbook.terms.views import Grade

METHOD = "along the sole 1"
ALL_CODES: tuple[str, ...] = ()
_EDGES = ("edge_medial", "edge_lateral")
NEEDS: Mapping[str, tuple[str, ...]] = {
    "greatest_sole_concavity": (*_EDGES, "sole_deepest"),
    "mean_sole_concavity": (*_EDGES, "sole_deepest", "profile_01"),
}


def profile_measures(points: Mapping[str, Array]) -> dict[str, Array]:
    """Greatest and mean depth of points (..., 2) under the line between the two edges, in the unit of the points."""
    if not all(name in points for name in NEEDS["greatest_sole_concavity"]):
        return {}
    start, way = points[_EDGES[0]], points[_EDGES[1]] - points[_EDGES[0]]
    length = np.linalg.norm(way, axis=-1)
    names = ["sole_deepest", *(name for name in points if mark_group(name) == "profile")]
    along = np.stack([np.sum((points[n] - start) * way, axis=-1) / length for n in names], axis=-1)
    depth = np.stack([_across(way, points[n] - start) / length for n in names], axis=-1)
    depth = depth * np.sign(depth[..., :1])
    found = {"greatest_sole_concavity": depth[..., 0]}
    if len(names) > 1:
        order = np.argsort(along.reshape(-1, len(names))[0])
        ends = np.zeros((*length.shape, 1))
        x = np.concatenate([ends, along[..., order], length[..., None]], axis=-1)
        y = np.concatenate([ends, depth[..., order], ends], axis=-1)
        area = np.sum((y[..., 1:] + y[..., :-1]) / 2.0 * np.diff(x, axis=-1), axis=-1)
        found["mean_sole_concavity"] = area / length
    return found


def measure_along(shot: Shot) -> Measured:
    """Greatest (and, with a profile, mean) sole concavity, or refusals."""
    marks = {name: (mark.x, mark.y) for name, mark in shot.marking.confirmed.items()}
    source, fit, why = find_scale(shot)
    remarks = first_remarks(fit, why)
    scale = scale_of_card(source, fit)
    found: dict[str, Quantity] = {}
    drawing, unsolved = None, None
    if all(name in marks for name in NEEDS["greatest_sole_concavity"]) and source is not ScaleSource.NONE:
        solved = _solve(shot, marks, source, fit)
        if isinstance(solved, Refusal):
            unsolved = solved
        else:
            scale = scale_of(solved)
            remarks += solved.remarks
            found = quantities(solved, {}, definition=Definition.ALONG_SOLE)
            drawing = _drawing(solved) if found else None
            unsolved = None if found else Refusal("measure_not_solved")
    return Measured(
        quantities=tuple(found.values()),
        refusals=_refused(found, marks, unsolved),
        remarks={shot.key: tuple(remarks)},
        scales={shot.key: scale},
        grades={shot.key: Grade.PICTURE_ONLY if source is ScaleSource.NONE else Grade.FULL},
        drawings={} if drawing is None else {shot.key: drawing},
    )


def _solve(shot: Shot, marks: Mapping[str, Place], source: ScaleSource, fit: CardFit | None) -> Solved | Refusal:
    gaps: dict[str, tuple[Gap, float]] = {}
    if fit is not None:
        scene = scene_with_card(shot, fit, marks, flat_card(shot))
    else:
        ruler = shot.ruler
        distance = priors.SOLE_DISTANCE_MM
        if ruler is not None:
            focal = lens_prior(shot.photo_size, shot.focal_35mm, shot.edited).focal_px
            distance = focal * ruler.mm / max(1.0, math.dist(ruler.a, ruler.b))
        beside = distance * math.sin(math.radians(priors.SOLE_VIEW_DEG))
        held = HeldCamera(distance, 0.5, (0.0, beside), priors.SOLE_VIEW_DEG, (0.0, 0.0), square_on=True)
        scene = scene_without_card(shot, with_ruler(shot, dict(marks)), _EDGES[0], held)
        add_ruler(scene, gaps)
    for name in marks:
        scene.add_depth(name, 0.0, (f"photo {shot.key} depth {name}", priors.ALONG_SOLE_DEPTH_MM))

    def outputs(seen: Points) -> dict[str, Array]:
        return profile_measures({name: place[:, :2] for name, place in seen.items()})

    return solve(scene, gaps, outputs, source=source, fit=fit, method=METHOD)


def _refused(
    found: Mapping[str, Quantity], marks: Mapping[str, Place], unsolved: Refusal | None
) -> tuple[Refusal, ...]:
    refused = []
    for name, needs in NEEDS.items():
        if name in found or (name.startswith("mean") and not any(mark_group(m) == "profile" for m in marks)):
            continue
        missing = [mark for mark in needs if mark not in marks and mark != "profile_01"]
        if missing:
            refused.append(Refusal("marks_missing", {"marks": ", ".join(missing)}, name))
        elif unsolved is not None:
            refused.append(Refusal(unsolved.code, unsolved.facts, name))
        else:
            refused.append(Refusal("measure_not_solved" if found else "scale_missing", name=name))
    return tuple(refused)


def _drawing(solved: Solved) -> Drawing:
    """The straight edge and the depth from it to the deepest place."""
    size, x = solved.shot.photo_size, solved.result.x
    a, b, deep = (solved.points[name] for name in (*_EDGES, "sole_deepest"))
    way = (b - a) / np.linalg.norm(b - a)
    foot = a + way * float(np.dot(deep - a, way))
    places = [(float(p[0]), float(p[1])) for p in solved.scene.to_photo(x, np.stack([a, b, foot, deep]))]
    return Drawing(float(size[0]), float(size[1])).plus(
        measured_line(places[:2], size), measured_line(places[2:], size)
    )


def _across(a: Array, b: Array) -> Array:
    return np.asarray(a[..., 0] * b[..., 1] - a[..., 1] * b[..., 0])
