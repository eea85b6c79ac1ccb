"""What one person set up on this computer: a small TOML file in their own settings folder.

A value that cannot be used is read as if it were not told; keys of other versions are kept; a file that is no TOML is
put aside, never thrown away. `HOOFBOOK_HOME` names another folder (a stick, a test).
"""

from __future__ import annotations

import json
import os
import tomllib
from dataclasses import dataclass, fields
from pathlib import Path
from typing import Any

from hoofbook import PRODUCT_NAME
from hoofbook.housekeeping import files
from hoofbook.terms.refusal import Refused

TEXT_SIZES = (14, 17, 20)
THEMES = ("light", "dark", "daylight")
HOME_VARIABLE = "HOOFBOOK_HOME"
FILE_NAME = "settings.toml"


@dataclass(frozen=True, slots=True)
class Settings:
    """`text_size` in px of a line that reads easily; `person` signs what is written; `last_book` is a folder;
    `practice` is the name on papers; `asked_takes` are keys of visits at which a second take was asked for, with blanks
    between."""

    text_size: int = 17
    theme: str = "light"
    last_book: str = ""
    person: str = ""
    first_start_done: bool = False
    inches: bool = False
    asked_takes: str = ""
    practice: str = ""

    def __post_init__(self) -> None:
        if self.text_size not in TEXT_SIZES or self.theme not in THEMES:
            raise ValueError("not a text size or theme of ours")


def home() -> Path:
    """The folder of settings, log and crash reports of this person; it need not exist."""
    told = os.environ.get(HOME_VARIABLE, "")
    if told:
        return Path(told)
    import platformdirs

    return platformdirs.user_config_path(PRODUCT_NAME, appauthor=False, roaming=False)


def books_folder() -> Path:
    """Where a new book is put unless told otherwise: in the person's documents."""
    if os.environ.get(HOME_VARIABLE, ""):
        return home() / "books"
    import platformdirs

    return platformdirs.user_documents_path() / PRODUCT_NAME


def load(path: Path | None = None) -> Settings:
    """The settings in `path` (default: in `home()`); what cannot be read counts as not told."""
    stored = _stored(path or home() / FILE_NAME)
    usable = {field.name: stored[field.name] for field in fields(Settings) if _is_usable(field.name, stored)}
    return Settings(**usable)


def save(settings: Settings, path: Path | None = None) -> None:
    """Writes the settings, keeping keys that this version does not know.

    Refused: `disk_full`, `folder_read_only`, `file_locked`, `disk_failed`.
    """
    file = path or home() / FILE_NAME
    kept = _stored(file, put_aside=True)
    ours = {field.name: getattr(settings, field.name) for field in fields(Settings)}
    lines = [f"{_key(name)} = {_value(value)}" for name, value in {**ours, **_only_unknown(kept, ours)}.items()]
    files.write_text_atomic(file, "\n".join(lines) + "\n")


def _stored(file: Path, *, put_aside: bool = False) -> dict[str, Any]:
    try:
        return tomllib.loads(file.read_text(encoding="utf-8"))
    except OSError:
        return {}
    except ValueError:  # no TOML, or no UTF-8
        if put_aside:
            _put_aside(file)
        return {}


def _put_aside(file: Path) -> None:
    try:
        files.place(file, file.with_name(f"damaged-{file.name}"))
    except Refused:
        return  # the coming write tells what is wrong with the folder


def _is_usable(name: str, stored: dict[str, Any]) -> bool:
    if name not in stored or type(stored[name]) is not type(getattr(Settings(), name)):
        return False
    try:
        Settings(**{name: stored[name]})
    except ValueError:
        return False
    return True


def _only_unknown(kept: dict[str, Any], ours: dict[str, Any]) -> dict[str, Any]:
    return {name: value for name, value in kept.items() if name not in ours}


def _key(name: str) -> str:
    bare = name.isascii() and name.replace("_", "").replace("-", "").isalnum()
    return name if bare else _value(name)


def _value(value: Any) -> str:
    """One TOML value on one line (TOML 1.0: JSON's text escapes but DEL are its own)."""
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, str):
        whole = value.encode("utf-8", "replace").decode("utf-8")
        return json.dumps(whole, ensure_ascii=False).replace("\x7f", "\\u007F")
    if isinstance(value, list):
        return f"[{', '.join(_value(inner) for inner in value)}]"
    if isinstance(value, dict):
        return f"{{{', '.join(f'{_key(name)} = {_value(inner)}' for name, inner in value.items())}}}"
    return str(value)  # numbers, days and times read as they are written
