"""The photo check on arrival: each fault by itself, and sound photos left alone."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

import numpy as np
import pytest

from hoofbook.imaging.card import find_card
from hoofbook.imaging.facts import PhotoFacts
from hoofbook.imaging.quality import ALL_CODES, Arrival, check_arrival
from hoofbook.terms.card import CardFace, CardSighting
from hoofbook.terms.feet import Foot
from hoofbook.terms.refusal import Refusal
from hoofbook.terms.views import Grade, Moment, View
from tests.imaging.pictures import photo_of_card

FACTS = PhotoFacts(
    "JPEG", ".jpg", 2016, 1512, local_time="2025-01-14T10:40:07", focal_mm=9.0, focal_35mm=77.0, lens="tele lens",
    camera="Demo phone", exif_size=(2016, 1512),
)  # fmt: skip
PHOTO = photo_of_card(1, distance_mm=330, turn_deg=(2.0, -3.0, 1.0))
FOUND = find_card(PHOTO.grey)
assert isinstance(FOUND, CardSighting)
SEEN: CardSighting = FOUND


def check(facts: PhotoFacts = FACTS, seen: CardSighting | Refusal = SEEN, **filed: object) -> Arrival:
    filed = {
        "view": View.LATERAL,
        "foot": Foot.LF,
        "moment": Moment.BEFORE_TRIM,
        "visit_day": date(2025, 1, 14),
        **filed,
    }
    arrival = check_arrival(facts, seen, PHOTO.grey, **filed)
    assert {remark.code for remark in arrival.remarks} <= set(ALL_CODES)
    return arrival


def codes(arrival: Arrival) -> set[str]:
    return {remark.code for remark in arrival.remarks}


def test_a_sound_photo_passes_though_it_is_small() -> None:
    arrival = check()
    assert (codes(arrival), arrival.grade, arrival.edited) == (set(), Grade.FULL, False)


@pytest.mark.parametrize(
    ("code", "grade"),
    [
        ("photo_mirrored", Grade.PICTURE_ONLY),
        ("card_not_found", Grade.ANGLES_AND_RATIOS),
        ("card_too_small", Grade.ANGLES_AND_RATIOS),
        ("card_blurred", Grade.ANGLES_AND_RATIOS),
    ],
)
def test_what_the_card_search_refused_sets_the_grade(code: str, grade: Grade) -> None:
    arrival = check(seen=Refusal(code, {"markers": 1}))
    assert codes(arrival) == {code}
    assert arrival.grade is grade


def test_a_whole_horse_needs_no_card() -> None:
    assert codes(check(seen=Refusal("card_not_found"), view=View.WHOLE)) == set()


@pytest.mark.parametrize(
    ("changed", "code"),
    [
        ({"focal_mm": None, "focal_35mm": None, "lens": "", "width": 1600, "height": 1200}, "photo_shrunk"),
        ({"software": "Simple Photo Editor 7"}, "photo_edited"),
        ({"custom_rendered": 1}, "photo_edited"),
        ({"exif_size": (4032, 3024)}, "photo_cropped"),
        ({"width": 1700, "height": 1512, "exif_size": (1700, 1512)}, "photo_edited"),
        ({"digital_zoom": 2.0}, "photo_zoomed"),
    ],
)
def test_tags_give_an_edited_photo_away(changed: dict[str, object], code: str) -> None:
    arrival = check(replace(FACTS, **changed))
    assert code in codes(arrival)
    assert arrival.edited


def test_the_size_of_a_turned_photo_is_not_taken_for_a_crop() -> None:
    assert codes(check(replace(FACTS, width=1512, height=2016))) == set()


def test_a_side_view_from_too_near_is_told_and_a_sole_view_is_not() -> None:
    near = replace(FACTS, focal_35mm=26.0)  # 0.8 m asked for; this lens sees the card so large from 0.3 m
    assert "photo_too_near" in codes(check(near))
    assert "photo_too_near" not in codes(check(near, view=View.SOLAR))


def test_blur_and_few_pixels_and_few_corners_are_told() -> None:
    assert "photo_blurred" in codes(check(seen=replace(SEEN, edge_width_px=6.0)))
    assert "card_few_corners" in codes(check(seen=replace(SEEN, corners=SEEN.corners[:8])))
    small = tuple(replace(c, photo_px=(c.photo_px[0] * 0.5, c.photo_px[1] * 0.5)) for c in SEEN.corners)
    assert "too_few_pixels" in codes(check(seen=replace(SEEN, corners=small)))


@pytest.mark.parametrize(
    ("local_time", "far"),
    [
        ("2025-01-14T23:59:00", False),
        ("2025-01-15T11:59:00", False),
        ("2025-01-15T12:01:00", True),
        ("2025-01-13T12:01:00", False),
        ("2025-01-13T11:59:00", True),
    ],
)
def test_twelve_hours_beside_the_day_of_the_visit_are_allowed(local_time: str, far: bool) -> None:
    assert ("date_far_from_visit" in codes(check(replace(FACTS, local_time=local_time)))) is far


def test_a_photo_without_a_date_is_told() -> None:
    assert "photo_without_date" in codes(check(replace(FACTS, local_time="")))


def test_tags_and_the_back_of_the_card_are_held_against_the_filing() -> None:
    tagged = replace(SEEN, tags=(21, 25))
    arrival = check(seen=tagged)
    assert codes(arrival) == {"foot_tag_differs", "moment_tag_differs"}
    assert (arrival.suggested_foot, arrival.suggested_moment) == (Foot.RF, Moment.AFTER_TRIM)
    assert codes(check(seen=tagged, foot=Foot.RF, moment=Moment.AFTER_TRIM)) == set()
    back = replace(SEEN, face=CardFace.BACK)
    assert codes(check(seen=back)) == {"moment_tag_differs"}
    assert codes(check(seen=back, moment=Moment.FINISHED)) == set()
    assert check().suggested_foot is None


def test_dark_and_burnt_pictures_are_told() -> None:
    filed = {"view": View.LATERAL}
    dark = check_arrival(FACTS, SEEN, np.zeros((1512, 2016), np.uint8), **filed)
    burnt = check_arrival(FACTS, SEEN, np.full((1512, 2016), 255, np.uint8), **filed)
    assert "photo_dark" in codes(dark)
    assert "photo_burnt" in codes(burnt)
