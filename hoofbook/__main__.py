"""Chooses window or command line; the only module that imports both."""

from __future__ import annotations

import os
import sys
from collections.abc import Sequence

# Small dense solves are many times slower with several BLAS threads (measured: 49 ms against 593 ms).
os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")

_LIBRARIES = (
    "A system library that pictures need is missing: {error}. On Debian or Ubuntu run:\n"
    "  sudo apt-get install libgl1 libegl1 libglib2.0-0 libxkbcommon0 libdbus-1-3 libfontconfig1 libxcb-cursor0 "
    "libxcb-icccm4 libxcb-keysyms1 libxcb-shape0 libxkbcommon-x11-0"
)


def main(arguments: Sequence[str] | None = None) -> int:
    """Runs the window when called with nothing (or a book's folder), else the named command.

    Returns the exit code: 0 done, 1 something was found wrong, 2 the request or its input is wrong.
    """
    given = list(sys.argv[1:] if arguments is None else arguments)
    try:
        from hoofbook.cli.main import is_window_request, run_command

        window = is_window_request(given)
        return _open_window(window.folder) if window is not None else run_command(given, open_window=_open_window)
    except ImportError as error:
        if ".so" not in str(error):
            raise
        print(_LIBRARIES.format(error=error), file=sys.stderr)
        return 2


def _open_window(folder: str = "", horse: str = "") -> int:
    """Opens the window on a book (or the last one, or the first start); returns its exit code."""
    from pathlib import Path

    from hoofbook.cli.display import has_display, no_display_sentence

    if not has_display():
        print(no_display_sentence(), file=sys.stderr)
        return 2
    from hoofbook.desktop.app import run

    return run(Path(folder) if folder else None, horse=horse)


if __name__ == "__main__":
    sys.exit(main())
