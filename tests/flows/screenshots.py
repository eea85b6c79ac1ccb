"""Pictures of the real window on the sample book, for README: `python -m tests.flows.screenshots`.

Every place at 1440 x 900 in the light and the dark look, and at 960 x 540 logical pixels. The sample book is made in a
temporary folder first (a minute or two) unless `--book` names one. Without a display Qt's offscreen platform draws.
"""

from __future__ import annotations

import argparse
import os
import sys
import tempfile
from collections.abc import Iterator
from dataclasses import dataclass
from io import BytesIO
from pathlib import Path

if not os.environ.get("DISPLAY"):
    os.environ["QT_QPA_PLATFORM"] = "offscreen"
os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")

from PIL import Image
from PySide6.QtCore import QBuffer, QByteArray, QEventLoop, QIODevice, QTimer

from hoofbook.desktop.app import Shell, make_application, make_state
from hoofbook.housekeeping.settings import Settings
from hoofbook.terms.feet import Foot
from hoofbook.terms.views import Moment, View

OUT = Path(__file__).parents[2] / "resources" / "screenshots"
LOOKS = (("light", 1440, 900, "light"), ("dark", 1440, 900, "dark"), ("small", 960, 540, "light"))
COLOURS = 256


@dataclass(frozen=True)
class Stop:
    """One picture: its name, the place and where in it."""

    name: str
    place: str
    where: dict[str, str]


def wait(milliseconds: int) -> None:
    loop = QEventLoop()
    QTimer.singleShot(milliseconds, loop.quit)
    loop.exec()


def settle(shell: Shell) -> None:
    """Until nothing is read or drawn any more."""
    quiet = 0
    for _ in range(1500):
        wait(20)
        quiet = 0 if shell.state.background.busy else quiet + 1
        if quiet > 12:
            return
    raise SystemExit("the window did not come to rest")


def save(shell: Shell, name: str, out: Path) -> None:
    """The window as it stands, as a PNG with few colours so that the repository stays light."""
    data = QByteArray()
    buffer = QBuffer(data)
    buffer.open(QIODevice.OpenModeFlag.WriteOnly)
    shell.window.grab().save(buffer, "PNG")
    with Image.open(BytesIO(data.data())) as picture:
        few = picture.convert("RGB").quantize(COLOURS, method=Image.Quantize.MEDIANCUT, dither=Image.Dither.NONE)
        few.save(out / f"{name}.png", optimize=True)
    print(out / f"{name}.png")


def stops(shell: Shell) -> Iterator[Stop]:
    """The places, with the newest photos of the left fore on the Bench."""
    book = shell.state.open_book
    assert book is not None
    horse = book.horse_named("Larkspur")
    photos = [photo for photo in book.book.photos(horse.key) if photo.foot is Foot.LF and not photo.remarks]
    after = [photo for photo in photos if photo.moment is Moment.AFTER_TRIM and not photo.picture_only]
    newest = {
        view: max((p for p in after if p.view is view), key=lambda p: (p.local_time[:10], p.given_name))
        for view in (View.LATERAL, View.SOLAR)
    }
    last = newest[View.SOLAR].visit
    yield Stop("horse-card", "horse_card", {})
    yield Stop("visits", "visit", {})
    yield Stop("visit", "visit", {"visit": str(last)})
    yield Stop("bench-side", "bench", {"photo": str(newest[View.LATERAL].key)})
    yield Stop("bench-sole", "bench", {"photo": str(newest[View.SOLAR].key)})
    yield Stop("then-and-now", "then_and_now", {"foot": "LF", "view": "solar"})
    yield Stop("cycle-by-cycle", "cycle_by_cycle", {"foot": "LF"})
    yield Stop("photo-tray", "photo_tray", {})
    yield Stop("how-measured", "how_measured", {})


def take(book: Path, out: Path, only: str) -> None:
    make_application()
    for look, width, height, theme in LOOKS:
        if only and only not in (look, "all"):
            continue
        shell = Shell(make_state(Settings(theme=theme)))
        shell.window.resize(width, height)
        shell.window.show_first_start()
        shell.window.show()
        settle(shell)
        shell.window.makers.first_start(shell.window).show_own_folder(Path("/home/you/Documents/Hoofbook"))
        settle(shell)
        save(shell, f"first-start-{look}", out)
        shell.open_folder(book, "Larkspur")
        settle(shell)
        if look == "small":
            shell.window.open_drawer()
            settle(shell)
            save(shell, f"horses-{look}", out)
            shell.window.close_drawer()
        for stop in stops(shell):
            shell.window.go(stop.place, stop.where)
            settle(shell)
            save(shell, f"{stop.name}-{look}", out)
        shell.window.close()
        shell.close()


def main() -> int:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--book", type=Path, help="a sample book that is there already")
    parser.add_argument("--out", type=Path, default=OUT, help="folder of the pictures")
    parser.add_argument("--only", default="", help="light, dark or small")
    asked = parser.parse_args()
    asked.out.mkdir(parents=True, exist_ok=True)
    with tempfile.TemporaryDirectory(ignore_cleanup_errors=True) as folder:
        os.environ["HOOFBOOK_HOME"] = str(Path(folder) / "home")
        book = asked.book
        if book is None:
            from hoofbook.casework.demo import make_sample_book

            book = Path(folder) / "Sample book"
            for step in make_sample_book(book):
                print(f"\r{step.done} of {step.total}", end="", file=sys.stderr)
        take(book, asked.out, asked.only)
    return 0


if __name__ == "__main__":
    sys.exit(main())
