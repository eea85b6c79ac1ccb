"""Start-up: `hoofbook --help` against bare Python, the first window against a bare Qt window with the database library.

Each case is a fresh process; cases take turns; CPU time of the child. Run: `python -m tests.benchmarks.startup`.
"""

from __future__ import annotations

import os
import statistics
import subprocess
import sys
import tempfile
from typing import Any

ROUNDS = 9
BARE_WINDOW = (
    "from PySide6.QtWidgets import QApplication, QMainWindow\nimport sqlalchemy.orm\n"
    "a = QApplication([]); w = QMainWindow(); w.resize(1440, 900); w.show(); a.processEvents()"
)
OUR_WINDOW = (
    "from PySide6.QtCore import QTimer\nfrom hoofbook.desktop import app\n"
    "a = app.make_application()\nQTimer.singleShot(0, a.quit)\napp.run(None)"
)
CASES = {
    "bare Python": "pass",
    "hoofbook --help": "import sys\nfrom hoofbook.__main__ import main\nmain(['--help'])",
    "bare Qt window + sqlalchemy.orm": BARE_WINDOW,
    "first window": OUR_WINDOW,
}
ROWS = (
    ("hoofbook --help", "bare Python", 5.0),
    ("first window", "bare Qt window + sqlalchemy.orm", 1.5),
)


def cpu_ms(code: str, home: str) -> float:
    """CPU milliseconds of one fresh interpreter (its children's times, so this works on every system)."""
    environment = {**os.environ, "QT_QPA_PLATFORM": "offscreen", "HOOFBOOK_HOME": home, "OPENBLAS_NUM_THREADS": "1"}
    before = os.times()
    done = subprocess.run([sys.executable, "-c", code], env=environment, capture_output=True, check=False)
    after = os.times()
    if done.returncode:
        raise RuntimeError(done.stderr.decode())
    return 1e3 * (after.children_user + after.children_system - before.children_user - before.children_system)


def measure(rounds: int = ROUNDS) -> dict[str, tuple[float, float]]:
    """Median and 95th percentile of each case."""
    spent: dict[str, list[float]] = {name: [] for name in CASES}
    with tempfile.TemporaryDirectory() as home:
        for turn in range(rounds + 1):
            for name, code in CASES.items():
                took = cpu_ms(code, home)
                if turn:
                    spent[name].append(took)
    return {name: (statistics.median(times), sorted(times)[-1]) for name, times in spent.items()}


def rows() -> list[tuple[Any, ...]]:
    """what, ours ms, reference ms, ratio (median), ratio (95th percentile), goal."""
    got = measure()
    return [
        (what, got[what][0], got[against][0], got[what][0] / got[against][0], got[what][1] / got[against][0], goal)
        for what, against, goal in ROWS
    ]


def main() -> int:
    missed = 0
    for what, ours, reference, ratio, high, goal in rows():
        print(f"{what:34} {ours:8.0f} ms  {reference:8.0f} ms  {ratio:5.2f} x  p95 {high:5.2f} x  goal {goal} x")
        missed += ratio > goal
    return 1 if missed else 0


if __name__ == "__main__":
    sys.exit(main())
