"""A report of a fault of ours: where in the code it happened, and nothing of the owner's.

The text of an error may hold a name or a place of a file, so only its class is written; lines of code are ours, and
file names are cut to what lies inside the program or a library. The person decides whether to send it to anybody.
"""

from __future__ import annotations

import platform
import sys
import threading
import traceback
from collections.abc import Callable
from pathlib import Path
from types import TracebackType

from hoofbook import PRODUCT_NAME, __version__
from hoofbook.housekeeping import files
from hoofbook.housekeeping.clock import Clock, SystemClock
from hoofbook.housekeeping.log import logger
from hoofbook.housekeeping.settings import home
from hoofbook.terms.refusal import Refused

_LIBRARIES = ("PySide6_Essentials", "opencv-python", "Pillow", "numpy", "scipy", "SQLAlchemy", "typst")
_INSIDE = ("site-packages", "dist-packages")


def report_text(error: BaseException, clock: Clock) -> str:
    """The whole report as text."""
    head = [
        f"{PRODUCT_NAME} {__version__}, {clock.now():%Y-%m-%d %H:%M:%S} UTC",
        f"Python {platform.python_version()}, {platform.system()} {platform.release()} {platform.machine()}",
        *_library_lines(),
        "",
    ]
    return "\n".join([*head, *_error_lines(error)]) + "\n"


def write_report(error: BaseException, folder: Path | None = None, clock: Clock | None = None) -> Path | None:
    """Writes the report into `folder` (default: in the home folder) and returns its place; None where it cannot."""
    time = clock or SystemClock()
    place = (folder or home() / "crash") / f"crash-{time.now():%Y%m%d-%H%M%S-%f}.txt"
    try:
        files.write_text_atomic(place, report_text(error, time))
    except Refused:
        return None
    return place


def install(told: Callable[[Path | None], None] | None = None) -> None:
    """From now on every error that nobody caught makes a report, in every thread; `told` gets its place.

    What the program did before with such errors (a traceback on stderr) it still does.
    """
    before, before_in_threads = sys.excepthook, threading.excepthook

    def note(error: BaseException | None) -> None:
        if error is None or not isinstance(error, Exception):
            return  # an interrupt by the person is no fault
        place = write_report(error)
        logger("crash").error("%s", type(error).__name__)
        if told is not None:
            told(place)

    def caught(kind: type[BaseException], error: BaseException, trace: TracebackType | None) -> None:
        note(error)
        before(kind, error, trace)

    def caught_in_thread(given: threading.ExceptHookArgs) -> None:
        note(given.exc_value)
        before_in_threads(given)

    sys.excepthook = caught
    threading.excepthook = caught_in_thread


def _library_lines() -> list[str]:
    from importlib import metadata

    lines = []
    for name in _LIBRARIES:
        try:
            lines.append(f"{name} {metadata.version(name)}")
        except metadata.PackageNotFoundError:
            lines.append(f"{name} not there")
    return lines


def _error_lines(error: BaseException) -> list[str]:
    lines = []
    seen: set[int] = set()
    present: BaseException | None = error
    while present is not None and id(present) not in seen:
        seen.add(id(present))
        kind = type(present)
        lines.append(f"{kind.__module__}.{kind.__qualname__}")
        for frame in traceback.extract_tb(present.__traceback__):
            lines.append(f"  {_without_owner(frame.filename)}:{frame.lineno} in {frame.name}: {frame.line or ''}")
        present = present.__cause__ or present.__context__
        if present is not None:
            lines.append("after")
    return lines


def _without_owner(filename: str) -> str:
    """The part of a file's place that says nothing about whose computer it is."""
    parts = Path(filename).parts
    for inside in _INSIDE:
        if inside in parts:
            return "/".join(parts[parts.index(inside) + 1 :])
    package = Path(__file__).resolve().parent.parent
    try:
        return Path(filename).resolve().relative_to(package.parent).as_posix()
    except ValueError:
        return parts[-1] if parts else filename
