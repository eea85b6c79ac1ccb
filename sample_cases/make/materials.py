"""Surfaces: horn, ground side of the hoof, skin, coat, card, floor, wall, straw, steel, leather."""

from __future__ import annotations

import dataclasses
from typing import Any

import bpy
from nodes import Tree

Colour = tuple[float, float, float]


@dataclasses.dataclass(frozen=True)
class Colours:
    """Linear colours of one horse's leg: horn and hair from dark to light, skin under the hair in two shades."""

    horn: tuple[Colour, Colour, Colour, Colour]
    hair: tuple[Colour, Colour, Colour]
    skin: tuple[Colour, Colour]


_HORN = ((0.036, 0.028, 0.022), (0.135, 0.100, 0.070), (0.27, 0.21, 0.145), (0.42, 0.345, 0.25))
COLOURS = {
    "brown": Colours(
        _HORN,
        ((0.055, 0.025, 0.012), (0.155, 0.072, 0.031), (0.33, 0.18, 0.088)),
        ((0.040, 0.020, 0.011), (0.072, 0.036, 0.018)),
    ),
    "chestnut": Colours(
        ((0.030, 0.025, 0.021), (0.112, 0.086, 0.063), (0.23, 0.182, 0.13), (0.37, 0.305, 0.225)),
        ((0.072, 0.021, 0.008), (0.215, 0.073, 0.024), (0.43, 0.185, 0.070)),
        ((0.048, 0.018, 0.009), (0.090, 0.034, 0.014)),
    ),
    "white": Colours(
        ((0.085, 0.066, 0.046), (0.24, 0.185, 0.128), (0.40, 0.325, 0.235), (0.56, 0.485, 0.375)),
        ((0.34, 0.30, 0.25), (0.55, 0.515, 0.455), (0.76, 0.73, 0.68)),
        ((0.25, 0.20, 0.165), (0.36, 0.305, 0.26)),
    ),
}


def horn(worn: float, seed: int, tones: tuple[Colour, Colour, Colour, Colour]) -> Any:
    """Hoof wall: upright tubules, soft growth rings, dull band below the hairline, dirt at the ground."""
    tree = Tree("horn")
    shift = float(seed % 17)
    tubes = tree.noise(tree.uv_place((95.0, 1.6, 1.0)), 1.0, 5.0, 0.6)
    stripes = tree.noise(tree.uv_place((9.0, 0.35, 1.0)), 1.0, 2.0, 0.5)
    rings = tree.noise(tree.uv_place((0.5, 26.0, 1.0)), 1.0, 3.0, 0.6)
    wide_rings = tree.noise(tree.uv_place((0.25, 8.0 + 0.07 * shift, 1.0)), 1.0, 1.0, 0.5)
    patches = tree.noise(tree.object_place((30.0, 30.0, 30.0)), 1.0, 4.0, 0.6)
    tone = tree.math("MULTIPLY", tubes, 0.34)
    for part, weight in ((stripes, 0.46), (rings, 0.17), (wide_rings, 0.22)):
        tone = tree.math("ADD", tone, tree.math("MULTIPLY", part, weight))
    tone = tree.math("SUBTRACT", tone, 0.13)
    colour = tree.ramp(
        tone,
        list(zip((0.22, 0.42, 0.58, 0.8), tones, strict=True)),
    )
    dirt = tree.math("MULTIPLY", tree.attribute("low"), tree.band(patches, 0.35, 0.7))
    colour = tree.mix(tree.math("MULTIPLY", dirt, 0.55 + 0.4 * worn), colour, (0.10, 0.075, 0.052))
    dull = tree.math("MULTIPLY", tree.attribute("high"), tree.band(tubes, 0.3, 0.6))
    colour = tree.mix(tree.math("MULTIPLY", dull, 0.6), colour, (0.36, 0.32, 0.265))
    blood = tree.math("MULTIPLY", tree.attribute("stain"), tree.band(tubes, 0.1, 0.5))
    colour = tree.mix(tree.math("MULTIPLY", blood, 0.9), colour, (0.060, 0.009, 0.006))
    colour = tree.mix(tree.attribute("dark"), colour, (0.012, 0.010, 0.009))
    height = tree.math("ADD", tree.math("MULTIPLY", rings, 0.55), tree.math("MULTIPLY", wide_rings, 1.3))
    height = tree.math("ADD", height, tree.math("MULTIPLY", tubes, 0.22))
    height = tree.math("SUBTRACT", height, tree.math("MULTIPLY", tree.attribute("dark"), 1.2))
    return tree.finish(colour, tree.band(patches, -0.9, 1.6), tree.bump(height, 0.55, 1.1), 0.3)


