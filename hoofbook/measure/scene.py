"""From marks in one photo to points in millimetres: the chain that every single-photo measure goes through.

Frame *scene*: millimetres; x to the right as seen in the photo (along the card where there is one), y up from the
floor, z from the plane that was photographed towards the camera. With a card the origin lies in that plane below the
middle of the card's floor edge; without one it is the place of a named mark. A mark is where its ray meets ITS plane
z = depth: treating marks of the near heel as if they lay in the mid plane is a bias, not an uncertainty.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field

import numpy as np

from hoofbook.measure import priors
from hoofbook.measure.camera import CardFit, lens_prior
from hoofbook.measure.card_problem import CARD_MIDDLE
from hoofbook.measure.estimate import Inputs
from hoofbook.measure.projection import Array, Camera, rotation_matrix, small_rotation, straighten, to_pixels
from hoofbook.terms.card import FLOOR_BELOW_PATTERN_TOP_MM
from hoofbook.terms.marks import is_edge
from hoofbook.terms.measured import Shot
from hoofbook.terms.views import CardPlane, CardStand

FLOOR_FROM_MIDDLE_MM = FLOOR_BELOW_PATTERN_TOP_MM - float(CARD_MIDDLE[1])

Stand = Callable[[Array], tuple[Array, Array]]
"""Inputs (batch, n) to the lens (batch, 3) in frame scene and the turn (batch, 3, 3): camera row @ turn = scene row."""
WAYS = ("x", "y")  # px right, px down
NOT_HAIRLINES = ("crack_top",)  # neither a sharp edge nor read by a person's way of reading a hairline
Points = Mapping[str, Array]
"""Marks by name, each (batch, 3) in frame scene."""


@dataclass(slots=True, eq=False)
class Scene:
    """Inputs of one photo and where each of them stands in x; `lens_at` are log focal, centre x, y and k1."""

    shot: Shot
    inputs: Inputs
    stand: Stand
    lens_at: slice
    names: tuple[str, ...]
    pixels: Array
    errors_at: slice
    places: dict[str, int] = field(default_factory=dict)
    depth_of: dict[str, tuple[int, ...]] = field(default_factory=dict)
    moved_along: dict[str, tuple[int, float]] = field(default_factory=dict)
    stretched: tuple[int, ...] = ()
    _picked: tuple[Array, Array] | None = None

    @property
    def at(self) -> dict[str, tuple[float, float]]:
        """Where each mark was placed, in photo px."""
        return {name: (x, y) for name, (x, y) in zip(self.names, self.pixels.tolist(), strict=True)}

    def points(self, x: Array) -> dict[str, Array]:
        """Inputs (batch, n) to the marks by name, each (batch, 3) in frame scene."""
        lens, turn = self.stand(x)
        rays = np.ones((len(x), len(self.names), 3))
        rays[..., :2] = _slopes(self.pixels, x[:, self.errors_at], x[:, self.lens_at])
        rays = rays @ turn
        depth, along = self._selections()
        reach = (x @ depth - lens[:, 2:]) / rays[..., 2]
        places = lens[:, None, :] + reach[..., None] * rays
        places[..., 0] += x @ along
        for axis, at in enumerate(self.stretched):
            places[..., axis] *= 1.0 + x[:, at, None]
        return {name: places[:, i] for i, name in enumerate(self.names)}

    def _selections(self) -> tuple[Array, Array]:
        """(n, marks) matrices that pick from x each mark's depth and its slide along the floor."""
        count = len(self.inputs.means)
        if self._picked is None or len(self._picked[0]) != count:
            depth, along = np.zeros((count, len(self.names))), np.zeros((count, len(self.names)))
            for i, name in enumerate(self.names):
                for at in self.depth_of.get(name, ()):
                    depth[at, i] += 1.0
                if name in self.moved_along:
                    at, share = self.moved_along[name]
                    along[at, i] = share
            self._picked = (depth, along)
        return self._picked

    def camera(self, x: Array) -> Camera:
        focal, centre_x, centre_y, k1 = (float(v) for v in x[self.lens_at][:4])
        return Camera(math.exp(focal), centre_x, centre_y, k1, *self.shot.photo_size)

    def to_photo(self, x: Array, points: Array) -> Array:
        """Points (k, 3) in frame scene to photo pixels (k, 2) for one set of inputs (n,)."""
        lens, turn = self.stand(x[None])
        seen = (points - lens[0]) @ turn[0].T
        return to_pixels(seen[:, :2] / seen[:, 2:], self.camera(x))

    def add_depth(self, name: str, mean: float, *shares: tuple[str, float], on_top_of: Sequence[int] = ()) -> None:
        """Says in which plane a mark lies; a depth told with the mark itself goes before what the view believes."""
        mark = self.shot.marking.confirmed.get(name)
        if mark is not None and mark.depth_mm is not None:
            told = (f"photo {self.shot.key} depth {name}", mark.depth_u_mm or 0.0)
            self.depth_of[name] = (self.inputs.add(mark.depth_mm, told),)
            return
        self.depth_of[name] = (self.inputs.add(mean, *shares, assumed=True), *on_top_of)


