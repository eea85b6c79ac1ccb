"""Sets of sole photos made by OpenCV's own projection from a hoof whose shape is known to the last digit.

Frame *hoof, sole*: millimetres, origin between the heels, x to the toe, y outside, z into the foot. The sole-edge
plane, the wall edge above it and the frog apex below it are given; every truth is computed from the 3-D points.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace

import cv2
import numpy as np

from hoofbook.terms.card import CardCorner, CardFace, CardSighting
from hoofbook.terms.feet import Foot
from hoofbook.terms.marks import Mark, Marking
from hoofbook.terms.measured import Shot
from hoofbook.terms.views import View

SIZE_12MP = (4032, 3024)


@dataclass(frozen=True)
class Hoof:
    """Edges of a sole: half width and length in mm, wall above the sole edge, concavity at the frog apex."""

    length: float = 118.0
    half_width: float = 60.0
    wall: float = 4.0
    concavity: float = 9.0
    rim_count: int = 6
    edge_count: int = 6
    inner_count: int = 0
    lean: tuple[float, float] = (0.02, -0.015)
    raised: Mapping[str, float] = field(default_factory=dict)  # marks moved along z, mm
    more: Mapping[str, tuple[float, float, float]] = field(default_factory=dict)

    def points(self) -> dict[str, np.ndarray]:
        found: dict[str, np.ndarray] = {}
        for name, count, share, depth in (
            ("rim", self.rim_count, 1.0, -self.wall),
            ("sole_edge", self.edge_count, 0.86, 0.0),
        ):
            for number, angle in enumerate(np.linspace(-2.2, 2.2, count)):
                found[f"{name}_{number + 1:02d}"] = self._outline(angle, share, depth)
        found["frog_apex"] = np.array([0.56 * self.length, 0.0, self.concavity])
        random = np.random.default_rng(5)
        for number in range(self.inner_count):
            angle, share = random.uniform(-2.2, 2.2), random.uniform(0.2, 0.7)
            found[f"sole_{number + 1:02d}"] = self._outline(angle, share, self.concavity * (1.0 - share**2))
        found |= {name: np.array(place) for name, place in self.more.items()}
        for name, more in self.raised.items():
            found[name] = found[name] + [0.0, 0.0, more]
        return {name: self._tilted(point) for name, point in found.items()}

    def _outline(self, angle: float, share: float, depth: float) -> np.ndarray:
        middle = 0.46 * self.length
        reach = (self.length - middle) if abs(angle) < np.pi / 2 else middle * 1.1
        return np.array([middle + share * reach * np.cos(angle), share * self.half_width * np.sin(angle), depth])

    def _tilted(self, point: np.ndarray) -> np.ndarray:
        turn, _ = cv2.Rodrigues(np.array([self.lean[0], self.lean[1], 0.0]))
        return turn @ point


def truth(points: Mapping[str, np.ndarray], edge: str, at: str = "frog_apex") -> float:
    """Distance of a point from the plane of an edge, by numpy's SVD (positive into the foot)."""
    on_edge = np.array([point for name, point in points.items() if name.startswith(edge + "_")])
    middle = on_edge.mean(axis=0)
    normal = np.linalg.svd(on_edge - middle)[2][2]
    normal = normal if normal[2] > 0 else -normal
    return float((points[at] - middle) @ normal)


@dataclass(frozen=True)
class Session:
    """How the photos were taken. Angles in degrees; noise in px; `slips` moves the card in a photo by (x, y, z) mm."""

    turns: tuple[float, ...] = (-25.0, 0.0, 25.0)
    tilts: tuple[float, ...] = (3.0, -4.0, 5.0, 8.0, -6.0)
    distance: float = 420.0
    size: tuple[int, int] = SIZE_12MP
    focal: float = 3100.0
    focal_told: float | None = 1.0  # share of the truth that the tags tell; None = no tag
    centre: tuple[float, float] = (0.0, 0.0)
    k1: float = 0.0
    placing: float = 0.0
    told_placing: float | None = 1.0
    corner: float = 0.0
    corner_told: float = 0.04
    print_size: tuple[float, float] = (1.0, 1.0)
    print_told: tuple[float, float] | None = (112.0, 80.0)
    slips: Mapping[int, tuple[float, float, float]] = field(default_factory=dict)
    card: bool = True
    card_at: tuple[float, float, float] = (-40.0, 0.0, -3.0)  # middle of the pattern, hoof frame
    card_turn: tuple[float, float, float] = (0.05, 0.08, 0.03)
    mirror: bool = False
    seed: int = 0


