"""From the photos of one set to sole concavity: the whole way, with what was noticed on it and what to draw."""

from __future__ import annotations

from collections.abc import Sequence
from types import MappingProxyType

import numpy as np

from hoofbook.measure.concavity.axes import foot_axes, turn_between
from hoofbook.measure.concavity.drawing import photo_drawing, section_drawing
from hoofbook.measure.concavity.measures import (
    EDGES,
    MEASURE,
    METHOD,
    Shape,
    Sizing,
    quantities_of,
    shape_of,
    sizing_of,
)
from hoofbook.measure.concavity.scaled import scale_lost
from hoofbook.measure.concavity.solving import FEWEST_MARKS, Solved, solve
from hoofbook.terms.drawing import Drawing
from hoofbook.terms.measured import Measured, Scale, ScaleSource, Shot
from hoofbook.terms.refusal import Fact, Refusal, Remark
from hoofbook.terms.views import Grade

ALL_CODES = (
    "set_needs_two_photos",
    "too_few_common_marks",
    "photos_do_not_join",
    "too_little_turn",
    "scale_lost",
    "sole_edge_needs_three_points",
    "wall_edge_needs_three_points",
    "frog_apex_missing",
    "sole_points_missing",
    "little_turn",
    "mark_far_off",
    "point_left_out",
    "card_moved_on_foot",
    "card_not_tested",
    "placing_larger_than_told",
    "scale_from_foot_width",
    "card_nearly_still",
    "photo_not_joined",
)
SECTION = "section"
LEAST_TURN_DEG = 6.0  # below, a click error of one pixel makes more than 2 mm of depth
WANTED_TURN_DEG = 25.0
LITTLE_TURN_DEG = 15.0

__all__ = ["ALL_CODES", "METHOD", "SECTION", "measure_set"]


def measure_set(shots: Sequence[Shot]) -> Measured:
    """Measures two to five sole photos of one set together.

    Quantities in mm: `sole_concavity_at_frog_apex`, `greatest_sole_concavity`, `mean_sole_concavity` by both
    definitions, `wall_above_sole`, `heel_separation`, `foot_width`, `foot_length`, `frog_width` where marked.
    Remarks, scales, grades and drawings go by photo key; the drawing "section" is the side panel's section from heel
    to toe. Whatever cannot be measured is refused with a code of `ALL_CODES`.
    """
    solved = solve(shots)
    if isinstance(solved, Refusal):
        return _refused(solved)
    turn = turn_between(solved)
    if turn < LEAST_TURN_DEG:
        return _refused(Refusal("too_little_turn", {"turn_deg": turn, "wanted_deg": WANTED_TURN_DEG}))
    remarks = _remarks(solved, shots, turn)
    sizing = None if len(solved.held) >= 2 else sizing_of(solved)
    if len(solved.held) < 2 and sizing is None:
        return Measured(
            refusals=(scale_lost(solved),),
            remarks=_frozen(remarks),
            grades=MappingProxyType({shot.key: Grade.ANGLES_AND_RATIOS for shot in shots}),
        )
    shape = shape_of(solved)
    quantities, refusals = quantities_of(shape, sizing)
    _remark_sizing(solved, sizing, remarks)
    _remark_left_out(shape, remarks, shots)
    size = 1.0 if sizing is None else sizing.mm_per_unit(shape)
    source = ScaleSource.CARD if sizing is None or sizing.width is None else ScaleSource.FOOT_WIDTH
    return Measured(
        quantities=tuple(quantities),
        refusals=tuple(refusals),
        remarks=_frozen(remarks),
        scales=MappingProxyType(_scales(shape, size, source)),
        grades=MappingProxyType({shot.key: Grade.FULL for shot in solved.gathered.shots}),
        drawings=MappingProxyType(_drawings(shape, size)),
    )


def _refused(refusal: Refusal) -> Measured:
    return Measured(refusals=(Refusal(refusal.code, refusal.facts, MEASURE),))


def _frozen(remarks: dict[str, list[Remark]]) -> MappingProxyType[str, tuple[Remark, ...]]:
    return MappingProxyType({key: tuple(found) for key, found in remarks.items() if found})