@dataclass(frozen=True, slots=True)
class CardPlacing:
    """How the card may stand to the photographed plane: means and standard deviations, and whose default it is."""

    lean_deg: float
    yaw_deg: float
    rolls_deg: tuple[tuple[str, float], ...]
    drop_mm: float
    drop_source: str
    offset: tuple[float, float]
    offset_assumed: bool


def standing_card(shot: Shot, doubted: bool = False) -> CardPlacing:
    """The standing card of a side, front or heel view by what was told of it, unless that is doubted."""
    edge = f"{shot.card_key} {shot.sighting.face if shot.sighting else ''} floor edge"
    photo = f"photo {shot.key}"
    if shot.card_stands_on is CardStand.FLOOR and not doubted:
        lean, drop = priors.LEAN_STAND_DEG, priors.CUT_MM
        rolls: tuple[tuple[str, float], ...] = (
            (edge, priors.CUT_ROLL_DEG),
            (f"{photo} grit under the card", priors.GRIT_ROLL_DEG),
        )
    elif shot.card_stands_on is CardStand.FOOT or doubted:
        lean, drop = priors.LEAN_FOOT_DEG, priors.DROP_FOOT_MM
        rolls = ((f"{photo} card roll", priors.ROLL_FOOT_DEG),)
    else:
        lean, drop = priors.LEAN_UNKNOWN_DEG, priors.DROP_UNKNOWN_MM
        rolls = ((f"{photo} card roll", priors.ROLL_UNKNOWN_DEG),)
    if doubted:
        return CardPlacing(lean, priors.YAW_DEG, rolls, drop, f"{photo} card height", priors.OFFSET_DOUBTED_MM, True)
    cut = f"{edge} height" if shot.card_stands_on is CardStand.FLOOR else f"{photo} card height"
    return CardPlacing(lean, priors.YAW_DEG, rolls, drop, cut, *card_offset(shot))


def card_offset(shot: Shot) -> tuple[tuple[float, float], bool]:
    """Mean and standard deviation of the card's distance towards the camera from the plane, and whether assumed."""
    if shot.card_plane in (CardPlane.MID_LINE, CardPlane.BEARING_PLANE):
        return (0.0, priors.OFFSET_MID_LINE_MM), False
    if shot.card_plane is CardPlane.NEAR_WALL:
        return (priors.NEAR_WALL_MM, priors.OFFSET_NEAR_WALL_MM), False
    return (0.0, priors.OFFSET_UNSURE_MM), True


def scene_with_card(shot: Shot, fit: CardFit, marks: Mapping[str, tuple[float, float]], placing: CardPlacing) -> Scene:
    """The chain of a photo with a card; depths of the marks are added by the view."""
    inputs = Inputs()
    card = inputs.add_block(fit.values, fit.factor, fit.sources, fit.assumed)
    photo = f"photo {shot.key}"
    lean = inputs.add(0.0, (f"{photo} card lean", math.radians(placing.lean_deg)), assumed=True)
    yaw = inputs.add(0.0, (f"{photo} card yaw", math.radians(placing.yaw_deg)), assumed=True)
    roll = inputs.add(0.0, *((s, math.radians(u)) for s, u in placing.rolls_deg), assumed=True)
    drop = inputs.add(0.0, (placing.drop_source, placing.drop_mm), assumed=True)
    mean, spread = placing.offset
    offset = inputs.add(mean, (f"{photo} card offset", spread), assumed=placing.offset_assumed)
    names, pixels, errors_at = _add_marks(shot, inputs, marks)
    first = fit.middle_pose.rotation

    def stand(x: Array) -> tuple[Array, Array]:
        a = x[:, card]
        from_card = small_rotation(a[:, 4:7]) @ first
        axes = _axes(x[:, lean], x[:, yaw], x[:, roll])
        edge = np.zeros((len(x), 3))
        edge[:, 1] = FLOOR_FROM_MIDDLE_MM * a[:, 11] + x[:, drop]
        lens = -(a[:, None, 7:10] @ from_card)[:, 0] - edge
        lens = (lens[:, None, :] @ axes)[:, 0]
        lens[:, 2] += x[:, offset]
        return lens, from_card @ axes

    places = {"lean": lean, "yaw": yaw, "roll": roll, "drop": drop, "offset": offset}
    return Scene(shot, inputs, stand, slice(card.start, card.start + 4), names, pixels, errors_at, places)


