"""One view solved: what the views share between the scene's chain and the quantities that come out."""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field, replace

import numpy as np

from hoofbook.measure import priors
from hoofbook.measure.camera import CardFit, fit_card
from hoofbook.measure.estimate import Estimate, estimate
from hoofbook.measure.projection import Array
from hoofbook.measure.scene import Points, Scene, card_offset
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
TILTED_DEG, TILTED_TOO_FAR_DEG = 12.0, 20.0  # a lens a hand or two above the floor looks down a little: that is usual
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
    spreads = np.array([spread for _, spread in gaps.values()])
    functions = [gap for gap, _ in gaps.values()]
    names: list[str] = []
    latest: dict[str, Array] = {}

    def chain(x: Array) -> tuple[Array, Array]:
        seen = scene.points(x)
        found = outputs(seen)
        names[:] = found
        latest.update({name: place[0] for name, place in seen.items()}, x=x[0])
        apart, values = np.empty((len(x), len(functions))), np.empty((len(x), len(found)))
        for column, gap in enumerate(functions):
            apart[:, column] = gap(seen)
        for column, value in enumerate(found.values()):
            values[:, column] = value
        return apart / spreads, values

    with np.errstate(divide="ignore", invalid="ignore", over="ignore"):
        result = estimate(scene.inputs, chain)
    if not names:
        return Refusal("marks_missing")
    if not np.isfinite(result.x).all():
        return Refusal("measure_not_solved")
    if not np.array_equal(latest.pop("x"), result.x):
        latest = {name: place[0] for name, place in scene.points(result.x[None]).items()}
    return Solved(scene, source, fit, result, latest, tuple(names), tuple(gaps), method)


WIDEST_ANGLE_U_DEG = 30.0  # an angle known no better than this could be any angle


def quantities(
    solved: Solved,
    derived: Mapping[str, tuple[str, str]],
    *,
    definition: Definition = Definition.ONE,
) -> dict[str, Quantity]:
    """Outputs as quantities by name; differences and ratios are derived from their parts, never kept by themselves.

    What cannot be computed from these marks (two of them on or almost on one spot) is left out.
    """
    shot, inputs = solved.shot, solved.scene.inputs
    sources = (*inputs.sources, *(f"photo {shot.key} {name}" for name in solved.gap_names))
    defaults = dict(zip(inputs.sources, inputs.assumed, strict=True))
    shares = solved.result.parts.tolist()
    found: dict[str, Quantity] = {}
    for row, name in enumerate(solved.names):
        unit = MEASURES.get(name, Unit.DEG if name.endswith("_angle") else Unit.MM)
        widest = WIDEST_ANGLE_U_DEG if unit is Unit.DEG else math.inf
        if not (math.isfinite(solved.result.outputs[row]) and 0.0 < math.hypot(*shares[row]) < widest):
            continue
        parts = signed_parts(sources, shares[row], f"photo {shot.key} {name} small parts")
        found[name] = Quantity(
            name=name,
            value=float(solved.result.outputs[row]),
            unit=unit,
            parts=parts,
            definition=definition,
            view=shot.view.value,
            photos=(shot.key,),
            method=solved.method,
            assumed=assumed_sources(parts, defaults),
        )
    for name, (a, b) in derived.items():
        if a in found and b in found and found[b].value:
            found[name] = (ratio if MEASURES[name] is Unit.RATIO else difference)(found[a], found[b], name)
    return found


