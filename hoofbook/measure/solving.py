"""One view solved: what the views share between the scene's chain and the quantities that come out."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field

import numpy as np

from hoofbook.measure import priors
from hoofbook.measure.camera import CardFit, fit_card
from hoofbook.measure.estimate import Estimate, estimate
from hoofbook.measure.projection import Array
from hoofbook.measure.scene import Points, Scene, card_offset, view_turn
from hoofbook.measure.uncertainty import assumed_sources, difference, ratio, signed_parts
from hoofbook.terms.measured import Scale, ScaleSource, Shot
from hoofbook.terms.quantity import MEASURES, Definition, Quantity, Unit
from hoofbook.terms.refusal import Refusal, Remark
from hoofbook.terms.views import View

Outputs = Callable[[Points], dict[str, Array]]
Gap = Callable[[Points], Array]

ALL_CODES = (
    "marks_missing",
    "scale_missing",
    "ground_line_missing",
    "measure_not_solved",
    "turned_view",
    "turned_too_far",
    "too_few_pixels",
    "lens_too_near",
)
TURNED_DEG, TURNED_TOO_FAR_DEG = 8.0, 15.0
TILTED_DEG, TILTED_TOO_FAR_DEG = 20.0, 30.0  # looking down at a foot from a hand or two above the floor is usual
FEWEST_PX_PER_MM = 3.0
NEAREST_MM = {View.LATERAL: 776.0}  # 0.8 m less what the focal length leaves open


@dataclass(slots=True, eq=False)
class Solved:
    """A photo solved: inputs at their most probable, the marks (3,) in frame scene, outputs with their errors."""

    scene: Scene
    source: ScaleSource
    fit: CardFit | None
    result: Estimate
    points: dict[str, Array]
    names: tuple[str, ...]
    gap_names: tuple[str, ...]
    method: str
    remarks: list[Remark] = field(default_factory=list)

    @property
    def shot(self) -> Shot:
        return self.scene.shot

    def value(self, name: str) -> float:
        return float(self.result.outputs[self.names.index(name)])


def solve(
    scene: Scene,
    gaps: Mapping[str, tuple[Gap, float]],
    outputs: Outputs,
    *,
    source: ScaleSource,
    fit: CardFit | None,
    method: str,
) -> Solved | Refusal:
    """Weighs everything. `gaps`: name to a function of the marks that should be 0, and its spread."""
    probe = outputs(scene.points(scene.inputs.mean[None]))
    spreads = np.array([spread for _, spread in gaps.values()])
    functions = [gap for gap, _ in gaps.values()]

    def chain(x: Array) -> tuple[Array, Array]:
        seen = scene.points(x)
        apart = np.stack([gap(seen) for gap in functions], axis=1) if functions else np.zeros((len(x), 0))
        return apart / spreads, np.stack(list(outputs(seen).values()), axis=1)

    if not probe:
        return Refusal("marks_missing", name="")
    result = estimate(scene.inputs, chain)
    if not (result.converged and np.isfinite(result.outputs).all() and np.isfinite(result.parts).all()):
        return Refusal("measure_not_solved")
    points = {name: place[0] for name, place in scene.points(result.x[None]).items()}
    solved = Solved(scene, source, fit, result, points, tuple(probe), tuple(gaps), method)
    solved.remarks.extend(fit.remarks if fit is not None else ())
    return solved


def quantities(
    solved: Solved,
    derived: Mapping[str, tuple[str, str]],
    *,
    definition: Definition = Definition.ONE,
) -> dict[str, Quantity]:
    """Outputs as quantities by name; differences and ratios are derived from their parts, never kept by themselves."""
    shot, inputs = solved.shot, solved.scene.inputs
    sources = (*inputs.sources, *(f"photo {shot.key} {name}" for name in solved.gap_names))
    defaults = dict(zip(inputs.sources, inputs.assumed, strict=True))
    shares = solved.result.parts.tolist()
    found: dict[str, Quantity] = {}
    for row, name in enumerate(solved.names):
        parts = signed_parts(sources, shares[row], f"photo {shot.key} {name} small parts")
        found[name] = Quantity(
            name=name,
            value=float(solved.result.outputs[row]),
            unit=MEASURES.get(name, Unit.DEG if name.endswith("_angle") else Unit.MM),
            parts=parts,
            definition=definition,
            view=shot.view.value,
            photos=(shot.key,),
            method=solved.method,
            assumed=assumed_sources(parts, defaults),
        )
    for name, (a, b) in derived.items():
        if a in found and b in found:
            found[name] = (ratio if MEASURES[name] is Unit.RATIO else difference)(found[a], found[b], name)
    return found


def scale_of(solved: Solved) -> Scale:
    """How the photo got its millimetres and from where it was taken, at the middle of the marks; adds its remarks."""
    shot, lens = solved.shot, solved.scene.lens(solved.result.x)
    marked = [place for name, place in solved.points.items() if not name.startswith(("ground_", "ruler_"))]
    middle = np.mean(marked, axis=0)
    turn, tilt = view_turn(lens, middle)
    distance = float(np.linalg.norm(lens - middle))
    focal = solved.scene.camera(solved.result.x).focal_px
    if solved.source is ScaleSource.NONE:
        return Scale(ScaleSource.NONE)
    solved.remarks.extend(_view_remarks(shot, focal / distance, turn, tilt, distance))
    return Scale(
        solved.source,
        px_per_mm=focal / distance,
        turn_deg=turn,
        tilt_deg=tilt,
        distance_mm=distance,
        lens_height_mm=float(lens[1]) if shot.view not in (View.SOLAR, View.ALONG_SOLE) else None,
        focal_px=focal,
        misfit=solved.fit.misfit if solved.fit is not None else None,
    )


def _view_remarks(shot: Shot, px_per_mm: float, turn: float, tilt: float, distance: float) -> list[Remark]:
    remarks = []
    turned, tilted = abs(turn), abs(tilt)
    if turned > TURNED_TOO_FAR_DEG or tilted > TILTED_TOO_FAR_DEG:
        remarks.append(Remark("turned_too_far", {"turn_deg": round(turn, 1), "tilt_deg": round(tilt, 1)}))
    elif turned > TURNED_DEG or tilted > TILTED_DEG:
        remarks.append(Remark("turned_view", {"turn_deg": round(turn, 1), "tilt_deg": round(tilt, 1)}))
    if px_per_mm < FEWEST_PX_PER_MM:
        remarks.append(Remark("too_few_pixels", {"px_per_mm": round(px_per_mm, 1)}))
    if distance < NEAREST_MM.get(shot.view, 0.0):
        remarks.append(Remark("lens_too_near", {"distance_mm": round(distance)}))
    return remarks


def find_scale(shot: Shot) -> tuple[ScaleSource, CardFit | None, Refusal | None]:
    """From where this photo gets its millimetres: card, else ruler, else typed foot width, else nowhere (and why)."""
    fit = fit_card(shot)
    if isinstance(fit, CardFit):
        return ScaleSource.CARD, fit, None
    if shot.ruler is not None:
        return ScaleSource.RULER, None, fit
    if shot.foot_width is not None and shot.view is not View.LATERAL:
        return ScaleSource.FOOT_WIDTH, None, fit
    return ScaleSource.NONE, None, fit


def with_ruler(shot: Shot, marks: dict[str, tuple[float, float]]) -> dict[str, tuple[float, float]]:
    """The marks and, where a ruler was told, its two points as `ruler_a` and `ruler_b`."""
    if shot.ruler is None:
        return marks
    return {**marks, "ruler_a": shot.ruler.a, "ruler_b": shot.ruler.b}


def add_ruler(scene: Scene, gaps: dict[str, tuple[Gap, float]]) -> None:
    """The ruler's plane and its length; it lies where the photo's scale was told to lie."""
    ruler = scene.shot.ruler
    if ruler is None:
        return
    (mean, spread), _ = card_offset(scene.shot)
    plane = scene.inputs.add(mean, (f"photo {scene.shot.key} ruler plane", spread), assumed=True)
    for name in ("ruler_a", "ruler_b"):
        scene.depth_of[name] = (plane,)
    gaps["ruler length"] = (
        lambda seen: np.linalg.norm(seen["ruler_b"] - seen["ruler_a"], axis=-1) - ruler.mm,
        priors.RULER_MM,
    )
