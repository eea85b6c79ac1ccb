"""Marks carried from the visit before, and the photo check after marking, on projected photos."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from hoofbook.measure import measure_shot
from hoofbook.measure.carry import carry_marks
from hoofbook.measure.photo_check import ALL_CODES, check_marked
from hoofbook.measure.solar import heel_half_separation
from hoofbook.terms.feet import Foot
from hoofbook.terms.marks import Marking, MarkState
from hoofbook.terms.measured import Shot
from hoofbook.terms.views import CardPlane, View
from tests.measure.photos import HOOF, Lens, marking, standing_card
from tests.measure.test_front_and_sole import SOLE, SQUARE_ON, lying_card, shot_of
from tests.measure.test_side_view import side_shot

BEFORE, NOW = Lens((60.0, 150.0, 900.0)), Lens((110.0, 210.0, 1050.0), roll=2.0, k1=-0.03)


def apart(marks: Marking, lens: Lens, truth: dict[str, tuple[float, float, float]]) -> dict[str, float]:
    return {name: float(np.hypot(*(lens.see(truth[name])[0] - (mark.x, mark.y)))) for name, mark in marks.marks.items()}


def test_side_marks_are_carried_through_the_cards() -> None:
    here = side_shot(NOW, marking=Marking())
    carried = carry_marks(side_shot(BEFORE), here)
    assert set(carried) == set(HOOF)
    assert {mark.state for mark in carried.marks.values()} == {MarkState.PROPOSED}
    assert max(apart(carried, NOW, HOOF).values()) < 6.0
    assert not carried.confirmed


def test_a_foot_that_stands_elsewhere_is_found_by_one_confirmed_mark() -> None:
    moved = {name: (x + 25.0, y, z) for name, (x, y, z) in HOOF.items()}
    one = marking(NOW, {"toe_ground": moved["toe_ground"]})
    carried = carry_marks(side_shot(BEFORE), side_shot(NOW, marking=one))
    assert carried.marks["toe_ground"] == one.marks["toe_ground"]
    assert max(apart(carried, NOW, moved).values()) < 8.0


def test_sole_marks_are_carried_turned_and_moved() -> None:
    lens = replace(SQUARE_ON, place=(40.0, 20.0, 480.0), roll=-15.0)
    told = {"card_plane": CardPlane.BEARING_PLANE}
    before = shot_of(View.SOLAR, SQUARE_ON, SOLE, sighting=lying_card(SQUARE_ON), **told)
    here = shot_of(View.SOLAR, lens, {}, sighting=lying_card(lens), **told)
    carried = carry_marks(before, here)
    assert set(carried) == set(SOLE)
    assert max(apart(carried, lens, SOLE).values()) < 12.0


def test_without_cards_two_common_marks_show_the_way() -> None:
    before = side_shot(BEFORE, sighting=None)
    one = side_shot(NOW, sighting=None, marking=marking(NOW, {"toe_ground": HOOF["toe_ground"]}))
    assert set(carry_marks(before, one)) == {"toe_ground"}
    both = marking(NOW, {name: HOOF[name] for name in ("toe_ground", "heel_hairline")})
    carried = carry_marks(before, side_shot(NOW, sighting=None, marking=both))
    assert set(carried) == set(HOOF)
    assert max(apart(carried, NOW, HOOF).values()) < 30.0


def test_other_views_and_places_outside_the_photo_are_not_proposed() -> None:
    other = shot_of(View.DORSAL, NOW, {})
    assert len(carry_marks(side_shot(BEFORE), other)) == 0
    narrow = replace(NOW, place=(-350.0, 150.0, 900.0), target=(-350.0, 45.0, 0.0))
    here = side_shot(narrow, marking=Marking(), sighting=standing_card(narrow, middle_x=-120.0))
    for mark in carry_marks(side_shot(BEFORE), here).marks.values():
        assert 0 <= mark.x < narrow.size[0]


def codes(shot: Shot) -> set[str]:
    found = {remark.code for remark in check_marked(shot, measure_shot(shot))}
    assert found <= set(ALL_CODES)
    return found


def test_a_sound_photo_passes() -> None:
    assert not codes(side_shot(NOW))
    assert not codes(side_shot(NOW, marking=Marking()))


@pytest.mark.parametrize("foot", list(Foot))
def test_toe_direction_against_the_foot(foot: Foot) -> None:
    """Seen from outside, the toe of a left foot points left and that of a right foot right."""
    assert ("toe_points_wrong_way" in codes(side_shot(NOW, foot=foot))) == (foot in (Foot.RF, Foot.RH))


def test_a_photo_on_its_head_is_doubted() -> None:
    shot = side_shot(NOW)
    turned = {name: replace(m, y=NOW.size[1] - m.y) for name, m in shot.marking.marks.items()}
    assert "view_doubtful" in codes(replace(shot, marking=Marking(turned), sighting=None))


def test_marks_of_something_else_are_doubted() -> None:
    tiny = {name: (x * 0.2, y * 0.2, z * 0.2) for name, (x, y, z) in HOOF.items()}
    assert "view_doubtful" in codes(side_shot(NOW, marking=marking(NOW, tiny), shod=True))


def test_a_wrong_focal_length_is_told() -> None:
    lens = Lens((-330.0, 180.0, 650.0), target=(-120.0, 45.0, 0.0))
    shot = side_shot(lens, sighting=standing_card(lens, yaw=20.0, noise=0.03, spread=0.03))
    assert "focal_contradicted_by_card" in codes(replace(shot, focal_35mm=(shot.focal_35mm or 0.0) * 1.4))


def test_before_any_mark_the_card_tells_where_the_photo_was_taken_from() -> None:
    """Distance to the card's middle and turn of the axis, by the lens's true place."""
    lens = Lens((30.0, 180.0, 900.0), target=(-120.0, 45.0, 0.0))
    measured = measure_shot(side_shot(lens, marking=Marking(), sighting=standing_card(lens)))
    scale = measured.scales["one"]
    assert not measured.quantities
    assert scale.distance_mm == pytest.approx(
        float(np.linalg.norm(np.array(lens.place) - (-120.0, 48.0, 0.0))), rel=0.02
    )
    assert scale.turn_deg == pytest.approx(-float(np.degrees(np.arctan2(150, 900))), abs=0.3)
    assert scale.tilt_deg == pytest.approx(float(np.degrees(np.arctan2(135, np.hypot(150, 900)))), abs=0.3)


def test_half_the_heel_separation_of_a_sole_photo_is_told_to_the_side_view() -> None:
    sole = shot_of(View.SOLAR, SQUARE_ON, SOLE, sighting=lying_card(SQUARE_ON), card_plane=CardPlane.BEARING_PLANE)
    separation = measure_shot(sole).quantity("heel_separation")
    assert separation is not None
    told = heel_half_separation(separation)
    assert told.value == pytest.approx(30.0, abs=0.3)  # heels 60 mm apart
    assert told.u == 3.0
    plain, better = (
        measure_shot(side_shot(NOW, heel_half_separation=half)).quantity("heel_height") for half in (None, told)
    )
    assert plain and better
    assert better.u < plain.u
