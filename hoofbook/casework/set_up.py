"""The place Set up: what this person wants on this computer."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path
from typing import Any

from hoofbook.housekeeping.files import remove, write_atomic
from hoofbook.housekeeping.settings import Settings, home, load, save
from hoofbook.terms.refusal import Refusal, Refused

LOGO = "logo.png"


def change_settings(**fields: Any) -> Settings:
    """Keeps changed settings and returns all of them."""
    changed = replace(load(), **fields)
    save(changed)
    return changed


def keep_logo(picture: Path) -> bytes:
    """Keeps a small copy of the picture for papers and returns it. Refused: what cannot be read as a picture."""
    from hoofbook.imaging.logo import make_logo

    made = make_logo(picture)
    if isinstance(made, Refusal):
        raise Refused(made)
    write_atomic(home() / LOGO, made)
    return made


def drop_logo() -> None:
    remove(home() / LOGO)


def read_logo() -> bytes:
    """The picture for papers as PNG; nothing where none was chosen."""
    try:
        return (home() / LOGO).read_bytes()
    except OSError:
        return b""
