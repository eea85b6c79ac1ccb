"""Error and coverage of sole concavity over random sets: `python -m tests.measure.concavity.study [trials] [row ...]`.

Everything a user cannot know is drawn: lens, principal point, distortion, the print's size, where the card lies and
how, the shape, where the photos were taken, corners and placing. The program is told only what a user would tell.
Rows with their reference figures are those of the method's simulation study (12 MP, frog apex, from the sole edge).
"""

from __future__ import annotations

import sys
import time
from dataclasses import dataclass

import numpy as np

from hoofbook.measure.concavity import measure_set
from hoofbook.terms.quantity import Quantity
from tests.measure.concavity.made_sets import Hoof, Session, take, truth

APEX = "sole_concavity_at_frog_apex"


@dataclass(frozen=True)
class Row:
    """`turn` degrees between neighbouring photos; `rms` and `within` (95 %) in mm as the reference study has them."""

    photos: int
    turn: float
    placing: float
    rms: float | None = None
    within: float | None = None


ROWS = {
    "2 photos 15": Row(2, 15.0, 1.0, 0.76, 1.4),
    "3 photos 25": Row(3, 25.0, 1.0, 0.33, 0.67),
    "3 photos 35": Row(3, 35.0, 1.0, 0.23, 0.46),
    "4 photos 35": Row(4, 35.0, 1.0, 0.21, 0.39),
    "5 photos 35": Row(5, 35.0, 1.0, 0.18, 0.33),
    "3 photos 25, 2 px": Row(3, 25.0, 2.0),
}


def drawn(row: Row, seed: int) -> tuple[Hoof, Session]:
    """One random foot and how it was photographed."""
    random = np.random.default_rng([row.photos, int(row.turn), seed])
    hoof = Hoof(
        length=random.uniform(108.0, 128.0),
        half_width=random.uniform(54.0, 66.0),
        wall=random.uniform(1.0, 5.0),
        concavity=random.uniform(1.0, 14.0),
        lean=tuple(random.normal(0.0, 0.04, 2)),
    )
    spread = min(row.turn, 70.0 / max(row.photos - 1, 1)) if row.photos > 3 else row.turn
    turns = (np.arange(row.photos) - (row.photos - 1) / 2.0) * spread + random.normal(0.0, 1.5, row.photos)
    session = Session(
        turns=tuple(turns),
        tilts=tuple(random.normal(3.0, 4.0, row.photos)),
        distance=random.uniform(380.0, 460.0),
        focal_told=random.normal(1.0, 0.03),
        centre=tuple(random.normal(0.0, 0.01, 2)),
        k1=random.normal(0.0, 0.03),
        placing=row.placing,
        told_placing=row.placing,
        corner=0.05,
        corner_told=0.05,
        print_size=tuple(random.normal(1.0, 0.005, 2)),
        print_told=None,
        card_at=(random.normal(-40.0, 5.0), random.normal(0.0, 8.0), random.normal(-3.0, 5.0)),
        card_turn=tuple(random.normal(0.0, [0.08, 0.08, 0.15])),
        mirror=bool(random.integers(2)),
        seed=seed,
    )
    return hoof, session


def trial(row: Row, seed: int) -> tuple[Quantity, float] | None:
    """The apex from the sole edge in one random set and its truth; None where it was refused."""
    shots, points = take(*drawn(row, seed))
    quantity = measure_set(shots).quantity(APEX, "from_sole_edge")
    return None if quantity is None else (quantity, truth(points, "sole_edge"))


def errors(row: Row, trials: int) -> tuple[np.ndarray, np.ndarray, int]:
    """Errors, standard uncertainties, and how often it was refused."""
    found = [trial(row, seed) for seed in range(trials)]
    kept = [each for each in found if each is not None]
    error = np.array([quantity.value - true for quantity, true in kept])
    return error, np.array([quantity.u for quantity, _ in kept]), len(found) - len(kept)


def main() -> None:
    trials = int(sys.argv[1]) if len(sys.argv) > 1 else 200
    wanted = sys.argv[2:] or list(ROWS)
    print(f"{'row':20} {'rms':>6} {'95 %':>6} {'study':>12} {'u':>6} {'covered':>8} {'refused':>8} {'ms':>5}")
    for name in wanted:
        row, start = ROWS[name], time.process_time()
        error, u, refused = errors(row, trials)
        per_set = 1000.0 * (time.process_time() - start) / trials
        inside = float(np.mean(np.abs(error) < 1.96 * u))
        reference = "" if row.rms is None else f"{row.rms:.2f} / {row.within:.2f}"
        rms, within = float(np.sqrt(np.mean(error**2))), float(np.quantile(np.abs(error), 0.95))
        whole = float(np.sqrt(np.mean(u**2)))
        print(
            f"{name:20} {rms:6.3f} {within:6.3f} {reference:>12} {whole:6.3f} {inside:8.3f} {refused:8d} {per_set:5.0f}"
        )


if __name__ == "__main__":
    main()
