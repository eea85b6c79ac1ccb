"""Every refusal this package makes itself, by code, with the facts it carries.

Those of `hoofbook.housekeeping.codes` pass through here as well. `subject` is the name of a table ("foot_work").
"""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType

_PLACE = ("file", "folder")
_SUBJECT = ("subject",)

ALL_CODES: Mapping[str, tuple[str, ...]] = MappingProxyType(
    {
        "book_missing": _PLACE,
        "book_exists": _PLACE,
        "book_damaged": _PLACE,
        "not_a_book": _PLACE,
        "book_newer": (*_PLACE, "found", "known"),  # numbers of steps, "0002"
        "book_busy": _PLACE,  # another program is writing to it
        "book_in_use": ("machine", "renewed_at"),  # another machine has it open; ISO time, UTC
        "book_left_open": ("machine", "renewed_at"),  # another machine had it open and did not close it
        "not_in_book": _SUBJECT,
        "already_in_book": _SUBJECT,
        "still_in_use": _SUBJECT,
        "never_changed": _SUBJECT,
        "never_removed": _SUBJECT,
        "changed_elsewhere": (*_SUBJECT, "changed_by"),
        "horse_name_twice": ("name", "count"),
    }
)
