"""Sets of marked sole photos: error at the frog apex beside the best that any method could reach.

    python -m tests.benchmarks.sole_sets [--trials 1000]

Two to five photos, 15, 25 and 35 degrees between neighbours (at most 70 in all), marks placed to 1 and 2 px, 12 MP.
Geometry and seeds: `tests/measure/concavity/study.py` (`drawn`). The bound is that of the best linear estimate with
the true spreads (Bayesian Cramer-Rao, van Trees, Detection, Estimation and Modulation Theory I, 1968, section 2.4),
from the derivatives of OpenCV's projection at the truth of every tenth trial; nothing of the program is in it.
Asked for: rms at most 1.10 times the bound in every row with three photos or more, no worse than the reference study
in its rows (or within 1.10 of the bound, where that lies above it for the feet and cameras drawn here), 93-97 % of the
95 % intervals hold the truth. Exit code 1 where one is missed.
"""

from __future__ import annotations

import argparse
import os
import sys
from concurrent.futures import ProcessPoolExecutor
from pathlib import Path

os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")
sys.path.insert(0, str(Path(__file__).resolve().parents[2]))

import cv2
import numpy as np

from tests.measure.concavity.made_sets import Hoof, Session, card_corners, poses, truth
from tests.measure.concavity.study import Row, drawn, trial

PHOTOS, TURNS, PLACING = (2, 3, 4, 5), (15.0, 25.0, 35.0), (1.0, 2.0)
REFERENCE = {(2, 15.0): (0.76, 1.4), (3, 25.0): (0.33, 0.67), (3, 35.0): (0.23, 0.46)}
REFERENCE |= {(4, 35.0): (0.21, 0.39), (5, 35.0): (0.18, 0.33)}
LENS_SPREAD = (0.03, 0.01, 0.01, 0.03)  # ln focal, centre (share of the width), k1: as the trials are drawn
PRINT_SPREAD = 0.005
MOST_OVER_BOUND, LOW, HIGH = 1.10, 0.93, 0.97
EVERY = 10


def seen_with_derivatives(
    points: np.ndarray, pose: tuple[np.ndarray, np.ndarray], session: Session
) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    """Derivatives of the pixels (n, 2) by pose (n, 2, 6), lens (n, 2, 4) and point (n, 2, 3), by OpenCV."""
    width, height = session.size
    matrix = np.array(
        [
            [session.focal, 0.0, (width - 1) / 2 + session.centre[0] * width],
            [0.0, session.focal, (height - 1) / 2 + session.centre[1] * width],
            [0.0, 0.0, 1.0],
        ]
    )
    lens = np.array([session.k1, 0.0, 0.0, 0.0])
    jacobian = cv2.projectPoints(points.reshape(-1, 1, 3), pose[0], pose[1], matrix, lens)[1]
    rows = jacobian.reshape(len(points), 2, -1)
    by_lens = np.stack([session.focal * (rows[:, :, 6] + rows[:, :, 7]), *np.moveaxis(rows[:, :, 8:11], 2, 0)], axis=2)
    turned, _ = cv2.Rodrigues(pose[0])
    return rows[:, :, :6], by_lens, rows[:, :, 3:6] @ turned


def bound(hoof: Hoof, session: Session) -> float:
    """Standard deviation in mm of the best estimate of the frog apex's depth below the sole edge's plane."""
    points = hoof.points()
    names, stack = list(points), np.array(list(points.values()))
    count, photos = len(names), len(session.turns)
    size = 4 + 2 + 6 + 6 * (photos - 1) + 3 * count
    information = np.zeros((size, size))
    spreads = (LENS_SPREAD[0], *(share * session.size[0] for share in LENS_SPREAD[1:3]), LENS_SPREAD[3])
    for number, spread in enumerate((*spreads, PRINT_SPREAD, PRINT_SPREAD)):
        information[number, number] += 1.0 / spread**2
    corners, by_card = _card(session)
    for photo, pose in enumerate(poses(session)):
        for places, spread in ((stack, session.placing), (corners, session.corner)):
            by_pose, by_lens, by_point = seen_with_derivatives(places, pose, session)
            rows = np.zeros((len(places), 2, size))
            rows[:, :, :4] = by_lens
            if photo:  # the first photo's pose is the frame
                rows[:, :, 12 + 6 * (photo - 1) : 18 + 6 * (photo - 1)] = by_pose
            if places is stack:
                for at in range(count):
                    start = 12 + 6 * (photos - 1) + 3 * at
                    rows[at, :, start : start + 3] = by_point[at]
            else:
                rows[:, :, 4:12] = by_point @ by_card
            flat = rows.reshape(-1, size) / spread
            information += flat.T @ flat
    gradient = np.zeros(size)
    gradient[12 + 6 * (photos - 1) :] = _gradient(points)
    return float(np.sqrt(gradient @ np.linalg.solve(information, gradient)))


