"""How tests work the place Then and now."""

from __future__ import annotations

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest

from hoofbook.desktop.then_and_now.place import ThenAndNowPlace
from tests.desktop.then_and_now.pair_stand_in import PairsFromMemory, make_pair_state

LEFT = Qt.MouseButton.LeftButton


@pytest.fixture
def open_pair(qtbot, tmp_path):
    made = []

    def make(horse="larkspur", size=(1190, 830), **options):
        pairs = PairsFromMemory(tmp_path, **options)
        place = ThenAndNowPlace(make_pair_state(pairs))
        made.append(place)
        qtbot.addWidget(place)
        place.resize(*size)
        place.show()
        place.show_horse(horse)
        settle(place, qtbot)
        return place, pairs

    yield make
    for place in made:
        place._state.background.close()


def settle(place, qtbot):
    qtbot.waitUntil(lambda: not place._state.background.busy, timeout=8000)
    qtbot.wait(1)


def press(place, *keys, modifier=Qt.KeyboardModifier.NoModifier):
    for key in keys:
        QTest.keyClick(place.page.shown_canvas, key, modifier)
