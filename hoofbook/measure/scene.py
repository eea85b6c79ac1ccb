"""From marks in one photo to points in millimetres: the chain that every single-photo measure goes through.

Frame *scene*: millimetres; x along the card to the right as seen in the photo, y up from the floor (or along the card
upwards where there is none), z from the plane that was photographed towards the camera; origin below the middle of the
card's floor edge, in that plane. A mark is where its ray meets ITS plane z = depth; treating marks of the near heel as
if they lay in the mid plane is a bias, not an uncertainty.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field

import numpy as np

from hoofbook.measure import priors
from hoofbook.measure.camera import CARD_MIDDLE, SIZE, CardFit
from hoofbook.measure.estimate import Inputs
from hoofbook.measure.projection import Array, rotation_matrix, straighten
from hoofbook.terms.card import FLOOR_BELOW_PATTERN_TOP_MM
from hoofbook.terms.measured import Shot
from hoofbook.terms.views import CardPlane, CardStand

FLOOR_FROM_MIDDLE_MM = FLOOR_BELOW_PATTERN_TOP_MM - float(CARD_MIDDLE[1])
_SCENE_FROM_CARD = np.diag([1.0, -1.0, -1.0])

See = Callable[[Array], tuple[Array, Array]]
"""Inputs (batch, n) to the lens (batch, 3) and the rays' directions (batch, marks, 3), both in frame scene."""


@dataclass(slots=True)
class Scene:
    """Inputs of one photo and where each of them stands in x."""

    shot: Shot
    inputs: Inputs
    see: See
    names: tuple[str, ...] = ()
    places: dict[str, int] = field(default_factory=dict)
    pixels: Array = field(default_factory=lambda: np.zeros((0, 2)))
    depth_of: dict[str, tuple[int, ...]] = field(default_factory=dict)

    def points(self, x: Array) -> Array:
        """Inputs (batch, n) to the marks (batch, marks, 3) in frame scene, in the order of `names`."""
        lens, rays = self.see(x)
        depth = np.stack([sum(x[:, at] for at in self.depth_of[name]) for name in self.names], axis=1)
        reach = (depth - lens[:, None, 2]) / rays[:, :, 2]
        return np.asarray(lens[:, None, :] + reach[:, :, None] * rays, dtype=np.float64)

    def lens(self, x: Array) -> Array:
        """Place of the lens (3,) in frame scene for one set of inputs (n,)."""
        return np.asarray(self.see(x[None])[0][0], dtype=np.float64)


@dataclass(frozen=True, slots=True)
class CardPlacing:
    """How the card may stand to the photographed plane: means and standard deviations, and whose default it is."""

    lean_deg: float
    yaw_deg: float
    rolls_deg: tuple[tuple[str, float], ...]
    drop_mm: float
    offset: tuple[float, float]
    offset_assumed: bool


def standing_card(shot: Shot) -> CardPlacing:
    """The standing card of a side, front or heel view by what was told of it."""
    edge = f"{shot.card_key} {shot.sighting.face if shot.sighting else ''} floor edge"
    photo = f"photo {shot.key}"
    if shot.card_stands_on is CardStand.FLOOR:
        lean, drop = priors.LEAN_STAND_DEG, priors.CUT_MM
        rolls: tuple[tuple[str, float], ...] = (
            (edge, priors.CUT_ROLL_DEG),
            (f"{photo} grit under the card", priors.GRIT_ROLL_DEG),
        )
    elif shot.card_stands_on is CardStand.FOOT:
        lean, drop = priors.LEAN_FOOT_DEG, priors.DROP_FOOT_MM
        rolls = ((f"{photo} card roll", priors.ROLL_FOOT_DEG),)
    else:
        lean, drop = priors.LEAN_UNKNOWN_DEG, priors.DROP_UNKNOWN_MM
        rolls = ((f"{photo} card roll", priors.ROLL_UNKNOWN_DEG),)
    return CardPlacing(lean, priors.YAW_DEG, rolls, drop, *card_offset(shot))


def card_offset(shot: Shot) -> tuple[tuple[float, float], bool]:
    """Mean and standard deviation of the card's distance towards the camera from the plane, and whether assumed."""
    if shot.card_plane in (CardPlane.MID_LINE, CardPlane.BEARING_PLANE):
        return (0.0, priors.OFFSET_MID_LINE_MM), False
    if shot.card_plane is CardPlane.NEAR_WALL:
        return (priors.NEAR_WALL_MM, priors.OFFSET_NEAR_WALL_MM), False
    return (0.0, priors.OFFSET_UNSURE_MM), True


