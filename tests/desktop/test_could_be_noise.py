"""The dialog Could be noise, worked by slider, keys and Stop."""

from __future__ import annotations

import threading
from collections.abc import Callable, Generator, Mapping
from pathlib import Path
from typing import Any

import pytest
from PySide6.QtCore import Qt

from hoofbook.casework.could_be_noise import MarkCut, NoiseDraw, NoiseSheet, NoiseSide, NoiseStep
from hoofbook.casework.pictures import PictureBuffer
from hoofbook.desktop.cycle_by_cycle.could_be_noise import CouldBeNoise
from hoofbook.desktop.cycle_by_cycle.mark_tile import SIDE_PX
from hoofbook.desktop.cycle_by_cycle.place import CyclePlace
from hoofbook.desktop.widgets.text import Label, is_cut
from hoofbook.housekeeping.settings import Settings
from hoofbook.terms.refusal import Refusal, Refused
from hoofbook.wording import noise
from tests.desktop.conftest import Desk

LEFT = Qt.MouseButton.LeftButton
CUTS = tuple(
    tuple(MarkCut((photo, mark), words, (100.0, 200.0), 9.0) for mark, words in marks)
    for photo, marks in (
        ("then", (("toe_ground", "toe, ground"), ("toe_hairline", "toe, hairline"))),
        ("now", (("toe_ground", "toe, ground"),)),
    )
)
DIFFERENCES = (0.8, 1.4, -0.2, 0.5)


class Noise:
    """Stands for casework: four draws, the last two only once `go_on` is set."""

    def __init__(self) -> None:
        self.asked: list[dict[str, str]] = []
        self.go_on = threading.Event()
        self.refuse = ""
        self.closed = threading.Event()

    def read_noise(self, book: Any, horse: str, foot: str, **named: str) -> NoiseSheet:
        self.asked.append({"horse": horse, "foot": foot, **named})
        if self.refuse:
            raise Refused(Refusal(self.refuse, {"day": "2025-01-14"}))
        return NoiseSheet(
            "Left fore, toe length",
            NoiseSide("14 Jan 2025, after trim: 84 mm ± 2", 84.0, CUTS[0]),
            NoiseSide("30 Sep 2025, after trim: 85 mm ± 2", 84.8, CUTS[1]),
            ("By measuring alone the difference is −0.2 to 1.8 mm: nought lies inside, so it may be nothing.",),
            "+0.8 mm",
            "toe_length",
            lambda found, at, width, height, size: noise.strip(
                found, at, (0.8, 0.5), "toe_length", width=width, height=height, text_size=size
            ),
            {"then": Path("a"), "now": Path("b")},
            (0.8, 0.5),
            (),  # type: ignore[arg-type]
        )

    def draws(self, sheet: NoiseSheet) -> Generator[NoiseStep, None, int]:
        try:
            for number, difference in enumerate(DIFFERENCES):
                if number == 2:
                    yield NoiseStep(number, 5, "a draw that gave no value")
                    while not self.go_on.wait(0.02):
                        yield NoiseStep(number, 5, "waiting")
                places = {cut.at: (100.0 + number, 200.0 - number) for side in CUTS for cut in side}
                draw = NoiseDraw(f"{84 + number} mm", "85 mm", f"{difference:+.1f} mm", difference, places)
                yield NoiseStep(number + 1, 5, noise.step_words(number + 1, 5), draw)
            return 4
        finally:
            self.closed.set()

    def cut(self, sheet: NoiseSheet, side_px: int) -> Mapping[tuple[str, str], PictureBuffer]:
        data = bytes([40, 90, 160, 255]) * side_px * side_px
        return {cut.at: PictureBuffer(side_px, side_px, data) for cut in CUTS[0]}


Opened = tuple[Desk, CyclePlace, CouldBeNoise, Noise]


@pytest.fixture
def opened(make_desk: Callable[..., Desk]) -> Callable[..., Opened]:
    def make(width: int = 1440, height: int = 900, size: int = 17, refuse: str = "") -> Opened:
        desk = make_desk(width, height, Settings(text_size=size))
        stand_in = Noise()
        stand_in.refuse = refuse
        desk.casework.could_be_noise = stand_in  # type: ignore[attr-defined]
        desk.open_book()
        place = desk.go("cycle_by_cycle")
        assert isinstance(place, CyclePlace)
        desk.bot.mouseClick(place.chart.noise, LEFT)
        dialog = place.noise_dialog
        if not refuse:
            desk.bot.waitUntil(lambda: len(dialog.draws) == 2)
        return desk, place, dialog, stand_in

    return make


