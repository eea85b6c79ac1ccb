"""Runs every benchmark in turn, each in its own process: `python -m tests.benchmarks [NAME ...]`.

Each prints its rows as ratios to a floor or peer of the same run and ends with 1 where a goal is missed.
"""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

HERE = Path(__file__).resolve().parent
ORDER = (
    "startup",
    "pictures",
    "canvas",
    "live_measures",
    "records",
    "cycles",
    "trends",
    "memory",
    "papers",
    "photo_check",
    "solver",
    "coverage",
    "false_verdicts",
    "sole_sets",
    "whole_sole",
    "dense_drag",
    "no_change_maps",
)


def main(names: list[str]) -> int:
    """Runs the named benchmarks, or all; returns 1 where any of them missed a goal."""
    environment = {**os.environ, "OPENBLAS_NUM_THREADS": "1", "QT_QPA_PLATFORM": "offscreen"}
    missed = []
    for name in names or ORDER:
        print(f"\n## {name}", flush=True)
        run = [sys.executable, "-m", f"tests.benchmarks.{name}"]
        if subprocess.run(run, cwd=HERE.parent.parent, env=environment, check=False).returncode:
            missed.append(name)
    print(f"\n{'All goals met.' if not missed else 'Goals missed in: ' + ', '.join(missed)}")
    return 1 if missed else 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