@dataclass(frozen=True, slots=True)
class HeldCamera:
    """Where a hand-held camera is believed to be when nothing in the photo tells it.

    `height` of the lens above the reference mark, mean and standard deviation in mm (0 and a spread for a view that is
    meant to be square-on); `roll` in degrees of the scene's x axis in the picture, clockwise, with its spread.
    `square_on`: height and turn are those of the camera's axis and not of the line of sight to the reference mark. An
    unknown tilt p then also shortens what lies along it by 1 / cos p - 1, about p^2 / 2, which first order does not
    see: it is carried as a stretch of both axes by the root mean square of that, sqrt(3) / 2 times the spread squared.
    """

    distance_mm: float = priors.DISTANCE_MM
    distance_log: float = priors.DISTANCE_LOG
    height: tuple[float, float] = (priors.LENS_HEIGHT_MM, priors.LENS_HEIGHT_U_MM)
    turn_deg: float = priors.TURN_DEG
    roll_deg: tuple[float, float] = (0.0, 15.0)
    square_on: bool = False


def scene_without_card(shot: Shot, marks: Mapping[str, tuple[float, float]], reference: str, held: HeldCamera) -> Scene:
    """The chain of a photo without a card; the origin is where the `reference` mark's ray meets its plane."""
    inputs, photo = Inputs(), f"photo {shot.key}"
    prior = lens_prior(shot.photo_size, shot.focal_35mm, shot.edited)
    lens_key = photo if shot.edited else shot.lens_key
    first = inputs.add(math.log(prior.focal_px), (f"{lens_key} focal", prior.focal_u), assumed=prior.assumed)
    for way, mean in zip("xy", prior.centre, strict=True):
        inputs.add(mean, (f"{photo} principal point {way}", prior.centre_u))
    inputs.add(0.0, (f"{lens_key} distortion", prior.k1_u))
    distance = inputs.add(math.log(held.distance_mm), (f"{photo} distance", held.distance_log), assumed=True)
    height = inputs.add(held.height[0], (f"{photo} lens height", held.height[1]), assumed=True)
    turn_at = inputs.add(0.0, (f"{photo} turn", math.radians(held.turn_deg)), assumed=True)
    roll = inputs.add(math.radians(held.roll_deg[0]), (f"{photo} roll", math.radians(held.roll_deg[1])), assumed=True)
    names, pixels, errors_at = _add_marks(shot, inputs, marks)
    lens_at = slice(first, first + 4)
    sight = _unit_rays(np.array([marks[reference]]), np.array([inputs.means[lens_at]]))[0, 0]
    level = np.eye(3) if held.square_on else _turn_onto_axis(sight)

    def stand(x: Array) -> tuple[Array, Array]:
        reach = np.exp(x[:, distance])
        tilt = np.arcsin(np.clip(x[:, height] / reach, -0.95, 0.95))
        turn = level @ _held_axes(tilt, x[:, turn_at], x[:, roll])
        way = (_unit_rays(np.array([marks[reference]]), x[:, lens_at]) @ turn)[:, 0]
        return -reach[:, None] * way, turn

    places = {"distance": distance, "height": height, "turn": turn_at, "roll": roll}
    scene = Scene(shot, inputs, stand, lens_at, names, pixels, errors_at, places)
    if held.square_on:
        shortened = math.sqrt(3.0) / 2.0 * math.radians(held.turn_deg) ** 2
        sources = (f"{photo} foreshortening {way}" for way in ("across", "along"))
        scene.stretched = tuple(inputs.add(0.0, (source, shortened), assumed=True) for source in sources)
    return scene


def _unit_rays(pixels: Array, lens: Array) -> Array:
    """Unit directions (batch, marks, 3) in the camera frame of exact pixels (marks, 2)."""
    flat = _slopes(pixels, np.zeros((len(lens), 2 * len(pixels))), lens)
    rays = np.concatenate([flat, np.ones_like(flat[..., :1])], axis=-1)
    return np.asarray(rays / np.linalg.norm(rays, axis=-1, keepdims=True), dtype=np.float64)


