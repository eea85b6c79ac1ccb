"""The front and heels views: height and slope of the wall on the inside and the outside.

Frame *hoof, front view*: millimetres; x along the floor across the foot, y up from the floor, z towards the camera from
the foot's widest cross plane, in which all four marks are believed to lie. Measured there, for each side:

- wall height: of the horn, hairline above the horn's own lower edge, upright to the floor (shoe and pad left out);
- wall angle: wall line (ground mark to hairline mark) against the floor on the foot's inner side, so that a wall that
  widens towards the ground reads less than 90 degrees and one that narrows more.

Definitions as in Labuschagne et al. 2017 (J Equine Vet Sci: medial and lateral wall height) and Kolstrung et al. 2013
(Med Weter 69:181-186).
"""

from __future__ import annotations

import math
from collections.abc import Mapping

import numpy as np

from hoofbook.measure import priors
from hoofbook.measure.camera import CardFit, lens_prior
from hoofbook.measure.figures import Place, angle_arc, ground_line, measured_line
from hoofbook.measure.floor_check import believed_or_doubted
from hoofbook.measure.projection import Array
from hoofbook.measure.scene import (
    HeldCamera,
    Points,
    Scene,
    scene_with_card,
    scene_without_card,
    standing_card,
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
from hoofbook.terms.measured import Measured, ScaleSource, Shot
from hoofbook.terms.quantity import Quantity
from hoofbook.terms.refusal import Refusal
from hoofbook.terms.views import CardStand, Grade

METHOD = "front view 1"
ALL_CODES: tuple[str, ...] = ()
WIDTH_MARKS = ("medial_ground", "lateral_ground")
NEEDS: Mapping[str, tuple[str, ...]] = {
    f"{side}_wall_{what}": (f"{side}_ground", f"{side}_hairline")
    for what in ("height", "angle")
    for side in ("medial", "lateral")
}


def front_measures(points: Mapping[str, Array], outwards: Mapping[str, float]) -> dict[str, Array]:
    """Wall heights and angles of points (..., 2) seen along the foot, x along the floor and y up, in any one unit.

    `outwards` says for "medial" and "lateral" whether that side lies towards +x (+1) or -x (-1). Degrees.
    """
    found: dict[str, Array] = {}
    for name, (ground, hair) in NEEDS.items():
        if ground in points and hair in points:
            side = name.split("_", 1)[0]
            up = points[hair][..., 1] - points[ground][..., 1]
            inwards = -outwards[side] * (points[hair][..., 0] - points[ground][..., 0])
            found[name] = up if name.endswith("_height") else np.degrees(np.arctan2(up, inwards))
    return found


def sides_in_photo(marks: Mapping[str, Place]) -> dict[str, float] | None:
    """Which way medial and lateral lie in the photo, from marks of both sides; None where only one side is marked."""
    for a, b in (("medial_ground", "lateral_ground"), ("medial_hairline", "lateral_hairline")):
        if a in marks and b in marks:
            way = 1.0 if marks[b][0] >= marks[a][0] else -1.0
            return {"medial": -way, "lateral": way}
    return None


def measure_front(shot: Shot) -> Measured:
    """Every measure of one front or heels view, its drawing, and refusals for those that cannot be had."""
    marks = {name: (mark.x, mark.y) for name, mark in shot.marking.confirmed.items()}
    source, fit, why = find_scale(shot, WIDTH_MARKS)
    remarks = first_remarks(fit, why)
    outwards = sides_in_photo(marks)
    found: dict[str, Quantity] = {}
    drawing, scale, unsolved = None, scale_of_card(source, fit), None
    if outwards is not None:
        solved, doubts = believed_or_doubted(
            lambda doubted: _solve(shot, marks, outwards, source, fit, doubted=doubted)
        )
        remarks += doubts
        if isinstance(solved, Refusal):
            unsolved = solved
        else:
            scale = scale_of(solved)
            remarks += solved.remarks
            found = quantities(solved, {})
            drawing = _drawing(solved)
    floor = fit is not None or {"ground_a", "ground_b"} <= set(marks)
    kept, refused = _sorted_out(found, marks, floor=floor, scale=source is not ScaleSource.NONE, unsolved=unsolved)
    return Measured(
        quantities=kept,
        refusals=refused,
        remarks={shot.key: tuple(remarks)},
        scales={shot.key: scale},
        grades={shot.key: Grade.ANGLES_AND_RATIOS if source is ScaleSource.NONE else Grade.FULL},
        drawings={} if drawing is None else {shot.key: drawing},
    )


def _solve(
    shot: Shot,
    marks: Mapping[str, Place],
    outwards: Mapping[str, float],
    source: ScaleSource,
    fit: CardFit | None,
    *,
    doubted: bool,
) -> Solved | Refusal:
    gaps: dict[str, tuple[Gap, float]] = {}
    if fit is not None:
        scene = scene_with_card(shot, fit, marks, standing_card(shot, doubted))
    else:
        whole = with_ruler(shot, dict(marks)) if source is ScaleSource.RULER else dict(marks)
        reference = next(name for name in ("medial_ground", "medial_hairline") if name in marks)
        scene = scene_without_card(shot, whole, reference, _held(shot, marks, source))
        if source is ScaleSource.RULER:
            add_ruler(scene, gaps)
    _add_depths(scene)
    gaps |= _floor_gaps(shot, marks, card=fit is not None, doubted=doubted)
    if source is ScaleSource.FOOT_WIDTH and shot.foot_width is not None:
        told = shot.foot_width
        gaps["foot width as told"] = (
            lambda seen: np.linalg.norm(seen["lateral_ground"] - seen["medial_ground"], axis=-1) - told.value,
            max(told.u, priors.FOOT_WIDTH_LEAST_MM),
        )

    def outputs(seen: Points) -> dict[str, Array]:
        return front_measures({name: place[:, :2] for name, place in seen.items()}, outwards)

    return solve(scene, gaps, outputs, source=source, fit=fit, method=METHOD)


def _add_depths(scene: Scene) -> None:
    """All marks about the widest cross plane; a drawn ground line in a plane of its own."""
    photo = f"photo {scene.shot.key}"
    ground = scene.inputs.add(0.0, (f"{photo} depth ground line", priors.GROUND_LINE_DEPTH_MM), assumed=True)
    for name in scene.names:
        each = f"{photo} depth {name}"
        if name.startswith("ground_"):
            scene.add_depth(name, 0.0, (each, priors.GROUND_LINE_EACH_MM), on_top_of=(ground,))
        elif not name.startswith("ruler_"):
            scene.add_depth(name, 0.0, (each, priors.CROSS_PLANE_MM))


def _held(shot: Shot, marks: Mapping[str, Place], source: ScaleSource) -> HeldCamera:
    roll, lens = 0.0, lens_prior(shot.photo_size, shot.focal_35mm, shot.edited)
    pairs = (("ground_a", "ground_b"), WIDTH_MARKS)
    for names in pairs:
        if set(names) <= set(marks):
            a, b = sorted(marks[name] for name in names)
            roll = math.degrees(math.atan2(b[1] - a[1], b[0] - a[0]))
            break
    if source is ScaleSource.RULER and shot.ruler is not None:
        seen = max(1.0, math.dist(shot.ruler.a, shot.ruler.b))
        return HeldCamera(lens.focal_px * shot.ruler.mm / seen, 0.5, roll_deg=(roll, 15.0))
    if source is ScaleSource.FOOT_WIDTH and shot.foot_width is not None:
        seen = max(1.0, math.dist(*(marks[name] for name in WIDTH_MARKS)))
        return HeldCamera(lens.focal_px * shot.foot_width.value / seen, 0.5, roll_deg=(roll, 15.0))
    return HeldCamera(roll_deg=(roll, 15.0))


def _floor_gaps(shot: Shot, marks: Mapping[str, Place], *, card: bool, doubted: bool) -> dict[str, tuple[Gap, float]]:
    """A drawn ground line is level; on a bare foot both ground marks stand on the floor."""
    gaps: dict[str, tuple[Gap, float]] = {}
    drawn = {"ground_a", "ground_b"} <= set(marks)
    both = priors.FLOOR_MM * math.sqrt(2.0)
    if drawn:
        gaps["ground line level"] = (lambda seen: seen["ground_b"][:, 1] - seen["ground_a"][:, 1], both)
    if shot.shod or not (card or drawn):
        return gaps
    if card and shot.card_stands_on is CardStand.FLOOR and not doubted:
        for name in ("medial_ground", "lateral_ground"):
            if name in marks:
                gaps[f"floor at {name}"] = (_height_of(name), priors.FLOOR_MM)
    elif {"medial_ground", "lateral_ground"} <= set(marks):
        gaps["foot level"] = (lambda seen: seen["lateral_ground"][:, 1] - seen["medial_ground"][:, 1], both)
    return gaps


def _height_of(name: str) -> Gap:
    return lambda seen: seen[name][:, 1]


def _sorted_out(
    found: Mapping[str, Quantity], marks: Mapping[str, Place], *, floor: bool, scale: bool, unsolved: Refusal | None
) -> tuple[tuple[Quantity, ...], tuple[Refusal, ...]]:
    kept, refused = [], []
    both = sides_in_photo(marks) is not None
    for name, needs in NEEDS.items():
        missing = [mark for mark in needs if mark not in marks]
        if missing or not both:
            other = "lateral" if name.startswith("medial") else "medial"
            wanted = missing or [f"{other}_ground", f"{other}_hairline"]
            refused.append(Refusal("marks_missing", {"marks": ", ".join(wanted)}, name))
        elif unsolved is not None:
            refused.append(Refusal(unsolved.code, unsolved.facts, name))
        elif not floor:
            refused.append(Refusal("ground_line_missing", name=name))
        elif not scale and name.endswith("_height"):
            refused.append(Refusal("scale_missing", name=name))
        elif name not in found:
            refused.append(Refusal("measure_not_solved", name=name))
        else:
            kept.append(found[name])
    return tuple(kept), tuple(refused)


def _drawing(solved: Solved) -> Drawing:
    """Both walls as marked, the floor between and beyond the ground marks, and the two angles."""
    shot, seen, size = solved.shot, solved.points, solved.shot.photo_size
    drawing = Drawing(float(size[0]), float(size[1]))
    at = solved.scene.at
    if {"medial_ground", "lateral_ground"} <= set(seen):
        ends = np.stack([seen["medial_ground"], seen["lateral_ground"]])
        if solved.fit is not None and not shot.shod:
            ends[:, 1] = 0.0
        middle = ends.mean(axis=0)
        ends = middle + (ends - middle) * 1.3
        a, b = (tuple(map(float, p)) for p in solved.scene.to_photo(solved.result.x, ends))
        if solved.fit is not None or "ground_a" in at:
            drawing = drawing.plus(ground_line(((a[0], a[1]), (b[0], b[1])), size))
    for side, other in (("medial", "lateral"), ("lateral", "medial")):
        low, high = f"{side}_ground", f"{side}_hairline"
        if low in at and high in at:
            drawing = drawing.plus(measured_line((at[low], at[high]), size))
            if f"{other}_ground" in at:
                drawing = drawing.plus(angle_arc(at[low], at[f"{other}_ground"], at[high], size))
    return drawing