def scale_of(solved: Solved) -> Scale:
    """How the photo got its millimetres and from where it was taken; adds what should be known of that to the remarks.

    Turn (positive: looking to the photo's right) and tilt (positive: looking down) are those of the camera's axis
    against square-on, distance and px/mm those at the middle of the marks. Where no card was seen only the distance is
    told; without any scale nothing is.
    """
    shot, x = solved.shot, solved.result.x
    if solved.source is ScaleSource.NONE:
        return Scale(ScaleSource.NONE)
    lens, axes = (each[0] for each in solved.scene.stand(x[None]))
    marked = [place for name, place in solved.points.items() if not name.startswith(("ground_", "ruler_"))]
    distance = float(np.linalg.norm(lens - np.mean(marked, axis=0)))
    focal = solved.scene.camera(x).focal_px
    scale = Scale(solved.source, px_per_mm=focal / distance, distance_mm=distance, focal_px=focal)
    if solved.fit is not None:
        right, up, near = (float(v) for v in axes[2])
        scale = replace(
            scale,
            turn_deg=math.degrees(math.atan2(right, -near)),
            tilt_deg=math.degrees(math.atan2(-up, math.hypot(right, near))),
            lens_height_mm=float(lens[1]) if shot.view not in (View.SOLAR, View.ALONG_SOLE) else None,
            misfit=solved.fit.misfit,
        )
    solved.remarks.extend(_view_remarks(shot, scale))
    return scale


def scale_of_card(source: ScaleSource, fit: CardFit | None) -> Scale:
    """What the card alone tells before any mark is placed: px/mm, distance, turn and tilt at the card."""
    if fit is None:
        return Scale(ScaleSource.NONE)
    right, down, away = (float(v) for v in fit.pose.rotation[2])
    return Scale(
        source,
        px_per_mm=fit.px_per_mm,
        turn_deg=math.degrees(math.atan2(right, away)),
        tilt_deg=math.degrees(math.atan2(down, math.hypot(right, away))),
        distance_mm=float(np.linalg.norm(fit.middle_pose.translation)),
        focal_px=fit.camera.focal_px,
        misfit=fit.misfit,
    )


def _view_remarks(shot: Shot, scale: Scale) -> list[Remark]:
    remarks = []
    turned, tilted = abs(scale.turn_deg or 0.0), abs(scale.tilt_deg or 0.0)
    facts = {"turn_deg": round(turned, 1), "tilt_deg": round(tilted, 1)}
    if shot.set_name:
        pass  # photos of a set are meant to be taken from different sides
    elif turned > TURNED_TOO_FAR_DEG or tilted > TILTED_TOO_FAR_DEG:
        remarks.append(Remark("turned_too_far", facts))
    elif turned > TURNED_DEG or tilted > TILTED_DEG:
        remarks.append(Remark("turned_view", facts))
    if scale.px_per_mm is not None and scale.px_per_mm < FEWEST_PX_PER_MM:
        remarks.append(Remark("too_few_pixels", {"px_per_mm": round(scale.px_per_mm, 1)}))
    if scale.distance_mm is not None and scale.distance_mm < NEAREST_MM.get(shot.view, 0.0):
        remarks.append(Remark("lens_too_near", {"distance_mm": round(scale.distance_mm)}))
    return remarks


def find_scale(
    shot: Shot, width_marks: tuple[str, str] | None = None
) -> tuple[ScaleSource, CardFit | None, Refusal | None]:
    """From where this photo gets its millimetres: card, else ruler, else typed foot width, else nowhere (and why).

    `width_marks` are the two marks of this view that lie a foot's width apart; without both a typed width is no scale.
    """
    fit = fit_card(shot)
    if isinstance(fit, CardFit):
        return ScaleSource.CARD, fit, None
    if shot.ruler is not None:
        return ScaleSource.RULER, None, fit
    marked = shot.marking.confirmed
    if shot.foot_width is not None and width_marks is not None and all(name in marked for name in width_marks):
        return ScaleSource.FOOT_WIDTH, None, fit
    return ScaleSource.NONE, None, fit


def first_remarks(fit: CardFit | None, why: Refusal | None) -> list[Remark]:
    """What the search for a scale has to say: why there is no card, or what is wrong with it."""
    if fit is not None:
        return list(fit.remarks)
    return [] if why is None else [Remark(why.code, why.facts)]


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