def ground_side(flaky: float, waxy: float, wet: float = 0.0) -> Any:
    """Wall edge, white line, sole, bars, frog by the surface's own masks; wet = darker under a smooth film of water."""
    tree = Tree("ground side")
    place = tree.object_place((1.0, 1.0, 1.0))
    fine, coarse = tree.noise(place, 900.0, 6.0, 0.65), tree.noise(place, 120.0, 5.0, 0.68, 0.9)
    flakes = tree.add("ShaderNodeTexVoronoi", {"feature": "F1"}, Vector=tree.object_place((260.0, 420.0, 260.0)))
    flakes = tree.math("ADD", flakes.outputs[0], tree.math("MULTIPLY", coarse, 0.9))
    chalk = tree.ramp(coarse, [(0.3, (0.105, 0.085, 0.064)), (0.5, (0.25, 0.212, 0.162)), (0.7, (0.43, 0.385, 0.315))])
    wax = tree.ramp(coarse, [(0.3, (0.085, 0.066, 0.043)), (0.5, (0.19, 0.152, 0.100)), (0.7, (0.33, 0.275, 0.19))])
    sole = tree.mix(waxy, chalk, wax)
    flake = tree.math("MULTIPLY", tree.band(flakes, 0.70, 0.52), 0.75 * flaky + 0.10)
    sole = tree.mix(flake, sole, (0.60, 0.56, 0.49))
    sole = tree.mix(tree.math("MULTIPLY", tree.band(fine, 0.62, 0.75), 0.6), sole, (0.10, 0.08, 0.06))
    rasp = tree.noise(tree.object_place((90.0, 2200.0, 1.0)), 1.0, 2.0, 0.5)
    wall = tree.ramp(
        tree.math("ADD", tree.math("MULTIPLY", rasp, 0.5), tree.math("MULTIPLY", coarse, 0.5)),
        [(0.3, (0.17, 0.14, 0.105)), (0.55, (0.31, 0.265, 0.205)), (0.75, (0.41, 0.36, 0.285))],
    )
    white = tree.mix(tree.band(fine, 0.55, 0.72), (0.47, 0.375, 0.185), (0.13, 0.095, 0.055))
    frog = tree.ramp(
        coarse, [(0.25, (0.034, 0.030, 0.026)), (0.55, (0.085, 0.075, 0.064)), (0.8, (0.175, 0.153, 0.128))]
    )
    colour = tree.mix(tree.attribute("bar"), sole, tree.mix(0.5, wall, sole))
    colour = tree.mix(tree.attribute("frog"), colour, frog)
    colour = tree.mix(tree.math("MULTIPLY", tree.attribute("groove"), 0.75), colour, (0.022, 0.019, 0.017))
    colour = tree.mix(tree.attribute("white"), colour, white)
    colour = tree.mix(tree.attribute("wall"), colour, wall)
    not_sole = tree.math(
        "MAXIMUM", tree.attribute("frog"), tree.math("MAXIMUM", tree.attribute("wall"), tree.attribute("white"))
    )
    rough = tree.math("MULTIPLY", flake, tree.math("SUBTRACT", 1.0, not_sole))
    height = tree.math("ADD", tree.math("MULTIPLY", fine, 0.45), tree.math("MULTIPLY", rough, -0.9))
    height = tree.math("ADD", height, tree.math("MULTIPLY", coarse, 0.7))
    height = tree.math("ADD", height, tree.math("MULTIPLY", tree.math("MULTIPLY", rasp, tree.attribute("wall")), 0.5))
    if wet > 0.0:
        colour = tree.mix(0.72 * wet, colour, (0.04, 0.033, 0.026))
        tree.put(tree.shader, "Coat Weight", wet)
        tree.put(tree.shader, "Coat Roughness", 0.15)
        ripple = tree.math(
            "ADD", tree.noise(place, 55.0, 1.0), tree.math("MULTIPLY", tree.noise(place, 330.0, 2.0), 0.1)
        )
        tree.put(tree.shader, "Coat Normal", tree.bump(ripple, wet, 14.0))
    return tree.finish(colour, 0.78 - 0.2 * waxy, tree.bump(height, 0.8, 1.3), 0.25)


