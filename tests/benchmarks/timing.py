"""The shared timer: candidates in turn in one process, so that a busy machine is unkind to all of them alike."""

from __future__ import annotations

import gc
import statistics
import time
from collections.abc import Callable, Mapping


def race(
    candidates: Mapping[str, Callable[[], object]], rounds: int = 9, warm: int = 1
) -> dict[str, tuple[float, float]]:
    """Median and 95th percentile of CPU milliseconds of each candidate over `rounds` interleaved rounds."""
    spent: dict[str, list[float]] = {name: [] for name in candidates}
    for turn in range(rounds + warm):
        for name, run in candidates.items():
            gc.collect()
            start = time.process_time()
            run()
            if turn >= warm:
                spent[name].append((time.process_time() - start) * 1e3)
    return {name: (statistics.median(times), _percentile(times, 0.95)) for name, times in spent.items()}


def _percentile(times: list[float], share: float) -> float:
    ordered = sorted(times)
    return ordered[min(len(ordered) - 1, round(share * (len(ordered) - 1)))]
