"""The window as a whole: what shows first, going about by pointer and keys, refusals, threads."""

from __future__ import annotations

import os
import subprocess
import sys
import threading
from collections.abc import Callable
from pathlib import Path

import pytest
from PySide6.QtCore import QMimeData, QPoint, QPointF, Qt, QUrl
from PySide6.QtGui import QDragEnterEvent, QDropEvent
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication

from hoofbook.terms.refusal import Refusal
from hoofbook.wording import labels
from tests.desktop.conftest import Desk


def test_the_first_horse_of_the_list_shows_with_its_places(desk: Desk) -> None:
    window = desk.window
    assert window.header.name.text() == "Larkspur"
    assert window.place == "horse_card"
    assert window.header.places["horse_card"].isChecked()
    assert [row.line.name for row in window.sidebar.rows if row.isChecked()] == ["Larkspur"]


def test_a_named_horse_shows_first(make_desk: Callable[..., Desk]) -> None:
    desk = make_desk()
    desk.state.open_book = None
    desk.shell.open_folder(Path("/books/sample"), "Juniper")
    desk.settle()
    desk.settle()
    assert desk.window.header.name.text() == "Juniper"


def test_pressing_a_horse_shows_its_card_and_keeps_the_place(desk: Desk) -> None:
    window = desk.window
    desk.bot.mouseClick(window.header.places["visit"], Qt.MouseButton.LeftButton)
    desk.settle()
    desk.bot.mouseClick(window.sidebar.rows[1], Qt.MouseButton.LeftButton)
    desk.settle()
    assert window.header.name.text() == "Saltmarsh"
    assert window.place == "visit"


def test_search_finds_owners_and_says_when_nobody_is_found(desk: Desk) -> None:
    window = desk.window
    desk.bot.keyClicks(window.sidebar.search, "t. w")
    desk.settle()
    assert [row.line.name for row in window.sidebar.rows] == ["Juniper"]
    desk.bot.keyClick(window.sidebar.search, Qt.Key.Key_Return)
    desk.settle()
    assert window.header.name.text() == "Juniper"
    desk.bot.keyClicks(window.sidebar.search, "zzz")
    desk.settle()
    assert window.sidebar.rows == []


def test_ctrl_number_goes_to_each_place_of_a_horse(desk: Desk) -> None:
    for key, place in ((Qt.Key.Key_2, "visit"), (Qt.Key.Key_5, "cycle_by_cycle"), (Qt.Key.Key_1, "horse_card")):
        desk.bot.keyClick(desk.window, key, Qt.KeyboardModifier.ControlModifier)
        desk.settle()
        assert desk.window.place == place


@pytest.mark.parametrize("place", ["photo_tray", "scale_card", "how_measured", "set_up"])
def test_the_foot_of_the_list_leads_to_the_other_places(desk: Desk, place: str) -> None:
    sidebar = desk.window.sidebar
    words = {"photo_tray": "Photo tray", "scale_card": "Scale card", "how_measured": "How measured", "set_up": "Set up"}
    button = next(b for b in sidebar._others if b.text() == words[place])
    desk.bot.mouseClick(button, Qt.MouseButton.LeftButton)
    desk.settle()
    assert desk.window.place == place


def test_f8_changes_the_look_at_once_and_keeps_it(desk: Desk) -> None:
    for name in ("dark", "daylight", "light"):
        desk.bot.keyClick(desk.window, Qt.Key.Key_F8)
        assert desk.state.theme.name == name
    desk.settle()
    assert ("settings", {"theme": "light"}) in desk.casework.said


def test_a_refusal_is_a_sentence_in_the_window_that_can_be_put_away(desk: Desk) -> None:
    desk.state.notice(Refusal("disk_full", {"file": "book.sqlite"}))
    bar = desk.window.notice
    assert bar.isVisible()
    assert "disk_full" not in bar.words.text() and len(bar.words.text()) > 20
    desk.bot.mouseClick(bar.put_away, Qt.MouseButton.LeftButton)
    assert not bar.isVisible()


def test_a_book_for_looking_says_so_and_offers_no_writing(make_desk: Callable[..., Desk]) -> None:
    desk = make_desk()
    desk.open_book(read_only=True)
    assert desk.window.notice.words.text() == labels.READ_ONLY_SENTENCE
    assert not desk.window.header.add_visit.isVisible()
    assert not desk.window.header.photos_in.isVisible()


def test_no_horse_yet_is_a_designed_place(make_desk: Callable[..., Desk]) -> None:
    desk = make_desk()
    desk.casework.no_horses = True
    desk.open_book()
    empty = desk.window.no_horse
    assert empty.isVisible() and empty.title.text() == labels.NO_HORSE_TITLE
    desk.bot.mouseClick(empty.step, Qt.MouseButton.LeftButton)
    desk.settle()
    form = desk.window.makers.made["horse_form"]
    desk.bot.keyClicks(form.fields["name"], "Tansy")  # type: ignore[attr-defined]
    desk.bot.keyClick(form.fields["name"], Qt.Key.Key_Return)  # type: ignore[attr-defined]
    desk.settle()
    added = next(said for said in desk.casework.said if said[0] == "add horse")
    assert added[1].name == "Tansy"


