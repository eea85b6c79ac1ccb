"""The program's log: what it did, never what is in the book (no names, no notes, no places of files)."""

from __future__ import annotations

import logging
import time
from pathlib import Path

from hoofbook.housekeeping.settings import home

NAME = "hoofbook"
_LARGEST = 1_000_000
_OLDER = 3
_HANDLER = "hoofbook file"


def logger(part: str = "") -> logging.Logger:
    """The logger of one part of the program ("records")."""
    return logging.getLogger(f"{NAME}.{part}" if part else NAME)


def start(folder: Path | None = None, *, level: int = logging.INFO) -> Path | None:
    """Begins writing `hoofbook.log` in `folder` (default: in the home folder) and returns its place.

    None where it cannot be written: a program that can only look still works. A second start replaces the first.
    """
    from logging.handlers import RotatingFileHandler

    place = (folder or home() / "log") / f"{NAME}.log"
    stop()
    try:
        place.parent.mkdir(parents=True, exist_ok=True)
        handler = RotatingFileHandler(place, maxBytes=_LARGEST, backupCount=_OLDER, encoding="utf-8", delay=False)
    except OSError:
        return None
    form = logging.Formatter("%(asctime)sZ %(levelname)s %(name)s %(message)s", "%Y-%m-%dT%H:%M:%S")
    form.converter = time.gmtime
    handler.setFormatter(form)
    handler.set_name(_HANDLER)
    root = logger()
    root.addHandler(handler)
    root.setLevel(level)
    return place


def stop() -> None:
    """Ends writing to the file and lets go of it."""
    root = logger()
    for handler in list(root.handlers):
        if handler.get_name() == _HANDLER:
            root.removeHandler(handler)
            handler.close()
