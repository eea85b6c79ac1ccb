"""Front, heels and sole views and a photo along the sole, on pixels projected by OpenCV from known points."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import replace

import numpy as np
import pytest
from numpy.typing import ArrayLike

from hoofbook.measure import measure_shot
from hoofbook.measure.along_sole import profile_measures
from hoofbook.measure.dorsal import front_measures
from hoofbook.measure.solar import sole_measures
from hoofbook.terms.card import CardCorner, CardFace, CardSighting
from hoofbook.terms.drawing import Role
from hoofbook.terms.feet import Foot
from hoofbook.terms.measured import Measured, Ruler, ScaleSource, Shot, Told
from hoofbook.terms.quantity import Definition
from hoofbook.terms.views import CardPlane, CardStand, Grade, View
from tests.measure.photos import Lens, marking, standing_card

FRONT = {
    "medial_ground": (62.0, 0.0, 0.0),
    "lateral_ground": (-64.0, 0.0, 0.0),
    "medial_hairline": (48.0, 52.0, 0.0),
    "lateral_hairline": (-46.0, 50.0, 0.0),
}
FRONT_WORKED = {  # Pythagoras and atan2 on the four points
    "medial_wall_height": 52.0,
    "lateral_wall_height": 50.0,
    "medial_wall_angle": math.degrees(math.atan2(52, 14)),
    "lateral_wall_angle": math.degrees(math.atan2(50, 18)),
}
SOLE = {
    "toe_tip": (0.0, 130.0, 0.0),
    "heel_medial": (30.0, 0.0, 0.0),
    "heel_lateral": (-30.0, 0.0, 0.0),
    "widest_medial": (62.0, 56.0, 0.0),
    "widest_lateral": (-64.0, 60.0, 0.0),
    "frog_apex": (0.0, 90.0, -8.0),
    "frog_base_medial": (27.0, -10.0, 0.0),
    "frog_base_lateral": (-27.0, -10.0, 0.0),
}
SOLE_WORKED = {
    "foot_length": 130.0,
    "foot_width": math.hypot(126, 4),
    "length_behind_widest": 58.0,
    "length_before_widest": 72.0,
    "frog_length": 100.0,
    "frog_width": 54.0,
    "frog_ratio": 0.54,
    "heel_separation": 60.0,
}


def lying_card(lens: Lens, *, offset: float = 0.0) -> CardSighting:
    """The card in the plane z = offset below the heels, seen square-on."""
    corners = []
    for i in range(24):
        x, y = (i % 6 + 1) * 16.0, (i // 6 + 1) * 16.0
        at = lens.see((x - 56.0, -40.0 - y, offset))[0]
        corners.append(CardCorner(f"c{i:02d}", (x, y), (float(at[0]), float(at[1])), 0.05))
    return CardSighting(CardFace.FRONT, tuple(corners), tuple(range(17)), (), 2.0, lens.size, "projected")


def shot_of(view: View, lens: Lens, points: Mapping[str, ArrayLike], **more: object) -> Shot:
    given: dict[str, object] = {
        "foot": Foot.LF,
        "focal_35mm": lens.focal_35mm,
        "card_size_mm": (112.0, 80.0),
        "placing_px": 1.0,
    }
    return Shot("one", view, lens.size, marking(lens, points), **(given | more))  # type: ignore[arg-type]


def holds(measured: Measured, worked: Mapping[str, float], close: float) -> None:
    """Every figure near its worked one and inside its interval."""
    found = {q.name: q for q in measured.quantities}
    assert set(found) == set(worked)
    for name, value in worked.items():
        assert found[name].value == pytest.approx(value, abs=0.01 if name == "frog_ratio" else close), name
        assert found[name].low < value < found[name].high, name


def test_worked_front_view() -> None:
    found = front_measures({n: np.array(p[:2]) for n, p in FRONT.items()}, {"medial": 1.0, "lateral": -1.0})
    assert {name: float(value) for name, value in found.items()} == pytest.approx(FRONT_WORKED)


@pytest.mark.parametrize("view", [View.DORSAL, View.PALMAR, View.PLANTAR])
@pytest.mark.parametrize("side", [1.0, -1.0])
def test_front_and_heels(view: View, side: float) -> None:
    lens = Lens((30.0, 160.0, 950.0))
    points = {name: (side * x, y, z) for name, (x, y, z) in FRONT.items()}
    shot = shot_of(
        view,
        lens,
        points,
        sighting=standing_card(lens, middle_x=-140.0),
        card_plane=CardPlane.MID_LINE,
        card_stands_on=CardStand.FLOOR,
    )
    measured = measure_shot(shot)
    holds(measured, FRONT_WORKED, 0.3)
    assert {p.role for p in measured.drawings["one"].primitives} == {Role.MEASURED, Role.GROUND}  # type: ignore[union-attr]


def test_front_without_a_card() -> None:
    lens = Lens((0.0, 160.0, 950.0))
    ground = {"ground_a": (-150.0, 0.0, 0.0), "ground_b": (150.0, 0.0, 0.0)}
    measured = measure_shot(shot_of(View.DORSAL, lens, FRONT | ground))
    assert {q.name for q in measured.quantities} == {"medial_wall_angle", "lateral_wall_angle"}
    assert {r.code for r in measured.refusals} == {"scale_missing"}
    bare = measure_shot(shot_of(View.DORSAL, lens, FRONT))
    assert not bare.quantities
    assert {r.code for r in bare.refusals} == {"ground_line_missing"}
    width = measure_shot(shot_of(View.DORSAL, lens, FRONT | ground, foot_width=Told(126.0, 1.0)))
    assert width.scales["one"].source is ScaleSource.FOOT_WIDTH
    holds(width, FRONT_WORKED, 2.0)


def test_one_side_of_a_front_view_is_not_enough() -> None:
    lens = Lens((0.0, 160.0, 950.0))
    half = {name: FRONT[name] for name in ("medial_ground", "medial_hairline")}
    measured = measure_shot(shot_of(View.DORSAL, lens, half, sighting=standing_card(lens)))
    assert not measured.quantities
    assert {r.code for r in measured.refusals} == {"marks_missing"}


def test_worked_sole() -> None:
    found = sole_measures({name: np.array(place[:2]) for name, place in SOLE.items()})
    worked = {name: value for name, value in SOLE_WORKED.items() if name != "frog_ratio"}
    assert {name: float(value) for name, value in found.items()} == pytest.approx(worked)


SQUARE_ON = Lens((0.0, 40.0, 450.0), target=(0.0, 40.0, 0.0))


def test_sole_outline_with_a_card() -> None:
    lens = replace(SQUARE_ON, place=(60.0, 10.0, 440.0), roll=20.0)
    shot = shot_of(View.SOLAR, lens, SOLE, sighting=lying_card(lens), card_plane=CardPlane.BEARING_PLANE)
    holds(measure_shot(shot), SOLE_WORKED, 0.6)


def test_a_card_above_the_bearing_plane_is_covered_when_unsure() -> None:
    shot = shot_of(View.SOLAR, SQUARE_ON, SOLE, sighting=lying_card(SQUARE_ON, offset=20.0))
    measured = measure_shot(shot)
    for quantity in measured.quantities:
        assert quantity.low < SOLE_WORKED[quantity.name] < quantity.high, quantity.name


@pytest.mark.parametrize("tilt", [15.0, 20.0])
def test_a_tilted_sole_photo_reads_the_frog_ratio_too_large_and_the_card_sets_it_right(tilt: float) -> None:
    """Tilted by p about the cross axis from afar, width over length reads true / cos p: 0.6 reads 0.6212 at 15 degrees
    and 0.639 at 20."""
    flat = SOLE | {"frog_apex": (0.0, 80.0, 0.0), "frog_base_medial": (27.0, -10.0, 0.0)}
    far = 60_000.0
    away = (0.0, 35.0 - far * math.sin(math.radians(tilt)), far * math.cos(math.radians(tilt)))
    distant = Lens(away, target=(0.0, 35.0, 0.0), focal=4.0 * far)
    raw = sole_measures({name: distant.see(point)[0] for name, point in flat.items()})
    assert float(raw["frog_width"] / raw["frog_length"]) == pytest.approx({15.0: 0.6212, 20.0: 0.6385}[tilt], abs=5e-4)
    near = 450.0
    place = (0.0, 35.0 - near * math.sin(math.radians(tilt)), near * math.cos(math.radians(tilt)))
    lens = Lens(place, target=(0.0, 35.0, 0.0))
    deep = flat | {"frog_apex": (0.0, 80.0, -8.0)}
    shot = shot_of(View.SOLAR, lens, deep, sighting=lying_card(lens), card_plane=CardPlane.BEARING_PLANE)
    ratio = measure_shot(shot).quantity("frog_ratio")
    assert ratio is not None
    assert ratio.value == pytest.approx(0.600, abs=0.003)


def test_sole_without_a_card_gives_the_frog_ratio_only() -> None:
    measured = measure_shot(shot_of(View.SOLAR, SQUARE_ON, SOLE))
    assert [q.name for q in measured.quantities] == ["frog_ratio"]
    assert measured.quantities[0].low < 0.54 < measured.quantities[0].high
    assert measured.grades["one"] is Grade.ANGLES_AND_RATIOS
    assert {r.code for r in measured.refusals} == {"scale_missing"}


def test_a_typed_foot_width_gives_lengths_where_the_width_is_marked() -> None:
    width = Told(SOLE_WORKED["foot_width"], 1.0)
    holds(measure_shot(shot_of(View.SOLAR, SQUARE_ON, SOLE, foot_width=width)), SOLE_WORKED, 2.5)
    without = {name: place for name, place in SOLE.items() if not name.startswith("widest")}
    blind = measure_shot(shot_of(View.SOLAR, SQUARE_ON, without, foot_width=width))
    assert [q.name for q in blind.quantities] == ["frog_ratio"]


def test_a_ruler_gives_lengths_of_a_sole() -> None:
    a, b = (tuple(map(float, SQUARE_ON.see(p)[0])) for p in ((-50.0, -40.0, 0.0), (50.0, -40.0, 0.0)))
    ruler = Ruler((a[0], a[1]), (b[0], b[1]), 100.0)
    shot = shot_of(View.SOLAR, SQUARE_ON, SOLE, ruler=ruler, card_plane=CardPlane.BEARING_PLANE)
    holds(measure_shot(shot), SOLE_WORKED, 2.5)


def test_a_photo_of_a_set_is_not_asked_for_an_outline() -> None:
    apex = shot_of(View.SOLAR, SQUARE_ON, {"frog_apex": (0.0, 90.0, -8.0)}, set_name="sole")
    assert measure_shot(apex) == Measured()


ALONG = {"edge_medial": (-55.0, 3.0, 0.0), "edge_lateral": (55.0, 3.0, 0.0), "sole_deepest": (5.0, -9.0, 0.0)}


def test_along_the_sole() -> None:
    lens = Lens((0.0, 60.0, 420.0), target=(0.0, -20.0, 0.0))
    shot = shot_of(View.ALONG_SOLE, lens, ALONG, sighting=lying_card(lens), card_plane=CardPlane.BEARING_PLANE)
    measured = measure_shot(shot)
    found = measured.quantity("greatest_sole_concavity", Definition.ALONG_SOLE)
    assert found is not None
    assert found.value == pytest.approx(12.0, abs=0.3)
    assert found.low < 12.0 < found.high
    assert not measure_shot(replace(shot, sighting=None)).quantities


def test_profile_of_a_circle_cap() -> None:
    """A cap of chord 100 and depth 10 has radius (100^2 / 4 + 10^2) / 20 = 130 and the area of its segment."""
    x = np.linspace(-48.0, 48.0, 33)
    depth = np.sqrt(130.0**2 - x**2) - 120.0
    points = {f"profile_{i + 1:02d}": np.array([a, -d]) for i, (a, d) in enumerate(zip(x, depth, strict=True))}
    points |= {"edge_medial": np.array([-50.0, 0.0]), "edge_lateral": np.array([50.0, 0.0])}
    found = profile_measures(points | {"sole_deepest": np.array([0.0, -10.0])})
    half = math.asin(50.0 / 130.0)
    segment = 130.0**2 / 2.0 * (2.0 * half - math.sin(2.0 * half))
    assert float(found["greatest_sole_concavity"]) == pytest.approx(10.0)
    assert float(found["mean_sole_concavity"]) == pytest.approx(segment / 100.0, rel=0.01)
