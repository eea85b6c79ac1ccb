"""Whether the system asks for less motion, as each system tells it (their names from their documentation, from memory;
none of the three desktops ran here)."""

from __future__ import annotations

import ctypes
import plistlib
import sys
from pathlib import Path
from types import SimpleNamespace

import pytest

from hoofbook.desktop import motion


@pytest.mark.parametrize(
    ("told", "less"), [({"reduceMotion": True}, True), ({"reduceMotion": False}, False), ({}, False)]
)
def test_macos_keeps_it_in_a_list_of_settings(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, told: dict[str, bool], less: bool
) -> None:
    monkeypatch.setattr(sys, "platform", "darwin")
    monkeypatch.setattr(Path, "home", lambda: tmp_path)
    assert not motion.asks_for_less_motion(), "no file, no wish"
    folder = tmp_path / "Library" / "Preferences"
    folder.mkdir(parents=True)
    (folder / "com.apple.universalaccess.plist").write_bytes(plistlib.dumps(told, fmt=plistlib.FMT_BINARY))
    assert motion.asks_for_less_motion() is less
    (folder / "com.apple.universalaccess.plist").write_bytes(b"no list")
    assert not motion.asks_for_less_motion()


@pytest.mark.parametrize("animated", [True, False])
def test_windows_tells_whether_it_moves_what_is_inside_a_window(
    monkeypatch: pytest.MonkeyPatch, animated: bool
) -> None:
    asked = []

    def tell(what: int, _size: int, where: object, _change: int) -> int:
        asked.append(what)
        where._obj.value = int(animated)  # type: ignore[attr-defined]
        return 1

    monkeypatch.setattr(sys, "platform", "win32")
    calls = SimpleNamespace(user32=SimpleNamespace(SystemParametersInfoW=tell))
    monkeypatch.setattr(ctypes, "windll", calls, raising=False)
    assert motion.asks_for_less_motion() is not animated
    assert asked == [0x1042]


def test_without_a_desktop_to_ask_nothing_is_held_back(qapp: object, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("DBUS_SESSION_BUS_ADDRESS", "unix:path=/nowhere")
    assert motion.asks_for_less_motion() is False
    assert motion._plain(SimpleNamespace(variant=lambda: SimpleNamespace(variant=lambda: False))) is False
