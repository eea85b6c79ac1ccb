"""Seven places clicked in one photo of a set; the others are proposed and only confirmed; the whole sole follows.

The places clicked, and those the confirmed ones are held against, are the sample's own marks: rendered truth with the
placing error of a person (sample_cases/README.md).
"""

from __future__ import annotations

from collections.abc import Iterator
from math import hypot

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from pytestqt.qtbot import QtBot

from hoofbook.casework.bench import save_pass
from hoofbook.casework.open_book import OpenBook
from hoofbook.casework.sole_map import make_map, read_sole_map
from hoofbook.casework.sole_shape import DenseResult
from hoofbook.desktop.background import Background
from hoofbook.desktop.bench.place import BenchPlace
from hoofbook.desktop.state import AppState
from hoofbook.desktop.theme import Theme
from hoofbook.housekeeping.settings import Settings
from hoofbook.terms.marks import Marking, MarkState

CLICKED = {
    "rim_01": "rim_02",
    "rim_02": "rim_07",
    "rim_03": "rim_11",
    "sole_edge_01": "sole_edge_02",
    "sole_edge_02": "sole_edge_07",
    "sole_edge_03": "sole_edge_11",
    "frog_apex": "frog_apex",
}
"""Name given by the order of clicks -> mark of the sample that is clicked."""


@pytest.fixture
def place(opened_sample: OpenBook, qtbot: QtBot) -> Iterator[BenchPlace]:
    background = Background()
    widget = BenchPlace(AppState(background, Theme(), Settings(), opened_sample))
    qtbot.addWidget(widget)
    widget.resize(1400, 900)
    widget.show()
    yield widget
    background.close()


def settle(place: BenchPlace, qtbot: QtBot) -> None:
    """Until neither work nor a pause before it is left."""
    quiet = 0

    def still() -> bool:
        nonlocal quiet
        quiet = 0 if place._state.background.busy or place.live._pause.isActive() else quiet + 1
        return quiet > 3

    qtbot.waitUntil(still, timeout=30_000)


def test_seven_clicks_and_only_keys_afterwards_give_the_whole_sole(
    place: BenchPlace, opened_sample: OpenBook, qtbot: QtBot
) -> None:
    horse = str(opened_sample.horse_named("Larkspur").key)
    before = read_sole_map(opened_sample, horse, "LF")
    assert before.job is not None
    keys = [shot.key for shot in before.job.shots]
    true = {shot.key: shot.marking.marks for shot in before.job.shots}
    for key in keys:
        save_pass(opened_sample, key, Marking())
    place.show_horse(horse, photo=keys[0])
    settle(place, qtbot)
    while place.desk.current:
        source = CLICKED.get(place.desk.current)
        if source is None:
            QTest.keyClick(place.canvas, Qt.Key.Key_0)
        else:
            spot = place.canvas.screen_point(true[keys[0]][source].x, true[keys[0]][source].y).toPoint()
            QTest.mouseClick(place.canvas, Qt.MouseButton.LeftButton, pos=spot)
    misses, presses = [], 0
    for key in keys[1:]:
        settle(place, qtbot)
        QTest.keyClick(place.canvas, Qt.Key.Key_Return)
        settle(place, qtbot)
        assert place.desk.photo == key
        while place.desk.current:
            proposed = place.desk.state_of(place.desk.current) is MarkState.PROPOSED
            assert proposed == (place.desk.current in CLICKED)
            if proposed:
                assert len(place.canvas.guide.points) >= 2
            QTest.keyClick(place.canvas, Qt.Key.Key_Return if proposed else Qt.Key.Key_0)
            presses += 1
            settle(place, qtbot)
        for name, mark in place.desk.markings[key].confirmed.items():
            wanted = true[key][CLICKED[name]]
            misses.append(hypot(mark.x - wanted.x, mark.y - wanted.y))
    assert len(misses) == 14 and presses == 26
    assert sorted(misses)[7] < 6.0 and max(misses) < 20.0, misses
    place.leave()
    settle(place, qtbot)
    sheet = read_sole_map(opened_sample, horse, "LF")
    assert sheet.missing == () and sheet.job is not None
    work = make_map(sheet.job)
    while True:
        try:
            next(work)
        except StopIteration as done:
            assert isinstance(done.value, DenseResult), done.value
            break
