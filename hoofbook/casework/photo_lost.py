"""A photo of the book that cannot be opened any more, told by the name and day a person knows it by: its file in the
archive is called by its hash, which says nothing to anybody."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from datetime import date

from hoofbook.terms.refusal import Refusal, Refused

ALL_CODES = ("photo_lost",)


@contextmanager
def opening(day: date, given_name: str = "") -> Iterator[None]:
    """Whatever is refused inside becomes `photo_lost`."""
    try:
        yield
    except Refused as error:
        raise Refused(Refusal("photo_lost", {"file": given_name or None, "day": day.isoformat()})) from error
