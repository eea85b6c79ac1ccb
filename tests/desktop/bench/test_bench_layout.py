"""Bench and Then and now stand whole at any size: nothing cut, nothing over each other, targets large enough.

Rooms are those of a place in windows of 1440 x 900, 1280 x 720 and 960 x 540 logical px.
"""

from __future__ import annotations

import pytest
from PySide6.QtWidgets import QWidget

from hoofbook.desktop import look
from hoofbook.desktop.bench.place import BenchPlace
from hoofbook.desktop.theme import Theme
from hoofbook.desktop.then_and_now.pair_view import Way
from hoofbook.desktop.then_and_now.place import ThenAndNowPlace
from tests.desktop.bench.stand_in import BenchFromMemory, make_state, side_photo, sole_set
from tests.desktop.test_layout import cut_labels, narrow_buttons, overlaps, small_targets
from tests.desktop.then_and_now.pair_stand_in import PairsFromMemory, make_pair_state

ROOMS = ((1197, 834), (1037, 640), (960, 440))
LOOKS = (Theme("light", 17), Theme("dark", 14), Theme("daylight", 20))


@pytest.fixture
def worn(qapp):
    yield look.wear
    look.wear(Theme())


@pytest.fixture
def open_place(qtbot, worn, tmp_path):
    made = []

    def make(kind: str, room: tuple[int, int], theme: Theme) -> QWidget:
        worn(theme)
        if kind in ("pair", "row", "year"):
            place = ThenAndNowPlace(make_pair_state(PairsFromMemory(tmp_path, banner="Same day: this shows the trim")))
        else:
            photos = {"side": side_photo(tmp_path)} if kind == "side" else sole_set(tmp_path)
            place = BenchPlace(make_state(BenchFromMemory(photos)))
        made.append(place)
        qtbot.addWidget(place)
        place.resize(*room)
        place.show()
        place.show_horse("larkspur")
        qtbot.waitUntil(lambda: not place._state.background.busy, timeout=8000)
        if kind in ("row", "year"):
            place.choose_way(Way(kind))
            qtbot.waitUntil(lambda: not place._state.background.busy, timeout=8000)
        qtbot.wait(20)
        return place

    yield make
    for place in made:
        place._state.background.close()


@pytest.mark.parametrize("theme", LOOKS, ids=lambda theme: f"{theme.name}-{theme.size}")
@pytest.mark.parametrize("room", ROOMS, ids=lambda room: f"{room[0]}x{room[1]}")
@pytest.mark.parametrize("kind", ["side", "set", "pair", "row", "year"])
def test_the_place_stands_whole(open_place, qtbot, kind, room, theme):
    place = open_place(kind, room, theme)
    if kind == "set":
        for i in range(13):
            place.desk.place(300 + 40 * i, 400, 1.0)
        place.show_photo("two")
        qtbot.waitUntil(lambda: not place._state.background.busy, timeout=8000)
        qtbot.wait(20)
    assert (place.width(), place.height()) == room, "the place asks for more room than there is"
    for fault in (cut_labels, narrow_buttons, small_targets, overlaps):
        assert fault(place) == [], fault.__name__
    place.page.turn_drawer()
    qtbot.wait(10)
    for fault in (cut_labels, narrow_buttons, small_targets):
        assert fault(place) == [], f"{fault.__name__}, drawer open"
