"""Yard round a standing foot, and the far floor behind a lifted one."""

from __future__ import annotations

import pathlib

import bpy
import cv2
import materials
import numpy as np
import scene
from camera import WORLD_FROM_HOOF
from hoof import HoofShape
from mathutils import Matrix, Vector


def _sheet(name: str, corners: np.ndarray, material: object, uv_size: tuple[float, float] = (1, 1)) -> None:
    uv = np.array([[0, 0], [1, 0], [1, 1], [0, 1]], float) * np.array(uv_size)
    scene.add_mesh(name, corners, np.array([[0, 1, 2, 3]]), material, False, uv=uv)


def _scattered_straw(shape: HoofShape, foot: str, seed: int, keep_free: list[tuple[float, float]]) -> None:
    """Stalks and shavings on the floor, none under the foot or across card edges (``keep_free``: x ranges)."""
    random = np.random.default_rng(seed)
    stalks = []
    while len(stalks) < 300:
        middle = np.array([random.uniform(-650, 800), random.uniform(1.0, 2.2), random.uniform(-1100, 330)])
        if middle[2] > -150 and random.random() < 0.72:
            continue
        if -110 < middle[2] < 140 and any(low - 45 < middle[0] < high + 45 for low, high in keep_free):
            continue
        turn, length = random.uniform(0, np.pi), random.uniform(12, 95)
        along = np.array([np.cos(turn), 0.0, np.sin(turn)]) * length / 2
        bend = np.array([-along[2], 0, along[0]]) * random.normal(0, 0.12)
        stalks.append([middle - along, middle - along / 3 + bend, middle + along / 3 + bend, middle + along])
    strands = scene.to_world(np.array(stalks).reshape(-1, 3), foot).reshape(-1, 4, 3)
    scene.add_curves("straw", strands, random.uniform(0.6, 1.35, len(strands)) / 1000.0, False, materials.straw())


def standing(shape: HoofShape, foot: str, seed: int, keep_free: list[tuple[float, float]]) -> None:
    """Concrete yard, limewashed wall behind, straw, shade with soft light from the upper front."""
    floor = np.array([[-6, -3, 0], [6, -3, 0], [6, 1.9, 0], [-6, 1.9, 0]], float)
    _sheet("floor", floor, materials.floor())
    wall = np.array([[-6, 1.9, 0], [6, 1.9, 0], [6, 1.9, 4], [-6, 1.9, 4]], float)
    _sheet("wall behind", wall, materials.limewash(), (12.0, 4.0))
    _scattered_straw(shape, foot, seed, keep_free)
    random = np.random.default_rng(seed + 5)
    aim = np.array([0.08, 0.0, 0.08])
    side = -1.0 if foot == "LF" else 1.0
    scene.add_light(aim + np.array([side * random.uniform(0.7, 1.1), -1.5, 1.6]), aim, 1.1, 62.0, (1.0, 0.965, 0.91))
    scene.add_light(aim + np.array([-side * 1.7, -0.5, 0.9]), aim, 1.0, 9.0, (0.86, 0.92, 1.0))
    scene.set_sky((0.80, 0.88, 1.0), 0.36)


def far_floor_picture(file: pathlib.Path, seed: int) -> None:
    """Straw on stable floor as it looks far out of focus."""
    random = np.random.default_rng(seed)
    picture = np.full((1100, 1100, 3), (38, 52, 66), np.uint8)
    for _ in range(2600):
        start = random.integers(-60, 1160, 2)
        turn, length = random.uniform(0, np.pi), random.uniform(40, 210)
        end = start + (np.array([np.cos(turn), np.sin(turn)]) * length).astype(int)
        light = 0.75 * random.uniform(0.25, 1.0) ** 1.5
        colour = tuple(float(part * light) for part in (104, 150, 182))
        cv2.line(picture, start.tolist(), end.tolist(), colour, int(random.integers(3, 9)), cv2.LINE_AA)
    cv2.imwrite(str(file), cv2.GaussianBlur(picture, (0, 0), 6.5))


MOVED_MM, MOVED_DEG = 20.0, 5.0  # of foot and card against all else, from each photo to the next


