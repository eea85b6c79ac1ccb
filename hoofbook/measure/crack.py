"""New whole horn above a crack: the straight distance from the hairline above the crack down to the crack's top.

Frame *hoof, side view* (millimetres; x along the floor, y up, z from the mid plane towards the camera), whichever side
the lens stood on: marks `crack_hairline` and `crack_top`, seen along the foot's cross axis like every length of the
side view. The wall leans outwards, so the length on the horn itself is longer by 1 / cos of that lean, 1 to 2 in 100
at a quarter and the same at every visit.

*Planes.* Both marks lie on the near wall, a foot's half width towards the camera, and the lower one further out by the
wall's flare. A card told to stand at the near wall stands in their plane: then they lie at the card's own distance
from the mid plane, and how wide the foot is does not count.

*Signed.* The horn grows from the hairline, so the distance counts along the wall downwards: with v the way from
`crack_hairline` to `crack_top` and r the run of the horn (unit vector, down the wall),

    length = v . d,  d = (w^2 r + (v . r) v) / |w^2 r + (v . r) v|,  w = 5 mm.

For a crack well below the hairline d is the line through the marks and the length their distance. Where the crack
still reaches the hairline the true length is 0 and the two marks fall together but for the error of placing; their
bare distance would then always be positive (a Rayleigh mean of 1.25 standard deviations). The signed one changes its
sign with v, so it is as often below 0 as above and right on average. At v = 0 the direction is r and the length 0,
with the standard uncertainty of placing two marks; a top marked far above the hairline is refused.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import replace

import numpy as np

from hoofbook.measure import priors
from hoofbook.measure.camera import CardFit, lens_prior
from hoofbook.measure.figures import Place, measured_line
from hoofbook.measure.floor_check import ALL_CODES as DOUBT_CODES
from hoofbook.measure.projection import Array
from hoofbook.measure.scene import HeldCamera, Points, Scene, scene_with_card, scene_without_card, standing_card
from hoofbook.measure.solving import Gap, Solved, add_ruler, find_scale, quantities, scale_of, solve, with_ruler
from hoofbook.terms.drawing import Drawing, Line
from hoofbook.terms.measured import Measured, ScaleSource, Shot
from hoofbook.terms.quantity import Quantity
from hoofbook.terms.refusal import Refusal
from hoofbook.terms.views import CardPlane

METHOD = "new horn 1"
MEASURE = "new_horn_length"
HAIRLINE, TOP = "crack_hairline", "crack_top"
MARKS = (HAIRLINE, TOP)
ALL_CODES = ("crack_above_hairline",)
_ABOVE = 3.0  # standard uncertainties above the hairline: no error of placing


def without_crack(marks: Mapping[str, Place]) -> dict[str, Place]:
    """The marks of the side view itself."""
    return {name: place for name, place in marks.items() if name not in MARKS}


def asked(marks: Mapping[str, Place]) -> bool:
    return any(name in marks for name in MARKS)


def with_crack(measured: Measured, shot: Shot, marks: Mapping[str, Place], way: float | None) -> Measured:
    """What the side view gave, and with it the new horn above the crack or why it cannot be had."""
    if not asked(marks):
        return measured
    doubted = any(remark.code in DOUBT_CODES for remark in measured.remarks[shot.key])
    solved = solve_crack(shot, marks, way, doubted=doubted)
    if isinstance(solved, Refusal):
        return replace(measured, refusals=(*measured.refusals, solved))
    found = quantity_of(solved)
    drawing = measured.drawings.get(shot.key) or Drawing(float(shot.photo_size[0]), float(shot.photo_size[1]))
    more = replace(
        measured,
        quantities=(*measured.quantities, *([found] if found else [])),
        drawings={shot.key: drawing.plus(*crack_line(solved))},
    )
    if not all(name in MARKS for name in marks):
        return more
    scale = scale_of(solved)
    remarks = (*measured.remarks[shot.key], *solved.remarks)
    return replace(more, scales={shot.key: scale}, remarks={shot.key: remarks})


def solve_crack(
    shot: Shot, marks: Mapping[str, Place], way: float | None, *, doubted: bool = False
) -> Solved | Refusal:
    """The two marks in millimetres. `way` as in the side view, None where neither marks nor foot tell it.

    Refused: `marks_missing`, `scale_missing`, `measure_not_solved`, `crack_above_hairline`.
    """
    missing = [name for name in MARKS if name not in marks]
    if missing:
        return Refusal("marks_missing", {"marks": ", ".join(missing)}, MEASURE)
    source, fit, _ = find_scale(shot)
    if source is ScaleSource.NONE or (fit is None and shot.ruler is None):
        return Refusal("scale_missing", name=MEASURE)
    own = {name: marks[name] for name in MARKS}
    gaps: dict[str, tuple[Gap, float]] = {}
    if fit is not None:
        scene = scene_with_card(shot, fit, own, standing_card(shot, doubted))
    else:
        focal = lens_prior(shot.photo_size, shot.focal_35mm, shot.edited).focal_px
        held = HeldCamera(distance_mm=focal / max(px_per_mm_of(shot, fit) or 0.0, 0.01), distance_log=0.5)
        scene = scene_without_card(shot, with_ruler(shot, own), HAIRLINE, held)
        add_ruler(scene, gaps)
    add_depths(scene, px_per_mm_of(shot, fit), doubted=doubted)
    run = run_of_horn(way)
    solved = solve(scene, gaps, lambda seen: {MEASURE: down_the_wall(seen, run)}, source=source, fit=fit, method=METHOD)
    if isinstance(solved, Refusal):
        return Refusal(solved.code, solved.facts, MEASURE)
    found = quantity_of(solved)
    if found is None or not solved.result.converged:
        return Refusal("measure_not_solved", name=MEASURE)
    if found.value < -_ABOVE * found.u:
        return Refusal("crack_above_hairline", name=MEASURE)
    return solved


def quantity_of(solved: Solved) -> Quantity | None:
    return quantities(solved, {}).get(MEASURE)


def run_of_horn(way: float | None) -> Array:
    """Unit vector (2,) down the wall, x along the floor and y up; straight down where nothing tells the toe's side."""
    rise = math.radians(90.0 if way is None else priors.HORN_RUN_DEG)
    return np.array([-(way or 0.0) * math.cos(rise), -math.sin(rise)])


