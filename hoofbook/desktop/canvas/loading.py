"""Brings a photo to a canvas in steps: at once what is small, then a sharp picture, then every pixel."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from pathlib import Path

from PySide6.QtCore import QObject
from PySide6.QtGui import QImage, QImageReader

from hoofbook.desktop.canvas.pyramid import Level, PictureBuffer, PicturePyramid
from hoofbook.desktop.state import AppState
from hoofbook.terms.refusal import Refusal

SMALL = 400  # px of a thumbnail at most: a few milliseconds
FIRST = (1600, 1200)  # px of the first sharp picture asked for


@dataclass(frozen=True, slots=True)
class Source:
    """A photo to show: its upright size, the file itself and a smaller upright copy (which may be the same file).

    `thumbnail` is a small upright JPEG that is read at once, without a worker.
    """

    key: str
    size: tuple[int, int]
    original: Path
    preview: Path
    thumbnail: Path | None = None


class PictureLoader:
    """Loads one photo at a time for one canvas; what arrives late for a photo no longer wanted is dropped.

    `shown(pyramid)` is called on the main thread with each sharper pyramid (first with None where there is not even a
    thumbnail, so that no other photo stays on screen), `failed(refusal)` where the file cannot be
    read. `full` = False stops at the sharp picture (for small views, which never show single pixels).
    """

    def __init__(
        self,
        owner: QObject,
        state: AppState,
        shown: Callable[[PicturePyramid | None], None],
        failed: Callable[[Refusal], None] | None = None,
        *,
        full: bool = True,
        name: str = "picture",
    ) -> None:
        self._owner = owner
        self._state = state
        self._shown = shown
        self._failed = failed or state.notice
        self._full = full
        self._name = name
        self.source: Source | None = None
        self.pyramid: PicturePyramid | None = None

    def load(self, source: Source) -> None:
        """Start with what is small; a photo that is here already is not loaded again."""
        if self.source is not None and self.source.key == source.key:
            return
        self.source = source
        self.pyramid = _thumbnail(source)
        self._shown(self.pyramid)
        pictures = self._state.casework.pictures
        self._ask(source, lambda: pictures.load_screen_picture(source.preview, *FIRST), self._first_here)

    def drop(self) -> None:
        self.source = self.pyramid = None

    def take_over(self, source: Source, pyramid: PicturePyramid) -> bool:
        """Show a photo that another loader brought in full; False where it is not all here and must be loaded."""
        if pyramid.sharpness < 1:
            return False
        self.source, self.pyramid = source, pyramid
        self._shown(pyramid)
        return True

    def _ask(self, source: Source, work: Callable[[], object], arrived: Callable[[Source, object], None]) -> None:
        self._state.background.pixels(
            self._owner, work, lambda result: arrived(source, result), self._failed, replaces=self._name
        )

    def _first_here(self, source: Source, buffer: object) -> None:
        self._take(source, buffer if isinstance(buffer, Refusal) else [buffer])
        if self._full and self.source == source:
            pictures = self._state.casework.pictures
            self._ask(source, lambda: pictures.load_full_pyramid(source.original), self._take)

    def _take(self, source: Source, buffers: object) -> None:
        if self.source != source:
            return
        if isinstance(buffers, Refusal):
            self._failed(buffers)
            return
        assert isinstance(buffers, Sequence)
        found: Sequence[PictureBuffer] = buffers
        self.pyramid = PicturePyramid.from_buffers(source.size, found)
        self._shown(self.pyramid)


def _thumbnail(source: Source) -> PicturePyramid | None:
    """The small copy as a pyramid of one level; None where there is none, or it is the photo itself."""
    if source.thumbnail is None:
        return None
    reader = QImageReader(str(source.thumbnail))
    size = reader.size()
    if not size.isValid() or max(size.width(), size.height()) > SMALL:
        return None
    small = reader.read()
    if small.isNull():
        return None
    return PicturePyramid(source.size, [Level(small.convertToFormat(QImage.Format.Format_RGB32), None)])
