"""A photo as a small picture with its caption; pressing it goes to the photo."""

from __future__ import annotations

from collections.abc import Callable

from PySide6.QtCore import QRect, QRectF, QSize, Qt
from PySide6.QtGui import QFontMetrics, QImage, QPainter, QPainterPath, QPaintEvent, QPen, QResizeEvent
from PySide6.QtWidgets import QSizePolicy, QWidget

from hoofbook.desktop.look import theme
from hoofbook.desktop.widgets.crop import covering_part
from hoofbook.desktop.widgets.painted_button import PaintedButton
from hoofbook.desktop.widgets.pictures import Pictures
from hoofbook.terms.shown import PhotoTile

_CORNER = 10
_SHARP_ABOVE = 300


class PhotoView(PaintedButton):
    """Shows a `PhotoTile`, cropped to fill. The caption stands on the picture (`over`) or under it, wrapped, never cut.

    `focus_y` 0..1 says which part of a tall crop is kept. `current` draws the frame of the chosen one.
    """

    def __init__(
        self,
        pictures: Pictures,
        *,
        over: bool = True,
        pressed: Callable[[str], object] | None = None,
        parent: QWidget | None = None,
    ) -> None:
        super().__init__(parent)
        self._pictures = pictures
        self._over = over
        self._image = QImage()
        self._asked = 0
        self.tile: PhotoTile | None = None
        self.current = False
        self.empty_words = ""
        self.setSizePolicy(QSizePolicy.Policy.Preferred, QSizePolicy.Policy.Preferred)
        if pressed is not None:
            self.clicked.connect(lambda: self.tile is not None and pressed(self.tile.key))

    def show_tile(self, tile: PhotoTile | None, *, empty: str = "", name: str = "") -> None:
        self.empty_words = empty
        if tile != self.tile:
            self.tile = tile
            self._image = QImage()
            self._asked = 0
            self._load()
        words = ", ".join(part for part in (name, tile.caption, tile.note) if part) if tile else empty
        self.setAccessibleName(words)
        self.setEnabled(tile is not None)
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus if tile else Qt.FocusPolicy.NoFocus)
        self.updateGeometry()
        self.update()

    def set_current(self, current: bool) -> None:
        if current != self.current:
            self.current = current
            self.update()

    def sizeHint(self) -> QSize:
        return QSize(160, 110 + self._caption_height(160))

    def minimumSizeHint(self) -> QSize:
        return QSize(88, 66 + self._caption_height(self.width() or 88))

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        self._load()

    def paintEvent(self, event: QPaintEvent) -> None:
        look = theme()
        painter = QPainter(self)
        painter.setRenderHints(QPainter.RenderHint.Antialiasing | QPainter.RenderHint.SmoothPixmapTransform)
        frame = 5 if self.current or not self._over else 0
        under = 0 if self._over else self._caption_height(self.width())
        box = QRectF(self.rect()).adjusted(frame, frame, -frame, -frame - under)
        clip = QPainterPath()
        clip.addRoundedRect(box, _CORNER, _CORNER)
        painter.fillPath(clip, look.colour("track"))
        if not self._image.isNull():
            painter.setClipPath(clip)
            painter.drawImage(box, self._image, self._cover(box))
            painter.setClipping(False)
        elif self.tile is None:
            painter.setPen(QPen(look.colour("line"), 1.5, Qt.PenStyle.DashLine))
            painter.drawPath(clip)
            self._words_inside(painter, box)
        if self.current or (self.underMouse() and self.isEnabled()):
            painter.setPen(QPen(look.colour("leather"), 2.5))
            painter.setBrush(Qt.BrushStyle.NoBrush)
            painter.drawRoundedRect(QRectF(self.rect()).adjusted(1.5, 1.5, -1.5, -1.5), _CORNER + 2, _CORNER + 2)
        if self.tile is not None:
            self._caption(painter, box)

    def _words_inside(self, painter: QPainter, box: QRectF) -> None:
        painter.setFont(theme().font("small"))
        painter.setPen(theme().colour("soft_ink"))
        flags = Qt.AlignmentFlag.AlignCenter | Qt.TextFlag.TextWordWrap
        painter.drawText(box.adjusted(8, 4, -8, -4), int(flags), self.empty_words)

    def _caption(self, painter: QPainter, box: QRectF) -> None:
        assert self.tile is not None
        words = self._caption_words()
        if not words:
            return
        look = theme()
        painter.setFont(look.font("small", bold=self.current))
        metrics = QFontMetrics(painter.font())
        if not self._over:
            painter.setPen(look.colour("leather" if self.current else "ink"))
            place = QRectF(6, box.bottom() + 4, self.width() - 12, self.height() - box.bottom() - 4)
            painter.drawText(place, int(Qt.AlignmentFlag.AlignLeft | Qt.TextFlag.TextWordWrap), words)
            return
        room = round(box.width()) - 36
        text = metrics.boundingRect(QRect(0, 0, room, 1000), int(Qt.TextFlag.TextWordWrap), words)
        label = QRectF(box.left() + 8, box.bottom() - text.height() - 16, text.width() + 20, text.height() + 8)
        painter.setPen(Qt.PenStyle.NoPen)
        painter.setBrush(look.colour("veil", 0.82))
        painter.drawRoundedRect(label, 6, 6)
        painter.setPen(Qt.GlobalColor.white)
        painter.drawText(label.adjusted(10, 4, -8, -4), int(Qt.TextFlag.TextWordWrap), words)

    def _caption_words(self) -> str:
        if self.tile is None:
            return ""
        parts = (self.tile.caption,) if self._over else (self.tile.caption, self.tile.note)
        return "\n".join(part for part in parts if part)

    def _caption_height(self, width: int) -> int:
        if self._over or self.tile is None or not self._caption_words():
            return 0
        metrics = QFontMetrics(theme().font("small", bold=True))
        box = QRect(0, 0, max(40, width - 12), 1000)
        return metrics.boundingRect(box, int(Qt.TextFlag.TextWordWrap), self._caption_words()).height() + 8

    def _cover(self, box: QRectF) -> QRectF:
        """The part of the picture that fills the box, about what the tile says is worth seeing."""
        window = self.tile.window if self.tile else None
        size = (box.width(), box.height())
        return QRectF(*covering_part(size, (self._image.width(), self._image.height()), window))

    def _load(self) -> None:
        if self.tile is None or self.width() < 8:
            return
        window = self.tile.window or (0.0, 0.0, 1.0, 1.0)
        share = max(window[2] - window[0], window[3] - window[1], 0.25)
        need = round(max(self.width(), self.height()) * self.devicePixelRatioF() * 1.35 / share)
        step = 360 if need <= _SHARP_ABOVE else 720 if need <= 720 else 1440
        if step <= self._asked:
            return
        self._asked = step
        tile = self.tile
        if step == 360:
            self._pictures.want(self, tile.thumbnail, 360, lambda image: self._arrived(tile, image))
            return
        if self._image.isNull():
            thumbnail = QImage(str(tile.thumbnail))
            self._arrived(tile, thumbnail)
        self._pictures.want(self, tile.original, step, lambda image: self._arrived(tile, image))

    def _arrived(self, tile: PhotoTile, image: QImage) -> None:
        if tile is self.tile and not image.isNull():
            self._image = covered_image(image, tile)
            self.update()


def covered_image(image: QImage, tile: PhotoTile) -> QImage:
    """The picture with what nobody shall see filled; the one handed in stays as it is."""
    if not tile.covered:
        return image
    done = image.convertToFormat(QImage.Format.Format_RGB32)
    wide, high = done.width(), done.height()
    painter = QPainter(done)
    for left, top, right, low in tile.covered:
        box = QRectF(left * wide, top * high, (right - left) * wide, (low - top) * high).normalized()
        painter.fillRect(box.adjusted(-1, -1, 1, 1), theme().colour("mat"))
    painter.end()
    return done
