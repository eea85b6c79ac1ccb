"""A small square of a photo about one mark, with the mark as one draw has it and where earlier draws had it."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import QPointF, QRectF, QSize
from PySide6.QtGui import QColor, QImage, QPainter, QPaintEvent, QPen
from PySide6.QtWidgets import QSizePolicy, QWidget

from hoofbook.desktop.canvas.pyramid import as_image
from hoofbook.desktop.canvas.rings import EDGE, INK, ring_box, ring_picture
from hoofbook.desktop.look import theme
from hoofbook.terms.marks import MarkState

if TYPE_CHECKING:
    from hoofbook.casework.could_be_noise import MarkCut
    from hoofbook.casework.pictures import PictureBuffer

SIDE_PX = 132
_SPECK = 1.2


class MarkTile(QWidget):
    """`show_places(earlier, now)` moves the ring; both in photo px."""

    def __init__(self, cut: MarkCut, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.cut = cut
        self._buffer: PictureBuffer | None = None
        self._image: QImage | None = None
        self._earlier: list[tuple[float, float]] = []
        self.now: tuple[float, float] = cut.middle
        self.setSizePolicy(QSizePolicy.Policy.Fixed, QSizePolicy.Policy.Fixed)
        self.setFixedSize(QSize(SIDE_PX, SIDE_PX))
        self.setAccessibleName(cut.words)

    def show_buffer(self, buffer: PictureBuffer | None) -> None:
        self._buffer = buffer
        self._image = as_image(buffer) if buffer is not None else None
        self.update()

    @property
    def has_picture(self) -> bool:
        return self._image is not None

    def show_places(self, earlier: list[tuple[float, float]], now: tuple[float, float]) -> None:
        self._earlier, self.now = earlier, now
        self.update()

    def place_of(self, at: tuple[float, float]) -> QPointF:
        """A place of the photo in this widget."""
        scale = SIDE_PX / (2 * self.cut.half)
        x, y = self.cut.middle
        return QPointF((at[0] - x + self.cut.half) * scale, (at[1] - y + self.cut.half) * scale)

    def paintEvent(self, event: QPaintEvent) -> None:
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        box = QRectF(self.rect())
        if self._image is not None:
            painter.setRenderHint(QPainter.RenderHint.SmoothPixmapTransform)
            painter.drawImage(box, self._image)
        else:
            painter.fillRect(box, theme().colour("mat"))
        for wide, colour in ((_SPECK + 0.8, QColor(EDGE)), (_SPECK, QColor(INK))):
            painter.setPen(QPen(colour, 0.0))
            painter.setBrush(colour)
            for place in self._earlier:
                painter.drawEllipse(self.place_of(place), wide, wide)
        now = self.place_of(self.now)
        ratio = self.devicePixelRatioF()
        painter.drawPixmap(ring_box(now.x(), now.y()).topLeft(), ring_picture(MarkState.CONFIRMED, False, ratio))
