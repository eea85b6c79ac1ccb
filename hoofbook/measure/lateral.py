"""The side view: angles, lengths and heights of a standing foot.

Frame *hoof, side view*: millimetres; x along the floor from the toe towards the heel, y up from the floor, z from the
mid plane towards the camera. Every mark is solved in its own plane; then all are seen along the foot's cross axis (z)
and measured there:

- toe angle, heel angle: front wall (`toe_ground` to `toe_hairline`) and heel wall (`heel_ground` to `heel_hairline`)
  against the floor on which the foot stands; upper and lower wall angle: the same above and below `dorsal_wall_mid`;
- coronary band angle: `heel_hairline` to `toe_hairline` against the floor;
- toe length, heel length: along those walls; bearing length: `toe_ground` to `heel_ground`;
- toe height, heel height: of the horn, that is of the hairline above the horn's own lower edge at that end, upright to
  the floor. On a bare foot the lower edge is the floor; on a shod foot shoe and pad are thereby left out, and the
  floor is known from the card and, where marked, from the shoe's own lower edge (`shoe_toe`, `shoe_heel`);
- hoof-pastern axis: slope of the pastern's front (`pastern_lower` to `pastern_upper`) less the toe angle.

Definitions as in Dyson et al. 2011 (Vet J 190:364-371) and White et al. 2008 (Equine Vet J 40:623-628).
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from hoofbook.measure import priors
from hoofbook.measure.camera import CardFit, fit_card
from hoofbook.measure.estimate import Estimate, estimate
from hoofbook.measure.projection import Array
from hoofbook.measure.scene import Scene, add_depth, scene_with_card, standing_card, view_turn
from hoofbook.measure.uncertainty import assumed_sources, difference, ratio, signed_parts
from hoofbook.terms.measured import Measured, Scale, ScaleSource, Shot
from hoofbook.terms.quantity import MEASURES, Quantity, Unit
from hoofbook.terms.refusal import Refusal
from hoofbook.terms.views import CardStand, Grade

METHOD = "side view 1"
ALL_CODES = ("marks_missing", "scale_missing", "ground_line_missing", "measure_not_solved")

NEEDS: Mapping[str, tuple[str, ...]] = {
    "toe_angle": ("toe_ground", "toe_hairline"),
    "heel_angle": ("heel_ground", "heel_hairline"),
    "toe_length": ("toe_ground", "toe_hairline"),
    "heel_length": ("heel_ground", "heel_hairline"),
    "toe_height": ("toe_ground", "toe_hairline"),
    "heel_height": ("heel_ground", "heel_hairline"),
    "coronary_band_angle": ("toe_hairline", "heel_hairline"),
    "bearing_length": ("toe_ground", "heel_ground"),
    "upper_wall_angle": ("dorsal_wall_mid", "toe_hairline"),
    "lower_wall_angle": ("toe_ground", "dorsal_wall_mid"),
    "pastern_angle": ("pastern_lower", "pastern_upper"),
}
DERIVED: Mapping[str, tuple[str, str]] = {
    "toe_heel_angle_difference": ("toe_angle", "heel_angle"),
    "height_ratio": ("toe_height", "heel_height"),
    "length_ratio": ("toe_length", "heel_length"),
    "hoof_pastern_axis": ("pastern_angle", "toe_angle"),
}
TOE_MARKS = ("toe_ground", "toe_hairline", "dorsal_wall_mid", "pastern_upper", "pastern_lower", "shoe_toe")
HEEL_MARKS = ("heel_ground", "heel_hairline", "shoe_heel")


def side_measures(points: Mapping[str, Array], way: float) -> dict[str, Array]:
    """All measures that these points allow, without scale or camera.

    `points` are (..., 2) in one plane seen along the cross axis, x along the floor and y up, in any one unit; `way` is
    +1 where the heel lies towards +x, -1 else. Angles in degrees; lengths in the unit of the points.
    """
    found: dict[str, Array] = {}
    for name, (a, b) in NEEDS.items():
        if a in points and b in points:
            across, up = way * (points[b][..., 0] - points[a][..., 0]), points[b][..., 1] - points[a][..., 1]
            if name == "coronary_band_angle":
                up = -up
            if name.endswith("_angle"):
                found[name] = np.degrees(np.arctan2(up, across))
            elif name.endswith("_height"):
                found[name] = up
            else:
                found[name] = np.hypot(across, up)
    return found


def toe_to_heel(marks: Mapping[str, tuple[float, float]]) -> float | None:
    """+1 where the heel lies to the right in the photo, -1 to the left, None where the marks do not say."""
    for a, b in (("toe_ground", "heel_ground"), ("toe_hairline", "heel_hairline"), ("toe_ground", "toe_hairline")):
        if a in marks and b in marks:
            return 1.0 if marks[b][0] >= marks[a][0] else -1.0
    if "heel_ground" in marks and "heel_hairline" in marks:
        return 1.0 if marks["heel_hairline"][0] >= marks["heel_ground"][0] else -1.0
    return None


@dataclass(frozen=True, slots=True, eq=False)
class SideSolved:
    """One side view solved: the scene, the camera's fit, the estimate, and the marks (n, 3) in frame scene."""

    scene: Scene
    fit: CardFit
    result: Estimate
    points: Array
    way: float
    gap_names: tuple[str, ...]


def measure_lateral(shot: Shot) -> Measured:
    """Every measure of one side view, with refusals for those that cannot be had."""
    solved = solve_side(shot)
    if isinstance(solved, Refusal):
        return Measured(refusals=(solved,), grades={shot.key: Grade.PICTURE_ONLY})
    quantities = quantities_of(solved)
    return Measured(
        quantities=quantities,
        scales={shot.key: scale_of(solved)},
        grades={shot.key: Grade.FULL},
    )


