"""Every refusal this package makes, by code, with the facts it carries."""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType

_PLACE = ("file", "folder")

ALL_CODES: Mapping[str, tuple[str, ...]] = MappingProxyType(
    {
        "disk_full": _PLACE,
        "folder_read_only": _PLACE,
        "file_locked": _PLACE,
        "file_missing": _PLACE,
        "file_not_allowed": _PLACE,  # it is there and may not be read
        "file_changed": _PLACE,  # its length changed while it was read, or it was pulled out
        "name_is_folder": _PLACE,  # a folder stands where the file should
        "name_too_long": ("longest",),
        "folder_is_file": _PLACE,  # a file stands where the folder should
        "disk_failed": (*_PLACE, "reason"),  # `reason` is the system's own text
        "shipped_missing": ("file",),  # a file that comes with the program is not there
    }
)