def bulb_skin() -> Any:
    tree = Tree("bulb skin")
    place = tree.object_place((1.0, 1.0, 1.0))
    coarse, fine = tree.noise(place, 90.0, 6.0, 0.6, 0.8), tree.noise(place, 700.0, 4.0)
    colour = tree.ramp(
        coarse, [(0.25, (0.028, 0.025, 0.024)), (0.55, (0.085, 0.074, 0.066)), (0.8, (0.17, 0.145, 0.12))]
    )
    height = tree.math("ADD", coarse, tree.math("MULTIPLY", fine, 0.3))
    return tree.finish(colour, 0.72, tree.bump(height, 0.6, 1.5), 0.25)


def coat(colours: str, hair: bool) -> Any:
    """Coat of a horse of these ``COLOURS``: the skin under it and, with ``hair``, single hairs with their own tone."""
    own = COLOURS[colours]
    tree = Tree("hair" if hair else "coat")
    patch = tree.noise(tree.object_place((1.0, 1.0, 1.0)), 28.0, 4.0, 0.6)
    if not hair:
        return tree.finish(tree.ramp(patch, list(zip((0.3, 0.7), own.skin, strict=True))), 0.8, None, 0.1)
    info = tree.add("ShaderNodeHairInfo")
    tone = tree.math(
        "ADD",
        tree.math("MULTIPLY", info.outputs["Random"], 0.62),
        tree.math("MULTIPLY", info.outputs["Intercept"], 0.2),
    )
    tone = tree.math("ADD", tone, tree.math("MULTIPLY", tree.math("SUBTRACT", patch, 0.5), 0.7))
    colour = tree.ramp(tone, list(zip((0.0, 0.45, 0.95), own.hair, strict=True)))
    return tree.finish(colour, 0.48, None, 0.35)


def printed(name: str, picture: str) -> Any:
    tree = Tree(name)
    image = bpy.data.images.load(picture)
    image.colorspace_settings.name = "Non-Color"
    texture = tree.add("ShaderNodeTexImage", {"image": image, "interpolation": "Linear", "extension": "EXTEND"})
    soil = tree.noise(tree.object_place((1.0, 1.0, 1.0)), 60.0, 5.0, 0.6)
    paper = tree.mix(tree.band(soil, 0.45, 0.85), (0.72, 0.71, 0.69), (0.60, 0.575, 0.53))
    return tree.finish(tree.mix(texture.outputs[0], (0.022, 0.021, 0.021), paper), 0.75, None, 0.2)


def plain(name: str, colour: tuple[float, float, float], roughness: float = 0.7, metal: float = 0.0) -> Any:
    tree = Tree(name)
    tree.put(tree.shader, "Metallic", metal)
    grain = tree.noise(tree.object_place((1.0, 1.0, 1.0)), 160.0, 5.0, 0.6)
    shade = tuple(part * 0.55 for part in colour)
    return tree.finish(tree.mix(grain, shade, colour), roughness, tree.bump(grain, 0.4, 0.6))


