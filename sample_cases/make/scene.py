"""Puts hoof, leg, card, floor and light into the renderer. World: millimetres / 1000, see camera.WORLD_FROM_HOOF."""

from __future__ import annotations

import pathlib
from typing import Any

import bpy
import cv2
import fissure
import materials
import numpy as np
from camera import WORLD_FROM_HOOF, Camera, straight_size
from hoof import GroundSurface, HoofShape, ground_edge, ground_outline, rolled, smooth, wall_grid
from leg import bulb_grid, hairs, skin_grid
from mathutils import Matrix

SAMPLES = 2


def to_world(points: np.ndarray, foot: str) -> np.ndarray:
    return points @ WORLD_FROM_HOOF[foot].T / 1000.0


def clear() -> None:
    bpy.ops.wm.read_factory_settings(use_empty=True)


def add_mesh(
    name: str,
    points: np.ndarray,
    faces: np.ndarray,
    material: Any,
    flip: bool,
    attributes: dict[str, np.ndarray] | None = None,
    uv: np.ndarray | None = None,
) -> Any:
    """Smooth mesh from world points (n, 3) and quads (m, 4)."""
    if flip:
        faces = faces[:, ::-1]
    mesh = bpy.data.meshes.new(name)
    mesh.from_pydata(points, [], faces.tolist())
    mesh.polygons.foreach_set("use_smooth", np.ones(len(faces), bool))
    for key, values in (attributes or {}).items():
        layer = mesh.attributes.new(key, "FLOAT", "POINT")
        layer.data.foreach_set("value", values.ravel().astype(np.float32))
    if uv is not None:
        layer = mesh.uv_layers.new(name="UVMap")
        layer.data.foreach_set("uv", uv[faces.ravel()].ravel().astype(np.float32))
    mesh.materials.append(material)
    mesh.update()
    item = bpy.data.objects.new(name, mesh)
    bpy.context.collection.objects.link(item)
    return item


def grid_faces(rows: int, columns: int, closed: bool = False) -> np.ndarray:
    wide = columns if closed else columns - 1
    row, column = np.mgrid[0 : rows - 1, 0:wide]
    a, right = row * columns + column, (column + 1) % columns
    b = row * columns + right
    return np.stack([a, b, b + columns, a + columns], -1).reshape(-1, 4)


def add_curves(name: str, strands: np.ndarray, radius: np.ndarray, taper: bool, material: Any) -> None:
    """Strands (n, k, 3) in world units, radius at the root (n,) in world units."""
    count, steps = strands.shape[:2]
    data = bpy.data.hair_curves.new(name)
    data.add_curves([steps] * count)
    data.position_data.foreach_set("vector", strands.reshape(-1).astype(np.float32))
    thin = np.linspace(1.0, 0.25, steps) if taper else np.ones(steps)
    layer = data.attributes.get("radius") or data.attributes.new("radius", "FLOAT", "POINT")
    layer.data.foreach_set("value", (radius[:, None] * thin[None]).ravel().astype(np.float32))
    data.materials.append(material)
    bpy.context.collection.objects.link(bpy.data.objects.new(name, data))


def wall_marks(shape: HoofShape, grid: np.ndarray, random: np.random.Generator) -> dict[str, np.ndarray]:
    """Masks of the wall: low (dirt), high (dull band), dark (old nail holes, chips at an overgrown edge)."""
    height = np.linalg.norm(grid - grid[:1], axis=2)
    room = height[-1:] - height
    masks = {"low": 1 - smooth(4.0, 22.0, height), "high": 1 - smooth(3.0, 15.0, room)}
    dark = np.zeros(height.shape)
    columns = height.shape[1]
    for side in (-1.0, 1.0):
        for nail in range(shape.old_nails):
            around = side * (0.27 + 0.115 * nail + random.normal(0, 0.008))
            column = int((around + 1) / 2 * (columns - 1))
            at = 17.0 + 1.2 * nail + random.normal(0, 1.0)
            row = int(np.abs(height[:, column] - at).argmin())
            away = np.linalg.norm(grid - grid[row, column], axis=2)
            dark = np.maximum(dark, 1 - smooth(0.6, 1.5, away))
            crack = (np.abs(np.arange(columns) - column)[None] < 2.2) & (height < at) & (height > at * 0.35)
            dark = np.maximum(dark, 0.45 * shape.worn * crack)
    edge = (
        np.abs(np.sin(np.arange(columns) * 0.081 + shape.seed)) * 3.4 + np.abs(np.sin(np.arange(columns) * 0.033)) * 2.6
    )
    dark = np.maximum(dark, shape.worn * 0.5 * (1 - smooth(0.35, 0.65, height / (edge[None] + 0.2))))
    masks["dark"] = np.maximum(dark, fissure.gap(shape, grid))
    masks["stain"] = fissure.stain(shape, grid)
    return masks


