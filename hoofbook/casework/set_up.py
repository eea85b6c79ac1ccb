"""The place Set up: what this person wants on this computer."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

from hoofbook.housekeeping.settings import Settings, load, save


def change_settings(**fields: Any) -> Settings:
    """Keeps changed settings and returns all of them."""
    changed = replace(load(), **fields)
    save(changed)
    return changed
