"""A Drawing burnt into a picture: every primitive where the drawing says, within a pixel."""

from __future__ import annotations

import numpy as np
import pytest
from PIL import Image, ImageDraw

from hoofbook.imaging.paint_pixels import paint
from hoofbook.terms.drawing import Anchor, Arc, Band, Drawing, Line, Primitive, Role, Spot, Text

GREY = np.full((200, 300, 3), 128, np.uint8)
MEASURED = (0x00, 0x9F, 0xE6)  # #E69F00 as BGR
GROUND = (0xE9, 0xB4, 0x56)  # #56B4E9


def painted(*primitives: Primitive, scale: float = 1.0) -> np.ndarray:
    return paint(Drawing(300, 200, primitives), GREY, scale)


def box(picture: np.ndarray, colour: tuple[int, int, int] | None = None) -> tuple[int, int, int, int]:
    """Left, top, right, bottom of what was painted (in that colour)."""
    there = (picture != 128).any(axis=2) if colour is None else (np.abs(picture.astype(int) - colour) < 30).all(axis=2)
    rows, columns = np.nonzero(there)
    return int(columns.min()), int(rows.min()), int(columns.max()), int(rows.max())


def test_lines_have_their_colour_their_place_and_a_white_edge() -> None:
    picture = painted(Line(((50, 40), (250, 40)), Role.MEASURED, 4.0, edged=True))
    assert box(picture, MEASURED) == pytest.approx((50, 38, 250, 42), abs=1)
    assert (picture[35:46, 100] > 240).all(axis=1).sum() >= 1
    ground = painted(Line(((50, 40), (50, 160)), Role.GROUND, 4.0))
    assert box(ground, GROUND) == pytest.approx((48, 40, 52, 160), abs=1)


def test_spots_arcs_and_bands_lie_where_they_should() -> None:
    assert box(painted(Spot((100, 80), 10, Role.INK))) == pytest.approx((90, 70, 110, 90), abs=1)
    hollow = painted(Spot((100, 80), 10, Role.INK, hollow=True))
    assert tuple(hollow[80, 100]) == (255, 255, 255)
    arc = painted(Arc((100, 100), 50, 0, 90, Role.MEASURED, 2.0))  # from right, anticlockwise, to the top
    assert box(arc) == pytest.approx((100, 50, 150, 100), abs=2)
    band = painted(Band(((20, 20), (60, 20), (60, 50), (20, 50)), Role.CALM_TINT))
    assert box(band) == pytest.approx((20, 20, 60, 50), abs=1)


def test_dashes_leave_gaps_and_text_hangs_on_its_anchor() -> None:
    dashed = painted(Line(((20, 100), (280, 100)), Role.INK, 2.0, dashed=True))
    row = (dashed[100] != 128).any(axis=1)
    assert 0.3 < row[20:280].mean() < 0.7
    left, _, _, bottom = box(painted(Text((60, 120), "H", 40)))
    assert (left, bottom) == pytest.approx((63, 119), abs=4)
    _, _, right, _ = box(painted(Text((200, 120), "H", 40, anchor=Anchor.END)))
    assert right == pytest.approx(196, abs=4)


def test_scale_moves_and_widens_alike() -> None:
    assert box(painted(Spot((50, 40), 5), scale=2.0)) == pytest.approx((90, 70, 110, 90), abs=1)


def test_the_picture_given_is_not_changed() -> None:
    painted(Spot((50, 40), 5))
    assert (GREY == 128).all()


@pytest.mark.parametrize("size", [(300, 200), (97, 61), (32, 32), (640, 333)])
def test_what_is_painted_in_parts_is_what_pillow_paints_whole(size: tuple[int, int]) -> None:
    """Reference: Pillow painting, bringing down and blending one layer as large as the picture."""
    wide, tall = size
    under = np.random.default_rng(wide).integers(0, 255, (tall, wide, 3), dtype=np.uint8)
    lines = [((3.0, 2.0), (wide - 4.0, tall - 9.0)), ((wide / 2, 0.0), (wide / 2, tall / 3)), ((0.0, 5.0), (wide, 5.0))]
    layer = Image.new("RGBA", (2 * wide, 2 * tall), (0, 0, 0, 0))
    for line in lines:
        points = [(2 * x, 2 * y) for x, y in line]
        ImageDraw.Draw(layer).line(points, fill="#E69F00", width=6, joint="curve")
    layer = layer.resize(size, Image.Resampling.BOX)
    whole = Image.alpha_composite(Image.fromarray(under[..., ::-1].copy()).convert("RGBA"), layer).convert("RGB")
    drawn = Drawing(wide, tall, tuple(Line(line, Role.MEASURED, 3.0) for line in lines))
    assert (paint(drawn, under)[..., ::-1] == np.asarray(whole)).all()
