"""Whether the system asks for less motion: then nothing plays or blinks by itself.

Asked of the desktop's own settings: the portal of Linux desktops, client-area animation on Windows, "reduce motion" on
macOS (the last two by the names their documentation gives them; not run here). What cannot be asked is taken as no.
"""

from __future__ import annotations

import plistlib
import sys
from pathlib import Path

_GET_CLIENT_AREA_ANIMATION = 0x1042  # SystemParametersInfo, winuser.h
_WAIT_MS = 300


def asks_for_less_motion() -> bool:
    """Asked anew each time, since a person may change it while the program runs."""
    if sys.platform == "win32":
        return _windows()
    if sys.platform == "darwin":
        return _mac()
    return _portal()


def _windows() -> bool:
    import ctypes

    shown = ctypes.c_int(1)
    call = getattr(ctypes, "windll", None)
    if call is None or not call.user32.SystemParametersInfoW(_GET_CLIENT_AREA_ANIMATION, 0, ctypes.byref(shown), 0):
        return False
    return shown.value == 0


def _mac() -> bool:
    try:
        told = plistlib.loads((Path.home() / "Library/Preferences/com.apple.universalaccess.plist").read_bytes())
    except (OSError, ValueError):
        return False
    return bool(told.get("reduceMotion"))


def _portal() -> bool:
    """org.freedesktop.portal.Settings, which hands on what the desktop keeps (GNOME's `enable-animations`)."""
    from PySide6.QtDBus import QDBusConnection, QDBusMessage

    bus = QDBusConnection.sessionBus()
    if not bus.isConnected():
        return False
    ask = QDBusMessage.createMethodCall(
        "org.freedesktop.portal.Desktop",
        "/org/freedesktop/portal/desktop",
        "org.freedesktop.portal.Settings",
        "Read",
    )
    ask.setArguments(["org.gnome.desktop.interface", "enable-animations"])
    answer = bus.call(ask, timeout=_WAIT_MS)
    if answer.type() is not QDBusMessage.MessageType.ReplyMessage or not answer.arguments():
        return False
    return _plain(answer.arguments()[0]) is False


def _plain(value: object) -> object:
    """The value inside however many variants."""
    inside = getattr(value, "variant", None)
    return _plain(inside()) if callable(inside) else value