def _card(session: Session) -> tuple[np.ndarray, np.ndarray]:
    """Card corners (k, 3) in the hoof's frame and their derivatives by print (2), place (3) and turn (3)."""
    nominal = np.array([(x - 56.0, y - 40.0, 0.0) for x, y in card_corners().values()])

    def placed(print_size: np.ndarray, at: np.ndarray, turn: np.ndarray) -> np.ndarray:
        axes = np.array([[0.0, -1.0, 0.0], [1.0, 0.0, 0.0], [0.0, 0.0, 1.0]]) @ cv2.Rodrigues(turn)[0]
        return (nominal * [*print_size, 1.0]) @ axes.T + at

    start = np.array([*session.print_size, *session.card_at, *session.card_turn])
    columns = []
    for number, step in enumerate((1e-5, 1e-5, 1e-3, 1e-3, 1e-3, 1e-5, 1e-5, 1e-5)):
        ends = []
        for sign in (1.0, -1.0):
            moved = start.copy()
            moved[number] += sign * step
            ends.append(placed(moved[:2], moved[2:5], moved[5:]))
        columns.append((ends[0] - ends[1]) / (2.0 * step))
    return placed(start[:2], start[2:5], start[5:]), np.stack(columns, axis=2)


def _gradient(points: dict[str, np.ndarray]) -> np.ndarray:
    """Of the apex's depth by all coordinates, by central differences of numpy's plane fit."""
    found = []
    for name in points:
        for axis in range(3):
            ends = []
            for sign in (1.0, -1.0):
                moved = {key: place.copy() for key, place in points.items()}
                moved[name][axis] += sign * 1e-4
                ends.append(truth(moved, "sole_edge"))
            found.append((ends[0] - ends[1]) / 2e-4)
    return np.array(found)


def row_of(given: tuple[int, float, float, int]) -> tuple[float, float, float, float, int]:
    """rms, 95th percentile, bound (all mm), coverage, refusals of one row."""
    photos, turn, placing, trials = given
    row = Row(photos, turn, placing)
    kept = [found for seed in range(trials) if (found := trial(row, seed)) is not None]
    error = np.array([quantity.value - true for quantity, true in kept])
    inside = np.array([quantity.low <= true <= quantity.high for quantity, true in kept])
    best = np.array([bound(*drawn(row, seed)) for seed in range(0, trials, EVERY)])
    return (
        float(np.sqrt(np.mean(error**2))),
        float(np.quantile(np.abs(error), 0.95)),
        float(np.sqrt(np.mean(best**2))),
        float(inside.mean()),
        trials - len(kept),
    )


def main() -> int:
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0] if __doc__ else "")
    parser.add_argument("--trials", type=int, default=1000)
    trials = parser.parse_args().trials
    rows = [(photos, turn, placing, trials) for photos in PHOTOS for turn in TURNS for placing in PLACING]
    print(
        f"{'photos':>6} {'turn':>5} {'px':>3} {'rms':>6} {'bound':>6} {'ratio':>6} {'95 %':>6} {'covered':>8} {'no':>3}"
    )
    missed = 0
    with ProcessPoolExecutor(2) as workers:
        for (photos, turn, placing, _), found in zip(rows, workers.map(row_of, rows), strict=True):
            rms, within, best, covered, refused = found
            ratio = rms / best
            wrong = (photos >= 3 and ratio > MOST_OVER_BOUND) or not LOW <= covered <= HIGH
            told = REFERENCE.get((photos, turn)) if placing == 1.0 else None
            if told is not None:  # no method beats the bound, and feet and cameras are drawn anew here
                least = MOST_OVER_BOUND * best
                wrong = wrong or rms > max(told[0], least) or within > max(told[1], 1.96 * least)
            missed += wrong
            print(
                f"{photos:6d} {turn:5.0f} {placing:3.0f} {rms:6.3f} {best:6.3f} {ratio:6.3f} {within:6.3f} "
                f"{covered:8.3f} {refused:3d}{'  missed' if wrong else ''}",
                flush=True,
            )
    print("All asked for is met." if not missed else f"{missed} rows missed.")
    return 1 if missed else 0


if __name__ == "__main__":
    sys.exit(main())
