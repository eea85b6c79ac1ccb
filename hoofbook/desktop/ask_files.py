"""Asks a person for photo files, and where a PDF shall be kept."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

from PySide6.QtWidgets import QFileDialog, QWidget

from hoofbook.desktop.state import AppState
from hoofbook.wording import labels

PHOTO_ENDINGS = "*.jpg *.jpeg *.png *.tif *.tiff *.heic *.heif *.mpo"


def ask_photos(parent: QWidget) -> list[Path]:
    """The files a person picks; empty when they leave it."""
    kinds = f"{labels.PHOTO_FILES} ({PHOTO_ENDINGS} {PHOTO_ENDINGS.upper()})"
    names, _kind = QFileDialog.getOpenFileNames(parent, labels.PHOTOS_IN_TITLE, "", kinds)
    return [Path(name) for name in names]


def ask_and_make(
    state: AppState, parent: QWidget, title: str, name: str, *, make: Callable[[Path], Path], said: str
) -> None:
    """Makes a PDF where the person says, away from the window, and tells where it is (`said` holds `{file}`)."""
    start = Path.home() / name
    chosen, _kind = QFileDialog.getSaveFileName(parent, title, str(start), f"{labels.PDF_FILES} (*.pdf)")
    if chosen:
        state.background.pixels(
            parent,
            lambda: make(Path(chosen)),
            lambda file: state.notice(said.format(file=file)),
            state.notice,
        )