def test_a_horse_without_a_name_is_asked_for_one(desk: Desk) -> None:
    form = desk.go("horse_form", new="yes")
    desk.bot.mouseClick(form.keep_it, Qt.MouseButton.LeftButton)  # type: ignore[attr-defined]
    assert desk.window.notice.words.text() == labels.NAME_NEEDED
    assert not any(said[0] == "add horse" for said in desk.casework.said)


def test_a_narrow_window_folds_the_list_into_a_drawer(make_desk: Callable[..., Desk]) -> None:
    desk = make_desk(960, 540)
    desk.open_book()
    window = desk.window
    assert window.drawer.folded and not window.sidebar.isVisible()
    desk.bot.mouseClick(window.header.list_button, Qt.MouseButton.LeftButton)
    assert window.sidebar.isVisible()
    desk.bot.mouseClick(window.sidebar.rows[2], Qt.MouseButton.LeftButton)
    desk.settle()
    assert not window.sidebar.isVisible()
    assert window.header.name.text() == "Juniper"
    window.open_drawer()
    desk.bot.keyClick(window, Qt.Key.Key_Escape)
    assert not window.drawer.is_open
    window.resize(1440, 900)
    desk.settle()
    assert not window.drawer.folded and window.sidebar.isVisible()


def test_photos_dropped_on_the_window_are_brought_in_for_the_horse(desk: Desk, photos: Path) -> None:
    data = QMimeData()
    data.setUrls([QUrl.fromLocalFile(str(photos / "side.jpg"))])
    action, left, none = Qt.DropAction.CopyAction, Qt.MouseButton.LeftButton, Qt.KeyboardModifier.NoModifier
    enter = QDragEnterEvent(QPoint(300, 300), action, data, left, none)
    QApplication.sendEvent(desk.window, enter)
    assert enter.isAccepted() and desk.window.drop_hint.isVisible()
    QApplication.sendEvent(desk.window, QDropEvent(QPointF(300, 300), action, data, left, none))
    desk.settle()
    assert not desk.window.drop_hint.isVisible()
    assert ("take in", "side.jpg", "") in desk.casework.said
    assert desk.window.place == "photo_tray"


def test_the_ring_follows_the_keyboard_and_hides_from_the_pointer(desk: Desk) -> None:
    window = desk.window
    window.activateWindow()
    window.header.places["horse_card"].setFocus()
    handle = window.windowHandle()
    QTest.keyClick(handle, Qt.Key.Key_Tab)
    assert window.ring.isVisible()
    focused = QApplication.focusWidget()
    assert focused is not None
    corner = focused.mapTo(window.ring.parentWidget(), QPoint(0, 0))
    assert window.ring.geometry().contains(corner)
    QTest.mouseClick(handle, Qt.MouseButton.LeftButton, Qt.KeyboardModifier.NoModifier, QPoint(700, 120))
    assert not window.ring.isVisible()


def test_every_place_is_reached_and_left_without_leaving_threads(make_desk: Callable[..., Desk]) -> None:
    before = {thread.name for thread in threading.enumerate()}
    desk = make_desk()
    desk.open_book()
    for place in ("visit", "cycle_by_cycle", "photo_tray", "scale_card", "how_measured", "set_up", "horse_card"):
        desk.go(place)
    desk.window.close()
    desk.shell.close()
    left = {thread.name for thread in threading.enumerate()} - before
    assert not {name for name in left if name.startswith(("records", "pixels"))}


@pytest.mark.parametrize("order", ["import cv2, hoofbook.imaging", "", "late"])
def test_the_window_opens_whatever_is_imported_first(order: str, tmp_path: Path) -> None:
    """OpenCV's wheel brings a Qt of its own; the window must show with it imported before, after or not at all."""
    late = "import hoofbook.imaging" if order == "late" else ""
    code = f"""
{order if order != "late" else ""}
from hoofbook.desktop.app import Shell, make_application, make_state
application = make_application()
shell = Shell(make_state())
shell.start(None)
{late}
application.processEvents()
assert shell.window.isVisible()
assert shell.window.grab().width() > 100
shell.window.close()
shell.close()
print("shown")
"""
    environment = os.environ | {"QT_QPA_PLATFORM": "offscreen", "HOOFBOOK_HOME": str(tmp_path)}
    done = subprocess.run(
        [sys.executable, "-c", code], capture_output=True, text=True, env=environment, timeout=120, check=False
    )
    assert done.returncode == 0 and "shown" in done.stdout, done.stderr


def test_nothing_heavy_is_imported_before_the_window_shows(tmp_path: Path) -> None:
    code = """
import sys
from hoofbook.desktop.app import Shell, make_application, make_state
application = make_application()
shell = Shell(make_state())
shell.window.show_first_size()
heavy = [name for name in ("numpy", "scipy", "cv2", "PIL", "sqlalchemy", "typst") if name in sys.modules]
shell.window.close()
shell.close()
assert not heavy, heavy
"""
    environment = os.environ | {"QT_QPA_PLATFORM": "offscreen", "HOOFBOOK_HOME": str(tmp_path)}
    done = subprocess.run(
        [sys.executable, "-c", code], capture_output=True, text=True, env=environment, timeout=120, check=False
    )
    assert done.returncode == 0, done.stderr