def solve_side(shot: Shot) -> SideSolved | Refusal:
    """The marks of a side view in millimetres. Refused as `fit_card` refuses, or `marks_missing`."""
    marks = {name: (mark.x, mark.y) for name, mark in shot.marking.confirmed.items()}
    way = toe_to_heel(marks)
    if way is None:
        return Refusal("marks_missing")
    fit = fit_card(shot)
    if isinstance(fit, Refusal):
        return fit
    scene = scene_with_card(shot, fit, marks, standing_card(shot))
    add_side_depths(scene)
    on_floor = floor_marks(shot, marks)
    at = {name: i for i, name in enumerate(scene.names)}

    def chain(x: Array) -> tuple[Array, Array]:
        seen = scene.points(x)
        heights = np.stack([seen[:, at[n], 1] for n in on_floor], axis=1) if on_floor else np.zeros((len(x), 0))
        flat = {name: seen[:, i, :2] for name, i in at.items()}
        return heights / priors.FLOOR_MM, np.stack(list(side_measures(flat, way).values()), axis=1)

    result = estimate(scene.inputs, chain)
    return SideSolved(scene, fit, result, scene.points(result.x[None])[0], way, on_floor)


def add_side_depths(scene: Scene) -> None:
    """The plane of each mark: toe marks in the mid plane, heel marks half the heel separation towards the camera."""
    shot, photo = scene.shot, f"photo {scene.shot.key}"
    told = shot.heel_half_separation
    if told is None:
        own_visit = priors.HEEL_HALF_SEPARATION_OWN_VISIT_MM
        own = priors.MID_PLANE_MM
        rest = math.sqrt(priors.HEEL_HALF_SEPARATION_U_MM**2 - own_visit**2 - own**2)
        foot = f"foot {shot.foot or shot.key} heel separation"
        heel = scene.inputs.add(
            priors.HEEL_HALF_SEPARATION_MM, (foot, rest), (f"{photo} heel separation", own_visit), assumed=True
        )
    else:
        own = min(priors.MID_PLANE_MM, told.u / math.sqrt(2.0))
        rest = math.sqrt(max(told.u**2 - own**2, 0.0))
        heel = scene.inputs.add(told.value, (f"{photo} heel separation", rest), assumed=told.assumed)
    ground = scene.inputs.add(0.0, (f"{photo} depth ground line", priors.GROUND_LINE_DEPTH_MM), assumed=True)
    for name in scene.names:
        each = f"{photo} depth {name}"
        if name.startswith("ground_"):
            add_depth(scene, name, 0.0, (each, priors.GROUND_LINE_EACH_MM))
            scene.depth_of[name] += (ground,)
        elif name in HEEL_MARKS:
            add_depth(scene, name, 0.0, (each, own))
            mark = shot.marking.confirmed[name]
            if mark.depth_mm is None:
                scene.depth_of[name] += (heel,)
        else:
            add_depth(scene, name, 0.0, (each, priors.MID_PLANE_MM))


def floor_marks(shot: Shot, marks: Mapping[str, tuple[float, float]]) -> tuple[str, ...]:
    """Marks that stand on the floor: the horn's lower edge on a bare foot, the shoe's on a shod one."""
    names = ("shoe_toe", "shoe_heel") if shot.shod else ("toe_ground", "heel_ground")
    return tuple(name for name in names if name in marks)


def quantities_of(solved: SideSolved) -> tuple[Quantity, ...]:
    """Quantities of a solved side view; differences and ratios are derived from parts, never measured by themselves."""
    shot, result, inputs = solved.scene.shot, solved.result, solved.scene.inputs
    sources = (*inputs.sources, *(f"photo {shot.key} floor at {name}" for name in solved.gap_names))
    defaults = dict(zip(inputs.sources, inputs.assumed, strict=True))
    flat = {name: solved.points[i, :2] for i, name in enumerate(solved.scene.names)}
    found: dict[str, Quantity] = {}
    for row, name in enumerate(side_measures(flat, solved.way)):
        parts = signed_parts(sources, result.parts[row], f"photo {shot.key} {name} small parts")
        found[name] = Quantity(
            name=name,
            value=float(result.outputs[row]),
            unit=MEASURES.get(name, Unit.DEG),
            parts=parts,
            view=shot.view.value,
            photos=(shot.key,),
            method=METHOD,
            assumed=assumed_sources(parts, defaults),
        )
    for name, (a, b) in DERIVED.items():
        if a in found and b in found:
            joined = ratio if name.endswith("_ratio") else difference
            found[name] = joined(found[a], found[b], name)
    return tuple(q for name, q in found.items() if name in MEASURES)


def scale_of(solved: SideSolved) -> Scale:
    """How the photo got its millimetres and from where it was taken, at the foot's middle."""
    fit, shot = solved.fit, solved.scene.shot
    lens = solved.scene.lens(solved.result.x)
    middle = solved.points.mean(axis=0)
    turn, tilt = view_turn(lens, middle)
    distance = float(np.linalg.norm(lens - middle))
    return Scale(
        ScaleSource.CARD,
        px_per_mm=fit.camera.focal_px / distance,
        turn_deg=turn,
        tilt_deg=tilt,
        distance_mm=distance,
        lens_height_mm=float(lens[1]) if shot.card_stands_on is not CardStand.FOOT else None,
        focal_px=fit.camera.focal_px,
        misfit=fit.misfit,
    )
