"""Geometry of a parametric equine forefoot: outlines, wall and ground surface.

Every length is in millimetres in the hoof frame: x from the toe on the ground towards the heel, y up,
z from the mid plane towards the outside of the foot. A right foot has the same numbers; it is turned into
a real mirrored foot only when it is put into the world (see ``camera.WORLD_FROM_HOOF``).
"""

from __future__ import annotations

import dataclasses

import numpy as np

CRACK_AROUND = 0.68  # place of a quarter crack on the near side's outline: 0 toe, 1 heel
ROLL_REACH = 22.0  # mm behind the toe where a rolled toe begins
HALF_STEPS = 600  # points from toe to one heel
COARSE = 15  # every 15th point first, then the points round the best


@dataclasses.dataclass(frozen=True)
class Crack:
    """A crack in the near quarter, from the ground up. ``top`` mm below the hairline, seen along the cross axis."""

    top: float
    width: float = 1.0  # of the gap at the ground, mm
    bled: bool = False
    laced: float | None = None  # uppermost lace below the hairline, mm


@dataclasses.dataclass(frozen=True)
class HoofShape:
    """What makes one foot at one moment. Angles in degrees, lengths in mm."""

    toe_length: float
    toe_angle: float
    heel_angle: float
    heel_height: float
    bearing_length: float = 108.0
    half_width: float = 63.0
    heel_half_width: float = 30.0
    heel_hair_half_width: float = 31.0
    concavity: float = 2.0  # sole edge plane to sole at the frog apex, along the plane's normal
    wall_above_sole: float = 1.4  # ground plane to sole edge plane at the frog apex
    sole_tilt_x: float = 0.004
    sole_tilt_z: float = 0.003
    frog_apex_x: float = 40.0
    floor_drop: float = 0.0  # horn's ground edge above the floor (shoe and pad)
    shod: bool = False
    worn: float = 0.0  # 0 freshly rasped .. 1 overgrown, chipped
    old_nails: int = 0
    seed: int = 1
    leg: float = 1.0  # size of the leg above the hairline
    feather: float = 1.0  # length of the long hairs behind the pastern
    toe_rolled: float = 0.0  # mm at x = 0 to which the toe is rasped up, less and less back to ROLL_REACH
    near_inside: bool = False  # z runs towards the foot's inside, as for a photo taken from there
    crack: Crack | None = None

    @property
    def toe_hairline(self) -> np.ndarray:
        angle = np.radians(self.toe_angle)
        return np.array([np.cos(angle), np.sin(angle), 0.0]) * self.toe_length

    @property
    def heel_ground(self) -> np.ndarray:
        return np.array([self.bearing_length, 0.0, self.heel_half_width])

    @property
    def heel_hairline(self) -> np.ndarray:
        back = self.heel_height / np.tan(np.radians(self.heel_angle))
        return np.array([self.bearing_length + back, self.heel_height, self.heel_hair_half_width])


def smooth(low: float, high: float, value: np.ndarray) -> np.ndarray:
    """Smooth step from 0 at ``low`` to 1 at ``high``."""
    part = np.clip((value - low) / (high - low), 0.0, 1.0)
    return part * part * (3.0 - 2.0 * part)


def half_outline(length: float, half_width: float, heel_half_width: float, widest: float = 0.55) -> np.ndarray:
    """(HALF_STEPS + 1, 2) points (x, z >= 0) from toe to heel, evenly spaced along the curve."""
    x_widest = widest * length
    turn = np.linspace(0.0, np.pi / 2, 1500)
    power = 2.0 / 2.12
    front = np.stack([x_widest * (1 - np.cos(turn) ** power), half_width * np.sin(turn) ** power], 1)
    along = np.linspace(0.0, 1.0, 900)[1:]
    back = np.stack(
        [x_widest + (length - x_widest) * along, half_width - (half_width - heel_half_width) * along**1.85], 1
    )
    curve = np.concatenate([front, back])
    arc = np.concatenate([[0.0], np.cumsum(np.linalg.norm(np.diff(curve, axis=0), axis=1))])
    even = np.linspace(0.0, arc[-1], HALF_STEPS + 1)
    return np.stack([np.interp(even, arc, curve[:, 0]), np.interp(even, arc, curve[:, 1])], 1)


def both_sides(lateral: np.ndarray, medial: np.ndarray) -> np.ndarray:
    """(2 * HALF_STEPS + 1, 2) points from the inside heel round the toe to the outside heel."""
    inside = medial[::-1] * np.array([1.0, -1.0])
    return np.concatenate([inside[:-1], lateral])


def ground_outline(shape: HoofShape) -> np.ndarray:
    """Ground edge of the wall as (n, 2) points (x, z), inside heel first."""
    arguments = (shape.heel_half_width,)
    near, far = (0.985, 1.02) if shape.near_inside else (1.02, 0.985)
    return both_sides(
        half_outline(shape.bearing_length, shape.half_width * near, *arguments),
        half_outline(shape.bearing_length, shape.half_width * far, *arguments),
    )