def _remark_sizing(solved: Solved, sizing: Sizing | None, remarks: dict[str, list[Remark]]) -> None:
    for found in remarks.values() if sizing is not None else ():
        if solved.nearly is not None:
            found.append(Remark("card_nearly_still", {"mm": solved.nearly.moved_mm}))
        elif sizing is not None and sizing.width is not None:
            found.append(
                Remark("scale_from_foot_width", {"width_mm": sizing.width, "u_mm": sizing.share * sizing.width})
            )


def _remarks(solved: Solved, shots: Sequence[Shot], turn: float) -> dict[str, list[Remark]]:
    remarks: dict[str, list[Remark]] = {shot.key: [] for shot in solved.gathered.shots}
    for shot in shots:
        if shot.key not in remarks:
            remarks[shot.key] = [Remark("photo_not_joined", {"needed": FEWEST_MARKS})]
    for far in solved.far_off:  # a photo may be left with too few marks without it
        facts: dict[str, Fact] = {"mark": far.mark, "photo": far.photo, "px": far.px, "certain": far.certain}
        remarks[far.photo].append(Remark("mark_far_off", facts))
    for key, moved in solved.slipped:
        remarks[key].append(Remark("card_moved_on_foot", {"photo": key, "mm": moved}))
    for found in (remarks[shot.key] for shot in solved.gathered.shots):
        if not solved.tested and solved.has_scale:
            found.append(Remark("card_not_tested", {"common": solved.problem.points}))
        if solved.widened > 1.0:
            found.append(Remark("placing_larger_than_told", {"factor": solved.widened}))
        if turn < LITTLE_TURN_DEG:
            found.append(Remark("little_turn", {"turn_deg": turn, "wanted_deg": WANTED_TURN_DEG}))
    return remarks


def _remark_left_out(shape: Shape, remarks: dict[str, list[Remark]], shots: Sequence[Shot]) -> None:
    """Names points left out of an edge's plane in the photos that show them."""
    for definition, plane in shape.planes.items():
        for name, distance in plane.left_out:
            facts: dict[str, Fact] = {"mark": name, "mm": distance, "edge": EDGES[definition]}
            for shot in shots:
                if name in shot.marking.confirmed:
                    remarks[shot.key].append(Remark("point_left_out", facts))


def _scales(shape: Shape, size: float, source: ScaleSource) -> dict[str, Scale]:
    """How each photo was taken; turn about the foot's long axis and tilt about its cross axis, from square to the sole.

    Without an edge's plane, or without marks that show where the toe is, both angles are None.
    """
    solved, found = shape.solved, {}
    middle = solved.state.points.mean(axis=0)
    axes = foot_axes(shape)
    for photo, shot in enumerate(solved.gathered.shots):
        pose, camera = solved.state.pose(photo), solved.state.camera(solved.problem, photo)
        away = pose.lens - middle
        turn = tilt = None
        if axes is not None:
            toward_toe, outward, above = (float(value) for value in axes * [[1.0], [1.0], [-1.0]] @ away)
            turn = float(np.degrees(np.arctan2(outward, above)))
            tilt = float(np.degrees(np.arctan2(toward_toe, np.hypot(outward, above))))
        here = solved.problem.photo_of == photo
        found[shot.key] = Scale(
            source=source,
            px_per_mm=camera.focal_px / (float(pose.to_camera(middle)[2]) * size),
            turn_deg=turn,
            tilt_deg=tilt,
            distance_mm=float(np.linalg.norm(away)) * size,
            focal_px=camera.focal_px,
            misfit=float(np.sqrt(np.mean(solved.rows.marks[here] ** 2))) if here.any() else None,
        )
    return found


def _drawings(shape: Shape, size: float) -> dict[str, Drawing]:
    drawings = {
        shot.key: photo_drawing(shape, photo) for photo, shot in enumerate(shape.solved.gathered.shots) if shape.planes
    }
    section = section_drawing(shape, size)
    if section is not None:
        drawings[SECTION] = section
    return drawings