def floor() -> Any:
    """Swept yard concrete: worn, speckled, with damp and dusty patches."""
    tree = Tree("floor")
    place = tree.object_place((1.0, 1.0, 1.0))
    wide, middle, grit = (
        tree.noise(place, 3.2, 5.0, 0.6, 0.4),
        tree.noise(place, 30.0, 6.0, 0.7),
        tree.noise(place, 260.0, 6.0, 0.75),
    )
    colour = tree.ramp(
        wide, [(0.3, (0.105, 0.094, 0.080)), (0.52, (0.185, 0.170, 0.148)), (0.75, (0.27, 0.252, 0.222))]
    )
    colour = tree.mix(tree.math("MULTIPLY", tree.band(middle, 0.48, 0.75), 0.5), colour, (0.30, 0.275, 0.235))
    colour = tree.mix(tree.math("MULTIPLY", tree.band(grit, 0.6, 0.72), 0.55), colour, (0.055, 0.050, 0.045))
    colour = tree.mix(tree.math("MULTIPLY", tree.band(grit, 0.36, 0.25), 0.4), colour, (0.42, 0.39, 0.34))
    height = tree.math("ADD", tree.math("MULTIPLY", grit, 0.8), middle)
    return tree.finish(colour, 0.85, tree.bump(height, 0.8, 2.2), 0.2)


def limewash() -> Any:
    """Old brick wall with worn limewash."""
    tree = Tree("limewash")
    place = tree.uv_place((1.0, 1.0, 1.0))
    rough = tree.noise(tree.object_place((1.0, 1.0, 1.0)), 9.0, 7.0, 0.65)
    brick = tree.add(
        "ShaderNodeTexBrick",
        Vector=place,
        Scale=1.0,
        Mortar_Size=0.012,
        Mortar_Smooth=0.6,
        Brick_Width=0.23,
        Row_Height=0.075,
        Color1=(0.25, 0.115, 0.07, 1),
        Color2=(0.17, 0.085, 0.06, 1),
        Mortar=(0.24, 0.22, 0.19, 1),
    )
    wash = tree.mix(tree.band(rough, 0.30, 0.8), (0.36, 0.335, 0.285), (0.25, 0.228, 0.19))
    colour = tree.mix(tree.band(rough, 0.64, 0.52), brick.outputs[0], wash)
    colour = tree.mix(tree.math("MULTIPLY", brick.outputs[1], 0.35), colour, (0.20, 0.185, 0.16))
    height = tree.math("SUBTRACT", rough, tree.math("MULTIPLY", brick.outputs[1], 0.8))
    return tree.finish(colour, 0.9, tree.bump(height, 0.8, 6.0), 0.1)


def straw() -> Any:
    tree = Tree("straw")
    info = tree.add("ShaderNodeHairInfo")
    colour = tree.ramp(
        info.outputs["Random"], [(0.0, (0.20, 0.135, 0.055)), (0.6, (0.42, 0.31, 0.14)), (1.0, (0.58, 0.47, 0.26))]
    )
    return tree.finish(colour, 0.5, None, 0.3)


def picture(name: str, file: str) -> Any:
    """Diffuse surface with a picture on it (the far, blurred floor of a sole view)."""
    tree = Tree(name)
    texture = tree.add("ShaderNodeTexImage", {"image": bpy.data.images.load(file), "extension": "MIRROR"})
    return tree.finish(texture.outputs[0], 0.9, None, 0.1)


def apron() -> Any:
    """Dark, scuffed leather."""
    tree = Tree("apron")
    place = tree.object_place((1.0, 1.0, 1.0))
    wide, grain = tree.noise(place, 11.0, 7.0, 0.68, 0.5), tree.noise(place, 420.0, 4.0, 0.6)
    scuff = tree.noise(tree.object_place((25.0, 160.0, 90.0)), 1.0, 4.0, 0.6)
    colour = tree.ramp(
        wide, [(0.3, (0.016, 0.010, 0.007)), (0.55, (0.042, 0.024, 0.014)), (0.75, (0.085, 0.050, 0.028))]
    )
    colour = tree.mix(tree.math("MULTIPLY", tree.band(scuff, 0.62, 0.85), 0.35), colour, (0.15, 0.105, 0.07))
    height = tree.math("ADD", grain, tree.math("MULTIPLY", wide, 2.0))
    return tree.finish(colour, 0.66, tree.bump(height, 0.7, 1.2), 0.3)
