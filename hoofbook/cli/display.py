"""Whether a window can be opened here."""

from __future__ import annotations

import os
import sys


def has_display() -> bool:
    """True where a window can be shown; Linux needs X or Wayland (or a Qt platform named on purpose)."""
    if sys.platform in ("win32", "darwin"):
        return True
    names = ("DISPLAY", "WAYLAND_DISPLAY", "QT_QPA_PLATFORM")
    return any(os.environ.get(name) for name in names)


def no_display_sentence() -> str:
    from hoofbook.wording.command_line import NO_DISPLAY

    return NO_DISPLAY
