"""A Drawing as SVG text, for the window (QtSvg) and for paper, with the list of places a pointer can ask about.

Only line, rect, circle, path, polygon and text are written, coordinates as they stand in the Drawing (x right, y down,
units of its width and height). `Text.at` is the start, middle or end of the baseline. Pure: no file, no library.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from hoofbook.terms.drawing import Arc, Band, Drawing, Line, Primitive, Role, Spot, Text

FONTS = ("Inter", "Vollkorn")  # families of body text and of headings
EDGE = "#FFFFFF"  # under lines and words that lie on a photo
EDGE_WIDTH = 1.5
_ANCHORS = {"start": "start", "middle": "middle", "end": "end"}


@dataclass(frozen=True, slots=True)
class Place:
    """A spot that stands for something: its key and where it lies, in the Drawing's units."""

    key: str
    x: float
    y: float
    radius: float


def places(drawing: Drawing) -> tuple[Place, ...]:
    """The spots with a key, in the order drawn (which is the order in which the keyboard goes through them)."""
    return tuple(
        Place(item.key, item.centre[0], item.centre[1], item.radius)
        for item in drawing.primitives
        if isinstance(item, Spot) and item.key
    )


def to_svg(drawing: Drawing, palette: Mapping[Role, str], fonts: tuple[str, str] = FONTS) -> str:
    """The Drawing as one SVG document.

    `palette` gives "#RRGGBB" per role, `fonts` the families of body text and of headings. KeyError for a role that
    has no colour.
    """
    head = (
        f'<svg xmlns="http://www.w3.org/2000/svg" width="{_n(drawing.width)}" height="{_n(drawing.height)}" '
        f'viewBox="0 0 {_n(drawing.width)} {_n(drawing.height)}"'
    )
    if drawing.alt:
        head += f' role="img" aria-label="{escaped(drawing.alt)}"'
    body = [element for item in drawing.primitives for element in _elements(item, palette, fonts)]
    return "\n".join([head + ">", *body, "</svg>\n"])


def escaped(words: str) -> str:
    """Text safe inside an element or a quoted attribute; control characters that XML cannot hold are dropped."""
    kept = "".join(sign for sign in words if sign >= " " or sign in "\t\n")
    for sign, name in (("&", "&amp;"), ("<", "&lt;"), (">", "&gt;"), ('"', "&quot;"), ("'", "&#39;")):
        kept = kept.replace(sign, name)
    return kept


def _elements(item: Primitive, palette: Mapping[Role, str], fonts: tuple[str, str]) -> Iterator[str]:
    if isinstance(item, Line):
        yield from _line(item, palette)
    elif isinstance(item, Arc):
        yield from _arc(item, palette)
    elif isinstance(item, Spot):
        yield _spot(item, palette)
    elif isinstance(item, Band):
        yield _band(item, palette)
    else:
        yield from _text(item, palette, fonts)


def _line(item: Line, palette: Mapping[Role, str]) -> Iterator[str]:
    if len(item.points) < 2:
        return
    dashes = f' stroke-dasharray="{_n(4 * item.width)} {_n(3 * item.width)}"' if item.dashed else ""
    if len(item.points) == 2:
        (x1, y1), (x2, y2) = item.points
        shape = f'<line x1="{_n(x1)}" y1="{_n(y1)}" x2="{_n(x2)}" y2="{_n(y2)}"'
    else:
        shape = f'<path d="M {" L ".join(_point(point) for point in item.points)}"'
    if item.edged:
        yield f"{shape}{_stroke(EDGE, item.width + 2 * EDGE_WIDTH)}/>"
    yield f"{shape}{_stroke(palette[item.role], item.width)}{dashes}/>"


