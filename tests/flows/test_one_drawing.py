"""One Drawing in three places: on screen, burnt into a picture, in a PDF. Every primitive lies where its numbers say.

Each primitive has a colour of its own and is found by it: on screen as Qt paints it, in the picture as Pillow burns it
in, in the PDF as poppler's pdftoppm draws the page that typst made of the SVG. Frame photo counts from the middle of
the first pixel, a PDF from its outer corner: half a pixel, told here and not left to chance.
"""

from __future__ import annotations

import subprocess
from pathlib import Path

import numpy as np
import pytest
from numpy.typing import NDArray
from PIL import Image
from PySide6.QtCore import QRectF
from PySide6.QtGui import QColor, QImage, QPainter

from hoofbook.desktop.canvas.drawing_painter import DARK, paint_strokes, strokes_of
from hoofbook.desktop.canvas.frame import ViewFrame
from hoofbook.desktop.look import load_fonts
from hoofbook.desktop.theme import Theme
from hoofbook.imaging.paint_pixels import COLOURS, paint
from hoofbook.papers.pdf import _compile, _Job
from hoofbook.terms.drawing import Anchor, Arc, Band, Drawing, Line, Primitive, Role, Spot, Text
from hoofbook.terms.drawing_svg import to_svg

Pixels = NDArray[np.int_]
SIZE = (640, 480)
LOOK = Theme("light", 17)
WORDS_SIZE = float(LOOK.size + 3)  # what the screen writes on a photo
GREY = (128, 128, 128)
WIDTH = 3.0  # of lines on screen, whatever the zoom

SHAPES: dict[Role, Primitive] = {
    Role.MEASURED: Line(((40.0, 60.0), (260.0, 30.0)), Role.MEASURED, WIDTH),
    Role.GROUND: Line(((40.0, 130.0), (150.0, 90.0), (260.0, 130.0)), Role.GROUND, WIDTH),
    Role.LEATHER: Arc((400.0, 120.0), 60.0, 20.0, 130.0, Role.LEATHER, WIDTH),
    Role.AGAINST: Spot((540.0, 60.0), 11.0, Role.AGAINST),
    Role.WANTED: Band(((480.0, 140.0), (600.0, 150.0), (590.0, 220.0), (500.0, 210.0)), Role.WANTED),
    Role.INK: Line(((60.0, 260.0), (60.0, 420.0)), Role.INK, WIDTH),
    Role.CALM: Line(((120.0, 300.0), (420.0, 240.0)), Role.CALM, WIDTH, dashed=True),
}


def on_screen(drawing: Drawing) -> Pixels:
    """(h, w, 3) as the window's canvas paints it, one screen px a photo px."""
    image = QImage(*SIZE, QImage.Format.Format_RGB888)
    image.fill(QColor(*GREY))
    painter = QPainter(image)
    paint_strokes(painter, strokes_of(drawing, ViewFrame(1.0, 0.0, 0.0), LOOK), QRectF(0, 0, *SIZE))
    painter.end()
    rows = np.frombuffer(image.constBits(), np.uint8).reshape(image.height(), image.bytesPerLine())
    return rows[:, : SIZE[0] * 3].reshape(SIZE[1], SIZE[0], 3).astype(int)


def in_picture(drawing: Drawing) -> Pixels:
    """The same burnt into a grey picture."""
    under = np.full((SIZE[1], SIZE[0], 3), GREY, np.uint8)
    return paint(drawing, under)[..., ::-1].astype(int)


