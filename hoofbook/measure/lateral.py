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
- hoof-pastern axis: slope of the pastern's front (`pastern_lower` to `pastern_upper`) less the toe angle;
- heel measures are those of the outside heel: a photo taken from the inside shows the other one, so there only what
  lies in the mid plane is given (and the horn above a crack, see `hoofbook.measure.crack`).

Definitions as in Dyson et al. 2011 (Vet J 190:364-371) and White et al. 2008 (Equine Vet J 40:623-628).
"""

from __future__ import annotations

import math
from collections.abc import Mapping

import numpy as np

from hoofbook.measure import crack, priors
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
    sight_turn_deg,
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
from hoofbook.terms.feet import Side
from hoofbook.terms.measured import Measured, ScaleSource, Shot
from hoofbook.terms.quantity import MEASURES, Quantity
from hoofbook.terms.refusal import Refusal, Remark
from hoofbook.terms.views import Grade

METHOD = "side view 1"
ALL_CODES = ("toe_points_wrong_way",)

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
OPTIONAL: Mapping[str, tuple[str, ...]] = {
    "upper_wall_angle": ("dorsal_wall_mid",),
    "lower_wall_angle": ("dorsal_wall_mid",),
    "hoof_pastern_axis": ("pastern_upper", "pastern_lower"),
}
# Pairs that show which way the foot points, the surest first; every pair that a measure needs is among them.
_AHEAD_AND_BEHIND = (
    ("toe_ground", "heel_ground"),
    ("toe_hairline", "heel_hairline"),
    ("toe_ground", "toe_hairline"),
    ("heel_ground", "heel_hairline"),
    ("toe_ground", "dorsal_wall_mid"),
    ("dorsal_wall_mid", "toe_hairline"),
)
FLOOR_FREE = ("toe_heel_angle_difference", "hoof_pastern_axis", "length_ratio", "toe_length", "heel_length")
HEEL_MARKS = ("heel_ground", "heel_hairline", "shoe_heel")
OUTLINE = {"toe_ground": 1.0, "toe_hairline": 0.8, "dorsal_wall_mid": 0.9, "shoe_toe": 1.0}


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
    for ahead, behind in _AHEAD_AND_BEHIND:
        if ahead in marks and behind in marks:
            return 1.0 if marks[behind][0] >= marks[ahead][0] else -1.0
    return None


def measure_lateral(shot: Shot) -> Measured:
    """Every measure of one side view, its drawing, and refusals for those that cannot be had."""
    every = {name: (mark.x, mark.y) for name, mark in shot.marking.confirmed.items()}
    marks = crack.without_crack(every)
    source, fit, why = find_scale(shot)
    way = toe_to_heel(marks)
    remarks = first_remarks(fit, why)
    found: dict[str, Quantity] = {}
    drawing, scale, unsolved = None, scale_of_card(source, fit), None
    if way is not None:
        remarks += _wrong_way(shot, way)
        solved, doubts = believed_or_doubted(lambda doubted: solve_side(shot, marks, way, source, fit, doubted=doubted))
        remarks += doubts
        if isinstance(solved, Refusal):
            unsolved = solved
        else:
            scale = scale_of(solved)
            remarks += solved.remarks
            found = quantities(solved, DERIVED)
            drawing = _drawing(solved, way)
    floor = fit is not None or _has_ground_line(marks)
    kept, refused = _sorted_out(shot, found, floor=floor, scale=source is not ScaleSource.NONE, unsolved=unsolved)
    if not marks and crack.asked(every):
        refused = ()  # the photo is of the crack: nothing else was asked
    grade = Grade.ANGLES_AND_RATIOS if source is ScaleSource.NONE else Grade.FULL
    measured = Measured(
        quantities=kept,
        refusals=refused,
        remarks={shot.key: tuple(remarks)},
        scales={shot.key: scale},
        grades={shot.key: grade},
        drawings={} if drawing is None else {shot.key: drawing},
    )
    return crack.with_crack(measured, shot, every, way if way is not None else way_of_foot(shot))


def way_of_foot(shot: Shot) -> float | None:
    """+1 where the heel must lie to the right in a photo of this foot from the told side, -1 left; None: not told.

    Seen from outside, the toe of a left foot points left in the photo, that of a right foot right; from inside the
    other way round.
    """
    if shot.foot is None:
        return None
    return 1.0 if (shot.foot.side is Side.LEFT) is not shot.from_inside else -1.0


def solve_side(
    shot: Shot,
    marks: Mapping[str, Place],
    way: float,
    source: ScaleSource,
    fit: CardFit | None,
    *,
    doubted: bool = False,
) -> Solved | Refusal:
    """The marks of a side view in millimetres (or, without a scale, in units of the believed distance).

    `doubted`: what was told of the card's stand and plane is not believed.
    """
    gaps: dict[str, tuple[Gap, float]] = {}
    if fit is not None:
        scene = scene_with_card(shot, fit, marks, standing_card(shot, doubted))
    else:
        whole = with_ruler(shot, dict(marks))
        scene = scene_without_card(shot, whole, _reference(marks), _held(shot, marks, source))
        add_ruler(scene, gaps)
    add_side_depths(scene, way)
    gaps |= _floor_gaps(shot, marks, card=fit is not None)

    def outputs(seen: Points) -> dict[str, Array]:
        return side_measures({name: place[:, :2] for name, place in seen.items()}, way)

    return solve(scene, gaps, outputs, source=source, fit=fit, method=METHOD)


def add_side_depths(scene: Scene, way: float) -> None:
    """The plane of each mark: toe marks in the mid plane, heel marks half the heel separation towards the camera.

    Outline marks slide round the toe when the view turns by a: R (1 / cos a - 1) towards the toe (circle of radius R).
    """
    shot, photo = scene.shot, f"photo {scene.shot.key}"
    told = shot.heel_half_separation
    if told is None:
        own_visit, own = priors.HEEL_HALF_SEPARATION_OWN_VISIT_MM, priors.MID_PLANE_MM
        rest = math.sqrt(priors.HEEL_HALF_SEPARATION_U_MM**2 - own_visit**2 - own**2)
        foot = f"foot {shot.foot or shot.key} heel separation"
        shares = ((foot, rest), (f"{photo} heel separation", own_visit))
        heel = scene.inputs.add(priors.HEEL_HALF_SEPARATION_MM, *shares, assumed=True)
    else:
        own = min(priors.MID_PLANE_MM, told.u / math.sqrt(2.0))
        rest = math.sqrt(max(told.u**2 - own**2, 0.0))
        heel = scene.inputs.add(told.value, (f"{photo} heel separation", rest), assumed=told.assumed)
    ground = scene.inputs.add(0.0, (f"{photo} depth ground line", priors.GROUND_LINE_DEPTH_MM), assumed=True)
    for name in scene.names:
        each = f"{photo} depth {name}"
        if name.startswith("ground_"):
            scene.add_depth(name, 0.0, (each, priors.GROUND_LINE_EACH_MM), on_top_of=(ground,))
        elif name in HEEL_MARKS:
            scene.add_depth(name, 0.0, (each, own), on_top_of=(heel,))
        elif not name.startswith("ruler_"):
            scene.add_depth(name, 0.0, (each, priors.MID_PLANE_MM))
    toes = [name for name in OUTLINE if name in scene.names]
    if toes:
        turn = sight_turn_deg(scene, toes[0])
        slide = priors.TOE_RADIUS_MM * (1.0 / max(0.5, math.cos(math.radians(turn))) - 1.0)
        at = scene.inputs.add(0.0, (f"{photo} outline round the toe", slide), assumed=True)
        scene.moved_along.update({name: (at, way * OUTLINE[name]) for name in toes})


def _reference(marks: Mapping[str, Place]) -> str:
    return next(name for name in ("toe_ground", "heel_ground", "toe_hairline", "heel_hairline") if name in marks)


def _held(shot: Shot, marks: Mapping[str, Place], source: ScaleSource) -> HeldCamera:
    roll, ruler = 0.0, shot.ruler
    if _has_ground_line(marks):
        a, b = sorted((marks["ground_a"], marks["ground_b"]))
        roll = math.degrees(math.atan2(b[1] - a[1], b[0] - a[0]))
    if source is ScaleSource.RULER and ruler is not None:
        focal = lens_prior(shot.photo_size, shot.focal_35mm, shot.edited).focal_px
        distance = focal * ruler.mm / max(1.0, math.dist(ruler.a, ruler.b))
        return HeldCamera(distance_mm=distance, distance_log=0.5, roll_deg=(roll, 15.0))
    return HeldCamera(roll_deg=(roll, 15.0))


def _has_ground_line(marks: Mapping[str, Place]) -> bool:
    return "ground_a" in marks and "ground_b" in marks


def floor_marks(shot: Shot, marks: Mapping[str, Place]) -> tuple[str, ...]:
    """Marks that stand on the floor: the horn's lower edge on a bare foot, the shoe's on a shod one."""
    names = ("shoe_toe", "shoe_heel") if shot.shod else ("toe_ground", "heel_ground")
    return tuple(name for name in names if name in marks)


def _floor_gaps(shot: Shot, marks: Mapping[str, Place], *, card: bool) -> dict[str, tuple[Gap, float]]:
    """What is known of the floor: a drawn ground line is level, and the foot stands on the same floor as the card.

    Without a card the floor is where the drawn ground line lies.
    """
    gaps: dict[str, tuple[Gap, float]] = {}
    drawn = _has_ground_line(marks)
    if drawn:
        gaps["ground line level"] = (
            lambda seen: seen["ground_b"][:, 1] - seen["ground_a"][:, 1],
            priors.FLOOR_MM * math.sqrt(2.0),
        )
    if not (card or drawn):
        return gaps

    def height(name: str) -> Gap:
        def above(seen: Points) -> Array:
            level = 0.0 if card else (seen["ground_a"][:, 1] + seen["ground_b"][:, 1]) / 2.0
            return np.asarray(seen[name][:, 1] - level)

        return above

    for name in floor_marks(shot, marks):
        gaps[f"floor at {name}"] = (height(name), priors.FLOOR_MM)
    return gaps


def _sorted_out(
    shot: Shot, found: Mapping[str, Quantity], *, floor: bool, scale: bool, unsolved: Refusal | None
) -> tuple[tuple[Quantity, ...], tuple[Refusal, ...]]:
    """Which of the view's measures can be had, and for the others why not."""
    kept, refused, marks = [], [], shot.marking.confirmed
    for name in (*NEEDS, *DERIVED):
        needed = [mark for base in DERIVED.get(name, (name,)) for mark in NEEDS[base]]
        if name not in MEASURES or (shot.from_inside and any(mark in HEEL_MARKS for mark in needed)):
            continue
        missing = [mark for mark in needed if mark not in marks]
        asked = name not in OPTIONAL or any(mark in marks for mark in OPTIONAL[name])
        if missing:
            if asked:
                refused.append(Refusal("marks_missing", {"marks": ", ".join(dict.fromkeys(missing))}, name))
        elif unsolved is not None:
            refused.append(Refusal(unsolved.code, unsolved.facts, name))
        elif not floor and name not in (*FLOOR_FREE, "bearing_length"):
            refused.append(Refusal("ground_line_missing", name=name))
        elif not scale and name.endswith(("_length", "_height")):
            refused.append(Refusal("scale_missing", name=name))
        elif name not in found:
            refused.append(Refusal("measure_not_solved", name=name))
        else:
            kept.append(found[name])
    return tuple(kept), tuple(refused)


