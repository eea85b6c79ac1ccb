"""Which two photos make the fairest pair: cases made by hand, and what must hold for all."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from hoofbook.progress.likeness import Point, Taken, pair_of, ranked_pairs
from hoofbook.terms.views import CardPlane, Moment, View

DAY = date(2025, 1, 14)
WHITE = (0.5, 0.5, 0.5)


def taken(key: str, weeks: float = 0, **more: object) -> Taken:
    """A side photo after trim as the guide asks for it: square on, a metre away."""
    known: dict[str, object] = {
        "view": View.LATERAL,
        "moment": Moment.AFTER_TRIM,
        "card_plane": CardPlane.MID_LINE,
        "turn_deg": 0.0,
        "tilt_deg": 2.0,
        "distance_mm": 1000.0,
        "light": WHITE,
    }
    return Taken(key, DAY + timedelta(days=round(7 * weeks)), **{**known, **more})  # type: ignore[arg-type]


def first(*photos: Taken) -> tuple[str, str]:
    best = ranked_pairs(photos)[0]
    return best.then.key, best.now.key


@pytest.mark.parametrize(
    "more",
    [
        {"turn_deg": 6.0},
        {"tilt_deg": -4.0},
        {"distance_mm": 700.0},
        {"card_plane": CardPlane.NEAR_WALL},
        {"light": (0.25, 0.25, 0.25)},  # one stop darker
        {"light": (0.6, 0.5, 0.4)},  # the same brightness, warmer
        {"shod": True},
        {"scaled": False},
        {"moment": Moment.BEFORE_TRIM},
        {"turn_deg": None, "tilt_deg": None, "distance_mm": None},
    ],
)
def test_an_identical_twin_ranks_first_though_another_is_far_later(more: dict[str, object]) -> None:
    assert first(taken("a"), taken("twin", 6), taken("later", 52, **more)) == ("a", "twin")


def test_of_pairs_that_are_alike_the_one_that_spans_most_is_first() -> None:
    photos = (taken("a"), taken("b", 6, turn_deg=0.1), taken("c", 37, turn_deg=3.0), taken("d", 30, distance_mm=900.0))
    assert first(*photos) == ("a", "c")


def test_equally_far_apart_the_closer_likeness_is_first() -> None:
    assert first(taken("a"), taken("b", 37, turn_deg=3.0), taken("c", 37, turn_deg=1.0)) == ("a", "c")


def test_before_against_after_never_ranks_above_one_moment() -> None:
    """Even where everything else of the same-moment pair is unlike and its two photos lie a week apart."""
    photos = (
        taken("before", 0, moment=Moment.BEFORE_TRIM),
        taken("after", 52),
        taken("odd", 53, shod=True, scaled=False, turn_deg=40.0, tilt_deg=None, distance_mm=200.0, light=None),
    )
    ranked = ranked_pairs(photos)
    assert (ranked[0].then.key, ranked[0].now.key) == ("after", "odd")
    assert all(pair.alike(Point.MOMENT) is False for pair in ranked[1:])


def test_within_a_cycle_the_days_since_trim_must_be_alike() -> None:
    """Five days, as for readings (the same rule as `series.comparable`)."""
    late = taken("late", 30, moment=Moment.BEFORE_TRIM, days_since_trim=49)
    like = taken("like", 12, moment=Moment.BEFORE_TRIM, days_since_trim=44)
    early = taken("early", 0, moment=Moment.BEFORE_TRIM, days_since_trim=42)
    assert first(early, like, late) == ("like", "late")
    assert pair_of(early, late).alike(Point.DAY_OF_CYCLE) is False
    assert pair_of(taken("a"), taken("b")).alike(Point.DAY_OF_CYCLE) is None, "after trim there is no such day"


def test_sole_photos_may_differ_more_in_turn_and_are_not_asked_to_be_straight() -> None:
    one, other = taken("a", view=View.SOLAR, tilt_deg=-18.0), taken("b", 6, view=View.SOLAR, tilt_deg=-8.0)
    assert pair_of(one, other).alike(Point.TILT) and pair_of(one, other).straight is None
    assert pair_of(taken("a", turn_deg=9.0), taken("b", turn_deg=9.0)).straight is False


def test_light_is_told_in_stops() -> None:
    """Half the light is one stop (the definition of a stop); the limits are half a stop and a quarter for colour."""
    assert pair_of(taken("a"), taken("b", light=(0.25, 0.25, 0.25))).unlike(Point.LIGHT) == pytest.approx(2.0)
    assert pair_of(taken("a"), taken("b", light=(0.4, 0.4, 0.4))).alike(Point.LIGHT)
    assert pair_of(taken("a"), taken("b", light=None)).alike(Point.LIGHT) is None


def test_photos_from_different_sides_are_no_pair() -> None:
    assert ranked_pairs((taken("a"), taken("b", from_inside=True), taken("c", view=View.DORSAL))) == ()


angles = st.none() | st.floats(-30.0, 30.0)
photos = st.builds(
    Taken,
    key=st.sampled_from("abcdefgh"),
    day=st.dates(date(2024, 1, 1), date(2026, 1, 1)),
    view=st.just(View.LATERAL),
    moment=st.none() | st.sampled_from(Moment),
    shod=st.booleans(),
    from_inside=st.booleans(),
    scaled=st.booleans(),
    card_plane=st.sampled_from(CardPlane),
    turn_deg=angles,
    tilt_deg=angles,
    distance_mm=st.none() | st.floats(200.0, 3000.0),
    days_since_trim=st.none() | st.integers(0, 90),
    light=st.none() | st.tuples(*[st.floats(0.05, 1.0)] * 3),
)
some = st.lists(photos, max_size=8, unique_by=lambda photo: photo.key)


@given(some, st.randoms(use_true_random=False))
def test_the_order_of_the_photos_plays_no_part(given_photos: list[Taken], random: object) -> None:
    shuffled = list(given_photos)
    random.shuffle(shuffled)  # type: ignore[attr-defined]
    assert ranked_pairs(shuffled) == ranked_pairs(given_photos)


@given(some)
def test_every_pair_is_ranked_once_and_none_of_two_moments_before_one_of_one(given_photos: list[Taken]) -> None:
    ranked = ranked_pairs(given_photos)
    sides = [sum(photo.from_inside is side for photo in given_photos) for side in (True, False)]
    assert len(ranked) == sum(count * (count - 1) // 2 for count in sides)
    assert len({(pair.then.key, pair.now.key) for pair in ranked}) == len(ranked)
    same = [pair.alike(Point.MOMENT) is True for pair in ranked]
    assert same == sorted(same, reverse=True)
    assert all(pair.then.day <= pair.now.day for pair in ranked)


@given(some, photos, st.integers(0, 400))
def test_a_twin_stands_before_every_other_of_the_same_photo_that_is_no_later(
    others: list[Taken], photo: Taken, days: int
) -> None:
    one, twin = replace(photo, key="one"), replace(photo, key="0", day=photo.day + timedelta(days=days))
    nearer = [replace(other, day=min(max(other.day, one.day), twin.day)) for other in others]
    ranked = [pair for pair in ranked_pairs((one, twin, *nearer)) if "one" in (pair.then.key, pair.now.key)]
    assert {ranked[0].then.key, ranked[0].now.key} == {"one", "0"}