def down_the_wall(seen: Points, run: Array) -> Array:
    """Signed length (batch,) of the module's text, from marks (batch, 3) and the run of the horn (2,)."""
    apart = seen[TOP][:, :2] - seen[HAIRLINE][:, :2]
    along = priors.HORN_RUN_WEIGHT_MM**2 * run + (apart @ run)[:, None] * apart
    return np.asarray(np.sum(apart * along, axis=1) / np.linalg.norm(along, axis=1))


def px_per_mm_of(shot: Shot, fit: CardFit | None) -> float | None:
    """Roughly, to tell how far the lower mark stands out; None where the photo has no scale."""
    if fit is not None:
        return fit.px_per_mm
    return None if shot.ruler is None else math.dist(shot.ruler.a, shot.ruler.b) / shot.ruler.mm


def add_depths(scene: Scene, px_per_mm: float | None, *, doubted: bool = False) -> None:
    """The planes of the crack's marks: the near wall, the lower mark further out by the wall's flare."""
    shot, photo = scene.shot, f"photo {scene.shot.key}"
    if not any(name in scene.names for name in MARKS):
        return
    beside = shot.card_plane is CardPlane.NEAR_WALL and not doubted and "offset" in scene.places
    planes: tuple[int, ...]
    if beside:
        plane = scene.inputs.add(0.0, (f"{photo} crack from the card's plane", priors.CRACK_FROM_CARD_MM), assumed=True)
        planes = (plane, scene.places["offset"])
    else:
        foot = f"foot {shot.foot or shot.key} half width at the crack"
        planes = (scene.inputs.add(priors.NEAR_WALL_MM, (foot, priors.OFFSET_NEAR_WALL_MM), assumed=True),)
    lower = 0.0
    if px_per_mm and all(name in scene.names for name in MARKS):
        lower = math.dist(scene.at[HAIRLINE], scene.at[TOP]) / px_per_mm
    flare = scene.inputs.add(
        priors.WALL_FLARE * lower, (f"{photo} flare of the wall", priors.WALL_FLARE_U * lower), assumed=True
    )
    for name in MARKS:
        if name in scene.names:
            own = (f"{photo} depth {name}", priors.CRACK_EACH_MM)
            scene.add_depth(name, 0.0, own, on_top_of=(*planes, flare) if name == TOP else planes)


def crack_line(solved: Solved) -> list[Line]:
    """The measured line down the wall, none where the two marks lie on one spot."""
    ends = [solved.scene.at[name] for name in MARKS]
    return [measured_line(ends, solved.shot.photo_size)] if math.dist(*ends) >= 1.0 else []
