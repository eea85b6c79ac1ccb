"""Pairs without a book: what Then and now asks of casework, answered from memory."""

from __future__ import annotations

import time
from collections.abc import Generator
from pathlib import Path
from types import SimpleNamespace
from typing import Any

from hoofbook.casework import pictures
from hoofbook.casework.pair_sheet import BestPair, PairSheet, PairSide, with_measures
from hoofbook.casework.visits_row import RowSheet, with_row_measures
from hoofbook.desktop.background import Background
from hoofbook.desktop.state import AppState
from hoofbook.desktop.theme import Theme
from hoofbook.housekeeping.settings import Settings
from hoofbook.terms.drawing import Drawing, Line, Role
from hoofbook.terms.refusal import Refusal, Refused
from hoofbook.terms.shown import EmptyPlace, PhotoTile, Pick, Step, Tone, VerdictChip
from tests.desktop.bench.stand_in import SIZE, draw_photo

PX_PER_MM = 4.0
DAYS = ("14 Jan", "25 Feb", "16 Apr", "30 Sep")
CONCAVITY, WIDTH, LENGTH = "sole_concavity_at_frog_apex|from_sole_edge", "foot_width|", "foot_length|"
MEASURES = {
    CONCAVITY: ("Sole concavity", "sole concavity 1.4 mm ± 0.7"),
    WIDTH: ("Foot width", "foot width 124 mm ± 2"),
    LENGTH: ("Foot length", "foot length 131 mm ± 2"),
}


class PairsFromMemory:
    """Stands for `hoofbook.casework.then_and_now`: four visits, all at 4 px/mm, each 10 mm further to the right."""

    with_measures = staticmethod(with_measures)
    with_row_measures = staticmethod(with_row_measures)

    def __init__(
        self,
        folder: Path,
        *,
        banner: str = "",
        to_scale: bool = True,
        view: str = "solar",
        covered: tuple[tuple[float, float, float, float], ...] = (),
        whites: tuple[tuple[float, float, float] | None, ...] = ((0.6, 0.6, 0.6), None, None, (0.3, 0.3, 0.3)),
    ) -> None:
        self.paths = [draw_photo(folder / f"visit-{i}.jpg") for i in range(len(DAYS))]
        self.size = SIZE
        self.banner = banner
        self.to_scale = to_scale
        self.view = view
        self.covered = covered
        self.whites = whites
        self.asked: list[tuple[str, str]] = []
        self.exported: list[tuple[Path, str, float]] = []
        self.rows: list[tuple[str, ...]] = []
        self.years: list[str] = []
        self.saved: list[tuple[Path, tuple[str, ...]]] = []
        self.hold_film = False  # keeps the film going until it is stopped
        self.no_year = False

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
        sheet = PairSheet(
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
                PhotoTile(str(i), path, path, day, covered=self.covered)
                for i, (path, day) in enumerate(zip(self.paths, DAYS, strict=True))
            ),
            frame_mm=(-110.0, -80.0, 130.0, 80.0),
            drawings=(drawing, drawing),
            best=(
                BestPair("0", "3", "14 Jan – 30 Sep 2025", "37 weeks apart: same moment, both straight on"),
                BestPair("1", "3", "25 Feb – 30 Sep 2025", "31 weeks apart: same moment; but another light"),
            ),
            pairs=6,
            why="31 weeks apart: same moment",
            measures=self._measures(),
        )
        return with_measures(sheet, (CONCAVITY,))

    def _measures(self) -> Pick:
        labels = tuple(label for label, _ in MEASURES.values())
        return Pick("measures", "Written into the picture", tuple(MEASURES), labels, CONCAVITY, many=True)

    def read_row(self, _book: Any, _horse: str, photos: Any) -> RowSheet:
        self.rows.append(tuple(photos))
        return self._row(tuple(photos))

    def read_year(self, _book: Any, _horse: str, _foot: str, _view: str, *, like: str = "") -> RowSheet:
        if self.no_year:
            raise Refused(Refusal("year_too_short", {}))
        self.years.append(like)
        return self._row(("0", "1", "3"), left=("16 Apr 2025 is not laid over the others. Mark its hairline.",))

    def _row(self, keys: tuple[str, ...], left: tuple[str, ...] = ()) -> RowSheet:
        drawing = Drawing(*SIZE, (Line(((300, 450), (900, 450)), Role.MEASURED, 2, edged=True),))
        sheet = RowSheet(
            "Left fore, sole",
            f"{len(keys)} visits · 37 weeks",
            tuple(self._side(int(key)) for key in keys),
            tuple(True for _ in keys),
            tuple(drawing for _ in keys),
            (-110.0, -80.0, 130.0, 80.0),
            self.to_scale,
            "laid over each other by the card: moved, turned and scaled only",
            banner=self.banner,
            left_out=left,
            measures=self._measures(),
        )
        return with_row_measures(sheet, (CONCAVITY,))

    def export_row(self, sheet: RowSheet, out: Path) -> Path:
        self.saved.append((out, tuple(side.key for side in sheet.sides)))
        return out

    def export_year(self, sheet: RowSheet, out: Path) -> Generator[Step, None, Path]:
        for number in range(100_000 if self.hold_film else len(sheet.sides)):
            yield Step(number, len(sheet.sides), f"Picture {number} of {len(sheet.sides)}")
            time.sleep(0.002)
        return self.export_row(sheet, out)

    def _side(self, number: int) -> PairSide:
        scale = 1 / PX_PER_MM
        to_mm = (
            (scale, 0.0, -scale * self.size[0] / 2 + 10.0 * number),
            (0.0, scale, -scale * self.size[1] / 2),
        )
        lines = (f"{DAYS[number]} 2025", "left fore · sole · after trim")
        path = self.paths[number]
        return PairSide(
            str(number),
            path,
            path,
            to_mm,
            *self.size,
            lines,
            "",
            f"2025-0{number + 1}-14",
            covered=self.covered,
            where_lines=lines,
            values=tuple((key, words) for key, (_, words) in MEASURES.items()),
            white=self.whites[number],
        )

    def export_pair(self, _book: Any, _sheet: PairSheet, out: Path, layout: str, at: float = 0.5) -> Path:
        self.exported.append((out, layout, at))
        return out


def as_photos(pairs: PairsFromMemory, paths: list[Path], size: tuple[int, int]) -> None:
    """Let these files stand for the visits, in turn."""
    pairs.paths = [paths[i % len(paths)] for i in range(len(DAYS))]
    pairs.size = size


def make_pair_state(pairs: PairsFromMemory) -> AppState:
    casework = SimpleNamespace(then_and_now=pairs, visits_row=pairs, row_files=pairs, pictures=pictures)
    book = SimpleNamespace(read_only=False)
    return AppState(Background(), Theme(), Settings(), book, casework=casework)  # type: ignore[arg-type]
