"""Small pictures read from files on the pixel pool and kept for a while."""

from __future__ import annotations

from collections import OrderedDict
from collections.abc import Callable
from pathlib import Path
from typing import Any

from PySide6.QtCore import QObject, QSize, Qt
from PySide6.QtGui import QImage, QImageReader

from hoofbook.desktop.state import AppState

_KEPT = 160


class Pictures:
    """Asks for a picture of about a size; the answer comes on the main thread, at once when it is kept."""

    def __init__(self, state: AppState) -> None:
        self._state = state
        self._kept: OrderedDict[tuple[Path, int], QImage] = OrderedDict()

    def want(self, owner: QObject, path: Path, longest: int, done: Callable[[QImage], None]) -> None:
        key = (path, longest)
        kept = self._kept.get(key)
        if kept is not None:
            self._kept.move_to_end(key)
            done(kept)
            return

        def arrived(image: QImage) -> None:
            self._kept[key] = image
            while len(self._kept) > _KEPT:
                self._kept.popitem(last=False)
            done(image)

        self._state.background.pixels(
            owner, lambda: read_picture(path, longest, self._state.casework), arrived, replaces="picture"
        )


def read_picture(path: Path, longest: int, casework: Any = None) -> QImage:
    """The picture upright and at most `longest` px; a null image where it cannot be read.

    Our previews are plain JPEGs that Qt reads alone; kinds it does not know go through casework.
    """
    reader = QImageReader(str(path))
    reader.setAutoTransform(True)
    size = reader.size()
    if size.isValid() and max(size.width(), size.height()) > longest:
        reader.setScaledSize(size.scaled(QSize(longest, longest), Qt.AspectRatioMode.KeepAspectRatio))
    image = reader.read()
    if image.isNull() and casework is not None and path.is_file():
        buffer = casework.pictures.load_screen_picture(path, longest, longest)
        if buffer:
            image = QImage(buffer.data, buffer.width, buffer.height, QImage.Format.Format_RGB32).copy()
    return image
