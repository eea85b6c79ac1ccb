"""A horse's photos without a book: what the Bench asks of casework, answered from memory."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from pathlib import Path
from types import SimpleNamespace

from PySide6.QtGui import QColor, QImage, QPainter, QPen

from hoofbook.casework import pictures
from hoofbook.casework.bench import BenchPhoto, BenchSheet, mark_lines
from hoofbook.casework.bench_live import FarMark, Live
from hoofbook.desktop.background import Background
from hoofbook.desktop.state import AppState
from hoofbook.desktop.theme import Theme
from hoofbook.housekeeping.settings import Settings
from hoofbook.terms.drawing import Drawing, Line, Role
from hoofbook.terms.marks import Mark, Marking, MarkState
from hoofbook.terms.shown import MeasureLine, PhotoTile, Section
from hoofbook.terms.views import View

SIZE = (1200, 900)
FAR_BELOW = 700.0  # a mark of a set placed lower than that is said not to fit


def draw_photo(path: Path, size: tuple[int, int] = SIZE) -> Path:
    """A picture with a pale hoof shape on dark ground."""
    image = QImage(*size, QImage.Format.Format_RGB32)
    image.fill(QColor(70, 62, 54))
    painter = QPainter(image)
    painter.setPen(QPen(QColor(230, 220, 200), 8))
    painter.setBrush(QColor(190, 170, 140))
    painter.drawEllipse(size[0] // 4, size[1] // 4, size[0] // 2, size[1] // 2)
    painter.end()
    image.save(str(path), "JPEG", 90)
    return path


class BenchFromMemory:
    """Stands for `hoofbook.casework.bench`: photos by key, passes in a list, live measures from the marks' count."""

    def __init__(self, photos: Mapping[str, BenchPhoto]) -> None:
        self.photos = dict(photos)
        self.passes: list[tuple[str, Marking]] = []
        self.proposed: list[str] = []

    def read_bench(self, _book: object, horse: str, photo: str = "") -> BenchSheet:
        tiles = tuple(PhotoTile(p.key, p.original, p.original, p.title, "not marked") for p in self.photos.values())
        key = photo or next(iter(self.photos))
        return BenchSheet(horse, tiles, self.photos[key], None, "0 of 1 photos of this visit marked")

    def start_live(self, _book: object, photo: str) -> SimpleNamespace:
        keys = self.photos[photo].set_keys
        return SimpleNamespace(
            keys=keys,
            measure=self._measure,
            next_brings=self._next_brings,
            lines_in=self._lines_in,
            places=self._places,
        )

    def _places(self, _markings: Mapping[str, Marking]) -> Section:
        return Section("Where the photos were taken from", ("Good enough: three photos.",))

    def _lines_in(self, photo: str, markings: Mapping[str, Marking]) -> dict[str, tuple[tuple[float, float], ...]]:
        """A level line through the place where another photo of the set has its mark."""
        found = {}
        for key, marking in markings.items():
            for name, mark in marking.confirmed.items() if key != photo else ():
                if name not in markings.get(photo, Marking()):
                    found[name] = ((mark.x - 80, mark.y), (mark.x + 80, mark.y))
        return found

    def _next_brings(self, markings: Mapping[str, Marking]) -> str:
        marked = sum(1 for marking in markings.values() if marking.confirmed)
        return f"photo {marked + 1} should bring it to about ± 0.6"

    def _measure(self, markings: Mapping[str, Marking]) -> Live:
        placed = sum(len(marking.confirmed) for marking in markings.values())
        if placed < 4:
            return Live()
        line = MeasureLine("toe_angle", "Toe angle", f"{placed}", "°", "± 0.7", about="toe_angle")
        drawings = {
            key: Drawing(
                *SIZE, (Line(tuple((m.x, m.y) for m in marking.confirmed.values()), Role.MEASURED, 2, edged=True),)
            )
            for key, marking in markings.items()
            if len(marking.confirmed) > 1
        }
        far = tuple(
            FarMark(key, name, f"{name} is 41 px off: look again")
            for key, marking in markings.items()
            for name, mark in marking.confirmed.items()
            if mark.y > FAR_BELOW
        )
        return Live((replace(line, name="heel_angle", label="Heel angle"),), line, drawings, far=far)

    def propose(self, _book: object, photo: str, markings: Mapping[str, Marking]) -> Marking:
        """Where another photo of the set has its mark, 12 px to the right."""
        self.proposed.append(photo)
        found: dict[str, Mark] = dict(markings[photo].marks)
        for key, marking in markings.items():
            for name, mark in marking.confirmed.items() if key != photo else ():
                found.setdefault(name, Mark(mark.x + 12, mark.y, MarkState.PROPOSED))
        return Marking(found)

    def save_pass(self, _book: object, photo: str, marking: Marking, *, zoom: float = 0.0) -> Live:
        self.passes.append((photo, marking))
        known = replace(self.photos[photo], remarks=(f"{len(marking.confirmed)} marks are kept.",))
        self.photos[photo] = known
        return Live()


def side_photo(folder: Path, key: str = "side", *, ghost: Marking | None = None) -> BenchPhoto:
    return _photo(folder, key, View.LATERAL, (key,), ghost or Marking())


def sole_set(folder: Path, keys: tuple[str, ...] = ("one", "two", "three")) -> dict[str, BenchPhoto]:
    return {key: _photo(folder, key, View.SOLAR, keys, Marking()) for key in keys}


def _photo(folder: Path, key: str, view: View, keys: tuple[str, ...], ghost: Marking) -> BenchPhoto:
    path = draw_photo(folder / f"{key}.jpg")
    return BenchPhoto(
        key=key,
        original=path,
        preview=path,
        title="Left fore, side",
        subtitle="after trim, bare · Tue 30 Sep 2025, 10:12",
        view=view.value,
        foot="LF",
        moment="after trim",
        set_keys=keys,
        width=SIZE[0],
        height=SIZE[1],
        lines=mark_lines(view, in_set=len(keys) > 1),
        marking=Marking(),
        ghost=ghost,
        ghost_photo=path if len(ghost) else None,
        card_sentence="Card good: sharp, square, standing on the ground",
        card_good=True,
        card_details="4.6 px/mm · turned 2°",
        remarks=("The card leans a little.",),
        caution="Numbers describe the outside of the hoof in this picture.",
    )


def make_state(bench: BenchFromMemory, *, read_only: bool = False) -> AppState:
    casework = SimpleNamespace(bench=bench, pictures=pictures)
    book = SimpleNamespace(read_only=read_only)
    return AppState(Background(), Theme(), Settings(), book, casework=casework)  # type: ignore[arg-type]