def poses(session: Session) -> list[tuple[np.ndarray, np.ndarray]]:
    """World-to-camera rotation vectors and translations: the lens circles the foot, toe up in the picture."""
    found = []
    for turn, tilt in zip(session.turns, session.tilts, strict=False):
        side, nod = np.radians(turn), np.radians(tilt)
        away = np.array([np.sin(nod), np.cos(nod) * np.sin(side), -np.cos(nod) * np.cos(side)])
        target = np.array([45.0, 2.0, 2.0])
        forward = -away
        down = np.array([-1.0, 0.0, 0.0])
        right = np.cross(down, forward)
        right /= np.linalg.norm(right)
        turned = np.stack([right, np.cross(forward, right), forward])
        found.append((cv2.Rodrigues(turned)[0], -turned @ (target + session.distance * away)))
    return found


def see(points: np.ndarray, pose: tuple[np.ndarray, np.ndarray], session: Session) -> np.ndarray:
    """Pixels (n, 2) by cv2.projectPoints."""
    width, height = session.size
    matrix = np.array(
        [
            [session.focal, 0.0, (width - 1) / 2 + session.centre[0] * width],
            [0.0, session.focal, (height - 1) / 2 + session.centre[1] * width],
            [0.0, 0.0, 1.0],
        ]
    )
    lens = np.array([session.k1, 0.0, 0.0, 0.0])
    return cv2.projectPoints(points.reshape(-1, 1, 3), pose[0], pose[1], matrix, lens)[0].reshape(-1, 2)


def card_corners() -> dict[str, tuple[float, float]]:
    """Inner corners and some marker corners of the board, card frame, nominal millimetres."""
    found = {
        f"c{row * 6 + column:02d}": (16.0 * (column + 1), 16.0 * (row + 1)) for row in range(4) for column in range(6)
    }
    number = 0
    for row in range(5):
        for column in range(7):
            if (row + column) % 2 == 1:
                for corner, (x, y) in enumerate(((2, 2), (14, 2), (14, 14), (2, 14))):
                    found[f"m{number}.{corner}"] = (16.0 * column + x, 16.0 * row + y)
                number += 1
    return found


def take(
    hoof: Hoof, session: Session, told: Mapping[str, object] | None = None
) -> tuple[list[Shot], dict[str, np.ndarray]]:
    """The shots of one set and the true points."""
    random = np.random.default_rng(session.seed)
    points = hoof.points()
    names = list(points)
    stack = np.array([points[name] for name in names])
    corners = card_corners()
    nominal = np.array([(x - 56.0, y - 40.0, 0.0) for x, y in corners.values()])
    printed = nominal * [*session.print_size, 1.0]
    # card axes in the hoof frame: x right in the picture, y to the heel, z into the foot
    axes = (
        np.array([[0.0, -1.0, 0.0], [1.0, 0.0, 0.0], [0.0, 0.0, 1.0]]) @ cv2.Rodrigues(np.array(session.card_turn))[0]
    )
    shots = []
    for number, pose in enumerate(poses(session)):
        key = f"photo {number + 1}"
        pixels = see(stack, pose, session) + random.normal(0.0, 1.0, (len(names), 2)) * session.placing
        at = np.array(session.card_at) + session.slips.get(number, (0.0, 0.0, 0.0))
        seen = see(printed @ axes.T + at, pose, session) + random.normal(0.0, 1.0, (len(nominal), 2)) * session.corner
        if session.mirror:
            pixels, seen = _mirrored(pixels, session), _mirrored(seen, session)
        sighting = None
        if session.card:
            sighting = CardSighting(
                CardFace.BACK,
                tuple(
                    CardCorner(name, corners[name], (float(x), float(y)), session.corner_told)
                    for name, (x, y) in zip(corners, seen, strict=True)
                ),
                tuple(range(26, 43)),
                (),
                2.0,
                session.size,
                "made",
            )
        diagonal = float(np.hypot(*session.size))
        shot = Shot(
            key=key,
            view=View.SOLAR,
            photo_size=session.size,
            marking=Marking({name: Mark(float(x), float(y)) for name, (x, y) in zip(names, pixels, strict=True)}),
            foot=Foot.RF if session.mirror else Foot.LF,
            sighting=sighting,
            focal_35mm=None if session.focal_told is None else session.focal * session.focal_told * 43.27 / diagonal,
            card_size_mm=session.print_told,
            placing_px=session.told_placing,
            set_name="sole",
            card_key="card 1",
            lens_key="lens main",
        )
        shots.append(replace(shot, **(told or {})))
    return shots, points


def _mirrored(pixels: np.ndarray, session: Session) -> np.ndarray:
    return np.column_stack([session.size[0] - 1 - pixels[:, 0], pixels[:, 1]])
