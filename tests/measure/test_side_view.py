"""The side view against worked geometry and against pixels projected by OpenCV."""

from __future__ import annotations

import numpy as np
import pytest

from hoofbook.measure.lateral import measure_lateral, side_measures
from hoofbook.terms.feet import Foot
from hoofbook.terms.measured import Shot, Told
from hoofbook.terms.views import CardPlane, CardStand, View
from tests.measure.photos import HOOF, WORKED, Lens, marking, standing_card


def side_shot(lens: Lens, **more: object) -> Shot:
    given: dict[str, object] = {
        "key": "one",
        "view": View.LATERAL,
        "photo_size": lens.size,
        "marking": marking(lens, HOOF),
        "foot": Foot.LF,
        "sighting": standing_card(lens),
        "card_plane": CardPlane.MID_LINE,
        "card_stands_on": CardStand.FLOOR,
        "focal_35mm": lens.focal_35mm,
        "card_size_mm": (112.0, 80.0),
        "placing_px": 1.0,
    }
    return Shot(**(given | more))  # type: ignore[arg-type]


def values(shot: Shot) -> dict[str, float]:
    return {q.name: q.value for q in measure_lateral(shot).quantities}


def test_worked_side_view() -> None:
    """Plain trigonometry of four points: atan2, Pythagoras (worked by hand, four decimals)."""
    found = side_measures({name: np.array(place[:2]) for name, place in HOOF.items()}, 1.0)
    for name, value in found.items():
        assert value == pytest.approx(WORKED[name], abs=5e-5), name
    three_four_five = side_measures({"toe_ground": np.zeros(2), "toe_hairline": np.array([60.0, 80.0])}, 1.0)
    assert three_four_five["toe_angle"] == pytest.approx(53.1301, abs=5e-5)  # atan(4/3)
    assert three_four_five["toe_length"] == pytest.approx(100.0)


@pytest.mark.parametrize("place", [(60.0, 150.0, 900.0), (-40.0, 300.0, 800.0), (150.0, 60.0, 1300.0)])
@pytest.mark.parametrize("k1", [0.0, -0.05])
def test_pixels_of_the_worked_foot_give_the_worked_measures(place: tuple[float, float, float], k1: float) -> None:
    found = values(side_shot(Lens(place, k1=k1, roll=2.0)))
    for name, value in WORKED.items():
        size = 0.01 if name.endswith("ratio") else 0.15
        assert found[name] == pytest.approx(value, abs=size), name


def test_heel_marks_are_solved_in_their_own_plane() -> None:
    """Nearer things look larger by z / (D - z): 28 mm at 30 mm nearer seen from 800 mm reads 1.09 mm too much (similar
    triangles). In its own plane it reads true."""
    lens = Lens((60.0, 50.0, 800.0))
    right = values(side_shot(lens, heel_half_separation=Told(30.0, 0.01)))
    wrong = values(side_shot(lens, heel_half_separation=Told(0.0, 0.01)))
    assert right["heel_height"] == pytest.approx(28.0, abs=0.1)
    assert right["heel_angle"] == pytest.approx(WORKED["heel_angle"], abs=0.1)
    assert wrong["heel_height"] - 28.0 == pytest.approx(28.0 * 30.0 / 770.0, abs=0.25)
