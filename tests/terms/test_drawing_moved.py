"""A drawing goes where its picture goes.

Reference: the plane as complex numbers, where moving, turning and scaling is z -> q z + p.
"""

from __future__ import annotations

import cmath
import math

import pytest

from hoofbook.terms.drawing import Arc, Band, Drawing, Line, Spot, Text
from hoofbook.terms.drawing_moved import moved, moved_point, scale_of
from hoofbook.terms.drawing_svg import arc_point

SHIFT = complex(12.0, -7.0)


def rows(factor: complex) -> tuple[tuple[float, float, float], tuple[float, float, float]]:
    return (factor.real, -factor.imag, SHIFT.real), (factor.imag, factor.real, SHIFT.imag)


@pytest.mark.parametrize(("scale", "turn"), [(1.0, 0.0), (0.4, 30.0), (2.5, -100.0)])
def test_points_lines_and_arcs_follow_the_picture(scale: float, turn: float) -> None:
    factor = cmath.rect(scale, math.radians(turn))
    matrix = rows(factor)
    place = complex(*moved_point(matrix, 3.0, 4.0))
    assert place == pytest.approx(factor * complex(3.0, 4.0) + SHIFT)
    assert scale_of(matrix) == pytest.approx(scale)
    arc = Arc((50.0, 60.0), 20.0, 15.0, 70.0)
    old = Drawing(
        200.0,
        100.0,
        (Line(((0.0, 0.0), (10.0, 5.0)), width=9.0), arc, Spot((1.0, 2.0), 3.0), Text((5.0, 6.0), "x", 10.0)),
        "said",
    )
    new = moved(old.plus(Band(((0.0, 0.0), (1.0, 0.0), (1.0, 1.0)))), matrix, (80.0, 40.0), 2.0)
    assert (new.width, new.height, new.alt) == (80.0, 40.0, "said")
    line, turned, spot, text, band = new.primitives
    assert isinstance(line, Line) and line.width == 2.0
    assert complex(*line.points[1]) == pytest.approx(factor * complex(10.0, 5.0) + SHIFT)
    assert isinstance(turned, Arc)
    for share in (0.0, 0.3, 1.0):
        wanted = factor * complex(*arc_point(arc, share)) + SHIFT
        assert complex(*arc_point(turned, share)) == pytest.approx(wanted)
    assert isinstance(spot, Spot) and spot.radius == pytest.approx(3.0 * scale)
    assert isinstance(text, Text) and text.size == pytest.approx(10.0 * scale)
    assert isinstance(band, Band) and complex(*band.points[2]) == pytest.approx(factor * complex(1.0, 1.0) + SHIFT)