def _turn_onto_axis(sight: Array) -> Array:
    """(3, 3) with row @ it: the line of sight becomes the camera's axis by the shortest turn."""
    axis = np.cross(sight, [0.0, 0.0, 1.0])
    sine = float(np.linalg.norm(axis))
    if sine < 1e-12:
        return np.eye(3)
    return rotation_matrix(axis / sine * math.asin(min(1.0, sine))).T


def _held_axes(tilt: Array, turn: Array, roll: Array) -> Array:
    """Camera rows to scene rows (batch, 3, 3): roll in the picture, then tilt down, then turn about the upright."""
    zero = np.zeros_like(tilt)
    rolled = rotation_matrix(np.stack([zero, zero, -roll], axis=-1))
    flipped = np.diag([1.0, -1.0, -1.0]) @ rolled
    tilted = rotation_matrix(np.stack([-tilt, zero, zero], axis=-1)) @ flipped
    whole = rotation_matrix(np.stack([zero, turn, zero], axis=-1)) @ tilted
    return np.asarray(np.swapaxes(whole, -1, -2), dtype=np.float64)


def placing_shares(shot: Shot, name: str) -> tuple[tuple[str, float], ...]:
    """Sources of the placing error of one mark, each way alike, with their standard deviations in px: its own, and how
    this person reads a hairline, which all their hairlines share."""
    told = shot.placing_px
    edge = is_edge(shot.view, name) or name.startswith("ruler_")
    spread = priors.placing_px(edge, shot.photo_size) if told is None else told
    shared = 0.0 if edge or told is not None or name in NOT_HAIRLINES else spread * priors.PLACING_PERSON_SHARE
    own = math.sqrt(spread * spread - shared * shared)
    if shot.placing is not None and told is None:
        own = (shot.placing.edge if edge else shot.placing.hairline) * priors.placing_scale(shot.photo_size)
    return (f"photo {shot.key} mark {name}", own), (f"{shot.person_key} hairline", shared)


def _add_marks(
    shot: Shot, inputs: Inputs, marks: Mapping[str, tuple[float, float]]
) -> tuple[tuple[str, ...], Array, slice]:
    """Placing errors of the marks, px right and px down of each, as inputs with mean 0."""
    start = len(inputs.means)
    for name in marks:
        shares = placing_shares(shot, name)
        for way in WAYS:
            named = ((f"{source} {way}", spread) for source, spread in shares)
            inputs.add(0.0, *named, assumed=shot.placing_px is None and shot.placing is None)
    pixels = np.array([marks[name] for name in marks], dtype=np.float64).reshape(-1, 2)
    return tuple(marks), pixels, slice(start, len(inputs.means))


def _slopes(pixels: Array, errors: Array, lens: Array) -> Array:
    """Straight slopes (batch, marks, 2) of the true places: pixels less the placing errors, lens (batch, >=4)."""
    true = pixels - errors.reshape(len(errors), -1, 2)
    bent = (true - lens[:, None, 1:3]) / np.exp(lens[:, 0])[:, None, None]
    return straighten(bent, lens[:, 3][:, None, None])


def _axes(lean: Array, yaw: Array, roll: Array) -> Array:
    """Columns are the scene's axes in frame card (batch, 3, 3): right, up, towards the camera.

    Turn about the foot's upright (yaw), then in the card's plane (roll), then about the floor edge (lean), written out.
    """
    cl, sl, cy, sy, cr, sr = np.cos(lean), np.sin(lean), np.cos(yaw), np.sin(yaw), np.cos(roll), np.sin(roll)
    axes = np.empty((len(lean), 3, 3))
    axes[:, 0, 0], axes[:, 0, 1], axes[:, 0, 2] = cr * cy, sr, -cr * sy
    axes[:, 1, 0], axes[:, 1, 1], axes[:, 1, 2] = cl * sr * cy + sl * sy, -cl * cr, -cl * sr * sy + sl * cy
    axes[:, 2, 0], axes[:, 2, 1], axes[:, 2, 2] = sl * sr * cy - cl * sy, -sl * cr, -sl * sr * sy - cl * cy
    return axes


def sight_turn_deg(scene: Scene, name: str) -> float:
    """Sideways angle of the line of sight to a mark against square-on, in degrees, before anything is weighed."""
    x = scene.inputs.mean
    _, turn = scene.stand(x[None])
    focal, centre_x, centre_y = math.exp(x[scene.lens_at][0]), *x[scene.lens_at][1:3]
    px, py = scene.at[name]
    right, _, near = (float(v) for v in np.array([(px - centre_x) / focal, (py - centre_y) / focal, 1.0]) @ turn[0])
    return math.degrees(math.atan2(right, -near))
