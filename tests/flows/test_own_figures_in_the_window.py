"""The whole window: from How measured and from the Bench to marking again without looking, and back; nothing is cut."""

from __future__ import annotations

import os

os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")

from collections.abc import Callable, Iterator
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest
from PySide6.QtCore import Qt
from PySide6.QtWidgets import QWidget
from pytestqt.qtbot import QtBot

from hoofbook.casework.open_book import open_book
from hoofbook.desktop.app import Shell, make_application, make_state
from hoofbook.desktop.widgets.drawing_view import DrawingView
from hoofbook.desktop.widgets.text import Label
from hoofbook.housekeeping.settings import Settings
from tests.desktop.test_layout import cut_labels, narrow_buttons, overlaps, sideways, small_targets
from tests.flows.test_repeatability import at_the_visit, mark_again, second_take, side_photos

LEFT = Qt.MouseButton.LeftButton


class Desk:
    """The window on a book of second takes and passes made without looking."""

    def __init__(self, folder: Path, bot: QtBot, size: tuple[int, int] = (1440, 900), text: int = 17) -> None:
        make_application()
        self.bot = bot
        self.shell = Shell(make_state(Settings(text_size=text, person="Demo Farrier")))
        bot.addWidget(self.shell.window)
        self.shell.window.resize(*size)
        self.shell.window.show()
        self.shell.open_folder(folder, "Juniper")
        bot.waitUntil(lambda: self.shell.state.open_book is not None, timeout=60_000)
        self.settle()

    def settle(self) -> None:
        self.bot.waitUntil(lambda: not self.shell.state.background.busy, timeout=60_000)
        self.bot.wait(1)

    def go(self, place: str, **where: str) -> Any:
        self.shell.window.go(place, where)
        self.settle()
        return self.here

    @property
    def here(self) -> Any:
        return self.shell.window.makers.made[self.shell.window.place]


@pytest.fixture
def repeated(own_sample_book: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.setenv("HOOFBOOK_HOME", str(tmp_path / "home"))
    opened = open_book(own_sample_book)
    photos = side_photos(opened)
    for photo in photos[:6]:
        second_take(opened, photo, px=5.0)
    mark_again(opened, photos[:6], px=2.0)
    mark_again(opened, photos[6:10], px=3.0, person="Cass")
    opened.close()
    return own_sample_book


@pytest.fixture
def desk(repeated: Path, qtbot: QtBot) -> Iterator[Callable[..., Desk]]:
    made: list[Desk] = []

    def make(**how: Any) -> Desk:
        made.append(Desk(repeated, qtbot, **how))
        return made[-1]

    yield make
    for one in made:
        one.shell.window.hide()
        one.shell.close()


def said(place: QWidget) -> str:
    return " ".join(label.text() for label in place.findChildren(Label))


def test_how_measured_tells_the_own_figures_and_leads_to_marking_again(desk: Callable[..., Desk]) -> None:
    window = desk()
    how = window.go("how_measured")
    words = said(how)
    for part in (
        "How well your readings repeat",
        "partly your own, 6 second takes",
        "Sole concavity, from the sole edge",
        "2.2 mm between two readings (assumed)",
        "ICC(1,1)",
        "Demo Farrier and Cass on the same photos",
        "Smyth 2004",
    ):
        assert part in words, part
    plots = [view for view in how.findChildren(DrawingView) if view.drawing is not None]
    assert len(plots) == 1 and plots[0].drawing.width == plots[0].width()
    window.bot.mouseClick(how.again, LEFT)
    window.settle()
    assert window.shell.window.place == "mark_again"
    again = window.here
    assert again.desk.shown is not None and len(again.desk.visible()) == 0
    window.bot.mouseClick(again.away, LEFT)
    window.settle()
    assert window.shell.window.place == "how_measured"


def test_one_measure_shows_its_own_plot(desk: Callable[..., Desk]) -> None:
    how = desk().go("how_measured", measure="heel_height")
    assert "Heel height (of horn), first less second take" in said(how)


def test_from_the_bench_and_back_to_its_photo(desk: Callable[..., Desk]) -> None:
    window = desk()
    opened = window.shell.state.open_book
    assert opened is not None
    photo = str(side_photos(opened)[2].key)
    bench = window.go("bench", photo=photo)
    assert bench.page.panel.again.isVisibleTo(bench)
    window.bot.mouseClick(bench.page.panel.again, LEFT)
    window.settle()
    again = window.here
    window.bot.waitUntil(lambda: again.desk.shown is not None, timeout=20_000)
    again.canvas.clicked.emit(300.0, 300.0)
    window.bot.mouseClick(again.away, LEFT)
    window.settle()
    assert window.shell.window.place == "bench" and window.here.desk.photo == photo
    assert "kept" in window.shell.window.notice.words.text()


@pytest.mark.parametrize(("size", "text"), [((960, 540), 17), ((960, 540), 20), ((1440, 900), 17)])
def test_nothing_is_cut(desk: Callable[..., Desk], size: tuple[int, int], text: int) -> None:
    window = desk(size=size, text=text)
    opened = window.shell.state.open_book
    assert opened is not None
    assert_whole(window, window.go("how_measured"))
    window.shell.state.open_book = at_the_visit(opened)
    tray = window.go("photo_tray")
    next(iter(tray.lines.values())).unfold()
    window.settle()
    assert_whole(window, tray)
    photo = side_photos(opened)[0]
    window.shell.state.open_book = replace(opened, person="Ann")
    again = window.go("mark_again", photo=str(photo.key))
    assert_whole(window, again)
    assert again.canvas.height() >= 160
    for number, line in enumerate(again.desk.lines):
        again.canvas.clicked.emit(400.0 + 30 * number, 300.0)
        assert line.name in again.desk.visible()
    window.bot.mouseClick(again.done, LEFT)
    window.bot.waitUntil(again.another.isVisible, timeout=20_000)
    window.settle()
    assert_whole(window, again)


def assert_whole(window: Desk, place: QWidget) -> None:
    assert cut_labels(place) == []
    assert narrow_buttons(place) == []
    assert overlaps(place) == []
    assert sideways(place) == []
    assert small_targets(place) == []


def test_a_book_to_look_at_only_offers_nothing_to_mark(desk: Callable[..., Desk]) -> None:
    window = desk()
    opened = window.shell.state.open_book
    assert opened is not None

    class LookOnly:
        """The book as if its folder could not be written to."""

        read_only = True

        def __getattr__(self, name: str) -> Any:
            return getattr(opened, name)

    window.shell.state.open_book = LookOnly()  # type: ignore[assignment]
    assert not window.go("how_measured").again.isVisible()
    window.shell.state.open_book = opened
