"""What one moved mark costs: every measure of a side photo with its ± and drawing, CPU ms in this process.

    python tests/benchmarks/live_measures.py

The card's fit is kept between moves of a mark, as on the Bench; the second row is a photo seen for the first time.
Goal: median 5 ms a move (a third of a frame). Exit code 1 if not.
"""

from __future__ import annotations

import os
import sys
from dataclasses import replace
from itertools import count
from pathlib import Path

os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")
sys.path.insert(0, str(Path(__file__).resolve().parents[2]))

from hoofbook.measure import measure_shot
from hoofbook.terms.feet import Foot
from hoofbook.terms.measured import Shot
from hoofbook.terms.views import CardPlane, CardStand, View
from tests.benchmarks.timing import race
from tests.measure.photos import HOOF, Lens, marking, standing_card

GOAL_MS = 5.0
ROUNDS = 200


def main() -> int:
    lens = Lens((60.0, 150.0, 900.0), k1=-0.03)
    shot = Shot(
        key="photo",
        view=View.LATERAL,
        photo_size=lens.size,
        marking=marking(lens, HOOF),
        foot=Foot.LF,
        sighting=standing_card(lens, noise=0.05, lean=1.0, yaw=2.0),
        card_plane=CardPlane.MID_LINE,
        card_stands_on=CardStand.FLOOR,
        focal_35mm=lens.focal_35mm,
    )
    moves = count()

    def moved() -> object:
        mark = shot.marking.marks["toe_hairline"]
        marks = shot.marking.moved("toe_hairline", mark.x + next(moves) % 7, mark.y)
        return measure_shot(replace(shot, marking=marks))

    def first() -> object:
        return measure_shot(replace(shot, key=f"photo {next(moves)}"))

    times = race({"a mark moved": moved, "a photo seen first": first}, rounds=ROUNDS, warm=3)
    for name, (median, late) in times.items():
        print(f"{name:20s} median {median:6.2f} ms, 95th percentile {late:6.2f} ms")
    held = times["a mark moved"][0] <= GOAL_MS
    print(f"goal {GOAL_MS:.0f} ms a move: {'held' if held else 'NOT HELD'}")
    return 0 if held else 1


if __name__ == "__main__":
    sys.exit(main())
