"""Skin above the hairline: heel bulbs, pastern, fetlock, cannon, and the hairs on them (hoof frame, mm)."""

from __future__ import annotations

import numpy as np
from hoof import GroundSurface, HoofShape, hairline, smooth

BACK_STEPS = 160  # points of the heel bulbs between the two heels


def _bulb_arc(shape: HoofShape) -> np.ndarray:
    """Upper edge of the bulbs from the outside heel hairline to the inside one, (BACK_STEPS + 1, 3)."""
    part = np.linspace(0.0, 1.0, BACK_STEPS + 1)
    heel = shape.heel_hairline
    z = heel[2] * np.cos(np.pi * part)
    lobes = np.sin(np.pi * part) ** 0.62 * (1.0 - 0.62 * np.exp(-((z / 8.0) ** 2)))
    return np.stack([heel[0] + 11.0 * lobes, heel[1] + 7.0 * np.sin(np.pi * part), z], 1)


def _base_ring(shape: HoofShape) -> np.ndarray:
    """Closed ring just at the hairline: wall hairline (inside heel to outside heel), then the bulbs back."""
    return np.concatenate([hairline(shape), _bulb_arc(shape)[1:-1]])


def bulb_grid(shape: HoofShape, surface: GroundSurface, rows: int = 70) -> np.ndarray:
    """Skin of the heel bulbs (rows, BACK_STEPS + 1, 3) from the frog's base up to the bulb arc."""
    part = np.linspace(0.0, 1.0, BACK_STEPS + 1)
    x = shape.bearing_length + 14.0 * np.sin(np.pi * part)
    z = shape.heel_half_width * np.cos(np.pi * part)
    y, _ = surface.evaluate(x, z)
    y[[0, -1]] = 0.0
    low, high = np.stack([x, y, z], 1), _bulb_arc(shape)
    up = np.linspace(0.0, 1.0, rows)[:, None]
    grid = low[None] * (1 - up[:, :, None]) + high[None] * up[:, :, None]
    lobe = np.sin(np.pi * part) ** 0.7 * (1.0 - 0.8 * np.exp(-((z / 6.5) ** 2)))
    swell = np.sin(np.pi * up**0.8) * lobe[None] * 8.5
    grid[:, :, 0] += swell * 0.85
    grid[:, :, 1] -= swell * 0.5
    return grid


def _sections(shape: HoofShape) -> list[tuple[float, float, float, float, float, float]]:
    """Rings of the leg: centre x and y, half depth (front-back), half width, slope in degrees, heel hollow."""
    toe = shape.toe_hairline
    slope = np.radians(shape.toe_angle + 1.5)
    along = np.array([np.cos(slope), np.sin(slope)])
    rows, size = [], shape.leg
    for reach, depth, width, tilt, hollow in (
        (19.0, 50.0, 46.0, 21.0, 0.16),
        (42.0, 41.0, 38.5, 27.0, 0.16),
        (68.0, 32.5, 32.5, 33.0, 0.10),
        (92.0, 31.5, 31.0, 35.0, 0.05),
    ):
        rows.append(_behind_front(toe[:2] + along * reach * size, depth * size, width * size, tilt, hollow))
    top = toe[:2] + along * 92.0 * size
    for dx, dy, depth, width, tilt, hollow in (
        (11.0, 16.0, 35.5, 33.0, 29.0, 0.02),
        (15.0, 36.0, 39.0, 35.5, 17.0, 0.0),
        (15.0, 59.0, 38.0, 35.5, 6.0, 0.0),
        (19.0, 84.0, 32.0, 31.0, 1.0, 0.0),
        (24.0, 112.0, 27.5, 27.0, 0.0, 0.05),
        (25.0, 160.0, 27.0, 25.5, 0.0, 0.09),
        (25.0, 270.0, 27.0, 25.0, 0.0, 0.10),
    ):
        rows.append(_behind_front(top + np.array([dx, dy]) * size, depth * size, width * size, tilt, hollow))
    return rows


def _behind_front(
    front: np.ndarray, depth: float, width: float, tilt: float, hollow: float
) -> tuple[float, float, float, float, float, float]:
    """Section whose foremost point is ``front`` and whose front-back axis falls by ``tilt`` degrees."""
    turn = np.radians(tilt)
    return (front[0] + depth * np.cos(turn), front[1] - depth * np.sin(turn), depth, width, tilt, hollow)


def _ring(section: tuple[float, ...], angle: np.ndarray) -> np.ndarray:
    x, y, depth, width, tilt, hollow = section
    front = np.cos(angle)  # 1 at the front
    side = np.sin(angle)
    deep = depth * np.where(front > 0, 1.0, 1.0 - hollow * np.exp(-((side / 0.35) ** 2)))
    along = -front * deep
    turn = np.radians(tilt)
    return np.stack([x + along * np.cos(turn), y - along * np.sin(turn), side * width], 1)


