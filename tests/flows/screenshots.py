"""Pictures of the real window on the sample book, for README: `python -m tests.flows.screenshots`.

Every place at 1440 x 900 in the light and the dark look, and at 960 x 540 logical pixels. The sample book is made in a
temporary folder first (a minute or two) unless `--book` names one. Without a display Qt's offscreen platform draws.
"""

from __future__ import annotations

import argparse
import os
import sys
import tempfile
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from io import BytesIO
from pathlib import Path
from typing import Any

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
    then: tuple[Callable[[Any], object], ...] = ()  # what is pressed there before the picture


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
    yield Stop("whole-sole", "sole_map", {"foot": "LF"}, (make_map, shows("depth")))
    yield Stop("whole-sole-lamp", "sole_map", {"foot": "LF"}, (shows("lamp"),))
    yield Stop("whole-sole-change", "sole_map", {"foot": "LF"}, (make_other_map, shows("change")))
    yield Stop("mark-again", "mark_again", {"photo": str(newest[View.LATERAL].key)})
    yield Stop("papers-owner", "papers", {"paper": "owner"})
    yield Stop("papers-vet", "papers", {"paper": "vet"}, (lambda place: place.pages["vet"].look_at_pages(),))
    yield Stop("papers-handover", "papers", {"paper": "handover"})
    yield Stop("papers-made", "papers", {"paper": "made"})
    yield Stop("hide-parts", "hide_parts", {"photo": str(newest[View.LATERAL].key)})
    yield Stop("photo-tray", "photo_tray", {})
    yield Stop("photo-guide", "photo_guide", {})
    yield Stop("scale-card", "scale_card", {})
    yield Stop("how-measured", "how_measured", {})


def make_map(place: Any) -> None:
    if place.sheet is None or place.sheet.now is None:
        place.start()


def make_other_map(place: Any) -> None:
    if place.sheet.then is None:
        place.start()


def shows(view: str) -> Callable[[Any], object]:
    return lambda place: place.views.press(place.views.cell(view))


def sample_papers(book: Path, out: Path) -> None:
    """The papers of the sample horse as pictures."""
    from hoofbook.casework.open_book import open_book
    from hoofbook.casework.owner_facts import OwnerWishes, read_owner_facts
    from hoofbook.casework.papers import owner_picture_bytes, owner_sheet_pages
    from hoofbook.casework.vet_case import VetWishes, vet_case_pages

    opened = open_book(book)
    try:
        horse = str(opened.horse_named("Larkspur").key)
        wishes = OwnerWishes(advice=("pick out", "call"))
        facts = read_owner_facts(opened, horse, wishes)
        case, _again = vet_case_pages(opened, horse, VetWishes("May the pads come off at the next shoeing?"))
        made = {
            "paper-owner-picture": owner_picture_bytes(opened, facts, wishes, ".png"),
            "paper-owner-sheet": owner_sheet_pages(opened, facts, wishes)[0],
            "paper-vet-case-1": case[0],
            "paper-vet-case-3": case[2],
        }
    finally:
        opened.close()
    for name, data in made.items():
        with Image.open(BytesIO(data)) as picture:
            small = picture.convert("RGB")
            small.thumbnail((1100, 1100))
            few = small.quantize(COLOURS, method=Image.Quantize.MEDIANCUT, dither=Image.Dither.NONE)
            few.save(out / f"{name}.png", optimize=True)
        print(out / f"{name}.png")


def take(book: Path, out: Path, only: str) -> None:
    make_application()
    for look, width, height, theme in LOOKS:
        if only and only not in (look, "all"):
            continue
        shell = Shell(make_state(Settings(theme=theme, person="Demo Farrier")))
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
            for press in stop.then:
                press(shell.window.makers.place(stop.place))
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
        if not asked.only:
            sample_papers(book, asked.out)
        take(book, asked.out, asked.only)
    return 0


if __name__ == "__main__":
    sys.exit(main())