def in_pdf(drawing: Drawing, folder: Path) -> Pixels:
    """The same on a page of 640 x 480 points, drawn by poppler at one pixel a point."""
    under = Band(((0.0, 0.0), (640.0, 0.0), (640.0, 480.0), (0.0, 480.0)), Role.PAPER)
    svg = to_svg(Drawing(*SIZE, (under, *drawing.primitives)), {**COLOURS, Role.PAPER: "#808080"})
    page = folder / "page.typ"
    page.write_text('#set page(width: 640pt, height: 480pt, margin: 0pt)\n#image("drawing.svg", width: 640pt)\n')
    fonts = (str(Path(__file__).parents[2] / "resources" / "fonts"),)
    made = _compile(_Job(page, "null", fonts, {"drawing.svg": svg.encode("utf-8")}, {"format": "pdf"}))
    (folder / "page.pdf").write_bytes(made)
    told = ["pdftoppm", "-r", "72", "-png", "-singlefile", str(folder / "page.pdf"), str(folder / "page")]
    subprocess.run(told, check=True)
    with Image.open(folder / "page.png") as opened:
        assert opened.size == SIZE
        return np.asarray(opened.convert("RGB")).astype(int)


def everywhere(drawing: Drawing, folder: Path) -> dict[str, tuple[Pixels, float]]:
    """The three pictures, and where the middle of their first pixel lies in frame photo."""
    load_fonts()
    return {
        "screen": (on_screen(drawing), 0.0),
        "picture": (in_picture(drawing), 0.0),
        "PDF": (in_pdf(drawing, folder), 0.5),
    }


def weights(picture: Pixels, colour: tuple[int, int, int]) -> NDArray[np.float64]:
    """How much of each pixel has the colour: 1 for all of it, 0 for the grey under it, nothing for other colours."""
    way = np.array(colour, float) - GREY
    along = (picture - GREY) @ way / (way @ way)
    beside = np.abs(picture - GREY - along[..., None] * way).max(axis=2)
    return np.where((beside < 20) & (along > 0.3), np.clip(along, 0.0, 1.0), 0.0)


def white_in_dark(picture: Pixels) -> NDArray[np.float64]:
    """How much of each pixel is white where words have a dark edge: their rims blend with it, not with the grey."""
    bright = (picture > 200).all(axis=2)
    near = np.zeros_like(bright)
    for down in (-1, 0, 1):
        for across in (-1, 0, 1):
            near |= np.roll(bright, (down, across), axis=(0, 1))
    dark = np.array([int(DARK.name()[k : k + 2], 16) for k in (1, 3, 5)])
    share = ((picture - dark) / (255 - dark)).mean(axis=2)
    return np.where(near, np.clip(share, 0.0, 1.0), 0.0)


def found(picture: Pixels, role: Role) -> NDArray[np.float64]:
    """Middle of all that has the colour of a shape, near the shape: x, y in px of the picture."""
    left, top, right, low = room_of(SHAPES[role])
    weight = weights(picture, rgb(role))
    kept = np.zeros_like(weight)
    kept[top:low, left:right] = weight[top:low, left:right]
    return middle(kept)


def room_of(shape: Primitive) -> tuple[int, int, int, int]:
    """Left, top, right, bottom of where it may be found, 20 px wider than its numbers say."""
    if isinstance(shape, Arc | Spot):
        (x, y), reach = shape.centre, shape.radius
        points = np.array([[x - reach, y - reach], [x + reach, y + reach]])
    else:
        assert isinstance(shape, Line | Band)
        points = np.array(shape.points)
    low, high = points.min(axis=0) - 20, points.max(axis=0) + 20
    return max(0, int(low[0])), max(0, int(low[1])), int(high[0]), int(high[1])


def middle(weight: NDArray[np.float64]) -> NDArray[np.float64]:
    assert weight.sum() > 20, "nothing of this colour is there"
    rows, columns = np.indices(weight.shape)
    return np.array([(weight * columns).sum(), (weight * rows).sum()]) / weight.sum()


def rgb(role: Role) -> tuple[int, int, int]:
    told = COLOURS[role]
    return int(told[1:3], 16), int(told[3:5], 16), int(told[5:7], 16)


