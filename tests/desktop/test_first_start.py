"""First start: two ways in, the reading test, the look."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest
from PySide6.QtCore import Qt
from PySide6.QtWidgets import QFileDialog

from hoofbook.desktop.first_start.place import FirstStart
from hoofbook.wording import labels
from tests.desktop.conftest import Desk


@pytest.fixture
def first(make_desk: Callable[..., Desk]) -> tuple[Desk, FirstStart]:
    desk = make_desk()
    desk.shell.start(None)
    desk.settle()
    place = desk.window.root.currentWidget()
    assert isinstance(place, FirstStart)
    return desk, place


def test_it_shows_where_an_own_book_will_lie(first: tuple[Desk, FirstStart]) -> None:
    _desk, place = first
    assert "Documents" in place.where.text()


def test_start_my_own_makes_a_book_there(first: tuple[Desk, FirstStart]) -> None:
    desk, place = first
    desk.bot.mouseClick(place.own, Qt.MouseButton.LeftButton)
    desk.settle()
    desk.settle()
    assert ("make", Path("/home/somebody/Documents/Hoofbook")) in desk.casework.said
    assert desk.window.root.currentWidget() is desk.window.frame
    assert desk.state.settings.last_book == str(Path("/home/somebody/Documents/Hoofbook"))


def test_another_folder_can_be_chosen(first: tuple[Desk, FirstStart], monkeypatch: pytest.MonkeyPatch) -> None:
    desk, place = first
    monkeypatch.setattr(QFileDialog, "getExistingDirectory", lambda *_: "/stick/horses")
    desk.bot.mouseClick(place.other, Qt.MouseButton.LeftButton)
    assert "horses" in place.where.text()
    desk.bot.keyClick(place, Qt.Key.Key_S)
    desk.settle()
    assert ("make", Path("/stick/horses")) in desk.casework.said


def test_the_sample_book_is_made_with_progress_and_opened(first: tuple[Desk, FirstStart]) -> None:
    desk, place = first
    desk.bot.keyClick(place, Qt.Key.Key_O)
    desk.bot.waitUntil(lambda: place.progress.bar.value() > 2, timeout=5000)
    assert place.progress.isVisible() and "photo" in place.progress.words.text()
    desk.settle()
    desk.settle()
    assert any(said[0] == "open" for said in desk.casework.said)
    assert desk.window.root.currentWidget() is desk.window.frame


def test_making_the_sample_book_can_be_stopped(first: tuple[Desk, FirstStart]) -> None:
    desk, place = first
    desk.bot.mouseClick(place.sample, Qt.MouseButton.LeftButton)
    desk.bot.waitUntil(lambda: place.progress.bar.value() > 2, timeout=5000)
    desk.bot.mouseClick(place.progress.button, Qt.MouseButton.LeftButton)
    desk.settle()
    assert desk.window.notice.words.text() == labels.SAMPLE_STOPPED
    assert not place.progress.isVisible() and place.sample.isEnabled()
    assert not any(said[0] == "open" for said in desk.casework.said)


def test_a_refused_folder_says_why_and_stays_here(first: tuple[Desk, FirstStart]) -> None:
    desk, place = first
    desk.casework.refuse = "folder_read_only"
    desk.bot.mouseClick(place.own, Qt.MouseButton.LeftButton)
    desk.settle()
    assert desk.window.notice.isVisible()
    assert desk.window.root.currentWidget() is place


@pytest.mark.parametrize("size", [14, 17, 20])
def test_the_line_that_reads_easily_applies_at_once(first: tuple[Desk, FirstStart], size: int) -> None:
    desk, place = first
    desk.bot.mouseClick(place.reading.lines[size], Qt.MouseButton.LeftButton)
    assert desk.state.theme.size == size
    assert place.where.font().pixelSize() == desk.state.theme.small
    assert place.reading.lines[size].isChecked()


def test_the_look_is_chosen_by_keys(first: tuple[Desk, FirstStart]) -> None:
    desk, place = first
    place.themes.cell("light").setFocus()
    desk.bot.keyClick(place.themes.cell("light"), Qt.Key.Key_Right)
    desk.bot.keyClick(place.themes.cell("dark"), Qt.Key.Key_Space)
    assert desk.state.theme.name == "dark"
