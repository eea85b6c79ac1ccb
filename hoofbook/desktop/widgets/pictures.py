"""Small pictures read from files on the pixel pool and kept for a while."""

from __future__ import annotations

from collections import OrderedDict
from collections.abc import Callable
from pathlib import Path

from PySide6.QtCore import QObject, QSize, Qt
from PySide6.QtGui import QImage, QImageReader

from hoofbook.desktop.background import Background

_KEPT = 160


class Pictures:
    """Asks for a picture of about a size; the answer comes on the main thread, at once when it is kept."""

    def __init__(self, background: Background) -> None:
        self._background = background
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

        self._background.pixels(owner, lambda: read_picture(path, longest), arrived, replaces="picture")


def read_picture(path: Path, longest: int) -> QImage:
    """The picture upright and at most `longest` px; a null image where it cannot be read."""
    reader = QImageReader(str(path))
    reader.setAutoTransform(True)
    size = reader.size()
    if size.isValid() and max(size.width(), size.height()) > longest:
        reader.setScaledSize(size.scaled(QSize(longest, longest), Qt.AspectRatioMode.KeepAspectRatio))
    return reader.read()
