"""Sole photos brought into the Photo tray become a set by themselves, and the tray says whether they are enough.

The angles are those of the rendered cameras: 30 and 28 degrees between the three photos (sample_cases truth).
"""

from __future__ import annotations

import json
from datetime import date
from pathlib import Path

import numpy as np
import pytest
from PySide6.QtCore import Qt
from pytestqt.qtbot import QtBot

from hoofbook.casework.horses import HorseForm, add_horse
from hoofbook.casework.open_book import OpenBook
from hoofbook.casework.photo_tray import file_photo
from hoofbook.casework.shots import group_of, is_set
from hoofbook.casework.visit import add_visit
from hoofbook.desktop.background import Background
from hoofbook.desktop.photo_tray.place import PhotoTrayPlace
from hoofbook.desktop.state import AppState
from hoofbook.desktop.theme import Theme
from hoofbook.desktop.widgets.pictures import Pictures
from hoofbook.housekeeping.settings import Settings
from hoofbook.terms.views import View

FOLDER = Path(__file__).parents[2] / "sample_cases" / "larkspur" / "visit-7"
SOLES = [FOLDER / f"lf-sole-after-{number}.jpg" for number in (1, 2, 3)]
LEFT = Qt.MouseButton.LeftButton


@pytest.fixture
def tray(opened_sample: OpenBook, qtbot: QtBot) -> PhotoTrayPlace:
    horse = add_horse(opened_sample, HorseForm("Bramble"))
    add_visit(opened_sample, horse, date(2025, 9, 30))
    background = Background()
    state = AppState(background, Theme(), Settings(), opened_sample)
    place = PhotoTrayPlace(state, Pictures(state))
    place.horse_key = horse  # type: ignore[attr-defined]
    qtbot.addWidget(place, before_close_func=lambda _w: background.close())
    place.resize(960, 540)
    place.show()
    place.show_horse(horse)
    qtbot.waitUntil(lambda: not background.busy, timeout=20_000)
    return place


def sort_all(place: PhotoTrayPlace, qtbot: QtBot) -> None:
    for key in list(place.lines):
        view = place.lines[key]
        if not view.is_unfolded:
            qtbot.mouseClick(view.change, LEFT)
        for field, value in (("foot", "LF"), ("view", View.SOLAR.value), ("moment", "after trim")):
            row = view.rows[field]
            if row.pick.chosen != value:
                qtbot.mouseClick(row.cell(value), LEFT)
                qtbot.waitUntil(lambda: not place._state.background.busy, timeout=20_000)


def bring(place: PhotoTrayPlace, qtbot: QtBot, files: list[Path]) -> None:
    count = len(place.lines)
    place.bring_in(files)
    qtbot.waitUntil(lambda: len(place.lines) >= count + len(files) and not place._state.background.busy, timeout=60_000)


def angle(one: Path, two: Path) -> float:
    """Between the true lenses of two photos, at the frog apex."""
    ways = []
    for path in (one, two):
        truth = json.loads(path.with_suffix(".truth.json").read_text(encoding="utf-8"))
        camera = truth["camera"]
        lens = -np.array(camera["rotation_hoof_to_camera"]).T @ np.array(camera["translation_mm"])
        way = lens - np.array(truth["marks"]["frog_apex"]["mm"])
        ways.append(way / np.linalg.norm(way))
    return float(np.degrees(np.arccos(ways[0] @ ways[1])))


def test_photos_from_three_sides_become_a_set_and_are_judged_at_once(
    tray: PhotoTrayPlace, opened_sample: OpenBook, qtbot: QtBot
) -> None:
    bring(tray, qtbot, SOLES)
    sort_all(tray, qtbot)
    qtbot.waitUntil(lambda: bool(tray.sets), timeout=20_000)
    from uuid import UUID

    photos = opened_sample.book.photos(UUID(tray.horse_key))  # type: ignore[attr-defined]
    assert all(is_set(photo) for photo in photos) and len(group_of(photos[0], photos)) == 3
    said = tray.sets[-1].words.text()
    assert said.startswith("Good enough: three photos, ")
    true = [angle(SOLES[0], SOLES[1]), angle(SOLES[1], SOLES[2])]
    told = [int(word.rstrip("°")) for word in said.split() if word.endswith("°")]
    assert told == pytest.approx(true, abs=2.0)
    assert tray.sets[-1].drawing.drawing is not None
    line = tray.lines[str(photos[0].key)]
    assert line.line.in_set == "one of a set"
    alone = file_photo(opened_sample, str(photos[0].key), in_set="alone")
    assert alone.in_set == "on its own"
    photos = opened_sample.book.photos(UUID(tray.horse_key))  # type: ignore[attr-defined]
    assert sorted(len(group_of(photo, photos)) for photo in photos) == [1, 2, 2]
    again = file_photo(opened_sample, str(photos[0].key), in_set="together")
    assert again.in_set == "one of a set"


def test_two_photos_of_one_side_are_told_what_to_take(
    tray: PhotoTrayPlace, opened_sample: OpenBook, qtbot: QtBot
) -> None:
    bring(tray, qtbot, SOLES[:2])
    sort_all(tray, qtbot)
    qtbot.waitUntil(lambda: bool(tray.sets), timeout=20_000)
    said = tray.sets[-1].words.text()
    assert "It can be measured, with a wider ±" in said and "Take one more photo from two hands" in said
    assert "further to your right than photo 2" in said or "further to your left than photo 1" in said


def test_photos_added_from_the_command_line_become_a_set_too(opened_sample: OpenBook) -> None:
    from uuid import UUID

    from hoofbook.casework.adding import Wishes, add_files

    horse = add_horse(opened_sample, HorseForm("Bramble"))
    wishes = Wishes(horse="Bramble", visit="2025-09-30", foot="LF", view="solar", moment="after trim")
    for _ in add_files(opened_sample, SOLES, wishes):
        pass
    photos = opened_sample.book.photos(UUID(horse))
    assert len(photos) == 3 and len(group_of(photos[0], photos)) == 3
    for _ in add_files(opened_sample, SOLES[:1], wishes):  # the same file again changes nothing
        pass
    assert len(group_of(photos[0], opened_sample.book.photos(UUID(horse)))) == 3