def add_wall(shape: HoofShape, foot: str, colours: str) -> None:
    grid = wall_grid(shape)
    masks = wall_marks(shape, grid, np.random.default_rng(shape.seed))
    step = np.linalg.norm(np.diff(grid, axis=1), axis=2)
    across = np.concatenate([np.zeros((grid.shape[0], 1)), np.cumsum(step, 1)], 1)
    across = np.broadcast_to(across[:1], across.shape)
    up = np.linalg.norm(grid - grid[:1], axis=2) - np.linalg.norm(grid[-1:] - grid[:1], axis=2)
    uv = np.stack([across, up], -1).reshape(-1, 2) / 100.0
    if shape.crack is not None:
        grid = fissure.opened(shape, grid, fissure.gap(shape, grid))
        _add_laces(shape, foot)
    lifted = grid + np.array([0, shape.floor_drop, 0])
    faces = grid_faces(*grid.shape[:2])
    add_mesh(
        "wall",
        to_world(lifted.reshape(-1, 3), foot),
        faces,
        materials.horn(shape.worn, shape.seed, materials.COLOURS[colours].horn),
        foot == "RF",
        masks,
        uv,
    )


def _add_laces(shape: HoofShape, foot: str, radius: float = 0.5) -> None:
    """Round wires of polished steel."""
    turn = np.linspace(0.0, 2 * np.pi, 9)[:-1]
    for number, wire in enumerate(fissure.laces(shape)):
        along = np.gradient(wire, axis=0)
        along /= np.linalg.norm(along, axis=1, keepdims=True)
        first = np.cross(along, [0.0, 1.0, 0.0])
        first /= np.linalg.norm(first, axis=1, keepdims=True)
        second = np.cross(along, first)
        ring = np.cos(turn)[None, :, None] * first[:, None] + np.sin(turn)[None, :, None] * second[:, None]
        tube = wire[:, None] + radius * ring
        faces = grid_faces(*tube.shape[:2], closed=True)
        steel = materials.plain("lace", (0.46, 0.45, 0.44), 0.38, 0.9)
        add_mesh(f"lace {number}", to_world(tube.reshape(-1, 3), foot), faces, steel, foot == "RF")


def ground_points(shape: HoofShape) -> tuple[np.ndarray, int, int]:
    """Rows of (x, z) from the toe back over the frog's base, dense at the toe where the outline turns."""
    low = ground_edge(shape)[:, [0, 2]]
    middle = len(low) // 2
    inside, outside = low[: middle + 1][::-1], low[middle:]
    length, toe = shape.bearing_length, low[middle, 0]
    x = np.concatenate(
        [
            toe + (length - toe) * np.linspace(0.004, 1.0, 330) ** 2,
            length + 14.0 * np.sin(np.linspace(0, np.pi / 2, 60)[1:]),
        ]
    )
    behind = np.sqrt(np.clip(1 - ((x - length) / 14.0) ** 2, 0.0004, 1.0)) * shape.heel_half_width
    right = np.where(x <= length, np.interp(x, outside[:, 0], outside[:, 1]), behind)
    left = np.where(x <= length, np.interp(x, inside[:, 0], inside[:, 1]), -behind)
    share = np.linspace(0.0, 1.0, 440)[None]
    z = left[:, None] * (1 - share) + right[:, None] * share
    return np.stack([np.broadcast_to(x[:, None], z.shape), z], -1), len(x), 440


def add_ground_side(
    shape: HoofShape, surface: GroundSurface, foot: str, flaky: float, waxy: float, wet: float = 0.0
) -> Any:
    flat, rows, columns = ground_points(shape)
    height, masks = surface.evaluate(flat[..., 0], flat[..., 1])
    border = flat[:, [0, -1], 0]
    height[:, [0, -1]] = np.where(border <= shape.bearing_length, rolled(shape, border), height[:, [0, -1]])
    points = np.stack([flat[..., 0], height + shape.floor_drop, flat[..., 1]], -1)
    material = materials.ground_side(flaky, waxy, wet)
    return add_mesh(
        "ground side", to_world(points.reshape(-1, 3), foot), grid_faces(rows, columns), material, foot == "RF", masks
    )


