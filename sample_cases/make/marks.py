"""Marks files as a careful person would have placed them: truth plus seeded placing errors, stated in the file."""

from __future__ import annotations

import pathlib
import posixpath
import zlib
from typing import Any

import numpy as np
from cases import Plan, hard_sets

HAIR = ("toe_hairline", "heel_hairline", "pastern_lower", "pastern_upper", "crack_hairline", "crack_top")
PLACING_PX = {"solar": 0.5, "lateral": 1.0}
HAIR_PX = 2.0


def placing_spread(view: str, name: str) -> float:
    """Standard deviation, in px on each axis, of placing this mark."""
    return HAIR_PX if view == "lateral" and name in HAIR else PLACING_PX[view]


def _photo(plan: Plan, truth: dict[str, Any], folder: pathlib.PurePosixPath) -> dict[str, Any]:
    seed = zlib.crc32(f"{plan.name}:placing".encode())
    random = np.random.default_rng(seed)
    placed = {}
    for name, mark in truth["marks"].items():
        error = random.normal(0.0, placing_spread(plan.view, name), 2)
        if mark["visible"]:
            placed[name] = [round(float(value), 1) for value in np.array(mark["px"]) + error]
    relative = posixpath.relpath(f"{plan.name}.jpg", folder)
    photo: dict[str, Any] = {"file": relative, "view": plan.view}
    if plan.card != "none":
        photo["card_plane"] = ("near wall" if plan.card == "beside" else "mid-line") if plan.standing else "unsure"
        photo["card_stands_on"] = "floor" if plan.standing else "foot"
    if plan.view == "solar":
        photo["set"] = "sole" if plan.card != "none" else "sole without card"
    if plan.from_inside:
        photo["from_inside"] = True
    if plan.shape.shod:
        photo["shod"] = True
    spread = (
        PLACING_PX[plan.view]
        if plan.view == "solar"
        else round(float(np.hypot(PLACING_PX["lateral"], HAIR_PX) / np.sqrt(2)), 2)
    )
    photo.update(
        placing_px=spread,
        placing_px_by_kind={
            "edges": PLACING_PX[plan.view],
            "hairline": HAIR_PX if plan.view == "lateral" else PLACING_PX["solar"],
        },
        placing_errors_added={"seed": seed, "distribution": "normal, independent in x and y"},
        marks=placed,
    )
    return photo


def _file_name(plan: Plan) -> str:
    suffix = "-no-card" if plan.card == "none" else ""
    return f"{plan.foot.lower()}-{plan.moment.split()[0]}{suffix}.marks.json"


def _head(plan: Plan) -> dict[str, Any]:
    return {
        "version": 1,
        "horse": plan.horse,
        "foot": "LF" if plan.name.endswith("filed-as-lf") else plan.foot,
        "moment": plan.moment,
        "date": plan.taken.date().isoformat(),
        "photos": [],
    }


def write_marks_files(plans: list[Plan], truths: dict[str, dict[str, Any]], out: pathlib.Path) -> None:
    """One marks file for each foot, visit and moment; faults and checks have their own, every hard set one."""
    from truth import write_json

    files: dict[pathlib.PurePosixPath, dict[str, Any]] = {}
    for plan in plans:
        folder = pathlib.PurePosixPath(plan.name).parent
        if folder.parts[0] == "hard":
            continue
        name = _file_name(plan) if folder.name != "faults" else f"{pathlib.PurePosixPath(plan.name).name}.marks.json"
        files.setdefault(folder / name, _head(plan))["photos"].append(_photo(plan, truths[plan.name], folder))
    for name, members in hard_sets(plans).items():
        file = pathlib.PurePosixPath(f"{name}.marks.json")
        photos = [_photo(plan, truths[plan.name], file.parent) for plan in members]
        files[file] = {**_head(members[0]), "photos": photos}
    for file, data in files.items():
        write_json(out / file, data)