def rolled(shape: HoofShape, x: np.ndarray) -> np.ndarray:
    """Height to which a rolled toe is rasped up at ``x``: a straight bevel."""
    return shape.toe_rolled * np.clip(1.0 - x / ROLL_REACH, 0.0, 1.0)


def ground_edge(shape: HoofShape) -> np.ndarray:
    """Ground edge of the wall as (n, 3) points in the order of :func:`ground_outline`: on a rolled toe it runs higher
    up on the wall, hence farther back."""
    low = ground_outline(shape)
    bottom = np.stack([low[:, 0], np.zeros(len(low)), low[:, 1]], 1)
    top = hairline(shape)
    back = shape.toe_rolled / ROLL_REACH * (top[:, 0] - low[:, 0]) * (low[:, 0] < ROLL_REACH)
    return bottom + (rolled(shape, low[:, 0]) / (top[:, 1] + back))[:, None] * (top - bottom)


def hairline(shape: HoofShape) -> np.ndarray:
    """Hairline as (n, 3) points in the order of :func:`ground_outline`."""
    toe, heel = shape.toe_hairline, shape.heel_hairline
    length = heel[0] - toe[0]
    narrow = shape.half_width - 9.5
    flat = both_sides(
        half_outline(length, narrow * 1.0, shape.heel_hair_half_width, 0.47),
        half_outline(length, narrow * 1.01, shape.heel_hair_half_width, 0.47),
    )
    share = flat[:, 0] / length
    drop = share + 0.045 * np.sin(2 * np.pi * share)
    height = toe[1] + (heel[1] - toe[1]) * drop
    return np.stack([toe[0] + flat[:, 0], height, flat[:, 1]], 1)


def wall_grid(shape: HoofShape, rows: int = 180) -> np.ndarray:
    """Outer wall surface (rows, n, 3): row 0 the ground edge, last row the hairline."""
    bottom, top = ground_edge(shape), hairline(shape)
    up = np.linspace(0.0, 1.0, rows)[:, None, None]
    grid = bottom[None] * (1 - up) + top[None] * up
    around = np.linspace(-1.0, 1.0, len(bottom))
    hollow = 1.3 * np.sin(np.pi * np.abs(around)) ** 2  # flare: a slightly hollow quarter
    inward = -np.sign(around) * hollow
    grid[:, :, 2] += inward[None] * np.sin(np.pi * up[:, :, 0])
    return grid


