"""Peak memory of the window with a 12 MP pair open in Then and now: Pss of a process of its own.

    QT_QPA_PLATFORM=offscreen python tests/benchmarks/memory.py

Pss counts what is shared with other processes by its share, so it is what this process costs the machine (Linux only).
The pair is opened as the program opens it: window, workers, pyramids, curtain, fade and zoom. Resident memory is told
beside it, since it does not depend on what else runs. Exit code 1 above the goal.
"""

from __future__ import annotations

import argparse
import os
import re
import subprocess
import sys
import tempfile
import threading
import time
from pathlib import Path

GOAL_MB = 400.0
PHOTO = (4032, 3024)
SAMPLE_S = 0.02
CHECKOUT = Path(__file__).resolve().parents[2]


def memory_mb(kind: str = "Pss") -> float:
    """`Pss` or `Rss` of this process now, MB."""
    text = Path("/proc/self/smaps_rollup").read_text(encoding="utf-8")
    found = re.search(rf"^{kind}:\s+(\d+) kB", text, re.MULTILINE)
    assert found is not None
    return int(found.group(1)) / 1024


def make_photo(path: Path, seed: int) -> None:
    """A 12 MP JPEG with structure and grain in every part of it, turned by its tag as a phone writes it."""
    import numpy as np
    from PIL import Image

    rng = np.random.default_rng(seed)
    coarse = rng.integers(40, 220, (24, 32, 3), dtype=np.uint8)
    picture = Image.fromarray(coarse).resize(PHOTO, Image.Resampling.BICUBIC)
    grain = rng.integers(0, 18, (PHOTO[1], PHOTO[0], 1), dtype=np.uint8)
    Image.fromarray((np.asarray(picture) // 2 + 60 + grain).astype(np.uint8)).save(path, "JPEG", quality=90)


def open_pair(folder: Path) -> None:
    """In the process that is measured: the real window, the real workers, a pair of 12 MP photos."""
    os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")
    sys.path.insert(0, str(CHECKOUT))
    peak, stop = [memory_mb()], threading.Event()

    def watch() -> None:
        while not stop.is_set():
            peak.append(max(peak[-1], memory_mb()))
            time.sleep(SAMPLE_S)

    threading.Thread(target=watch, daemon=True).start()
    from PySide6.QtTest import QTest

    from hoofbook.desktop.app import Shell, make_application, make_state
    from hoofbook.housekeeping.settings import Settings

    make_application()
    shell = Shell(make_state(Settings()))
    shell.window.resize(1440, 900)
    shell.window.show()
    QTest.qWait(200)
    bare = peak[-1]
    place = _place(shell, folder)
    while place._state.background.busy:
        QTest.qWait(20)
    _use(place)
    print(f"{bare:.0f} {peak[-1]:.0f} {memory_mb():.0f} {memory_mb('Rss'):.0f} {place.canvas.pyramids[0].sharpness:g}")
    stop.set()
    shell.close()


def _place(shell, folder: Path):
    """Then and now in the window, on two photos of `folder`."""
    import sqlalchemy.orm  # noqa: F401 - what an open book brings along

    from hoofbook.desktop.then_and_now.place import ThenAndNowPlace
    from tests.desktop.then_and_now.pair_stand_in import PairsFromMemory, as_photos

    pairs = PairsFromMemory(folder)
    as_photos(pairs, sorted(folder.glob("pair-*.jpg")), PHOTO)
    state = shell.state
    state.casework.then_and_now = pairs
    state.horse = "larkspur"
    place = ThenAndNowPlace(state)
    shell.window.root.addWidget(place)
    shell.window.root.setCurrentWidget(place)
    place.show_horse("larkspur")
    return place


def _use(place) -> None:
    """Every way of showing, zoom and pan, as a person would."""
    from PySide6.QtTest import QTest

    from hoofbook.desktop.then_and_now.pair_view import Way

    for way in Way:
        place.choose_way(way)
        for factor in (1.5, 3.0, 0.3):
            place.canvas.zoom(factor)
            QTest.qWait(30)
            place.canvas.pan(40, 25)
            place.canvas.set_amount(place.canvas.amount + 0.05)
            QTest.qWait(220)
        place.canvas.fit()


def main() -> int:
    """Make two photos, open them in a process of its own, print its peak."""
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        for number in (1, 2):
            make_photo(folder / f"pair-{number}.jpg", number)
        run = subprocess.run(
            [sys.executable, __file__, "--inside", name],
            check=True,
            capture_output=True,
            text=True,
            env={**os.environ, "OPENBLAS_NUM_THREADS": "1", "HOOFBOOK_HOME": str(folder / "home")},
        )
    bare, peak, after, resident, sharpness = (float(word) for word in run.stdout.split())
    print(f"window without photos {bare:.0f} MB, peak with the pair {peak:.0f} MB, at rest {after:.0f} MB (Pss)")
    print(f"at rest {resident:.0f} MB resident, shared libraries counted in full")
    print(f"both photos at {sharpness:.0%} of their pixels; goal {GOAL_MB:.0f} MB")
    return 1 if peak > GOAL_MB or sharpness < 1 else 0


if __name__ == "__main__":
    parser = argparse.ArgumentParser()
    parser.add_argument("--inside", default="")
    inside = parser.parse_args().inside
    if inside:
        open_pair(Path(inside))
    else:
        sys.exit(main())
