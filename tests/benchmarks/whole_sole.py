"""The whole sole of every sample set against the rendered truth, and what it costs at 12 MP.

Asked for: with true marks the median absolute error over the sole under 0.15 mm and more than 0.85 of it measured in
every set; with marks as a person places them 90-99 % of the 95 % intervals of cells 10 mm apart hold the truth over all
sets and at least 75 % in each; three 12 MP photos (the sample photos at twice their size) in less than 8 s of CPU, and
a peak at most 0.8 GB above that of the imports alone. Exit code 1 where one is missed.
"""

from __future__ import annotations

import os
import sys
import time
from collections.abc import Generator
from dataclasses import replace
from pathlib import Path
from typing import Any

os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")
sys.path.insert(0, str(Path(__file__).resolve().parents[2]))

import cv2
import numpy as np

from hoofbook.casework.sole_shape import sole_shape
from hoofbook.housekeeping.child import in_child
from hoofbook.terms.marks import Mark, Marking
from hoofbook.terms.measured import Shot
from tests.measure.concavity.dense_truth import compared, placed_marks
from tests.measure.concavity.test_sample_sets import SETS, shot_of, true_sighting, truths

LARGE = "larkspur/visit-7/lf-sole-after"
MOST_SECONDS, MOST_BYTES = 8.0, 0.8e9


def doubled(at: tuple[float, float]) -> tuple[float, float]:
    """A place in the photo at twice the size (pixel centres: 0 becomes 0.5)."""
    return 2 * at[0] + 0.5, 2 * at[1] + 0.5


def large_set() -> tuple[tuple[Shot, ...], dict[str, np.ndarray[Any, Any]]]:
    """The sample set enlarged to 12 MP: cost is what counts here, not detail."""
    paths, shots, greys = SETS[LARGE], [], {}
    for path, truth in zip(paths, truths(paths), strict=True):
        shot = shot_of(path, truth, true_sighting(truth), placed_marks(path), 1.0)
        assert shot.sighting is not None
        corners = tuple(
            replace(corner, photo_px=doubled(corner.photo_px), spread_px=2 * corner.spread_px)
            for corner in shot.sighting.corners
        )
        marks = {name: Mark(*doubled((mark.x, mark.y))) for name, mark in shot.marking.marks.items()}
        size = (2 * shot.photo_size[0], 2 * shot.photo_size[1])
        sighting = replace(shot.sighting, corners=corners, photo_size=size)
        shots.append(replace(shot, photo_size=size, marking=Marking(marks), sighting=sighting))
        grey = cv2.imread(str(path).removesuffix(".truth.json") + ".jpg", cv2.IMREAD_GRAYSCALE)
        assert grey is not None
        greys[shot.key] = cv2.resize(grey, None, fx=2, fy=2, interpolation=cv2.INTER_CUBIC)
    return tuple(shots), greys


def cost(work: bool) -> Generator[int, None, tuple[float, float]]:
    """CPU seconds and peak bytes of this process, with the work or with the imports and pictures alone."""
    import resource

    shots, greys = large_set()
    yield 0
    start = time.process_time()
    if work:
        steps = sole_shape(shots, greys)
        try:
            while True:
                next(steps)
        except StopIteration as done:
            assert isinstance(done.value, tuple), done.value
    return time.process_time() - start, resource.getrusage(resource.RUSAGE_SELF).ru_maxrss * 1024.0


def spent(work: bool) -> tuple[float, float]:
    steps = in_child(cost, work)
    try:
        while True:
            next(steps)
    except StopIteration as done:
        found: tuple[float, float] = done.value
        return found


def main() -> int:
    missed, covered = [], []
    print(f"{'set':36} {'median, true marks':>18} {'measured':>9} {'median, placed':>15} {'covered':>8}")
    for name in sorted(SETS):
        true, placed = compared(name, placed=False), compared(name, placed=True)
        median, share = float(np.median(np.abs(true.errors))), true.sole.completeness
        holds = placed.covered()
        covered.append(holds)
        print(
            f"{name:36} {median:15.3f} mm {share:9.3f} {np.median(np.abs(placed.errors)):12.3f} mm {holds.mean():8.2f}",
            flush=True,
        )
        if median >= 0.15 or share <= 0.85 or holds.mean() < 0.75:
            missed.append(name)
    total = float(np.concatenate(covered).mean())
    print(f"all sets: {total:.3f} of the 95 % intervals hold the truth (0.90 to 0.99 asked for)")
    idle, busy = spent(False), spent(True)
    print(
        f"three 12 MP photos: {busy[0]:.1f} s of CPU (8 asked for), peak {(busy[1] - idle[1]) / 1e9:.2f} GB above idle"
    )
    if not 0.90 <= total <= 0.99 or busy[0] > MOST_SECONDS or busy[1] - idle[1] > MOST_BYTES:
        missed.append("all sets or cost")
    print("Missed: " + ", ".join(missed) if missed else "All asked for is met.")
    return 1 if missed else 0


if __name__ == "__main__":
    sys.exit(main())
