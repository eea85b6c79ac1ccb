"""Another account for a while, because permissions do not bind root."""

from __future__ import annotations

import contextlib
import os
from collections.abc import Iterator

NOBODY = 65534


@contextlib.contextmanager
def without_rights() -> Iterator[None]:
    """The body runs as an ordinary account; root becomes "nobody" for it."""
    if os.geteuid() != 0:
        yield
        return
    os.seteuid(NOBODY)
    try:
        yield
    finally:
        os.seteuid(0)
