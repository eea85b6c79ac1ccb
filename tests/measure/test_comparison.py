"""Two photos laid together: what of a true change is seen, photos by OpenCV's projection."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import replace

import numpy as np
import pytest

from hoofbook.measure.comparison import Alignment, align, own_frame
from hoofbook.measure.together import Together, lay_together
from hoofbook.terms.card import CardSighting
from hoofbook.terms.feet import Foot
from hoofbook.terms.marks import Marking
from hoofbook.terms.measured import Ruler, Shot
from hoofbook.terms.refusal import Refusal
from hoofbook.terms.views import CardPlane, CardStand, View
from tests.measure import photos
from tests.measure.concavity.made_sets import Hoof, Session, take

THEN = photos.HOOF
# toe shortened by 10 mm along the wall and 4 mm taken off under the foot: hairline where it was above the sole
NOW = {
    "toe_ground": (6.46, 7.63, 0.0),
    "toe_hairline": (55.0, 65.0, 0.0),
    "heel_ground": (118.0, 7.63, 30.0),
    "heel_hairline": (140.0, 28.0, 30.0),
}


def standing(
    points: Mapping[str, tuple[float, float, float]],
    seed: int,
    *,
    card: bool = True,
    pixel: float = 0.0,
    sign: float = 1.0,
) -> Shot:
    """A side photo as a person takes it: 0.85-1.1 m away, lens 80-220 mm up, turned and tilted a little.

    `sign` -1 takes every error the other way round (antithetic draws: what is linear in the errors averages out).
    """
    random = np.random.default_rng(seed)
    distance, turn = random.uniform(850.0, 1100.0), np.radians(sign * random.normal(0.0, 3.0))
    target = (random.uniform(10.0, 50.0), random.uniform(40.0, 70.0), 0.0)
    place = (target[0] + distance * np.sin(turn), random.uniform(80.0, 220.0), distance * np.cos(turn))
    roll, k1 = sign * random.normal(0.0, 1.0), random.uniform(-0.05, 0.03)
    offset, lean, yaw, card_roll = sign * random.normal(0.0, [3.0, 1.5, 2.0, 0.4])
    lens = photos.Lens(place=place, target=target, roll=roll, k1=k1)
    floor = min(place[1] for place in points.values())
    above = {name: (x, y - floor, z) for name, (x, y, z) in points.items()}
    sighting: CardSighting | None = None
    if card:
        sighting = photos.standing_card(
            lens, middle_x=-110.0, offset=offset, lean=lean, yaw=yaw, roll=card_roll, noise=0.05, seed=seed
        )
    return Shot(
        key=f"side {seed}",
        view=View.LATERAL,
        photo_size=lens.size,
        marking=photos.marking(lens, above, noise=pixel, seed=seed + 1),
        foot=Foot.LF,
        sighting=sighting,
        card_plane=CardPlane.MID_LINE,
        card_stands_on=CardStand.FLOOR if card else CardStand.UNKNOWN,
        focal_35mm=lens.focal_35mm,
    )


def laid(alignment: Alignment, then: Shot, now: Shot) -> tuple[dict[str, np.ndarray], dict[str, np.ndarray]]:
    """Marks of both photos in the common frame."""
    both = []
    for matrix, shot in ((alignment.then_to_mm, then), (alignment.now_to_mm, now)):
        both.append({n: np.array(matrix) @ [m.x, m.y, 1.0] for n, m in shot.marking.marks.items()})
    return both[0], both[1]


def aligned(then: Shot, now: Shot, **sets: list[Shot]) -> Alignment:
    found = align(then, now, **sets)
    assert isinstance(found, Alignment), found
    return found


def is_similarity(matrix: object) -> bool:
    linear = np.array(matrix)[:, :2]
    size = np.sqrt(np.linalg.det(linear))
    return bool(np.allclose(linear.T @ linear, size**2 * np.eye(2), atol=1e-12))


TRUE_CHANGE = float(
    np.linalg.norm(np.subtract(THEN["toe_ground"], THEN["toe_hairline"]))
    - np.linalg.norm(np.subtract(NOW["toe_ground"], NOW["toe_hairline"]))
)


def pairs(then_card: bool, now_card: bool, trials: int = 24) -> Iterator[tuple[Alignment, dict, dict]]:
    """Alignments of random pairs of photos, each drawn twice with opposite errors, and the marks laid together."""
    for seed in range(trials):
        for sign in (1.0, -1.0):
            then = standing(THEN, 10 * seed, card=then_card, pixel=0.5, sign=sign)
            now = standing(NOW, 10 * seed + 5, card=now_card, pixel=0.5, sign=sign)
            alignment = aligned(then, now)
            yield alignment, *laid(alignment, then, now)


def toe_length(marks: dict[str, np.ndarray]) -> float:
    return float(np.linalg.norm(marks["toe_ground"] - marks["toe_hairline"]))


@pytest.mark.parametrize(("cards", "way"), [((True, True), "card plane"), ((True, False), "hairline")])
def test_a_true_change_is_seen_whole(cards: tuple[bool, bool], way: str) -> None:
    """97-103 % of a true change of toe length (10 mm) is seen, and what did not change stays."""
    shown, still, moves = [], [], []
    for alignment, before, after in pairs(*cards):
        assert alignment.way == way and alignment.placed_by == "toe_hairline"
        shown.append(toe_length(before) - toe_length(after))
        still.append(
            np.linalg.norm(before["heel_hairline"] - before["toe_hairline"])
            - np.linalg.norm(after["heel_hairline"] - after["toe_hairline"])
        )
        moves.append(after["toe_ground"] - before["toe_ground"])
    assert np.mean(shown) / TRUE_CHANGE == pytest.approx(1.0, abs=0.03)
    assert np.mean(still) == pytest.approx(0.0, abs=0.3)
    across, down = np.mean(moves, axis=0)
    # the toe's lower end went 6.46 mm to the heel; on the floor it stays at its height, against the hairline it rose
    assert across == pytest.approx(6.46, abs=0.4)
    assert down == pytest.approx(0.0 if way == "card plane" else -7.63, abs=0.4)


def test_both_stand_on_the_floor() -> None:
    for alignment, before, after in pairs(True, True, trials=4):
        assert alignment.on_floor
        for marks in (before, after):  # the card's own lean and roll reach the foot: some millimetres at 170 mm
            assert marks["toe_ground"][1] == pytest.approx(0.0, abs=5.0)


def test_only_move_turn_and_scale() -> None:
    for then, now in (
        (standing(THEN, 3), standing(NOW, 4)),
        (standing(THEN, 3), standing(NOW, 4, card=False)),
        (standing(THEN, 3, card=False), standing(NOW, 4, card=False)),
    ):
        alignment = aligned(then, now)
        assert is_similarity(alignment.then_to_mm) and is_similarity(alignment.now_to_mm)


def test_without_any_scale_it_is_not_to_scale() -> None:
    then, now = standing(THEN, 3, card=False), standing(NOW, 4, card=False)
    alignment = aligned(then, now)
    assert (alignment.way, alignment.px_per_mm_then, alignment.px_per_mm_now) == ("hairline", None, None)
    bare = replace(now, marking=Marking({}))
    alignment = aligned(then, bare)
    assert (alignment.way, alignment.px_per_mm_now, alignment.placed_by) == ("none", None, "")


def test_a_ruler_gives_scale_to_a_photo_without_a_card() -> None:
    then, now = standing(THEN, 1), standing(THEN, 1, card=False)
    a, b = (now.marking.marks[name] for name in ("toe_ground", "toe_hairline"))
    now = replace(now, ruler=Ruler((a.x, a.y), (b.x, b.y), photos.WORKED["toe_length"]))
    alignment = aligned(then, now)
    assert alignment.px_per_mm_now == pytest.approx(alignment.px_per_mm_then, rel=0.02)


def test_photos_that_cannot_be_compared_are_refused() -> None:
    then = standing(THEN, 3)
    for now, code in (
        (replace(then, view=View.DORSAL), "different_views"),
        (replace(then, foot=Foot.RF), "different_feet"),
        (standing({name: (-x, y, z) for name, (x, y, z) in THEN.items()}, 5), "toe_points_other_way"),
    ):
        refusal = align(then, now)
        assert isinstance(refusal, Refusal) and refusal.code == code
    whole = replace(then, view=View.WHOLE)
    refusal = align(whole, whole)
    assert isinstance(refusal, Refusal) and refusal.code == "view_not_compared"


OUTLINE = {
    "toe_tip": (118.0, 0.0, -4.0),
    "heel_medial": (0.0, -29.0, -4.0),
    "heel_lateral": (0.0, 29.0, -4.0),
    "widest_medial": (56.0, -60.0, -4.0),
    "widest_lateral": (56.0, 60.0, -4.0),
    "frog_base_medial": (5.0, -17.0, -2.0),
    "frog_base_lateral": (5.0, 17.0, -2.0),
}


def soles(seed: int, wider: float) -> list[Shot]:
    random = np.random.default_rng(seed)
    outline = OUTLINE | {
        "widest_medial": (56.0, -60.0 - wider / 2.0, -4.0),
        "widest_lateral": (56.0, 60.0 + wider / 2.0, -4.0),
    }
    session = Session(
        turns=tuple(np.array([-25.0, 0.0, 25.0]) + random.normal(0.0, 2.0, 3)),
        distance=random.uniform(360.0, 440.0),
        placing=0.7,
        corner=0.04,
        card_at=(random.uniform(-45.0, -35.0), random.normal(0.0, 4.0), random.normal(-4.0, 3.0)),
        card_turn=tuple(random.normal(0.0, [0.06, 0.06, 0.2])),
        seed=seed,
    )
    return take(Hoof(more=outline), session)[0]


@pytest.mark.parametrize(("by_set", "bound"), [(True, 0.03), (False, 0.18)])
def test_a_sole_is_compared_by_its_plane_and_never_by_its_outline(by_set: bool, bound: float) -> None:
    """The foot 5 mm wider: seen whole by the sets' solved plane; by one photo's card as near as the card is to it."""
    changes = []
    for seed in range(10):
        then, now = soles(2 * seed, 0.0), soles(2 * seed + 1, 5.0)
        sets = {"then_set": then, "now_set": now} if by_set else {}
        alignment = aligned(then[1], now[1], **sets)
        assert (alignment.way, alignment.placed_by) == ("card plane", "frog_apex")
        assert is_similarity(alignment.now_to_mm)
        before, after = laid(alignment, then[1], now[1])
        assert before["frog_apex"] == pytest.approx([0.0, 0.0], abs=1e-9)
        assert before["toe_tip"][1] < 0.0 and abs(before["toe_tip"][0]) < 1.5  # the toe is up
        widths = [np.linalg.norm(e["widest_lateral"] - e["widest_medial"]) for e in (before, after)]
        changes.append(widths[1] - widths[0])
    assert np.mean(changes) / 5.0 == pytest.approx(1.0, abs=bound)


def test_many_photos_lie_in_one_frame_as_each_lies_over_the_first() -> None:
    """Five visits laid together show what each pair alone shows: every toe lies where the pair says, within 0.01 mm."""
    shots = [standing(THEN if seed < 33 else NOW, seed) for seed in (31, 32, 33, 34)]
    shots.append(standing(NOW, 35, card=False))
    together = lay_together(shots)
    assert isinstance(together, Together) and together.to_scale and not together.left_out
    assert together.ways[shots[-1].key] == "hairline"
    reference = next(shot for shot in shots if shot.key == together.reference)
    for shot in shots:
        assert is_similarity(together.to_mm[shot.key])
        before, after = laid(aligned(reference, shot), reference, shot)
        mark = shot.marking.marks["toe_ground"]
        here = np.array(together.to_mm[shot.key]) @ [mark.x, mark.y, 1.0]
        ours = reference.marking.marks["toe_ground"]
        there = np.array(together.to_mm[reference.key]) @ [ours.x, ours.y, 1.0]
        np.testing.assert_allclose(here - there, after["toe_ground"] - before["toe_ground"], atol=0.01)


def test_what_cannot_be_laid_is_left_out_with_its_reason() -> None:
    shots = [standing(THEN, 31), standing(NOW, 32), standing(NOW, 33, card=False)]
    shots[2] = replace(shots[2], marking=Marking({}))
    inside = replace(standing(NOW, 34), from_inside=True)
    together = lay_together([*shots, inside])
    assert isinstance(together, Together)
    assert {key: refusal.code for key, refusal in together.left_out.items()} == {
        shots[2].key: "cannot_be_laid",
        inside.key: "toe_points_other_way",
    }
    assert isinstance(lay_together([]), Refusal)
    lone = lay_together([replace(shots[2], key="a"), replace(shots[2], key="b")])
    assert isinstance(lone, Refusal) and lone.code == "cannot_be_laid"


def test_soles_lie_together_by_the_planes_of_their_sets() -> None:
    sets = [soles(seed, wider) for seed, wider in ((41, 0.0), (42, 5.0), (43, 5.0))]
    middles = [replace(each[1], key=f"visit {i}") for i, each in enumerate(sets)]
    whole = {m.key: [each[0], m, each[2]] for m, each in zip(middles, sets, strict=True)}
    together = lay_together(middles, whole)
    assert isinstance(together, Together)
    widths = []
    for shot in middles:
        ends = [shot.marking.marks[f"widest_{side}"] for side in ("medial", "lateral")]
        one, other = (np.array(together.to_mm[shot.key]) @ [mark.x, mark.y, 1.0] for mark in ends)
        widths.append(float(np.linalg.norm(one - other)))
    assert np.mean(widths[1:]) - widths[0] == pytest.approx(5.0, abs=1.0)


@pytest.mark.parametrize("card", [True, False])
def test_a_photo_laid_by_itself_is_a_photo_laid_over_itself(card: bool) -> None:
    shot = standing(THEN, 3, card=card)
    assert own_frame(shot) == align(shot, shot)
