"""What the Bench says when marks are missing, and when marks are there that make no foot."""

from __future__ import annotations

from hoofbook.casework.bench_live import Live, live_of
from hoofbook.measure import measure_shot
from hoofbook.terms.feet import Foot
from hoofbook.terms.marks import Mark, Marking
from hoofbook.terms.measured import Measured, Ruler, Shot
from hoofbook.terms.refusal import Refusal
from hoofbook.terms.views import View

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
