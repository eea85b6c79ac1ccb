"""What the Bench says when marks are missing, and when marks are there that make no foot."""

from __future__ import annotations

import re
from dataclasses import replace

from hoofbook.casework.bench_live import Live, live_of
from hoofbook.measure import measure_shot
from hoofbook.measure.concavity import measure_set
from hoofbook.terms.feet import Foot
from hoofbook.terms.marks import Mark, Marking
from hoofbook.terms.measured import Measured, Ruler, Shot
from hoofbook.terms.refusal import Refusal
from hoofbook.terms.views import View
from tests.measure.concavity.made_sets import Hoof, Session, take

GOOD = {
    "toe_ground": Mark(300, 1000),
    "toe_hairline": Mark(500, 760),
    "heel_ground": Mark(700, 1000),
    "heel_hairline": Mark(820, 890),
    "ground_a": Mark(200, 1000),
    "ground_b": Mark(900, 1000),
}


def live_with(marks: dict[str, Mark]) -> Live:
    ruler = Ruler((100.0, 1100.0), (500.0, 1100.0), 100.0)
    return live_of(measure_shot(Shot("p", View.LATERAL, (1600, 1200), Marking(marks), Foot.LF, ruler=ruler)))


def test_missing_marks_block_nothing() -> None:
    live = live_with({"toe_ground": Mark(300, 1000)})
    assert live.blocked == "" and live.headline is None


def test_good_marks_block_nothing() -> None:
    live = live_with(GOOD)
    assert live.blocked == "" and live.headline is not None


def test_marks_on_one_spot_give_no_angle_and_say_so() -> None:
    live = live_with({name: Mark(300, 1000) for name in GOOD})
    angles = [line for line in live.lines if line.name.endswith("_angle")]
    assert live.headline is None and len(angles) >= 3
    assert all("Look at each mark again" in line.refusal for line in angles)


def test_why_nothing_was_measured_is_told_in_words() -> None:
    live = live_of(Measured(refusals=(Refusal("measure_not_solved", {}, "toe_angle"),)))
    assert "Look at each mark again" in live.blocked
    missing = live_of(Measured(refusals=(Refusal("marks_missing", {"marks": "toe_hairline"}, "toe_angle"),)))
    assert missing.blocked == ""


def test_a_mark_moved_by_41_px_is_named_with_photo_and_distance_and_the_others_are_not() -> None:
    """The mark is moved by hand after cv2.projectPoints placed it (made_sets); a noise of one pixel is on all."""
    shots, _ = take(Hoof(), Session(turns=(-25.0, 0.0, 25.0), placing=1.0, corner=0.04, seed=3))
    keys = [shot.key for shot in shots]
    assert live_of(measure_set(shots), keys=keys).far == ()
    mark = shots[1].marking.marks["sole_edge_02"]
    moved = shots[1].marking.moved("sole_edge_02", mark.x + 40.0, mark.y + 9.0)
    live = live_of(measure_set([shots[0], replace(shots[1], marking=moved), shots[2]]), keys=keys)
    assert [(far.photo, far.mark) for far in live.far] == [("photo 2", "sole_edge_02")]
    said = re.fullmatch(r"Sole edge 2 in photo 2 is (\d+) px off: look again", live.far[0].words)
    assert said is not None and abs(int(said.group(1)) - 41) <= 5
