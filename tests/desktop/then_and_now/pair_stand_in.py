"""Pairs without a book: what Then and now asks of casework, answered from memory."""

from __future__ import annotations

from pathlib import Path
from types import SimpleNamespace
from typing import Any

from hoofbook.casework import pictures
from hoofbook.casework.then_and_now import PairSheet, PairSide
from hoofbook.desktop.background import Background
from hoofbook.desktop.state import AppState
from hoofbook.desktop.theme import Theme
from hoofbook.housekeeping.settings import Settings
from hoofbook.terms.drawing import Drawing, Line, Role
from hoofbook.terms.shown import EmptyPlace, PhotoTile, Pick, Tone, VerdictChip
from tests.desktop.bench.stand_in import SIZE, draw_photo

PX_PER_MM = 4.0
DAYS = ("14 Jan", "25 Feb", "16 Apr", "30 Sep")


class PairsFromMemory:
    """Stands for `hoofbook.casework.then_and_now`: four visits, all at 4 px/mm, each 10 mm further to the right."""

    def __init__(self, folder: Path, *, banner: str = "", to_scale: bool = True, view: str = "solar") -> None:
        self.paths = [draw_photo(folder / f"visit-{i}.jpg") for i in range(len(DAYS))]
        self.size = SIZE
        self.banner = banner
        self.to_scale = to_scale
        self.view = view
        self.asked: list[tuple[str, str]] = []
        self.exported: list[tuple[Path, str, float]] = []

    def read_pair(
        self, _book: Any, horse: str, foot: str = "", view: str = "", *, then: str = "", now: str = ""
    ) -> PairSheet:
        feet = Pick("foot", "Foot", ("LF", "RF"), ("Left fore", "Right fore"), foot or "LF")
        views = Pick("view", "View", ("lateral", "solar"), ("Side", "Sole"), view or self.view)
        if horse == "new":
            return PairSheet(
                horse, feet, views, empty=EmptyPlace("Nothing to compare yet", "", "Photos in", "photos_in")
            )
        then, now = then or "0", now or "3"
        self.asked.append((then, now))
        drawing = Drawing(*SIZE, (Line(((300, 450), (900, 450)), Role.MEASURED, 2, edged=True),))
        return PairSheet(
            horse,
            feet,
            views,
            title="Left fore, sole",
            subtitle="after trim, bare · 37 weeks apart",
            then=self._side(int(then)),
            now=self._side(int(now)),
            way="laid over each other by the card: moved, turned and scaled only",
            to_scale=self.to_scale,
            banner=self.banner,
            checks=((True, "same moment: after trim, bare"), (False, "taken from different distances")),
            numbers=(("Sole concavity", "1.4 mm ± 0.7", "4.8 mm ± 0.6", "These two readings alone differ by 3.4 mm."),),
            noise_of=("LF", "sole_concavity_at_frog_apex", "from_sole_edge"),
            chip=VerdictChip("increase shown, as wanted", "Increase shown, as wanted", Tone.WANTED, "▲"),
            chip_note="decided over all visits, at reading 7",
            strip=tuple(
                PhotoTile(str(i), path, path, day) for i, (path, day) in enumerate(zip(self.paths, DAYS, strict=True))
            ),
            frame_mm=(-110.0, -80.0, 130.0, 80.0),
            drawings=(drawing, drawing),
        )

    def _side(self, number: int) -> PairSide:
        scale = 1 / PX_PER_MM
        to_mm = (
            (scale, 0.0, -scale * self.size[0] / 2 + 10.0 * number),
            (0.0, scale, -scale * self.size[1] / 2),
        )
        lines = (f"{DAYS[number]} 2025", "left fore · sole · after trim", "sole concavity 1.4 mm ± 0.7")
        path = self.paths[number]
        return PairSide(str(number), path, path, to_mm, *self.size, lines, "", f"2025-0{number + 1}-14")

    def export_pair(self, _book: Any, _sheet: PairSheet, out: Path, layout: str, at: float = 0.5) -> Path:
        self.exported.append((out, layout, at))
        return out


def as_photos(pairs: PairsFromMemory, paths: list[Path], size: tuple[int, int]) -> None:
    """Let these files stand for the visits, in turn."""
    pairs.paths = [paths[i % len(paths)] for i in range(len(DAYS))]
    pairs.size = size


def make_pair_state(pairs: PairsFromMemory) -> AppState:
    casework = SimpleNamespace(then_and_now=pairs, pictures=pictures)
    book = SimpleNamespace(read_only=False)
    return AppState(Background(), Theme(), Settings(), book, casework=casework)  # type: ignore[arg-type]
