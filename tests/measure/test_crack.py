"""New whole horn above a crack: against pixels projected by OpenCV, JCGM 101 by trials, and the rendered photos."""

from __future__ import annotations

import json
import math
from pathlib import Path

import numpy as np
import pytest

from hoofbook.casework.marks_file import read_marks_file
from hoofbook.imaging.card import find_card
from hoofbook.imaging.pixels import open_grey
from hoofbook.measure.carry import carry_marks
from hoofbook.measure.comparison import align
from hoofbook.measure.crack import MEASURE, down_the_wall, run_of_horn
from hoofbook.measure.lateral import measure_lateral
from hoofbook.measure.photo_check import check_marked
from hoofbook.terms.card import CardSighting
from hoofbook.terms.drawing import Line
from hoofbook.terms.feet import Foot
from hoofbook.terms.marks import Marking
from hoofbook.terms.measured import Measured, Ruler, Shot
from hoofbook.terms.quantity import Quantity
from hoofbook.terms.refusal import Refusal
from hoofbook.terms.views import CardPlane, CardStand, View
from tests.measure.photos import HOOF, Lens, marking, standing_card

SAMPLES = Path(__file__).resolve().parents[2] / "sample_cases" / "copper"
NEAR = 58.0  # mm from the mid plane to the near quarter and the card beside it
RUN = math.radians(52.0)  # how steeply this crack runs
LENS = Lens((-60.0, 150.0, 950.0), target=(0.0, 60.0, NEAR))


def cracked(length: float, *, way: float = 1.0, near: float = NEAR) -> dict[str, tuple[float, float, float]]:
    """Hairline and top of a crack `length` mm down a wall that leans out by 10 degrees; heel towards +x for way 1."""
    x, y = way * 92.0, 46.0
    down = (x - way * length * math.cos(RUN), y - length * math.sin(RUN), near + length * math.tan(math.radians(10.0)))
    return {"crack_hairline": (x, y, near), "crack_top": down}


def shot(points: dict[str, tuple[float, float, float]], lens: Lens = LENS, **more: object) -> Shot:
    given: dict[str, object] = {
        "key": "one",
        "view": View.LATERAL,
        "photo_size": lens.size,
        "marking": marking(lens, points),
        "foot": Foot.LF,
        "sighting": standing_card(lens, offset=NEAR),
        "card_plane": CardPlane.NEAR_WALL,
        "card_stands_on": CardStand.FLOOR,
        "focal_35mm": lens.focal_35mm,
        "card_size_mm": (112.0, 80.0),
        "placing_px": 1.0,
    }
    return Shot(**(given | more))  # type: ignore[arg-type]


def length_of(measured: Measured) -> Quantity:
    found = measured.quantity(MEASURE)
    assert found is not None
    return found


def refusal_of(measured: Measured) -> Refusal:
    return next(refusal for refusal in measured.refusals if refusal.name == MEASURE)


@pytest.mark.parametrize("length", [9.5, 19.0, 28.0, 38.0, 47.0])
def test_two_marks_alone_give_the_length_that_was_projected(length: float) -> None:
    """OpenCV's pixels of two points so far apart in the plane of the side view."""
    measured = measure_lateral(shot(cracked(length)))
    found = length_of(measured)
    assert found.value == pytest.approx(length, abs=0.25)
    assert found.low < length < found.high
    assert 0.3 < found.u < 2.5
    assert not measured.refusals  # nothing else was asked of a photo of a crack
    assert not measured.remarks["one"]
    scale = measured.scales["one"]
    assert scale.distance_mm == pytest.approx(math.dist(LENS.place, cracked(length)["crack_hairline"]), rel=0.03)
    lines = [item for item in measured.drawings["one"].primitives if isinstance(item, Line)]
    assert len(lines) == 1


def test_the_length_is_that_of_the_side_view_whichever_side_the_lens_stood_on() -> None:
    outside = length_of(measure_lateral(shot(cracked(28.0))))
    inside_lens = Lens((60.0, 150.0, 950.0), target=(0.0, 60.0, NEAR))
    card = standing_card(inside_lens, middle_x=120.0, offset=NEAR)
    inside = length_of(
        measure_lateral(shot(cracked(28.0, way=-1.0), inside_lens, sighting=card, from_inside=True, foot=Foot.LF))
    )
    assert (outside.value, inside.value) == pytest.approx((28.0, 28.0), abs=0.25)


def test_one_spot_is_a_length_of_nothing_with_the_uncertainty_of_placing_two_marks() -> None:
    """sqrt(2) times 1 px at 3100 / 892 px/mm is 0.41 mm; what else is unsure adds little where there is no length."""
    measured = measure_lateral(shot(cracked(0.0)))
    found = length_of(measured)
    assert found.value == pytest.approx(0.0, abs=1e-6)
    assert 0.41 <= found.u < 0.55
    assert not measured.drawings["one"].primitives


