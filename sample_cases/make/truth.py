"""Writes the truth beside each photo: camera, card, marks in millimetres and pixels, planes, measures."""

from __future__ import annotations

import json
import pathlib
from typing import Any

import card as cards
import case
import derive
import marks
import numpy as np
from cases import Plan, Setup, setup
from hoof import GroundSurface
from landmarks import side_marks, side_measures, sole_marks, sole_measures, true_planes
from sight import Sight

FRAMES = {
    "hoof": "mm; x from the toe on the ground towards the heel, y up, z from the mid plane to the foot's outside; "
    "left-handed for a right foot (rotations have determinant -1)",
    "card": "mm; OpenCV's board frame: origin at the pattern's top-left corner, x right, y down, z away from the viewer",
    "camera": "mm; x right, y down, z forward; x_camera = rotation_hoof_to_camera X + translation_mm",
    "photo": "px of the upright photo (EXIF orientation applied); centre of the top-left pixel is (0, 0)",
}
SEEN_FROM_INSIDE = (
    "mm; x from the toe on the ground towards the heel, y up, z from the mid plane to the foot's inside, where the "
    "lens is; left-handed for a left foot (rotations have determinant -1)"
)


def _rounded(value: Any, digits: int) -> Any:
    if isinstance(value, dict):
        return {key: _rounded(part, digits) for key, part in value.items()}
    if isinstance(value, list | tuple):
        return [_rounded(part, digits) for part in value]
    if isinstance(value, np.ndarray):
        return _rounded(value.tolist(), digits)
    return round(float(value), digits) if isinstance(value, float | np.floating) else value


def _camera(made: Setup) -> dict[str, Any]:
    camera = made.camera
    return {
        "focal_px": camera.focal_px,
        "principal_point_px": list(camera.principal_point),
        "k1": camera.k1,
        "k2": 0.0,
        "width": camera.width,
        "height": camera.height,
        "rotation_hoof_to_camera": camera.rotation,
        "translation_mm": camera.translation,
        "lens_height_mm": float(camera.centre[1]),
        "distance_mm": made.distance,
        "turn_deg": made.turn,
        "tilt_deg": made.tilt,
        "focal_35mm_tag": camera.focal_35mm_tag,
    }


def _card(plan: Plan, made: Setup) -> dict[str, Any]:
    if made.card_pose is None:
        return {"present": False, "face": None}
    rotation, translation = made.card_pose
    corners = made.camera.project(cards.inner_corners() @ rotation.T + translation)
    return {
        "present": True,
        "face": plan.face,
        "stands_on": "floor" if plan.standing else "foot",
        "board_to_hoof_rotation": rotation,
        "board_to_hoof_translation_mm": translation,
        "lean_deg": made.lean,
        "yaw_deg": made.yaw,
        "offset_mm": made.offset,
        **({"slipped_mm": plan.slipped} if plan.slipped else {}),
        "corners_px": {str(index): corner for index, corner in enumerate(corners)},
    }


def true_marks(plan: Plan, surface: GroundSurface) -> dict[str, np.ndarray]:
    return side_marks(plan.shape) if plan.standing else sole_marks(plan.shape, surface)


def truth(plan: Plan, sight: Sight, surface: GroundSurface) -> dict[str, Any]:
    """The truth of one photo as plain data, numbers not yet rounded."""
    made = setup(plan)
    points = true_marks(plan, surface)
    pixels = made.camera.project(np.array(list(points.values())))
    planes = true_planes(plan.shape, surface)
    seen = sight.visible(plan, made, points)
    measures = side_measures(points) if plan.standing else sole_measures(points, planes)
    if plan.shape.shod:
        measures["shoe_and_pad_height"] = plan.shape.floor_drop
    return {
        "version": 1,
        "file": pathlib.PurePosixPath(plan.name).name + ".jpg",
        "horse": plan.horse,
        "foot": plan.foot,
        "view": plan.view,
        **({"from_inside": True} if plan.from_inside else {}),
        "moment": plan.moment,
        "visit": plan.visit,
        "shod": plan.shape.shod,
        "set": plan.set_name.rsplit("/", 1)[-1] if plan.view == "solar" else None,
        "date_time_local": plan.taken.isoformat(),
        "offset_time": plan.offset,
        "frame": {**FRAMES, "hoof": SEEN_FROM_INSIDE} if plan.from_inside else FRAMES,
        "camera": _camera(made),
        "card": _card(plan, made),
        "foot_tag": cards.FOOT_TAGS[plan.foot] if plan.tag else None,
        "marks": {
            name: {"mm": point, "px": pixel, "visible": bool(seen[name])}
            for (name, point), pixel in zip(points.items(), pixels, strict=True)
        },
        "planes": planes,
        "measures": measures,
    }


def write_json(file: pathlib.Path, data: Any) -> None:
    file.parent.mkdir(parents=True, exist_ok=True)
    file.write_text(json.dumps(data, indent=1, ensure_ascii=False) + "\n", encoding="utf-8", newline="\n")


def photo_list(plans: list[Plan]) -> dict[str, Any]:
    made = [f"larkspur/faults/{fault['file']}" for fault in derive.FAULTS if "made_from" in fault]
    return {"version": 1, "rendered": [f"{plan.name}.jpg" for plan in plans], "derived": made}


def write_all(plans: list[Plan], out: pathlib.Path) -> None:
    """Truth beside every photo, marks files, the case's records and the list of all photos."""
    truths = {}
    for plan in plans:
        surface = GroundSurface(plan.shape)
        data = _rounded(truth(plan, Sight.of(plan.shape, surface), surface), 9)
        truths[plan.name] = data
        write_json(out / f"{plan.name}.truth.json", data)
    marks.write_marks_files(plans, truths, out)
    case.write_cases(out)
    write_json(out / "photos.json", photo_list(plans))
