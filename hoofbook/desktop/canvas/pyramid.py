"""A photo as a pyramid of RGB32 images, each half the one before: what keeps pan and zoom cheap at any scale."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Protocol

from PySide6.QtGui import QImage, QPainter, QTransform

from hoofbook.desktop.canvas.frame import ViewFrame

TRUE_PIXELS = 4.0  # from this many screen px per photo px on, pixels are shown as they are


class PictureBuffer(Protocol):
    """Pixels as blue, green, red, 255 (four bytes each), upright, rows without padding."""

    @property
    def width(self) -> int: ...
    @property
    def height(self) -> int: ...
    @property
    def data(self) -> object: ...


@dataclass(frozen=True, slots=True, eq=False)
class Level:
    """An image and the buffer it looks at: Qt does not keep the buffer alive, so we do."""

    image: QImage
    buffer: object


class PicturePyramid:
    """Levels of one photo, largest first; `size` is that of the upright photo even while only small levels are here."""

    def __init__(self, size: tuple[int, int], levels: Sequence[Level]) -> None:
        self.size = size
        self.levels = tuple(levels)

    @classmethod
    def from_buffers(cls, size: tuple[int, int], buffers: Sequence[PictureBuffer]) -> PicturePyramid:
        return cls(size, [Level(as_image(buffer), buffer) for buffer in buffers])

    @classmethod
    def from_image(cls, image: QImage) -> PicturePyramid:
        """A pyramid made by Qt itself, for small pictures and tests."""
        levels = [Level(image.convertToFormat(QImage.Format.Format_RGB32), None)]
        while levels[-1].image.width() > 400:
            last = levels[-1].image
            levels.append(Level(last.smoothScaled(last.width() // 2, last.height() // 2), None))
        return cls((image.width(), image.height()), levels)

    @property
    def sharpness(self) -> float:
        """Width of the largest level as a share of the photo's own: 1 once the full picture is here."""
        return self.levels[0].image.width() / self.size[0]

    def level_for(self, scale: float, *, smooth: bool) -> Level:
        """The smallest level that still has a pixel for each screen px (three quarters of one while moving)."""
        wanted = self.size[0] * scale * (0.95 if smooth else 0.6)
        for level in reversed(self.levels):
            if level.image.width() >= wanted:
                return level
        return self.levels[0]

    def paint(self, painter: QPainter, frame: ViewFrame, *, smooth: bool) -> None:
        """The photo in its place; what is painted follows the painter's clip, so any part may be painted again."""
        self.paint_by(painter, QTransform(frame.scale, 0, 0, frame.scale, frame.left, frame.top), smooth=smooth)

    def paint_by(self, painter: QPainter, to_screen: QTransform, *, smooth: bool) -> None:
        """The photo under `to_screen`, which takes frame picture (photo px from the outer corner) to the screen."""
        scale = abs(to_screen.determinant()) ** 0.5
        level = self.level_for(scale * painter.device().devicePixelRatio(), smooth=smooth)
        image = level.image
        painter.save()
        painter.setRenderHint(QPainter.RenderHint.SmoothPixmapTransform, smooth and scale < TRUE_PIXELS)
        inside = QTransform.fromScale(self.size[0] / image.width(), self.size[1] / image.height())
        painter.setTransform(inside * to_screen, True)
        painter.drawImage(0, 0, image)
        painter.restore()


def as_image(buffer: PictureBuffer) -> QImage:
    """A QImage that looks at the buffer without a copy; the caller keeps the buffer as long as the image."""
    image: QImage = QImage(buffer.data, buffer.width, buffer.height, buffer.width * 4, QImage.Format.Format_RGB32)  # type: ignore[call-overload]
    return image
