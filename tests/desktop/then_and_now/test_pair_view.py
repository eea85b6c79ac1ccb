"""Where two photos lie in one view: numbers only."""

from __future__ import annotations

import math

import pytest

from hoofbook.desktop.canvas.frame import ViewFrame
from hoofbook.desktop.then_and_now.pair_view import Window, in_window, strip_between, to_screen
from hoofbook.terms.drawing import Arc, Drawing, Line, Spot, Text

WINDOW = Window(-50.0, -40.0, 70.0, 60.0)
FRAME = ViewFrame(6.0, 15.0, 25.0)
TURN = math.radians(3.0)
TO_MM = (
    (math.cos(TURN) / 4.6, -math.sin(TURN) / 4.6, -31.0),
    (math.sin(TURN) / 4.6, math.cos(TURN) / 4.6, -22.0),
)


def screen_of(point):
    """The long way: photo px to mm to screen."""
    x = TO_MM[0][0] * point[0] + TO_MM[0][1] * point[1] + TO_MM[0][2]
    y = TO_MM[1][0] * point[0] + TO_MM[1][1] * point[1] + TO_MM[1][2]
    return (x - WINDOW.left) * FRAME.scale + FRAME.left, (y - WINDOW.top) * FRAME.scale + FRAME.top


@pytest.mark.parametrize("point", [(0.0, 0.0), (2000.0, 1500.0), (4031.0, 3023.0)])
def test_pixels_and_drawings_land_on_the_same_place(point):
    """A pixel's centre lies half a pixel inside its outer corner; the drawing of that point must cover it."""
    (a, b, c), (d, e, f) = to_screen(TO_MM, WINDOW, FRAME)
    u, v = point[0] + 0.5, point[1] + 0.5
    assert (a * u + b * v + c, d * u + e * v + f) == pytest.approx(screen_of(point))
    drawing = in_window(Drawing(4032, 3024, (Spot(point, 3.0),)), TO_MM, WINDOW)
    assert FRAME.photo_to_screen(*drawing.primitives[0].centre) == pytest.approx(screen_of(point))


def test_lengths_are_scaled_and_never_bent():
    moved = in_window(Drawing(1, 1, (Line(((0, 0), (460, 0))), Line(((0, 0), (0, 460))))), TO_MM, WINDOW)
    for line in moved.primitives:
        assert math.dist(*line.points) == pytest.approx(100.0)


def test_arcs_turn_with_the_photo_and_words_move_with_it():
    moved = in_window(Drawing(1, 1, (Arc((0, 0), 46, 10, 40), Text((0, 0), "50.9°", 20))), TO_MM, WINDOW)
    arc, text = moved.primitives
    assert arc.radius == pytest.approx(10.0)
    assert arc.start == pytest.approx(10.0 - 3.0), "angles count anticlockwise, y points down"
    assert text.at == pytest.approx(arc.centre)


def test_a_moved_curtain_touches_only_its_strip():
    assert strip_between(400.0, 410.0, 1000, 26) == (374, 0, 62, 1000)
    assert strip_between(410.0, 400.0, 1000, 26) == (374, 0, 62, 1000)
