"""The true surface of the rendered soles, from the parametric hoof of sample_cases/make, beside a measured map.

Nothing of it is computed by the program: the hoof is a formula, its frame is tied to the map by the marked points.
"""

from __future__ import annotations

import importlib
import json
import sys
from dataclasses import dataclass, replace
from pathlib import Path
from types import ModuleType
from typing import Any

import cv2
import numpy as np
from numpy.typing import NDArray

from hoofbook.casework.sole_shape import sole_shape
from hoofbook.measure.concavity.gathering import TIE
from hoofbook.measure.concavity.measures import Shape
from hoofbook.measure.concavity.surface import grid_of
from hoofbook.terms.marks import Mark, Marking
from hoofbook.terms.measured import Told
from hoofbook.terms.refusal import Refusal
from hoofbook.terms.sole_shape import SoleShape

from .hard_sets import HARD
from .test_sample_sets import CASES, SETS, shot_of, true_marks, true_sighting, truths

Array = NDArray[np.float64]
MAKE = CASES / "make"
ALL = {**SETS, **HARD}


def maker(name: str) -> ModuleType:
    """A module of the script that made the photos."""
    if str(MAKE) not in sys.path:
        sys.path.append(str(MAKE))
    return importlib.import_module(name)


@dataclass(frozen=True)
class Compared:
    """A map with the true depths at its cells, from both edges; `cells` = measured ones of the sole."""

    sole: SoleShape
    true: Array
    cells: NDArray[np.bool_]
    true_from_wall: Array

    @property
    def errors(self) -> Array:
        return np.asarray((self.sole.depth - self.true)[self.cells])

    def covered(self, every_mm: float = 10.0, factor: float = 1.959964) -> NDArray[np.bool_]:
        """Whether the interval of each cell, `every_mm` apart, holds the truth."""
        step = round(every_mm / self.sole.step)
        some = (slice(step // 4, None, step),) * 2
        here = self.cells[some]
        return np.asarray((np.abs(self.sole.depth - self.true)[some] <= factor * self.sole.u[some])[here])


def placed_marks(path: Path) -> Marking:
    """The marks of a photo as its marks file has them: truth with seeded placing errors."""
    photo = path.name.removesuffix(".truth.json") + ".jpg"
    for file in path.parent.glob("*.marks.json"):
        for entry in json.loads(file.read_text(encoding="utf-8"))["photos"]:
            if Path(entry["file"]).name == photo:
                return Marking({name: Mark(*at) for name, at in entry["marks"].items()})
    raise AssertionError(path)


def true_shape(name: str) -> Any:
    """The parametric hoof of a set."""
    scenario = maker("scenario")
    if name.startswith("checks"):
        return scenario.wall_longer()
    if name.startswith("hard"):
        return scenario.toe_rolled() if "toe-rolled" in name else scenario.after_trim("LF", 7)
    _, visit, foot = name.split("/")
    return scenario.after_trim(foot[:2].upper(), int(visit.removeprefix("visit-")))


def measured(name: str, *, placed: bool, width: Told | None = None) -> tuple[SoleShape, Shape] | Refusal:
    paths = ALL[name]
    facts = truths(paths)
    marks = [placed_marks(path) if placed else true_marks(truth) for path, truth in zip(paths, facts, strict=True)]
    shots = [
        replace(shot_of(p, t, true_sighting(t), m, 0.5), foot_width=width)
        for p, t, m in zip(paths, facts, marks, strict=True)
    ]
    greys = {}
    for path, shot in zip(paths, shots, strict=True):
        grey = cv2.imread(str(path).removesuffix(".truth.json") + ".jpg", cv2.IMREAD_GRAYSCALE)
        assert grey is not None
        greys[shot.key] = np.asarray(grey, np.uint8)
    work = sole_shape(shots, greys)
    while True:
        try:
            next(work)
        except StopIteration as done:
            return done.value  # type: ignore[no-any-return]


def compared(name: str, *, placed: bool, width: Told | None = None) -> Compared:
    found = measured(name, placed=placed, width=width)
    assert not isinstance(found, Refusal), found
    sole, shape = found
    points = _hoof_points(name, sole, shape)
    hoof = maker("hoof").GroundSurface(true_shape(name))
    along, aside = points[..., 0], points[..., 2]
    height, _ = hoof.evaluate(along, aside)
    planes, places = truths(ALL[name])[0]["planes"], np.stack([along, height, aside], axis=-1)
    true, from_wall = (
        (places - np.array(planes[edge]["point"])) @ np.array(planes[edge]["normal"])
        for edge in ("sole_edge", "wall_edge")
    )
    distance, place = hoof.nearest(along, aside)
    inside = distance - hoof.wall_thickness(place) - hoof.white_line > 0.0
    return Compared(sole, true, np.isfinite(sole.depth) & sole.inside & inside, from_wall)


def _hoof_points(name: str, sole: SoleShape, shape: Shape) -> Array:
    """The map's points in frame hoof: the marks solved tied to the true marks by turn and shift alone (Kabsch 1976),
    mirrored for a right foot."""
    facts = truths(ALL[name])
    names = [each for each in shape.names if not each.startswith(TIE)]
    own = shape.solved.state.points[[shape.names.index(each) for each in names]]
    true = np.array([next(t["marks"][each]["mm"] for t in facts if each in t["marks"]) for each in names])
    left, _, right = np.linalg.svd((own - own.mean(axis=0)).T @ (true - true.mean(axis=0)))
    turn = (left @ right).T
    grid = grid_of(shape, sole.step)
    assert not isinstance(grid, Refusal)
    apex = grid.local(own[names.index("frog_apex")][None])[0]
    rows, columns = np.indices(sole.depth.shape)
    local = np.stack(
        [
            apex[0] + sole.first[0] + sole.step * rows,
            apex[1] + sole.first[1] + sole.step * columns,
            np.nan_to_num(sole.depth),
        ],
        axis=-1,
    )
    foot = grid.origin + local @ grid.axes
    return np.asarray((foot - own.mean(axis=0)) @ turn.T + true.mean(axis=0))