def _wrong_way(shot: Shot, way: float) -> list[Remark]:
    expected = way_of_foot(shot)
    if shot.foot is None or expected is None or way == expected:
        return []
    return [Remark("toe_points_wrong_way", {"foot": shot.foot.value})]


def _drawing(solved: Solved, way: float) -> Drawing:
    """Walls as marked, the floor under the toe in the mid plane and under the near heel in its own, arcs between."""
    size, at = solved.shot.photo_size, solved.scene.at
    walls = [(f"{end}_ground", f"{end}_hairline") for end in ("toe", "heel")]
    walls = [(low, high) for low, high in walls if low in at and high in at]
    drawing = Drawing(float(size[0]), float(size[1])).plus(
        *(measured_line((at[low], at[high]), size) for low, high in walls)
    )
    if not walls or (solved.fit is None and not _has_ground_line(at)):
        return drawing
    ends = np.concatenate([_floor_under(solved, low, way) for low, _ in walls])
    places = [(float(p[0]), float(p[1])) for p in solved.scene.to_photo(solved.result.x, ends)]
    for i, (low, high) in enumerate(walls):
        ahead, behind = places[2 * i : 2 * i + 2]
        drawing = drawing.plus(ground_line((ahead, behind), size), angle_arc(at[low], behind, at[high], size))
    return drawing


def _floor_under(solved: Solved, low: str, way: float) -> Array:
    """Two points (2, 3) of the floor line through a ground mark, ahead of it and behind it, in the mark's own plane."""
    seen = solved.points
    both = {"heel_ground", "toe_ground"} <= set(seen)
    reach = abs(float(seen["heel_ground"][0] - seen["toe_ground"][0])) if both else 100.0
    ends = np.stack([seen[low], seen[low]])
    ends[:, 0] += np.array([-0.25, 0.8 if low == "toe_ground" else 0.35]) * way * reach
    if solved.fit is not None and not solved.shot.shod:
        ends[:, 1] = 0.0
    return ends
