"""True marks, planes and measures of a foot from its shape (hoof frame, mm)."""

from __future__ import annotations

import fissure
import numpy as np
from hoof import HALF_STEPS, GroundSurface, HoofShape, ground_edge

RIM_PLACES = (-0.93, -0.76, -0.6, -0.43, -0.26, -0.09, 0.09, 0.26, 0.43, 0.6, 0.76, 0.93)
EDGE_PLACES = (-0.84, -0.7, -0.55, -0.4, -0.24, -0.08, 0.08, 0.24, 0.4, 0.55, 0.7, 0.84)
SOLE_SPREAD = (
    (16.5, 0.0),
    (20.0, -19.0),
    (20.0, 19.0),
    (29.0, -7.0),
    (29.0, 7.0),
    (34.0, -31.0),
    (34.0, 31.0),
    (48.0, -23.0),
    (48.0, 23.0),
    (62.0, -38.0),
    (62.0, 38.0),
    (27.0, 26.0),
)


def side_marks(shape: HoofShape) -> dict[str, np.ndarray]:
    """Marks of a side view; with a crack in the near quarter also those of the crack."""
    drop = np.array([0.0, shape.floor_drop, 0.0])
    toe, hair = np.zeros(3), shape.toe_hairline
    marks = {
        "toe_ground": toe + drop,
        "toe_hairline": hair + drop,
        "heel_ground": shape.heel_ground + drop,
        "heel_hairline": shape.heel_hairline + drop,
        "dorsal_wall_mid": 0.5 * (toe + hair) + drop,
    }
    slope = np.radians(shape.toe_angle + 1.5)
    along = np.array([np.cos(slope), np.sin(slope), 0.0])
    marks["pastern_lower"], marks["pastern_upper"] = (hair + along * reach * shape.leg + drop for reach in (42.0, 92.0))
    if shape.shod:
        marks["shoe_toe"] = np.array([-0.8, 0.0, 0.0])
        marks["shoe_heel"] = np.array([shape.bearing_length, 0.0, shape.heel_half_width])
    if shape.crack is not None:
        marks["crack_hairline"] = fissure.place(shape, 0.0) + drop
        marks["crack_top"] = fissure.place(shape, shape.crack.top) + drop
    return marks


def sole_marks(shape: HoofShape, surface: GroundSurface) -> dict[str, np.ndarray]:
    """Marks of a sole photo."""
    outline, edge_of_wall = surface.outline, ground_edge(shape)
    marks = {}
    for number, (rim, edge) in enumerate(zip(RIM_PLACES, EDGE_PLACES, strict=True), 1):
        marks[f"rim_{number:02d}"] = edge_of_wall[round((rim + 1) * HALF_STEPS)]
        marks[f"sole_edge_{number:02d}"] = surface.sole_edge_point(edge)
    marks["frog_apex"] = surface.point(shape.frog_apex_x, 0.0)
    for number, (x, z) in enumerate(SOLE_SPREAD, 1):
        marks[f"sole_{number:02d}"] = surface.point(x, z)
    marks["toe_tip"] = edge_of_wall[len(edge_of_wall) // 2]
    for name, side in (("medial", -1.0), ("lateral", 1.0)):
        marks[f"heel_{name}"] = shape.heel_ground * np.array([1.0, 1.0, side])
        x, z = outline[(outline[:, 1] * side).argmax()]
        marks[f"widest_{name}"] = np.array([x, 0.0, z])
        base = shape.bearing_length - 5.0
        half = float(surface.frog_half_width(np.array([base]))[0]) - 2.0
        marks[f"frog_base_{name}"] = surface.point(base, side * half)
    return marks


def _angle(low: np.ndarray, high: np.ndarray) -> float:
    rise = high - low
    return float(np.degrees(np.arctan2(rise[1], rise[0])))


def side_measures(marks: dict[str, np.ndarray]) -> dict[str, float]:
    """Side-view measures in the x-y plane (projected along the foot's cross axis z).

    Heights are of horn: above the horn's own ground edge (equal to the floor on a bare foot).
    """
    toe, toe_hair, heel, heel_hair = (
        marks[name] for name in ("toe_ground", "toe_hairline", "heel_ground", "heel_hairline")
    )
    toe_angle, heel_angle = _angle(toe, toe_hair), _angle(heel, heel_hair)
    found = {
        "toe_angle": toe_angle,
        "heel_angle": heel_angle,
        "toe_heel_angle_difference": toe_angle - heel_angle,
        "toe_length": float(np.hypot(*(toe_hair - toe)[:2])),
        "heel_length": float(np.hypot(*(heel_hair - heel)[:2])),
        "toe_height": float((toe_hair - toe)[1]),
        "heel_height": float((heel_hair - heel)[1]),
        "bearing_length": float(np.hypot(*(heel - toe)[:2])),
        "coronary_band_angle": float(np.degrees(np.arctan2(toe_hair[1] - heel_hair[1], heel_hair[0] - toe_hair[0]))),
    }
    if "crack_top" in marks:
        found["new_horn_length"] = float(np.hypot(*(marks["crack_top"] - marks["crack_hairline"])[:2]))
    return found


def sole_measures(marks: dict[str, np.ndarray], planes: dict[str, dict[str, list[float]]]) -> dict[str, object]:
    """Sole measures; concavity is positive into the foot, from both planes."""
    heels = marks["heel_medial"], marks["heel_lateral"]
    bases = marks["frog_base_medial"], marks["frog_base_lateral"]
    measures: dict[str, object] = {
        "foot_length": float(np.linalg.norm((heels[0] + heels[1]) / 2 - marks["toe_tip"])),
        "foot_width": float(marks["widest_lateral"][2] - marks["widest_medial"][2]),
        "frog_length": float(np.linalg.norm((bases[0] + bases[1]) / 2 - marks["frog_apex"])),
        "frog_width": float(np.linalg.norm(bases[1] - bases[0])),
        "heel_separation": float(np.linalg.norm(heels[1] - heels[0])),
    }
    surface_names = ["frog_apex", *(name for name in marks if name.startswith("sole_") and "edge" not in name)]
    above = {}
    for plane, key in (("sole_edge", "from_sole_edge"), ("wall_edge", "from_wall_edge")):
        point, normal = (np.array(planes[plane][part]) for part in ("point", "normal"))
        depth = [float((marks[name] - point) @ normal) for name in surface_names]
        measures[f"sole_concavity_at_frog_apex_{key}"] = depth[0]
        measures[f"greatest_sole_concavity_{key}"] = max(depth)
        measures[f"mean_sole_concavity_{key}"] = float(np.mean(depth))
        above[key] = depth[0]
    measures["wall_above_sole"] = above["from_wall_edge"] - above["from_sole_edge"]
    return measures


def true_planes(shape: HoofShape, surface: GroundSurface) -> dict[str, dict[str, list[float]]]:
    """Planes as point and unit normal; the sole planes' normals point into the foot."""
    edge = surface.sole_edge_point(0.0)
    lift = shape.floor_drop
    return {
        "ground": {"point": [0.0, 0.0, 0.0], "normal": [0.0, 1.0, 0.0]},
        "mid": {"point": [0.0, 0.0, 0.0], "normal": [0.0, 0.0, 1.0]},
        "sole_edge": {"point": (edge + [0, lift, 0]).tolist(), "normal": surface.edge_normal().tolist()},
        "wall_edge": {"point": [0.0, lift, 0.0], "normal": [0.0, 1.0, 0.0]},
    }
