"""The side view against worked geometry and against pixels projected by OpenCV."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from hoofbook.measure.lateral import measure_lateral, side_measures
from hoofbook.measure.uncertainty import covariance
from hoofbook.terms.drawing import Arc, Line, Role
from hoofbook.terms.feet import Foot
from hoofbook.terms.measured import Ruler, ScaleSource, Shot, Told
from hoofbook.terms.quantity import Unit
from hoofbook.terms.views import CardPlane, CardStand, Grade, View
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


def codes(shot: Shot) -> list[str]:
    return [remark.code for remark in measure_lateral(shot).remarks[shot.key]]


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


@given(st.floats(0.5, 20.0), st.floats(-40.0, 40.0), st.booleans(), st.floats(-2000, 2000), st.floats(-2000, 2000))
def test_measures_do_not_depend_on_how_the_foot_is_drawn(
    scale: float, degrees: float, mirrored: bool, x: float, y: float
) -> None:
    """Scale, move, turn and mirror the same points: angles and ratios stay, lengths follow the scale (1e-9)."""
    flat = {name: np.array(place[:2]) for name, place in HOOF.items()}
    angle = math.radians(degrees)
    turned = np.array([[math.cos(angle), -math.sin(angle)], [math.sin(angle), math.cos(angle)]])
    first = side_measures(flat, 1.0)
    moved = {}
    for name, place in flat.items():
        px = place * scale * np.array([-1.0 if mirrored else 1.0, 1.0]) @ turned.T + np.array([x, y])
        moved[name] = (px - np.array([x, y])) @ turned / scale  # levelled by the floor and measured in its own scale
    again = side_measures(moved, -1.0 if mirrored else 1.0)
    for name, value in first.items():
        assert again[name] == pytest.approx(float(value), rel=1e-9, abs=1e-9), name


@pytest.mark.parametrize("foot", [Foot.LF, Foot.RF])
def test_a_turned_mirrored_photo_gives_the_same_measures(foot: Foot) -> None:
    """3.2 px/mm, turned by 7.3 degrees, right foot facing right: the figures of the left foot, through the camera."""
    lens = Lens((60.0, 150.0, 969.0), roll=7.3)
    way = -1.0 if foot is Foot.RF else 1.0
    mirrored = {name: (way * (x - 60.0) + 60.0, y, z) for name, (x, y, z) in HOOF.items()}
    shot = side_shot(lens, foot=foot, marking=marking(lens, mirrored))
    found = values(shot)
    for name, value in WORKED.items():
        assert found[name] == pytest.approx(value, abs=0.01 if name.endswith("ratio") else 0.15), name
    assert "toe_points_wrong_way" not in codes(shot)
    other = side_shot(lens, foot=Foot.LF if foot is Foot.RF else Foot.RH, marking=marking(lens, mirrored))
    assert "toe_points_wrong_way" in codes(other)


FLAT_HOOF = {name: (x, y, 0.0) for name, (x, y, _) in HOOF.items()} | {
    "toe_hairline": (85.0 * math.cos(math.radians(50)), 85.0 * math.sin(math.radians(50)), 0.0)
}
PLANE_TOLD = Told(0.0, 0.01)


@pytest.mark.parametrize(("yaw", "raw", "raw_length"), [(10, 50.43, 84.47), (15, 50.97, None), (20, 51.74, None)])
def test_obliquity(yaw: float, raw: float, raw_length: float | None) -> None:
    """A plane turned by p reads tan(50) / cos(p) from afar, and its length shortens; through the card it does not."""
    far = 60_000.0
    place = (57.0 + far * math.sin(math.radians(yaw)), 40.0, far * math.cos(math.radians(yaw)))
    lens = Lens(place, target=(57.0, 40.0, 0.0), focal=4.0 * far)
    pixels = {name: lens.see(point)[0] * np.array([0.25, -0.25]) for name, point in FLAT_HOOF.items()}
    plain = side_measures(pixels, 1.0)
    assert float(plain["toe_angle"]) == pytest.approx(raw, abs=0.02)
    if raw_length is not None:
        assert float(plain["toe_length"]) == pytest.approx(raw_length, abs=0.05)
    near = Lens((57.0 + 900 * math.sin(math.radians(yaw)), 120.0, 900 * math.cos(math.radians(yaw))))
    found = values(side_shot(near, marking=marking(near, FLAT_HOOF), heel_half_separation=PLANE_TOLD))
    assert found["toe_angle"] == pytest.approx(50.0, abs=0.03)
    assert found["toe_length"] == pytest.approx(85.0, abs=0.05)


@pytest.mark.parametrize("distance", [800.0, 1000.0, 2000.0])
@pytest.mark.parametrize("plane", [CardPlane.UNSURE, CardPlane.NEAR_WALL])
def test_a_card_nearer_than_the_foot_is_covered(distance: float, plane: CardPlane) -> None:
    """Card 50 mm nearer: lengths read d / D too short (similar triangles), angles do not; the ± covers it."""
    lens = Lens((60.0, 100.0, distance))
    shot = side_shot(
        lens, sighting=standing_card(lens, offset=50.0), card_plane=plane, card_stands_on=CardStand.UNKNOWN
    )
    measured = measure_lateral(shot)
    for name in ("toe_length", "toe_angle", "heel_height", "bearing_length"):
        quantity = measured.quantity(name)
        assert quantity is not None
        assert quantity.low < WORKED[name] < quantity.high, name
    blind = side_shot(lens, sighting=standing_card(lens, offset=50.0), shod=True)  # nothing to show where the card is
    short = values(blind)["toe_length"] / WORKED["toe_length"] - 1.0
    assert short == pytest.approx(-50.0 / distance, abs=0.004)
    assert values(blind)["toe_angle"] == pytest.approx(WORKED["toe_angle"], abs=0.15)


@pytest.mark.parametrize(("height", "distance", "tilt"), [(100, 1000, 2.82), (100, 2000, 1.39), (25, 1000, 0.70)])
def test_ground_line_parallax_is_not_read_as_an_angle(height: float, distance: float, tilt: float) -> None:
    """The near heel, 55 mm nearer, looks lower: a toe-to-heel line in the picture tilts by 2.82, 1.39, 0.70 degrees
    (pinhole, lens centred on the foot, bearing length 115 mm). The measure does not take that over."""
    lens = Lens((57.5, height, distance), target=(57.5, height, 0.0))
    hoof = HOOF | {"heel_ground": (115.0, 0.0, 55.0), "heel_hairline": (140.0, 28.0, 55.0)}
    toe, heel = (lens.see(hoof[name])[0] for name in ("toe_ground", "heel_ground"))
    assert math.degrees(math.atan2(heel[1] - toe[1], heel[0] - toe[0])) == pytest.approx(tilt, abs=0.01)
    found = values(side_shot(lens, marking=marking(lens, hoof), heel_half_separation=Told(55.0, 1.0)))
    assert found["toe_angle"] == pytest.approx(WORKED["toe_angle"], abs=0.1)
    assert found["heel_angle"] == pytest.approx(WORKED["heel_angle"], abs=0.2)


def test_optional_marks() -> None:
    more = HOOF | {
        "dorsal_wall_mid": (27.5, 32.5, 0.0),
        "pastern_lower": (80.0, 95.0, 0.0),
        "pastern_upper": (110.0, 140.0, 0.0),
        "ground_a": (-60.0, 0.0, 20.0),
        "ground_b": (200.0, 0.0, 20.0),
    }
    lens = Lens()
    found = values(side_shot(lens, marking=marking(lens, more)))
    assert found["upper_wall_angle"] == pytest.approx(WORKED["toe_angle"], abs=0.2)
    assert found["lower_wall_angle"] == pytest.approx(WORKED["toe_angle"], abs=0.2)
    assert found["hoof_pastern_axis"] == pytest.approx(math.degrees(math.atan2(45, 30)) - 49.7636, abs=0.2)


def test_a_shod_foot_is_measured_without_its_shoe() -> None:
    shoe = {name: (x, y + 12.0, z) for name, (x, y, z) in HOOF.items()}
    shoe |= {"shoe_toe": (-1.0, 0.0, 0.0), "shoe_heel": (112.0, 0.0, 30.0)}
    lens = Lens()
    found = values(side_shot(lens, shod=True, marking=marking(lens, shoe)))
    for name in ("toe_angle", "heel_angle", "toe_length"):
        assert found[name] == pytest.approx(WORKED[name], abs=0.15), name
    for name in ("toe_height", "heel_height"):
        assert found[name] == pytest.approx(WORKED[name], abs=0.3), name


def test_differences_and_ratios_come_from_their_parts() -> None:
    measured = measure_lateral(side_shot(Lens((90.0, 200.0, 850.0))))
    toe, heel, apart, lengths = (
        measured.quantity(name) for name in ("toe_angle", "heel_angle", "toe_heel_angle_difference", "length_ratio")
    )
    assert toe and heel and apart and lengths
    assert apart.value == toe.value - heel.value
    assert apart.u**2 == pytest.approx(toe.u**2 + heel.u**2 - 2 * covariance(toe, heel))


def test_marks_still_to_come_are_named() -> None:
    lens = Lens()
    toe = marking(lens, {name: HOOF[name] for name in ("toe_ground", "toe_hairline")})
    measured = measure_lateral(side_shot(lens, marking=toe))
    assert {q.name for q in measured.quantities} == {"toe_angle", "toe_length", "toe_height"}
    wanted = {r.name: r.facts["marks"] for r in measured.refusals if r.code == "marks_missing"}
    assert wanted["heel_angle"] == "heel_ground, heel_hairline"
    assert wanted["coronary_band_angle"] == "heel_hairline"
    assert "upper_wall_angle" not in wanted
    empty = measure_lateral(side_shot(lens, marking=marking(lens, {})))
    assert not empty.quantities
    assert len(empty.refusals) == 11


GROUND = {"ground_a": (-60.0, 0.0, 0.0), "ground_b": (200.0, 0.0, 0.0)}


def test_without_a_card_angles_and_ratios_from_a_drawn_ground_line() -> None:
    lens = Lens((60.0, 150.0, 1000.0), roll=2.0)
    measured = measure_lateral(side_shot(lens, sighting=None, marking=marking(lens, HOOF | GROUND)))
    assert measured.grades["one"] is Grade.ANGLES_AND_RATIOS
    assert {q.unit for q in measured.quantities} == {Unit.DEG, Unit.RATIO}
    for quantity in measured.quantities:
        assert quantity.value == pytest.approx(WORKED[quantity.name], abs=0.6), quantity.name
        assert quantity.low < WORKED[quantity.name] < quantity.high
    assert {r.code for r in measured.refusals} == {"scale_missing"}
    assert [r.code for r in measured.remarks["one"]] == ["card_not_found"]


def test_without_a_card_and_ground_line_the_ground_is_not_guessed() -> None:
    measured = measure_lateral(side_shot(Lens(), sighting=None))
    assert {q.name for q in measured.quantities} == {"toe_heel_angle_difference", "length_ratio"}
    codes = {r.name: r.code for r in measured.refusals}
    assert codes["toe_angle"] == codes["heel_angle"] == codes["height_ratio"] == "ground_line_missing"
    assert codes["toe_length"] == "scale_missing"


def test_a_ruler_gives_lengths() -> None:
    lens = Lens((60.0, 150.0, 1000.0))
    a, b = (tuple(map(float, lens.see(p)[0])) for p in ((-150.0, 5.0, 0.0), (-50.0, 5.0, 0.0)))
    ruler = Ruler((a[0], a[1]), (b[0], b[1]), 100.0)
    shot = side_shot(lens, sighting=None, ruler=ruler, marking=marking(lens, HOOF | GROUND))
    measured = measure_lateral(shot)
    assert measured.grades["one"] is Grade.FULL
    assert measured.scales["one"].source is ScaleSource.RULER
    assert not measured.refusals
    for quantity in measured.quantities:
        assert quantity.low < WORKED[quantity.name] < quantity.high, quantity.name
    length = measured.quantity("toe_length")
    assert length and length.value == pytest.approx(WORKED["toe_length"], abs=1.5)  # turned 3 degrees, not told


def test_what_is_said_of_the_view() -> None:
    assert not codes(side_shot(Lens((60.0, 150.0, 1000.0))))
    assert "turned_view" in codes(side_shot(Lens((270.0, 150.0, 1000.0))))
    assert "turned_too_far" in codes(side_shot(Lens((400.0, 150.0, 1000.0))))
    assert "lens_too_near" in codes(side_shot(Lens((60.0, 100.0, 600.0))))
    assert "too_few_pixels" in codes(side_shot(Lens((60.0, 150.0, 1300.0))))
    scale = measure_lateral(side_shot(Lens((60.0, 150.0, 1000.0)))).scales["one"]
    assert scale.lens_height_mm == pytest.approx(150.0, abs=3.0)
    assert scale.distance_mm == pytest.approx(1000.0, rel=0.03)


def test_the_drawing_lies_on_the_marks() -> None:
    lens = Lens()
    shot = side_shot(lens)
    drawing = measure_lateral(shot).drawings["one"]
    lines = [p for p in drawing.primitives if isinstance(p, Line)]
    arcs = [p for p in drawing.primitives if isinstance(p, Arc)]
    assert {line.role for line in lines} == {Role.MEASURED, Role.GROUND}
    assert all(line.edged for line in lines)
    assert [abs(arc.sweep) for arc in arcs] == pytest.approx([49.8, 48.2], abs=1.5)
    toe = shot.marking.marks["toe_ground"]
    under = next(line for line in lines if line.role is Role.GROUND)
    (xa, ya), (xb, yb) = under.points
    assert ya + (yb - ya) * (toe.x - xa) / (xb - xa) == pytest.approx(toe.y, abs=2.0)


def test_an_edited_photo_is_measured_with_a_wider_interval() -> None:
    lens = Lens((200.0, 150.0, 900.0))
    plain, edited = (measure_lateral(side_shot(lens, edited=flag)).quantity("toe_angle") for flag in (False, True))
    assert plain and edited
    assert edited.u > plain.u


def test_told_depth_of_a_mark_goes_before_the_default() -> None:
    lens = Lens()
    marks = marking(lens, HOOF | {"heel_hairline": (140.0, 28.0, 44.0)})
    told = marks.with_mark("heel_hairline", replace(marks.marks["heel_hairline"], depth_mm=44.0, depth_u_mm=0.5))
    assert values(side_shot(lens, marking=told))["heel_height"] == pytest.approx(28.0, abs=0.15)


@pytest.mark.parametrize(("other", "name"), [("toe_ground", "lower_wall_angle"), ("toe_hairline", "upper_wall_angle")])
def test_half_a_wall_is_enough_for_its_own_angle(other: str, name: str) -> None:
    lens = Lens()
    half = {other: HOOF[other], "dorsal_wall_mid": (27.5, 32.5, 0.0)}
    measured = measure_lateral(side_shot(lens, marking=marking(lens, half)))
    assert [q.name for q in measured.quantities] == [name]
    assert measured.quantities[0].value == pytest.approx(WORKED["toe_angle"], abs=0.6)
    assert {r.code for r in measured.refusals} == {"marks_missing"}