def middle_of(shape: Primitive) -> NDArray[np.float64]:
    """Where its middle must lie, worked out from its numbers: lines by their length, an arc by its angles, a band by
    its area."""
    if isinstance(shape, Line):
        points = np.array(shape.points)
        long = np.hypot(*np.diff(points, axis=0).T)
        return np.asarray((long[:, None] * (points[1:] + points[:-1]) / 2).sum(axis=0) / long.sum())
    if isinstance(shape, Arc):
        angles = np.radians(shape.start + np.linspace(0, shape.sweep, 2001))
        return np.array(shape.centre) + shape.radius * np.array([np.cos(angles).mean(), -np.sin(angles).mean()])
    if isinstance(shape, Spot):
        return np.array(shape.centre)
    assert isinstance(shape, Band)
    x, y = np.array(shape.points).T
    cross = x * np.roll(y, -1) - np.roll(x, -1) * y
    middle = np.stack([(x + np.roll(x, -1)) * cross, (y + np.roll(y, -1)) * cross]).sum(axis=1)
    return np.asarray(middle / (3.0 * cross.sum()))


def test_the_theme_of_the_screen_and_the_burnt_picture_have_the_same_colours() -> None:
    assert {role: LOOK.roles()[role].upper() for role in SHAPES} == {role: COLOURS[role].upper() for role in SHAPES}


def test_every_shape_lies_in_the_same_place_on_screen_in_the_picture_and_in_the_pdf(
    qapp: object, tmp_path: Path
) -> None:
    drawing = Drawing(*SIZE, tuple(SHAPES.values()))
    for name, (picture, first) in everywhere(drawing, tmp_path).items():
        for role, shape in SHAPES.items():
            if role is Role.CALM:
                continue
            here = found(picture, role) + first
            wished = middle_of(shape)
            assert np.abs(here - wished).max() < 1.0, (name, role, here, wished)


def test_a_broken_line_lies_along_its_line_and_ends_where_it_should(qapp: object, tmp_path: Path) -> None:
    """Where its dashes fall is the medium's own; how far they lie off the line and where they end is not."""
    line = SHAPES[Role.CALM]
    assert isinstance(line, Line)
    drawing = Drawing(*SIZE, (line,))
    start, end = np.array(line.points)
    along = (end - start) / np.hypot(*(end - start))
    for name, (picture, first) in everywhere(drawing, tmp_path).items():
        weight = weights(picture, rgb(Role.CALM))
        rows, columns = np.nonzero(weight > 0.5)
        places = np.stack([columns, rows], axis=1) + first - start
        off = places @ [-along[1], along[0]]
        on = places @ along
        assert abs(np.average(off, weights=weight[rows, columns])) < 1.0, name
        assert on.min() < 3.0 and on.max() > np.hypot(*(end - start)) - 6 * WIDTH * 2, name
        assert on.min() > -3.0 and on.max() < np.hypot(*(end - start)) + 3.0, name
        gaps = np.diff(np.unique(np.round(on)))
        assert gaps.max() > 3, f"{name}: it is broken"


@pytest.mark.parametrize("anchor", list(Anchor))
def test_words_begin_or_end_where_they_are_told(qapp: object, tmp_path: Path, anchor: Anchor) -> None:
    """The screen writes on photos in white with a dark edge, picture and paper in the role's own colour."""
    words = Text((320.0, 240.0), "HHHHHH", WORDS_SIZE, Role.LEATHER, anchor, bold=True)
    middles = {}
    for name, (picture, first) in everywhere(Drawing(*SIZE, (words,)), tmp_path).items():
        weight = white_in_dark(picture) if name == "screen" else weights(picture, rgb(Role.LEATHER))
        middles[name] = middle(weight) + first
    spread = np.ptp(np.array(list(middles.values())), axis=0)
    assert spread.max() < 1.0, middles
    side = {Anchor.START: middles["picture"][0] > 330, Anchor.END: middles["picture"][0] < 310}
    assert side.get(anchor, abs(middles["picture"][0] - 320.0) < 1.0), "beginning, end or middle at 320"