def _curve(stack: np.ndarray, fine: int) -> np.ndarray:
    """Catmull-Rom through the rings along the first axis, ``fine`` rows to each gap."""
    padded = np.concatenate([[2 * stack[0] - stack[1]], stack, [2 * stack[-1] - stack[-2]]])
    rows = []
    for index in range(1, len(padded) - 2):
        a, b, c, d = padded[index - 1 : index + 3]
        for t in np.arange(fine) / fine:
            rows.append(
                0.5 * (2 * b + (c - a) * t + (2 * a - 5 * b + 4 * c - d) * t**2 + (3 * b - a - 3 * c + d) * t**3)
            )
    rows.append(stack[-1])
    return np.array(rows)


def skin_grid(shape: HoofShape) -> np.ndarray:
    """Leg skin (rows, ring, 3), row 0 at the hairline; the ring is closed (last joins first)."""
    base = _base_ring(shape)
    count = len(hairline(shape))
    around = np.linspace(-1.0, 1.0, count)
    front_angle = around * np.radians(128.0)
    back = np.linspace(0.0, 1.0, BACK_STEPS + 1)[1:-1]
    back_angle = np.radians(128.0) + back * np.radians(104.0)
    angle = np.concatenate([front_angle, back_angle])
    rings = [base]
    centre = base.mean(0)
    outward = base - centre
    outward[:, 1] = 0.0
    outward /= np.linalg.norm(outward, axis=1, keepdims=True)
    sections = [_ring(section, angle) for section in _sections(shape)]
    rise = sections[0] - base
    rings.append(base + outward * 1.2 + 0.17 * rise)
    rings.append(base + outward * 2.0 + 0.45 * rise)
    rings.extend(sections)
    return _curve(np.array(rings), 14)


def hairs(skin: np.ndarray, count: int, seed: int, long: float = 1.0) -> tuple[np.ndarray, np.ndarray]:
    """Hair strands (count, 4, 3) and their thickness at the root (count,), lying down along the leg.

    ``long`` is how much longer than usual the hairs behind the pastern are.
    """
    random = np.random.default_rng(seed)
    rows, ring = skin.shape[:2]
    right = np.roll(skin, -1, axis=1)
    area = np.linalg.norm(np.cross(right[:-1] - skin[:-1], skin[1:] - skin[:-1]), axis=2)
    weight = area * (skin[:-1, :, 1] < 330.0)
    share = (weight / weight.sum()).ravel()
    cell = random.choice(share.size, size=count, p=share)
    row, column = np.divmod(cell, ring)
    a, b = random.random(count)[:, None], random.random(count)[:, None]
    root = skin[row, column] * (1 - b) + skin[row + 1, column] * b
    root = root + (right[row, column] - skin[row, column]) * a
    down = skin[row, column] - skin[row + 1, column]
    down /= np.linalg.norm(down, axis=1, keepdims=True) + 1e-9
    across = right[row, column] - skin[row, column]
    across /= np.linalg.norm(across, axis=1, keepdims=True) + 1e-9
    outward = np.cross(down, across)
    centre = skin.mean(1)
    flip = np.sign(((root - centre[row]) * outward).sum(1))
    outward *= flip[:, None]
    return _strands(random, root, down, across, outward, row, skin, long)


def _strands(
    random: np.random.Generator,
    root: np.ndarray,
    down: np.ndarray,
    across: np.ndarray,
    outward: np.ndarray,
    row: np.ndarray,
    skin: np.ndarray,
    long: float,
) -> tuple[np.ndarray, np.ndarray]:
    count = len(root)
    length = random.uniform(5.0, 10.0, count)
    behind = root[:, 0] - skin.mean(1)[row, 0]
    feather = smooth(18.0, 34.0, behind) * smooth(95.0, 130.0, root[:, 1]) * (1 - smooth(190.0, 230.0, root[:, 1]))
    length *= 1.0 + 1.7 * long * feather * random.random(count)
    above = row / 14.0  # the first ring gaps are about 4 and 6 mm high: tips stay above the hairline
    room = np.where(above < 2.6, 0.5 + above * 4.0, 30.0)
    length = np.minimum(length, room * random.uniform(0.85, 1.08, count))
    lift = random.uniform(0.10, 0.24, count) * (1 + 0.8 * feather)
    sway = random.normal(0.0, 0.11, count)
    clump = 0.16 * np.sin(root[:, 1] * 0.21 + root[:, 2] * 0.17) + 0.1 * np.sin(root[:, 0] * 0.37 + 1.0)
    strands = np.empty((count, 4, 3))
    for index, step in enumerate((0.0, 0.35, 0.7, 1.0)):
        rise = lift * step * (1.0 - 0.55 * step)
        direction = down * step + outward * rise[:, None] + across * ((sway + clump) * step**1.3)[:, None]
        strands[:, index] = root + direction * length[:, None]
    strands[:, 0] -= outward * 0.3
    return strands, random.uniform(0.055, 0.10, count)