def add_leg(shape: HoofShape, surface: GroundSurface, foot: str, hair_count: int, colours: str) -> None:
    drop = np.array([0, shape.floor_drop, 0])
    bulbs = bulb_grid(shape, surface) + drop
    add_mesh(
        "bulbs", to_world(bulbs.reshape(-1, 3), foot), grid_faces(*bulbs.shape[:2]), materials.bulb_skin(), foot == "RF"
    )
    skin = skin_grid(shape) + drop
    faces = grid_faces(*skin.shape[:2], closed=True)
    add_mesh("skin", to_world(skin.reshape(-1, 3), foot), faces, materials.coat(colours, False), foot == "RF")
    strands, radius = hairs(skin, hair_count, shape.seed, shape.feather)
    flat = to_world(strands.reshape(-1, 3), foot).reshape(strands.shape)
    add_curves("hairs", flat, radius / 1000.0, True, materials.coat(colours, True))


def add_sheet(
    name: str,
    picture: np.ndarray,
    size: tuple[float, float],
    corner: tuple[float, float],
    pose: tuple[np.ndarray, np.ndarray],
    foot: str,
    folder: pathlib.Path,
) -> None:
    """Printed sheet on a 2 mm board; ``corner`` = the sheet's top-left corner in the card frame."""
    file = folder / f"{name}.png"
    cv2.imwrite(str(file), picture)
    (left, top), (width, height) = corner, size
    front = np.array(
        [[left, top, 0], [left + width, top, 0], [left + width, top + height, 0], [left, top + height, 0]], float
    )
    face = np.array([[0, 1, 2, 3]])
    uv = np.array([[0, 1], [1, 1], [1, 0], [0, 0]], float)
    rotation, translation = pose

    def place(points: np.ndarray) -> np.ndarray:
        return to_world(points @ rotation.T + translation, foot)

    add_mesh(name, place(front), face, materials.printed(name, str(file)), False, uv=uv)
    near, far = front + [0, 0, 0.05], front + [0, 0, 2.0]
    sides = np.array([[0, 1, 5, 4], [1, 2, 6, 5], [2, 3, 7, 6], [3, 0, 4, 7], [4, 5, 6, 7]])
    grey = materials.plain("board", (0.30, 0.28, 0.25), 0.8)
    add_mesh(f"{name} board", place(np.concatenate([near, far])), sides, grey, False)


def add_stand(middle: float, low: float, spread: float, pose: tuple[np.ndarray, np.ndarray], foot: str) -> None:
    """Folded bracket behind a standing sheet."""
    rotation, translation = pose
    for across in (-spread, spread):
        points = np.array(
            [
                [middle + across, low - 46, 2.1],
                [middle + across, low - 0.3, 2.1],
                [middle + across, low - 0.6, 34.0],
                [middle + across + 1.6, low - 46, 2.1],
                [middle + across + 1.6, low - 0.3, 2.1],
                [middle + across + 1.6, low - 0.6, 34.0],
            ]
        )
        world = to_world(points @ rotation.T + translation, foot)
        faces = np.array([[0, 1, 2, 2], [3, 5, 4, 4], [0, 2, 5, 3]])
        mesh = bpy.data.meshes.new("stand")
        mesh.from_pydata(world, [], [list(dict.fromkeys(face)) for face in faces.tolist()])
        mesh.materials.append(materials.plain("bracket", (0.34, 0.31, 0.26), 0.8))
        bpy.context.collection.objects.link(bpy.data.objects.new("stand", mesh))


