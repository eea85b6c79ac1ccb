"""Burns a Drawing into a picture: the same primitives that the window shows, painted with Pillow."""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterable
from functools import cache
from types import MappingProxyType

import numpy as np
from PIL import Image, ImageDraw, ImageFont

from hoofbook.housekeeping.shipped import resource
from hoofbook.imaging.pixels import Pixels
from hoofbook.terms.drawing import Anchor, Arc, Band, Drawing, Line, Primitive, Role, Spot, Text

COLOURS = MappingProxyType(
    {
        Role.MEASURED: "#E69F00",
        Role.GROUND: "#56B4E9",
        Role.INK: "#24211D",
        Role.SOFT_INK: "#6B645B",
        Role.LINE: "#DDD6CA",
        Role.PAPER: "#F7F4EE",
        Role.CARD: "#FFFFFF",
        Role.CALM: "#5B6770",
        Role.CALM_TINT: "#EDF0F2",
        Role.WANTED: "#0B7A5B",
        Role.AGAINST: "#B2470E",
        Role.LEATHER: "#8A4B2A",
        Role.LEATHER_TINT: "#F3E6DB",
    }
)
_EDGE = "#FFFFFF"
_OVER = 2  # painted at twice the size and brought down, so that slanted lines are smooth
_TILE = 32  # px of the picture
_ANCHORS = {Anchor.START: "ls", Anchor.MIDDLE: "ms", Anchor.END: "rs"}


def paint(drawing: Drawing, picture: Pixels, scale: float = 1.0) -> Pixels:
    """`picture` (h, w, 3) BGR with `drawing` on it; `scale` is picture px per unit of the drawing."""
    height, width = picture.shape[:2]
    across, down = -(-width // _TILE), -(-height // _TILE)
    layer = Image.new("RGBA", (across * _TILE * _OVER, down * _TILE * _OVER), (0, 0, 0, 0))
    _paint_all(ImageDraw.Draw(layer), drawing.primitives, scale * _OVER)
    done = picture.copy()
    for row, first, last in _touched(layer, across, down):
        part = done[row * _TILE : (row + 1) * _TILE, first * _TILE : last * _TILE]
        box = (first * _TILE, row * _TILE, first * _TILE + part.shape[1], row * _TILE + part.shape[0])
        left, top, right, low = (side * _OVER for side in box)
        small = layer.crop((left, top, right, low)).resize(part.shape[1::-1], Image.Resampling.BOX)
        under = Image.fromarray(np.ascontiguousarray(part[..., ::-1])).convert("RGBA")
        part[:] = np.asarray(Image.alpha_composite(under, small).convert("RGB"), np.uint8)[..., ::-1]
    return done


def _touched(layer: Image.Image, across: int, down: int) -> list[tuple[int, int, int]]:
    """Row, first and last tile (last not included) of every run of tiles with anything in them: a drawing on a photo
    leaves most of it alone, and what it leaves alone need not be brought down and blended."""
    alpha = np.asarray(layer.getchannel("A")).view(np.uint64)
    there = (alpha.reshape(down, _TILE * _OVER, across, -1) != 0).any(axis=(1, 3))
    runs = []
    for row, tiles in enumerate(np.atleast_2d(there)):
        edges = np.flatnonzero(np.diff(tiles, prepend=False, append=False))
        runs += [(row, int(first), int(last)) for first, last in edges.reshape(-1, 2)]
    return runs


def _paint_all(draw: ImageDraw.ImageDraw, primitives: Iterable[Primitive], scale: float) -> None:
    for primitive in primitives:
        match primitive:
            case Line():
                _line(draw, primitive, scale)
            case Arc():
                _line(draw, _as_line(primitive), scale)
            case Spot():
                _spot(draw, primitive, scale)
            case Text():
                _text(draw, primitive, scale)
            case Band():
                points = [(x * scale, y * scale) for x, y in primitive.points]
                outline = COLOURS[primitive.outline] if primitive.outline else None
                draw.polygon(points, fill=COLOURS[primitive.role], outline=outline)


def _line(draw: ImageDraw.ImageDraw, line: Line, scale: float) -> None:
    points = [(x * scale, y * scale) for x, y in line.points]
    width = max(1, round(line.width * scale))
    if line.edged:
        draw.line(points, fill=_EDGE, width=width + 2 * max(2, round(1.5 * scale)), joint="curve")
    for piece in _dashes(points, 6 * width) if line.dashed else [points]:
        draw.line(piece, fill=COLOURS[line.role], width=width, joint="curve")


def _dashes(points: list[tuple[float, float]], dash: float) -> list[list[tuple[float, float]]]:
    pieces = []
    for (x0, y0), (x1, y1) in itertools.pairwise(points):
        long = math.hypot(x1 - x0, y1 - y0)
        for number in range(0, max(1, math.ceil(long / dash)), 2):
            a, b = number * dash / long, min(1.0, (number + 1) * dash / long)
            pieces.append([(x0 + a * (x1 - x0), y0 + a * (y1 - y0)), (x0 + b * (x1 - x0), y0 + b * (y1 - y0))])
    return pieces


def _as_line(arc: Arc) -> Line:
    steps = max(8, round(abs(arc.sweep) / 2))
    angles = [math.radians(arc.start + arc.sweep * step / steps) for step in range(steps + 1)]
    x, y = arc.centre
    points = tuple((x + arc.radius * math.cos(a), y - arc.radius * math.sin(a)) for a in angles)
    return Line(points, arc.role, arc.width, edged=arc.edged)


def _spot(draw: ImageDraw.ImageDraw, spot: Spot, scale: float) -> None:
    x, y, radius = spot.centre[0] * scale, spot.centre[1] * scale, spot.radius * scale
    fill = COLOURS[Role.CARD] if spot.hollow else COLOURS[spot.role]
    draw.ellipse((x - radius, y - radius, x + radius, y + radius), fill, COLOURS[spot.role], max(1, round(scale)))


def _text(draw: ImageDraw.ImageDraw, text: Text, scale: float) -> None:
    place = (text.at[0] * scale, text.at[1] * scale)
    letters = font(text.size * scale, bold=text.bold, heading=text.heading)
    edge = max(1, round(0.12 * text.size * scale)) if text.edged else 0
    draw.text(
        place, text.words, COLOURS[text.role], letters, _ANCHORS[text.anchor], stroke_width=edge, stroke_fill=_EDGE
    )


@cache
def font(size: float, *, bold: bool = False, heading: bool = False) -> ImageFont.FreeTypeFont:
    """Our own typefaces at `size` px, so that pictures look the same on every machine."""
    name = "Vollkorn-SemiBold.ttf" if heading else "Inter-SemiBold.ttf" if bold else "Inter-Regular.ttf"
    return ImageFont.truetype(str(resource("fonts", name)), round(size))