def test_draws_are_walked_while_others_are_still_made(opened: Callable[..., Opened]) -> None:
    desk, _place, dialog, stand_in = opened()
    assert stand_in.asked[0]["measure"] == "sole_concavity_at_frog_apex" and stand_in.asked[0]["then"] == ""
    assert dialog.progress.isVisible()
    assert dialog.slider.maximum() == 1 and dialog.slider.value() == 1  # follows the newest until it is taken
    assert (dialog.then.value.text(), dialog.now.value.text(), dialog.difference.text()) == (
        "85 mm",
        "85 mm",
        "+1.4 mm",
    )
    dialog.slider.setFocus()
    desk.bot.keyClick(dialog.slider, Qt.Key.Key_Left)
    assert dialog.difference.text() == "+0.8 mm"
    assert dialog.which.text() == "marked anew, 1 of 2"
    stand_in.go_on.set()
    desk.bot.waitUntil(lambda: len(dialog.draws) == 4)
    assert dialog.slider.value() == 0 and dialog.slider.maximum() == 3  # stays where the person put it
    desk.bot.keyClick(dialog.slider, Qt.Key.Key_End)
    assert dialog.difference.text() == "+0.5 mm"
    assert dialog.so_far.text() == "Measured anew 4 times: \u22120.2 to 1.4 mm; 1 of them the other way round."
    assert dialog.strip.drawing is not None
    desk.bot.waitUntil(lambda: not dialog.progress.isVisible())


def test_the_marks_of_both_photos_move_over_their_pictures(opened: Callable[..., Opened]) -> None:
    desk, _place, dialog, _ = opened()
    tiles = (*dialog.then.tiles, *dialog.now.tiles)
    desk.bot.waitUntil(lambda: tiles[0].has_picture)
    assert [tile.has_picture for tile in tiles] == [True, True, False]
    assert tiles[0].now == (101.0, 199.0)
    middle = tiles[0].place_of((100.0, 200.0))
    assert (middle.x(), middle.y()) == (SIDE_PX / 2, SIDE_PX / 2)
    before = tiles[0].grab().toImage()
    dialog.slider.setValue(0)
    assert tiles[0].now == (100.0, 200.0)
    assert tiles[0].grab().toImage() != before


def test_stop_keeps_what_was_drawn(opened: Callable[..., Opened]) -> None:
    desk, _place, dialog, stand_in = opened()
    desk.bot.mouseClick(dialog.progress.button, LEFT)
    desk.bot.waitUntil(lambda: not dialog.progress.isVisible())
    assert stand_in.closed.is_set()
    assert len(dialog.draws) == 2 and dialog.slider.isVisible()


def test_putting_it_away_ends_the_drawing(opened: Callable[..., Opened]) -> None:
    desk, _place, dialog, stand_in = opened()
    desk.bot.keyClick(dialog, Qt.Key.Key_Escape)
    assert not dialog.isVisible()
    desk.bot.waitUntil(stand_in.closed.is_set)


def test_readings_by_hand_say_why_not(opened: Callable[..., Opened]) -> None:
    desk, _place, dialog, _ = opened(refuse="noise_needs_photos")
    desk.settle()
    assert dialog.explained.text().startswith("This reading of 14 Jan 2025 was typed by hand")
    assert not dialog.slider.isVisible() and not dialog.progress.isVisible()


def test_the_point_looked_at_is_one_of_the_two(opened: Callable[..., Opened]) -> None:
    desk, place, dialog, stand_in = opened()
    dialog.reject()
    place.chart.chart.look_at("r3")
    desk.bot.mouseClick(place.chart.noise, LEFT)
    desk.bot.waitUntil(lambda: len(stand_in.asked) == 2)
    assert stand_in.asked[1]["then"] == "r3"
    place.noise_dialog.reject()


def test_then_and_now_opens_it_for_its_two_photos_once(opened: Callable[..., Opened]) -> None:
    desk, place, dialog, stand_in = opened()
    dialog.reject()
    stand_in.go_on.set()
    desk.go("cycle_by_cycle", foot="RF", measure="toe_angle", definition="", noise_then="photo 1", noise_now="photo 7")
    desk.bot.waitUntil(lambda: len(stand_in.asked) == 2)
    assert stand_in.asked[1]["foot"] == "RF"
    assert (stand_in.asked[1]["then"], stand_in.asked[1]["now"]) == ("photo 1", "photo 7")
    place.noise_dialog.reject()
    desk.bot.mouseClick(place.feet.cell("LF"), LEFT)
    desk.settle()
    assert len(stand_in.asked) == 2


@pytest.mark.parametrize(("width", "height", "size"), [(960, 540, 17), (960, 540, 20), (1440, 900, 14)])
def test_nothing_is_cut_and_the_slider_stays_in_sight(
    opened: Callable[..., Opened], width: int, height: int, size: int
) -> None:
    desk, _place, dialog, _ = opened(width, height, size)

    def cut() -> list[str]:
        return [label.text() for label in dialog.findChildren(Label) if is_cut(label)]

    desk.bot.waitUntil(lambda: not cut(), timeout=5000)  # what came in is laid out when the window next has time
    assert cut() == []
    assert dialog.rect().contains(dialog.slider.geometry().translated(dialog.slider.parentWidget().pos()))
    assert dialog.width() <= width and dialog.height() <= height