def test_near_nothing_the_length_is_as_often_below_as_above() -> None:
    """Trials of placing (JCGM 101): a bare distance has the mean 1.25 sd of Rayleigh's law, the signed one 0."""
    random = np.random.default_rng(7)
    apart = random.normal(0.0, 0.29 / math.sqrt(2.0), (20000, 2, 2))
    seen = {
        "crack_hairline": np.pad(apart[:, 0], ((0, 0), (0, 1))),
        "crack_top": np.pad(apart[:, 1], ((0, 0), (0, 1))),
    }
    signed = down_the_wall(seen, run_of_horn(1.0))
    bare = np.linalg.norm(apart[:, 1] - apart[:, 0], axis=1)
    assert np.mean(bare) == pytest.approx(1.2533 * 0.29, rel=0.02)
    assert abs(np.mean(signed)) < 3.0 * 0.29 / math.sqrt(20000)
    assert np.std(signed) == pytest.approx(0.29, rel=0.03)
    assert np.mean(signed > 0.0) == pytest.approx(0.5, abs=0.02)


@pytest.mark.parametrize("steeper", [-12.0, 0.0, 15.0])
@pytest.mark.parametrize("way", [1.0, -1.0, None])
def test_a_length_is_the_distance_of_its_marks_however_the_crack_runs(steeper: float, way: float | None) -> None:
    """Pythagoras: the expected run of the horn only decides where the marks lie together."""
    rise = math.radians(50.0 + steeper)
    for length, part in ((10.0, 0.05 if way is None else 0.006), (47.0, 0.0005)):
        end = np.array([[-(way or 1.0) * length * math.cos(rise), -length * math.sin(rise), 5.0]])
        found = down_the_wall({"crack_hairline": np.zeros((1, 3)), "crack_top": end}, run_of_horn(way))[0]
        assert found == pytest.approx(length, rel=part)
        assert found <= length + 1e-9


def test_the_interval_holds_when_everything_unsure_is_drawn() -> None:
    """JCGM 101 trials of placing, card and wall within their stated spreads: 95 % less 3 sd of 300 trials."""
    random = np.random.default_rng(3)
    held = 0
    for trial in range(300):
        length = float(random.choice([0.0, 9.5, 28.0, 47.0]))
        card = random.normal([NEAR, 0.0, 0.0], [10.0, 1.5, 3.0])
        wall = card[0] + random.normal(0.0, 6.0)
        points = cracked(length, near=wall)
        lean = length * float(np.clip(random.normal(0.18, 0.10), -0.1, 0.5))
        x, y, _ = points["crack_top"]
        points["crack_top"] = (x, y, wall + lean)
        sighting = standing_card(LENS, offset=card[0], lean=card[1], yaw=card[2], noise=0.05, seed=trial)
        one = shot(points, sighting=sighting, marking=marking(LENS, points, noise=1.0, seed=trial))
        found = length_of(measure_lateral(one))
        held += found.low <= length <= found.high
    assert held / 300 >= 0.95 - 3.0 * math.sqrt(0.05 * 0.95 / 300)


def test_a_card_in_the_mid_line_costs_more_than_one_beside_the_wall() -> None:
    beside = length_of(measure_lateral(shot(cracked(47.0))))
    mid_line = shot(cracked(47.0), sighting=standing_card(LENS, offset=0.0), card_plane=CardPlane.MID_LINE)
    far = length_of(measure_lateral(mid_line))
    assert far.value == pytest.approx(47.0, abs=0.6)
    assert far.low < 47.0 < far.high
    assert far.u > beside.u


def test_side_marks_and_crack_marks_do_not_disturb_each_other() -> None:
    both = measure_lateral(shot(HOOF | cracked(28.0)))
    side, alone = measure_lateral(shot(HOOF)), measure_lateral(shot(cracked(28.0)))
    assert length_of(both).value == pytest.approx(length_of(alone).value, abs=1e-9)
    for quantity in side.quantities:
        assert both.quantity(quantity.name) == quantity
    assert both.scales == side.scales
    extra = len(both.drawings["one"].primitives) - len(side.drawings["one"].primitives)
    assert extra == 1


def test_the_inside_heel_is_not_measured_as_the_outside_one() -> None:
    """Heel measures have one definition; the mid plane is the same from either side."""
    measured = measure_lateral(shot(HOOF | cracked(28.0), foot=Foot.RF, from_inside=True))
    names = {quantity.name for quantity in measured.quantities}
    assert names == {"toe_angle", "toe_length", "toe_height", MEASURE}
    assert not measured.refusals


