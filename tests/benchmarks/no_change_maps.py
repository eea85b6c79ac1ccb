"""Pairs of maps of one sole that did not change: how often the difference stays wholly grey.

    python -m tests.benchmarks.no_change_maps [--pairs 100]

Each pair is one made-up textured sole photographed twice, three photos each, at a ninth of 12 MP
(`tests/measure/concavity/rephotographed.py`): new places, lens figures, light, noise and marks placed anew, all seeded.
The band of the difference promises 95 in 100; asked for: at least 90 in 100. Printed beside the share is its 95 %
interval by Clopper and Pearson (Biometrika 26, 1934), and how the differences stand to their stated uncertainty.
Exit code 1 where it is missed.
"""

from __future__ import annotations

import argparse
import os
import sys
from collections.abc import Generator
from concurrent.futures import ProcessPoolExecutor
from pathlib import Path
from typing import Any

os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")
sys.path.insert(0, str(Path(__file__).resolve().parents[2]))

import numpy as np
from scipy.stats import beta

from hoofbook.casework.sole_shape import sole_shape
from hoofbook.measure.concavity.map_change import map_change
from hoofbook.terms.sole_shape import SoleShape
from tests.measure.concavity.rephotographed import Sole, photographed

LEAST_SHARE = 0.90
LEVEL = 0.95


def done(work: Generator[Any, None, Any]) -> Any:
    while True:
        try:
            next(work)
        except StopIteration as end:
            return end.value


def map_of(sole: Sole, seed: int) -> SoleShape:
    found = done(sole_shape(*photographed(sole, seed)))
    assert isinstance(found, tuple), found
    shape: SoleShape = found[0]
    return shape


def pair(seed: int) -> tuple[bool, float, float]:
    """Whether anything is coloured, the root mean square of change over u, and the median u of the change in mm."""
    sole = Sole.drawn(seed)
    change = map_change(map_of(sole, 2 * seed + 10_000), map_of(sole, 2 * seed + 10_001))
    told = change.change / change.u
    return bool(change.beyond.any()), float(np.sqrt(np.nanmean(told**2))), float(np.nanmedian(change.u))


def interval(grey: int, pairs: int) -> tuple[float, float]:
    """Clopper and Pearson's exact interval of a share."""
    rest = (1.0 - LEVEL) / 2.0
    low = float(beta.ppf(rest, grey, pairs - grey + 1)) if grey else 0.0
    high = float(beta.ppf(1.0 - rest, grey + 1, pairs - grey)) if grey < pairs else 1.0
    return low, high


def main() -> int:
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0] if __doc__ else "")
    parser.add_argument("--pairs", type=int, default=100)
    pairs = parser.parse_args().pairs
    with ProcessPoolExecutor(2) as workers:
        found = list(workers.map(pair, range(pairs)))
    grey = sum(not coloured for coloured, _, _ in found)
    low, high = interval(grey, pairs)
    print(f"wholly grey: {grey} of {pairs} ({grey / pairs:.2f}; 95 % interval {low:.3f} to {high:.3f})")
    print(f"change over its stated u, root mean square: {np.mean([each[1] for each in found]):.2f}")
    print(f"u of the change, median: {np.mean([each[2] for each in found]):.2f} mm")
    met = grey >= LEAST_SHARE * pairs
    print("All asked for is met." if met else f"Missed: {LEAST_SHARE:.0%} asked for.")
    return 0 if met else 1


if __name__ == "__main__":
    sys.exit(main())