class GroundSurface:
    """What a person sees from below: wall edge, white line, sole, frog, grooves, bars as y = f(x, z)."""

    def __init__(self, shape: HoofShape) -> None:
        self.shape = shape
        self.outline = ground_outline(shape)
        self.around = np.linspace(-1.0, 1.0, len(self.outline))
        self.white_line = 2.6
        self._amplitude = 0.0
        self._amplitude = self._find_amplitude()

    def wall_thickness(self, around: np.ndarray) -> np.ndarray:
        return 9.6 - 2.8 * np.abs(around) ** 1.5

    def edge_height(self, x: np.ndarray, z: np.ndarray) -> np.ndarray:
        """Height of the sole edge's plane."""
        shape = self.shape
        return shape.wall_above_sole + shape.sole_tilt_x * (x - shape.frog_apex_x) + shape.sole_tilt_z * z

    def edge_normal(self) -> np.ndarray:
        normal = np.array([-self.shape.sole_tilt_x, 1.0, -self.shape.sole_tilt_z])
        return normal / np.linalg.norm(normal)

    def nearest(self, x: np.ndarray, z: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
        """Distance to the outline and the place on it (-1 inside heel .. 1 outside heel)."""
        points = np.stack([x, z], -1).reshape(-1, 2)
        coarse = self.outline[::COARSE]
        rough = (
            (points[:, None, 0] - coarse[None, :, 0]) ** 2 + (points[:, None, 1] - coarse[None, :, 1]) ** 2
        ).argmin(1)
        window = rough[:, None] * COARSE + np.arange(-COARSE, COARSE + 1)[None]
        window = np.clip(window, 0, len(self.outline) - 1)
        square = ((points[:, None] - self.outline[window]) ** 2).sum(-1)
        best = square.argmin(1)[:, None]
        distance = np.sqrt(np.take_along_axis(square, best, 1))
        place = self.around[np.take_along_axis(window, best, 1)]
        return distance.reshape(x.shape), place.reshape(x.shape)

    def _bowl(self, inside: np.ndarray) -> np.ndarray:
        share = np.clip(inside / 27.0, 0.0, 1.0)
        return 1.0 - (1.0 - share) ** 2.2

    def _find_amplitude(self) -> float:
        """Scale of the bowl that gives exactly the wanted concavity at the frog apex."""
        x, z = np.array([self.shape.frog_apex_x]), np.array([0.0])
        distance, place = self.nearest(x, z)
        inside = distance - self.wall_thickness(place) - self.white_line
        return float(self.shape.concavity / (self._bowl(inside)[0] * self.edge_normal()[1]))

    def sole(self, x: np.ndarray, z: np.ndarray, inside: np.ndarray) -> np.ndarray:
        """Height of the sole, ``inside`` = distance from the sole edge."""
        return self.edge_height(x, z) + self._amplitude * self._bowl(inside)

    def frog_half_width(self, x: np.ndarray) -> np.ndarray:
        shape = self.shape
        share = np.clip((x - shape.frog_apex_x - 3.5) / (shape.bearing_length - shape.frog_apex_x - 3.5), 0.0, 1.3)
        return 0.73 * shape.heel_half_width * share**0.78

    def evaluate(self, x: np.ndarray, z: np.ndarray) -> tuple[np.ndarray, dict[str, np.ndarray]]:
        """Height (positive into the foot) and masks 0..1 of wall, white line, frog, bar and groove."""
        distance, place = self.nearest(x, z)
        thickness = self.wall_thickness(place)
        inside = distance - thickness - self.white_line
        sole = self.sole(x, z, np.maximum(inside, 0.0))
        height, masks = self._with_frog(x, z, sole)
        rim = self.edge_height(x, z) * smooth(0.0, self.white_line, distance - thickness)
        height = np.where(inside < 0.0, np.maximum(rim, rolled(self.shape, x)), height)
        masks["wall"] = 1.0 - smooth(-0.25, 0.25, distance - thickness)
        masks["white"] = smooth(-0.25, 0.25, distance - thickness) * (1.0 - smooth(-0.4, 0.2, inside))
        return self._with_heel(x, z, height, masks)

    def _with_frog(self, x: np.ndarray, z: np.ndarray, sole: np.ndarray) -> tuple[np.ndarray, dict[str, np.ndarray]]:
        shape = self.shape
        apex, back = shape.frog_apex_x + 3.5, shape.bearing_length
        share = np.clip((x - apex) / (back - apex), 0.0, 1.0)
        beside = np.abs(z) - self.frog_half_width(x)
        here = smooth(0.0, 4.0, x - apex)
        apex_height = shape.wall_above_sole + shape.concavity
        top = apex_height - 0.4 + (2.2 - apex_height + 0.4) * smooth(0.0, 1.0, share**0.7)
        top = top - 1.3 * np.sin(np.pi * np.clip(share * 1.6, 0, 1)) + 0.004 * z**2
        cleft = 8.5 * np.exp(-((z / 3.1) ** 2)) * smooth(0.42, 0.72, share)
        groove = sole + 1.2 + 9.5 * share**0.75
        bar_low = sole + (0.7 - sole) * smooth(0.25, 0.95, share)
        bar = smooth(3.2, 5.0, beside) * (1.0 - smooth(7.2, 10.5, beside)) * smooth(0.3, 0.55, share)
        ground = sole + (bar_low - sole) * bar
        into_groove = smooth(-2.6, 1.6, beside)
        out_of_groove = smooth(1.8, 5.2, beside)
        inner = (top + cleft) * (1 - into_groove) + groove * into_groove
        full = inner * (1 - out_of_groove) + ground * out_of_groove
        height = sole + (full - sole) * here
        masks = {
            "frog": (1.0 - smooth(-0.8, 1.2, beside)) * here,
            "groove": into_groove * (1 - out_of_groove) * here * smooth(0.03, 0.3, share) + smooth(3.0, 7.0, cleft),
            "bar": bar,
        }
        return height, masks

    def _with_heel(
        self, x: np.ndarray, z: np.ndarray, height: np.ndarray, masks: dict[str, np.ndarray]
    ) -> tuple[np.ndarray, dict[str, np.ndarray]]:
        """Behind the heels the frog runs out into the bulbs."""
        shape = self.shape
        behind = smooth(-1.5, 3.5, x - shape.bearing_length)
        share = np.clip(np.abs(z) / shape.heel_half_width, 0.0, 1.0)
        skin = 2.4 * (1 - share**4) + 6.5 * (np.clip(x - shape.bearing_length, 0, None) / 14.0) ** 2
        skin = skin + 8.0 * np.exp(-((z / 3.3) ** 2))
        masks["frog"] = masks["frog"] * (1 - behind) + behind
        for name in ("wall", "white", "bar"):
            masks[name] = masks[name] * (1 - behind)
        return height * (1 - behind) + skin * behind, masks

    def sole_edge_point(self, around: float) -> np.ndarray:
        """Point of the sole edge straight inside the outline's place ``around``."""
        index = int(round((around + 1.0) * HALF_STEPS))
        tangent = self.outline[index + 1] - self.outline[index - 1]
        inward = np.array([-tangent[1], tangent[0]]) * -1.0
        inward = inward / np.linalg.norm(inward)
        if inward @ (np.array([60.0, 0.0]) - self.outline[index]) < 0:
            inward = -inward
        reach = float(self.wall_thickness(np.array([self.around[index]]))[0] + self.white_line)
        x, z = self.outline[index] + inward * reach
        return np.array([x, float(self.edge_height(x, z)), z])

    def point(self, x: float, z: float) -> np.ndarray:
        height, _ = self.evaluate(np.array([x]), np.array([z]))
        return np.array([x, float(height[0]), z])
