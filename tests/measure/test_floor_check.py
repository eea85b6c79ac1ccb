"""The check after marking: does the card stand where it was told to, on the floor of the foot?

Photos are drawn through OpenCV's projection with every other error random (`tests/benchmarks/coverage.py`). Asked for:
a card that leans on the near wall (about 60 mm nearer, lens 50 mm up or more) is caught in at least 90 of 100, and at
most 2 of 100 sound photos are flagged.
"""

from __future__ import annotations

import math

import numpy as np
import pytest

from hoofbook.measure import measure_shot
from hoofbook.measure.photo_check import check_marked
from tests.benchmarks.coverage import CASES, Case, draw

TRIALS = 150


def flagged(case: Case, lean_deg: float | None) -> float:
    rng = np.random.default_rng(5)
    hits = 0
    for i in range(TRIALS):
        put = None
        if lean_deg is not None:
            put = {"offset": float(rng.uniform(52, 68)), "lean": math.radians(lean_deg)}
        shot = draw(case, rng, str(i), put, lowest=50.0).shot
        codes = {remark.code for remark in check_marked(shot, measure_shot(shot))}
        hits += "card_and_hoof_not_on_one_floor" in codes
    return hits / TRIALS


@pytest.mark.parametrize("lean_deg", [5.0, 20.0])
@pytest.mark.parametrize("case", CASES[:2], ids=lambda case: case.name)
def test_a_card_leaning_on_the_near_wall_is_caught(case: Case, lean_deg: float) -> None:
    assert flagged(case, lean_deg) >= 0.90


@pytest.mark.parametrize("case", CASES[:3], ids=lambda case: case.name)
def test_sound_photos_are_left_alone(case: Case) -> None:
    assert flagged(case, None) <= 0.02 + 2.0 * math.sqrt(0.02 * 0.98 / TRIALS)