def lifted(
    foot: str, seed: int, folder: pathlib.Path, moved: int | None = None, flash_at: np.ndarray | None = None
) -> None:
    """Lifted foot: far straw floor, a leather apron at the heel side, soft light over the shoulder.

    ``moved`` = how often foot and card were moved by `MOVED_MM` and `MOVED_DEG` before this photo, with a sharp floor
    close behind them. ``flash_at`` = a lens (hoof frame) with a flash beside it that outshines the day.
    """
    random = np.random.default_rng(seed + 9)
    file = folder / f"far-floor-{seed}.png"
    far_floor_picture(file, seed)
    before = set(bpy.context.scene.objects)
    back = np.array([[-1300, 470, -2600], [1700, 470, -2600], [1700, 470, 2600], [-1300, 470, 2600]], float)
    _sheet("far floor", scene.to_world(back, foot), materials.picture("far floor", str(file)), (2.4, 4.2))
    if moved is None:
        _apron(foot, random)
    aim = scene.to_world(np.array([[70.0, 0, 0]]), foot)[0]
    left = 1.0 if WORLD_FROM_HOOF[foot][0, 0] > 0 else -1.0
    place = scene.to_world(np.array([[-560.0, -470.0, left * -600.0 + random.normal(0, 60)]]), foot)[0]
    day = 1.0 if flash_at is None else 0.12
    scene.add_light(place, aim, 0.6, 21.0 * day, (1.0, 0.965, 0.92))
    scene.set_sky((0.84, 0.90, 1.0), 0.33 * day)
    if flash_at is not None:
        beside = scene.to_world(flash_at[None] + np.array([[14.0, 0.0, 0.0]]), foot)[0]
        scene.add_light(beside, aim, 0.007, 6.0, (0.97, 0.98, 1.0))
    if moved is not None:
        _near_floor(foot, random)
        _shift_all_but_the_foot(foot, moved, before)


def _near_floor(foot: str, random: np.random.Generator) -> None:
    """Concrete with much straw close behind the foot, as sharp as the foot itself."""
    level = 150.0
    corners = np.array([[-900, level, -900], [1200, level, -900], [1200, level, 900], [-900, level, 900]], float)
    _sheet("near floor", scene.to_world(corners, foot), materials.floor())
    middle = np.stack(
        [random.uniform(-400, 650, 1500), level - random.uniform(1, 6, 1500), random.uniform(-400, 400, 1500)], 1
    )
    turn, length = random.uniform(0, np.pi, 1500), random.uniform(15, 70, 1500)
    along = np.stack([np.cos(turn), np.zeros(1500), np.sin(turn)], 1) * length[:, None] / 2
    bend = np.stack([-along[:, 2], np.zeros(1500), along[:, 0]], 1) * random.normal(0, 0.12, 1500)[:, None]
    stalks = np.stack([middle - along, middle - along / 3 + bend, middle + along / 3 + bend, middle + along], 1)
    strands = scene.to_world(stalks.reshape(-1, 3), foot).reshape(stalks.shape)
    scene.add_curves("straw", strands, random.uniform(0.6, 1.35, 1500) / 1000.0, False, materials.straw())


def _shift_all_but_the_foot(foot: str, times: int, before: set[bpy.types.Object]) -> None:
    """Moves everything put up since ``before``: seen from the foot it is the world that moves."""
    for number in range(times):
        way = np.array([0.6, 0.2, 0.77]) if number % 2 == 0 else np.array([-0.5, 0.4, 0.77])
        way = scene.to_world((MOVED_MM * way / np.linalg.norm(way))[None], foot)[0]
        middle = Vector(scene.to_world(np.array([[60.0, 0.0, 0.0]]), foot)[0])
        axis = Vector((1.0, 0.3, 0.2)) if number % 2 == 0 else Vector((0.2, -0.4, 1.0))
        turn = Matrix.Rotation(np.radians(MOVED_DEG), 4, axis.normalized())
        whole = Matrix.Translation(Vector(way) + middle) @ turn @ Matrix.Translation(-middle)
        for item in set(bpy.context.scene.objects) - before:
            item.matrix_world = whole @ item.matrix_world


def _apron(foot: str, random: np.random.Generator) -> None:
    """Farrier's leather apron over both knees, behind and beside the heel."""
    across, along = np.meshgrid(np.linspace(-640, 640, 130), np.linspace(60, 760, 70))
    knees = 62.0 * (np.exp(-(((np.abs(across) - 210) / 95) ** 2)))
    fold = 7.0 * np.sin(across * 0.035 + along * 0.012 + random.uniform(0, 6))
    edge = np.clip((150 - along) / 90, 0, 1)
    height = 175.0 - knees - fold + 120.0 * edge**2 - 0.02 * (along - 60)
    wave = along + 16 * np.sin(across * 0.011 + 1.2) + 0.0009 * across**2
    points = np.stack([wave, height, across], -1).reshape(-1, 3)
    leather = materials.apron()
    scene.add_mesh("apron", scene.to_world(points, foot), scene.grid_faces(70, 130), leather, foot == "RF")
