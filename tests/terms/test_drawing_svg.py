"""The SVG of a Drawing, held against QtSvg's own drawing of it and against the XML standard."""

from __future__ import annotations

import math
import os
from xml.etree import ElementTree

import numpy as np
import pytest

from hoofbook.terms.drawing import Anchor, Arc, Band, Drawing, Line, Role, Spot, Text
from hoofbook.terms.drawing_svg import arc_point, places, to_svg

os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")
PALETTE = dict.fromkeys(Role, "#000000") | {Role.CARD: "#FFFFFF", Role.PAPER: "#FFFFFF"}
ALLOWED = {"svg", "line", "rect", "circle", "path", "polygon", "text"}


@pytest.fixture(scope="module")
def application() -> object:
    from PySide6.QtGui import QGuiApplication

    return QGuiApplication.instance() or QGuiApplication([])


def painted(drawing: Drawing, application: object) -> np.ndarray:
    """QtSvg's picture of the Drawing at one pixel a unit, as darkness 0..1."""
    from PySide6.QtCore import QByteArray
    from PySide6.QtGui import QImage, QPainter
    from PySide6.QtSvg import QSvgRenderer

    renderer = QSvgRenderer(QByteArray(to_svg(drawing, PALETTE).encode("utf-8")))
    assert renderer.isValid()
    image = QImage(int(drawing.width), int(drawing.height), QImage.Format.Format_Grayscale8)
    image.fill(255)
    painter = QPainter(image)
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    renderer.render(painter)
    painter.end()
    rows = np.frombuffer(image.constBits(), np.uint8).reshape(image.height(), image.bytesPerLine())
    return 1.0 - rows[:, : image.width()] / 255.0


def box(dark: np.ndarray) -> tuple[float, float, float, float]:
    """Left, top, right, bottom of what is at least half dark, in the Drawing's units."""
    ys, xs = np.nonzero(dark > 0.45)
    return float(xs.min()), float(ys.min()), float(xs.max() + 1), float(ys.max() + 1)


@pytest.mark.parametrize(
    ("item", "expected"),
    [
        (Line(((20.0, 30.0), (120.0, 30.0)), width=2.0), (19, 29, 121, 31)),
        (Line(((20.0, 30.0), (60.0, 90.0), (120.0, 40.0)), width=2.0), (19, 29, 121, 91)),
        (Spot((80.0, 60.0), 9.0), (71, 51, 89, 69)),
        (Spot((80.0, 60.0), 9.0, hollow=True), (70.25, 50.25, 89.75, 69.75)),
        (Band(((30.0, 20.0), (90.0, 20.0), (90.0, 70.0), (30.0, 70.0)), Role.INK), (30, 20, 90, 70)),
        (Band(((30.0, 20.0), (90.0, 45.0), (40.0, 70.0)), Role.INK), (30, 20, 90, 70)),
        (Arc((80.0, 60.0), 30.0, 0.0, 90.0, Role.INK, 2.0), (80, 29, 111, 60)),
        (Arc((80.0, 60.0), 30.0, 180.0, 90.0, Role.INK, 2.0), (49, 60, 80, 91)),
        (Arc((80.0, 60.0), 30.0, 90.0, -90.0, Role.INK, 2.0), (80, 29, 111, 60)),
        (Arc((80.0, 60.0), 30.0, 0.0, 270.0, Role.INK, 2.0), (49, 29, 111, 91)),
        (Arc((80.0, 60.0), 30.0, 0.0, 360.0, Role.INK, 2.0), (49, 29, 111, 91)),
    ],
)
def test_primitives_lie_where_their_numbers_say(
    item: Line | Spot | Band | Arc, expected: tuple[float, float, float, float], application: object
) -> None:
    """Within 1 px (round line ends reach half a width further)."""
    found = box(painted(Drawing(160, 120, (item,)), application))
    assert found == pytest.approx(expected, abs=1.0)


@pytest.mark.parametrize("anchor", list(Anchor))
def test_text_stands_on_its_baseline_at_its_anchor(anchor: Anchor, application: object) -> None:
    found = box(painted(Drawing(300, 120, (Text((150.0, 80.0), "HHHH", 40.0, anchor=anchor),)), application))
    assert found[3] == pytest.approx(80, abs=1.5)
    edges = {Anchor.START: found[0], Anchor.MIDDLE: (found[0] + found[2]) / 2, Anchor.END: found[2]}
    assert edges[anchor] == pytest.approx(150, abs=5)  # a letter's own margin


def test_arc_points_go_anticlockwise_on_screen() -> None:
    arc = Arc((10.0, 10.0), 5.0, 0.0, 90.0)
    assert arc_point(arc, 0.0) == pytest.approx((15.0, 10.0))
    assert arc_point(arc, 1.0) == pytest.approx((10.0, 5.0))
    assert arc_point(arc, 0.5) == pytest.approx((10 + 5 * math.sqrt(0.5), 10 - 5 * math.sqrt(0.5)))


def test_only_plain_elements_and_safe_text() -> None:
    everything = Drawing(
        100,
        80,
        (
            Line(((0.0, 0.0), (9.0, 9.0)), dashed=True, edged=True),
            Line(((0.0, 0.0), (9.0, 9.0), (3.0, 4.0)), edged=True),
            Line(((1.0, 1.0),)),
            Arc((5.0, 5.0), 3.0, 10.0, 200.0, edged=True),
            Spot((1.0, 2.0), 3.0, key="reading <1>"),
            Band(((0.0, 0.0), (4.0, 0.0), (4.0, 4.0), (0.0, 4.0)), outline=Role.LINE, dashed=True),
            Band(((0.0, 0.0), (4.0, 1.0), (4.0, 4.0))),
            Text((1.0, 1.0), "a < b & \"c\" 'd' \x00 ▲ 4.8 mm ± 0.6", 12.0, heading=True, edged=True),
        ),
        alt='Larkspur\'s "left" & <right>',
    )
    root = ElementTree.fromstring(to_svg(everything, PALETTE))
    assert {element.tag.split("}")[1] for element in root.iter()} == ALLOWED
    words = [element.text for element in root.iter() if element.tag.endswith("text")]
    assert words == ["a < b & \"c\" 'd'  ▲ 4.8 mm ± 0.6"] * 2
    assert root.get("aria-label") == 'Larkspur\'s "left" & <right>'
    families = {element.get("font-family") for element in root.iter() if element.tag.endswith("text")}
    assert families == {"Vollkorn"}
    assert [place.key for place in places(everything)] == ["reading <1>"]
    assert (places(everything)[0].x, places(everything)[0].y, places(everything)[0].radius) == (1.0, 2.0, 3.0)


def test_colours_come_from_the_palette_alone() -> None:
    drawing = Drawing(10, 10, (Spot((1.0, 1.0), 1.0, Role.WANTED), Text((1.0, 1.0), "x", 5.0, Role.AGAINST)))
    text = to_svg(drawing, {**PALETTE, Role.WANTED: "#123456", Role.AGAINST: "#654321"})
    assert "#123456" in text
    assert "#654321" in text
    with pytest.raises(KeyError):
        to_svg(drawing, {})