def scene_with_card(shot: Shot, fit: CardFit, marks: Mapping[str, tuple[float, float]], placing: CardPlacing) -> Scene:
    """The chain of a photo with a card; depths of the marks are added by the view (`add_depth`)."""
    inputs = Inputs()
    card = inputs.add_block(fit.values, fit.factor, fit.sources, fit.assumed)
    photo = f"photo {shot.key}"
    lean = inputs.add(0.0, (f"{photo} card lean", math.radians(placing.lean_deg)), assumed=True)
    yaw = inputs.add(0.0, (f"{photo} card yaw", math.radians(placing.yaw_deg)), assumed=True)
    roll = inputs.add(0.0, *((s, math.radians(u)) for s, u in placing.rolls_deg), assumed=True)
    drop = inputs.add(0.0, (f"{shot.card_key} floor edge height", placing.drop_mm), assumed=True)
    offset = inputs.add(placing.offset[0], (f"{photo} card offset", placing.offset[1]), assumed=placing.offset_assumed)
    names, pixels, px = _add_marks(shot, inputs, marks)
    first = fit.middle_pose.rotation

    def see(x: Array) -> tuple[Array, Array]:
        a = x[:, card]
        flat = _slopes(pixels, x[:, px], a)
        turn = rotation_matrix(a[:, 4:7]) @ first
        axes = _axes(x[:, lean], x[:, yaw], x[:, roll])
        ways = (np.concatenate([flat, np.ones_like(flat[..., :1])], axis=-1) @ turn) @ axes
        edge = np.zeros((len(x), 3))
        edge[:, 1] = FLOOR_FROM_MIDDLE_MM * a[:, 11] + x[:, drop]
        lens = -(a[:, None, 7:10] @ turn)[:, 0] - edge
        lens = (lens[:, None, :] @ axes)[:, 0]
        lens[:, 2] += x[:, offset]
        return lens, ways

    places = {"lean": lean, "yaw": yaw, "roll": roll, "drop": drop, "offset": offset}
    return Scene(shot, inputs, see, names, places, pixels)


def add_depth(scene: Scene, name: str, mean: float, *shares: tuple[str, float], assumed: bool = True) -> None:
    """Says in which plane a mark lies; a depth told with the mark itself goes before what the view believes."""
    mark = scene.shot.marking.confirmed.get(name)
    if mark is not None and mark.depth_mm is not None:
        told = (f"photo {scene.shot.key} depth {name}", mark.depth_u_mm or 0.0)
        scene.depth_of[name] = (scene.inputs.add(mark.depth_mm, told),)
        return
    scene.depth_of[name] = (scene.inputs.add(mean, *shares, assumed=assumed),)


def _add_marks(
    shot: Shot, inputs: Inputs, marks: Mapping[str, tuple[float, float]]
) -> tuple[tuple[str, ...], Array, slice]:
    """Placing errors of the marks, px right and px down of each, as inputs with mean 0."""
    from hoofbook.terms.marks import is_edge

    start = len(inputs.means)
    for name in marks:
        edge = is_edge(shot.view, name) or name.startswith("ruler")
        told = shot.placing_px
        spread = priors.placing_px(edge, shot.photo_size) if told is None else told
        shared = 0.0 if edge or told is not None else spread * priors.PLACING_PERSON_SHARE
        own = math.sqrt(spread * spread - shared * shared)
        for way in ("x", "y"):
            inputs.add(
                0.0,
                (f"photo {shot.key} mark {name} {way}", own),
                (f"{shot.person_key} hairline {way}", shared),
                assumed=told is None,
            )
    pixels = np.array([marks[name] for name in marks], dtype=np.float64).reshape(-1, 2)
    return tuple(marks), pixels, slice(start, len(inputs.means))


def _slopes(pixels: Array, errors: Array, lens: Array) -> Array:
    """Straight slopes (batch, marks, 2) of the true places: pixels less the placing errors, lens (batch, >=4)."""
    true = pixels - errors.reshape(len(errors), -1, 2)
    bent = (true - lens[:, None, 1:3]) / np.exp(lens[:, 0])[:, None, None]
    return straighten(bent, lens[:, 3][:, None, None])


def _axes(lean: Array, yaw: Array, roll: Array) -> Array:
    """Columns are the scene's axes in frame card (batch, 3, 3): right, up, towards the camera."""
    zero = np.zeros_like(lean)
    turns = [rotation_matrix(np.stack(v, axis=-1)) for v in ((lean, zero, zero), (zero, zero, roll), (zero, yaw, zero))]
    return np.asarray(turns[0] @ turns[1] @ turns[2] @ _SCENE_FROM_CARD, dtype=np.float64)


def lens_block_size() -> int:
    """How many inputs the card's fit takes."""
    return SIZE


def view_turn(lens: Sequence[float] | Array, at: Sequence[float] | Array) -> tuple[float, float]:
    """Turn (sideways) and tilt (downwards) in degrees of the line of sight to a place, against square-on."""
    x, y, z = (float(a) - float(b) for a, b in zip(lens, at, strict=True))
    return math.degrees(math.atan2(x, z)), math.degrees(math.atan2(y, math.hypot(x, z)))
