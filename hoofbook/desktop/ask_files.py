"""Asks a person for photo files."""

from __future__ import annotations

from pathlib import Path

from PySide6.QtWidgets import QFileDialog, QWidget

from hoofbook.wording import labels

PHOTO_ENDINGS = "*.jpg *.jpeg *.png *.tif *.tiff *.heic *.heif *.mpo"


def ask_photos(parent: QWidget) -> list[Path]:
    """The files a person picks; empty when they leave it."""
    kinds = f"{labels.PHOTO_FILES} ({PHOTO_ENDINGS} {PHOTO_ENDINGS.upper()})"
    names, _kind = QFileDialog.getOpenFileNames(parent, labels.PHOTOS_IN_TITLE, "", kinds)
    return [Path(name) for name in names]
