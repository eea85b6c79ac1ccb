"""What is said and drawn of the places of the photos. A hand is 4 inches of 25.4 mm (the measure of horses' height)."""

from __future__ import annotations

import itertools
import math

import pytest

from hoofbook.measure.concavity.stands import Move, Side, Stand, Stands, Verdict, stands_of
from hoofbook.terms.drawing import Arc, Line, Spot, Text
from hoofbook.wording.sole_stands import HAND_MM, said_of_stands, said_of_unplaced, stands_drawing
from tests.measure.concavity.test_stands import photos

NUMBERS = {f"photo {number}": number for number in range(1, 6)}


def with_move(mm: float | None, side: Side = Side.LEFT, *, retake: bool = True) -> Stands:
    stands = (Stand("photo 2", -10.0), Stand("photo 1", 0.0))
    move = Move("photo 2", side, 20.0, -30.0, mm, retake)
    return Stands(stands, (10.0,), 10.0, True, Verdict.FAIR, (move,), ())


def test_what_is_taken_again_is_told_in_hands_and_to_your_side() -> None:
    assert pytest.approx(4 * 25.4) == HAND_MM
    for mm, hands in ((40, "half a hand (5 cm)"), (101.6, "a hand (10 cm)"), (150, "a hand and a half (15 cm)"),
                      (210, "two hands (20 cm)"), (254, "two and a half hands (25 cm)")):  # fmt: skip
        said = said_of_stands(with_move(mm), NUMBERS)
        assert said[1] == f"Take photo 2 again from {hands} further to your left, aimed at the same place."
    assert "turned on by 20°, further to your left" in said_of_stands(with_move(None), NUMBERS)[1]
    assert said_of_stands(with_move(100, Side.HIGHER, retake=False), NUMBERS)[1].startswith(
        "Take one more photo from a hand (10 cm) higher than photo 2"
    )


def test_a_good_set_says_so_and_a_poor_one_says_what_is_wrong_first() -> None:
    good, near = stands_of(photos(-29.0, 0.0, 31.0)), stands_of(photos(0.0, 2.0))
    assert good is not None and near is not None
    (said,) = said_of_stands(good, NUMBERS)
    assert said.startswith("Good enough: three photos, ")
    assert said_of_stands(near, NUMBERS)[0].startswith("Not good enough: two photos, 2° apart, nearly the same place.")
    assert said_of_stands(near, NUMBERS)[1].startswith("Take photo ")
    assert "25 to 35 degrees" in said_of_unplaced(1) and "no card" in said_of_unplaced(3)


@pytest.mark.parametrize("size", [(320.0, 190.0, 14.0), (420.0, 300.0, 20.0), (300.0, 220.0, 17.0)])
@pytest.mark.parametrize(
    ("turns", "tilts"),
    [((-30.0, 1.0, 28.0), (0.0,) * 3), ((-10.0, 2.0), (0.0,) * 2), ((-40.0, 30.0), (0.0,) * 2),
     ((-8.0, 0.0, 9.0), (0.0,) * 3), ((0.0, 0.0), (-6.0, 6.0)), ((-60.0, -30.0, 0.0, 30.0), (0.0,) * 4)],
)  # fmt: skip
def test_the_drawing_shows_each_camera_at_its_angle_and_nothing_leaves_it(
    turns: tuple[float, ...], tilts: tuple[float, ...], size: tuple[float, float, float]
) -> None:
    stands = stands_of(photos(*turns, tilts=tilts))
    assert stands is not None
    width, height, text = size
    drawing = stands_drawing(stands, NUMBERS, width=width, height=height, text_size=text)
    words = [item.words for item in drawing.primitives if isinstance(item, Text)]
    assert {str(NUMBERS[stand.key]) for stand in stands.stands} <= set(words)
    assert words.count("here") == len(stands.moves) and words.count("seen from above") == int(stands.sideways)
    assert [word for word in words if word.endswith("°")] == [f"{gap:.0f}°" for gap in stands.gaps_deg]
    assert stands.moves == () or "Take" in drawing.alt
    for x, y in itertools.chain.from_iterable(extent(item) for item in drawing.primitives):
        assert -0.5 <= x <= width + 0.5 and -0.5 <= y <= height + 0.5
    sights = [item for item in drawing.primitives if isinstance(item, Line) and len(item.points) == 2]
    drawn = [math.degrees(math.atan2(*_along(item, stands.sideways))) for item in sights]
    true = [stand.at_deg for stand in stands.stands]
    share = (max(drawn) - min(drawn)) / (max(true) - min(true))
    assert drawn == pytest.approx([share * at for at in true], abs=0.5) and 0.5 < share <= 1.001


def _along(line: Line, sideways: bool) -> tuple[float, float]:
    (x0, y0), (x1, y1) = line.points
    return (x1 - x0, y1 - y0) if sideways else (y0 - y1, x1 - x0)


def extent(item: object) -> list[tuple[float, float]]:
    if isinstance(item, Spot):
        (x, y), r = item.centre, item.radius
        return [(x - r, y - r), (x + r, y + r)]
    if isinstance(item, Arc):
        angles = [math.radians(item.start + share / 8 * item.sweep) for share in range(9)]
        return [
            (item.centre[0] + item.radius * math.cos(a), item.centre[1] - item.radius * math.sin(a)) for a in angles
        ]
    if isinstance(item, Text):
        wide = 0.5 * item.size * len(item.words)
        left = {"start": 0.0, "middle": -wide / 2, "end": -wide}[item.anchor.value]
        return [(item.at[0] + left, item.at[1] - 0.75 * item.size), (item.at[0] + left + wide, item.at[1])]
    return list(item.points)  # type: ignore[attr-defined]