def test_what_is_missing_is_asked_for() -> None:
    half = {"crack_top": cracked(20.0)["crack_top"]}
    assert refusal_of(measure_lateral(shot(half))).facts == {"marks": "crack_hairline"}
    bare = measure_lateral(shot(cracked(20.0), sighting=None))
    assert refusal_of(bare).code == "scale_missing"
    above = cracked(20.0)
    turned = {"crack_hairline": above["crack_top"], "crack_top": above["crack_hairline"]}
    assert refusal_of(measure_lateral(shot(turned))).code == "crack_above_hairline"


def test_a_ruler_beside_the_crack_is_a_scale_too() -> None:
    """Held square to the crack; the turn of the view that nobody can tell is in the ±."""
    lens = Lens((75.0, 150.0, 950.0), target=(75.0, 60.0, NEAR))
    ends = lens.see([(-120.0, 2.0, NEAR), (-20.0, 2.0, NEAR)])
    ruler = Ruler((float(ends[0][0]), float(ends[0][1])), (float(ends[1][0]), float(ends[1][1])), 100.0)
    found = length_of(measure_lateral(shot(cracked(28.0), lens, sighting=None, ruler=ruler)))
    assert found.low < 28.0 < found.high
    assert found.value == pytest.approx(28.0, abs=0.8)


@pytest.mark.parametrize("foot", list(Foot))
@pytest.mark.parametrize("from_inside", [False, True])
def test_a_photo_told_to_be_from_the_inside_is_expected_the_other_way_round(foot: Foot, from_inside: bool) -> None:
    """Seen from outside the toe of a left foot points left, from inside right; of a right foot the other way round."""
    one = shot(HOOF | cracked(20.0), foot=foot, from_inside=from_inside)
    remarks = {remark.code for remark in check_marked(one, measure_lateral(one))}
    points_left_as_seen = True  # of the worked foot
    expected_left = (foot in (Foot.LF, Foot.LH)) is not from_inside
    assert ("toe_points_wrong_way" in remarks) == (points_left_as_seen is not expected_left)


def test_inside_and_outside_are_never_laid_over_each_other() -> None:
    found = align(shot(cracked(9.5)), shot(cracked(19.0), from_inside=True))
    assert isinstance(found, Refusal)
    assert found.code == "toe_points_other_way"
    assert not isinstance(align(shot(cracked(9.5)), shot(cracked(19.0))), Refusal)


def test_marks_of_a_crack_are_carried_into_the_next_photo() -> None:
    now = Lens((-20.0, 190.0, 1000.0), target=(10.0, 70.0, NEAR))
    carried = carry_marks(shot(cracked(19.0)), shot({}, now, sighting=standing_card(now, offset=NEAR)))
    for name, point in cracked(19.0).items():
        at = carried.marks[name]
        assert math.dist((at.x, at.y), now.see(point)[0]) < 12.0  # px: 3 mm, a start to be moved


def sample_shots() -> list[tuple[Shot, float]]:
    """Copper's photos with the marks that were placed in them, each with its true length."""
    found = []
    for path in sorted(SAMPLES.glob("visit-*/*.marks.json")):
        file = read_marks_file(path)
        for entry in file.photos:
            grey = open_grey(file.photo_path(entry))
            sighting = grey if isinstance(grey, Refusal) else find_card(grey)
            assert isinstance(sighting, CardSighting)
            told = json.loads(file.photo_path(entry).with_suffix(".truth.json").read_text(encoding="utf-8"))
            one = Shot(
                key=path.parent.name,
                view=entry.view,
                photo_size=sighting.photo_size,
                marking=entry.marking,
                foot=file.foot,
                sighting=sighting,
                card_plane=entry.card_plane,
                card_stands_on=entry.card_stands_on,
                focal_35mm=told["camera"]["focal_35mm_tag"],
                placing_px=entry.placing_px,
                from_inside=entry.from_inside,
            )
            found.append((one, told["measures"][MEASURE]))
    return found


def test_every_rendered_photo_of_the_crack_holds_its_true_length() -> None:
    """Truth of the renderer; six values, so that 9 in 10 is all of them but one half."""
    shots = sample_shots()
    assert len(shots) == 6
    for one, true in shots:
        found = length_of(measure_lateral(one))
        assert found.low <= true <= found.high, (one.key, found.value, true)
        only = Marking({name: mark for name, mark in one.marking.marks.items() if name.startswith("crack_")})
        alone = length_of(measure_lateral(Shot(**{**_fields(one), "marking": only})))
        assert alone.low <= true <= alone.high, (one.key, alone.value, true)
        remarks = {remark.code for remark in check_marked(one, measure_lateral(one))}
        assert not remarks, one.key


def _fields(one: Shot) -> dict[str, object]:
    return {name: getattr(one, name) for name in one.__dataclass_fields__}