def add_shoe(shape: HoofShape, foot: str, thick: float = 8.0, pad: float = 4.0) -> None:
    """Steel shoe and leather pad under the wall, heel to heel."""
    outline = ground_outline(shape)
    tangent = np.gradient(outline, axis=0)
    inward = np.stack([tangent[:, 1], -tangent[:, 0]], 1)
    inward /= np.linalg.norm(inward, axis=1, keepdims=True)
    inward *= np.sign((inward * (np.array([58.0, 0.0]) - outline)).sum(1, keepdims=True))
    for name, low, high, reach, out, material in (
        ("shoe", 0.0, thick, 22.0, 0.8, materials.plain("steel", (0.30, 0.29, 0.28), 0.42, 0.9)),
        ("pad", thick, thick + pad, 26.0, 0.3, materials.plain("pad leather", (0.24, 0.125, 0.055), 0.75)),
    ):
        outer, inner = outline - inward * out, outline + inward * reach
        ring = []
        for side, height in ((outer, low), (outer, high), (inner, high), (inner, low)):
            ring.append(np.stack([side[:, 0], np.full(len(side), height), side[:, 1]], 1))
        grid = np.stack(ring, 1)
        item = add_mesh(
            name, to_world(grid.reshape(-1, 3), foot), grid_faces(*grid.shape[:2], closed=True), material, foot == "RF"
        )
        item.data.polygons.foreach_set("use_smooth", np.zeros(len(item.data.polygons), bool))
        bevel = item.modifiers.new("edge", "BEVEL")
        bevel.width, bevel.segments = 0.0009, 2


def set_camera(camera: Camera, foot: str, focus_mm: float, f_stop: float) -> None:
    data = bpy.data.cameras.new("lens")
    width, height = straight_size(camera)
    data.sensor_fit, data.sensor_width = "HORIZONTAL", 36.0
    data.lens = camera.focal_px * 36.0 / width
    data.clip_start = 0.02
    data.dof.use_dof, data.dof.focus_distance, data.dof.aperture_fstop = True, focus_mm / 1000.0, f_stop
    item = bpy.data.objects.new("lens", data)
    turn = camera.rotation @ np.linalg.inv(WORLD_FROM_HOOF[foot])
    matrix = np.eye(4)
    matrix[:3, 0], matrix[:3, 1], matrix[:3, 2] = turn[0], -turn[1], -turn[2]
    matrix[:3, 3] = to_world(camera.centre[None], foot)[0]
    item.matrix_world = Matrix(matrix.tolist())
    bpy.context.collection.objects.link(item)
    scene = bpy.context.scene
    scene.camera = item
    scene.render.resolution_x, scene.render.resolution_y = width, height


def set_render(file: pathlib.Path) -> None:
    scene = bpy.context.scene
    scene.render.engine = "CYCLES"
    scene.cycles.device = "CPU"
    scene.cycles.samples, scene.cycles.use_adaptive_sampling = SAMPLES, False
    scene.cycles.use_denoising, scene.cycles.denoiser = True, "OPENIMAGEDENOISE"
    scene.cycles.denoising_prefilter = "FAST"
    scene.cycles.max_bounces, scene.cycles.diffuse_bounces, scene.cycles.glossy_bounces = 3, 2, 1
    scene.cycles.use_light_tree, scene.cycles.use_auto_tile = False, False
    scene.cycles.pixel_filter_type, scene.cycles.filter_width = "BLACKMAN_HARRIS", 1.5
    scene.render.threads_mode, scene.render.threads = "FIXED", 2
    scene.view_settings.view_transform = "Filmic"
    scene.view_settings.look = "Medium High Contrast"
    scene.view_settings.exposure = 0.25
    scene.render.image_settings.file_format = "PNG"
    scene.render.image_settings.color_depth = "16"
    scene.render.resolution_percentage = 100
    scene.render.filepath = str(file)


def add_light(
    place: np.ndarray, aim: np.ndarray, size: float, watts: float, colour: tuple[float, float, float]
) -> None:
    """Square lamp; ``place`` and ``aim`` in world units."""
    data = bpy.data.lights.new("lamp", "AREA")
    data.size, data.energy, data.color = size, watts, colour
    item = bpy.data.objects.new("lamp", data)
    back = (place - aim) / np.linalg.norm(place - aim)
    right = np.cross([0.0, 0.3, 1.0], back)
    right /= np.linalg.norm(right)
    matrix = np.eye(4)
    matrix[:3, 0], matrix[:3, 1], matrix[:3, 2], matrix[:3, 3] = right, np.cross(back, right), back, place
    item.matrix_world = Matrix(matrix.tolist())
    bpy.context.collection.objects.link(item)


def set_sky(colour: tuple[float, float, float], strength: float) -> None:
    world = bpy.data.worlds.new("sky")
    world.use_nodes = True
    world.node_tree.nodes["Background"].inputs[0].default_value = (*colour, 1.0)
    world.node_tree.nodes["Background"].inputs[1].default_value = strength
    bpy.context.scene.world = world