def _arc(item: Arc, palette: Mapping[Role, str]) -> Iterator[str]:
    x, y = item.centre
    if abs(item.sweep) >= 360.0:
        shape = f'<circle cx="{_n(x)}" cy="{_n(y)}" r="{_n(item.radius)}"'
    else:
        large, way = int(abs(item.sweep) > 180.0), int(item.sweep < 0)
        first, last = arc_point(item, 0.0), arc_point(item, 1.0)
        radius = _n(item.radius)
        shape = f'<path d="M {_point(first)} A {radius} {radius} 0 {large} {way} {_point(last)}"'
    if item.edged:
        yield f"{shape}{_stroke(EDGE, item.width + 2 * EDGE_WIDTH)}/>"
    yield f"{shape}{_stroke(palette[item.role], item.width)}/>"


def arc_point(item: Arc, share: float) -> tuple[float, float]:
    """The point of an arc `share` of the way along its sweep (0 to 1); anticlockwise on screen, y down."""
    angle = math.radians(item.start + share * item.sweep)
    return item.centre[0] + item.radius * math.cos(angle), item.centre[1] - item.radius * math.sin(angle)


def _spot(item: Spot, palette: Mapping[Role, str]) -> str:
    x, y = item.centre
    shape = f'<circle cx="{_n(x)}" cy="{_n(y)}" r="{_n(item.radius)}"'
    if item.hollow:
        return f'{shape} fill="{palette[Role.CARD]}" stroke="{palette[item.role]}" stroke-width="1.5"/>'
    return f'{shape} fill="{palette[item.role]}"/>'


def _band(item: Band, palette: Mapping[Role, str]) -> str:
    outline = f' stroke="{palette[item.outline]}" stroke-width="1"' if item.outline is not None else ""
    if item.dashed and item.outline is not None:
        outline += ' stroke-dasharray="2 2"'
    fill = f' fill="{palette[item.role]}"{outline}/>'
    box = _as_box(item.points)
    if box is not None:
        left, top, width, height = box
        return f'<rect x="{_n(left)}" y="{_n(top)}" width="{_n(width)}" height="{_n(height)}"{fill}'
    return f'<polygon points="{" ".join(f"{_n(x)},{_n(y)}" for x, y in item.points)}"{fill}'


def _as_box(points: tuple[tuple[float, float], ...]) -> tuple[float, float, float, float] | None:
    """Left, top, width, height where four points are the corners of an upright rectangle, in order."""
    if len(points) != 4:
        return None
    left, right = min(x for x, _ in points), max(x for x, _ in points)
    top, bottom = min(y for _, y in points), max(y for _, y in points)
    if tuple(points) != ((left, top), (right, top), (right, bottom), (left, bottom)):
        return None
    return left, top, right - left, bottom - top


def _text(item: Text, palette: Mapping[Role, str], fonts: tuple[str, str]) -> Iterator[str]:
    family = fonts[1 if item.heading else 0]
    weight = ' font-weight="600"' if item.bold or item.heading else ""
    head = (
        f'<text x="{_n(item.at[0])}" y="{_n(item.at[1])}" font-family="{escaped(family)}" font-size="{_n(item.size)}"'
        f'{weight} text-anchor="{_ANCHORS[item.anchor]}"'
    )
    words = escaped(item.words)
    if item.edged:
        yield f'{head} fill="{EDGE}"{_stroke(EDGE, 2 * EDGE_WIDTH, filled=True)}>{words}</text>'
    yield f'{head} fill="{palette[item.role]}">{words}</text>'


def _stroke(colour: str, width: float, *, filled: bool = False) -> str:
    fill = "" if filled else ' fill="none"'
    return f'{fill} stroke="{colour}" stroke-width="{_n(width)}" stroke-linecap="round" stroke-linejoin="round"'


def _point(point: tuple[float, float]) -> str:
    return f"{_n(point[0])} {_n(point[1])}"


def _n(value: float) -> str:
    """A number to a thousandth, without needless zeros."""
    text = f"{value:.3f}".rstrip("0").rstrip(".")
    return "0" if text in ("-0", "") else text
