"""The same view at the last visit, small over the photo: where the proposals come from."""

from __future__ import annotations

from pathlib import Path

from PySide6.QtCore import QRectF, QSize, Qt
from PySide6.QtGui import QImage, QPainter, QPainterPath, QPaintEvent, QPen
from PySide6.QtWidgets import QWidget

from hoofbook.desktop.look import theme
from hoofbook.desktop.widgets.pictures import Pictures
from hoofbook.wording import bench_labels as words

WIDE, HIGH = 216, 162


class LastVisit(QWidget):
    """Lies in the upper right corner of the canvas; G turns it on and off."""

    def __init__(self, pictures: Pictures, canvas: QWidget) -> None:
        super().__init__(canvas)
        self._pictures = pictures
        self._photo: Path | None = None
        self._image = QImage()
        self._on = True
        self.setAccessibleName(words.LAST_VISIT_NAME)
        self.setAttribute(Qt.WidgetAttribute.WA_TransparentForMouseEvents)
        self.resize(WIDE, HIGH)
        self.hide()

    def show_photo(self, photo: Path | None) -> None:
        """The photo of the last visit, None where there is none."""
        if photo != self._photo:
            self._photo, self._image = photo, QImage()
            if photo is not None:
                self._pictures.want(self, photo, 360, self._arrived)
        self.setVisible(self._on and photo is not None)

    def turn(self) -> None:
        self._on = not self._on
        self.setVisible(self._on and self._photo is not None)

    def lie_in(self, room: QSize, margin: int = 18) -> None:
        wide = min(WIDE, room.width() // 3)
        self.resize(wide, round(wide * HIGH / WIDE))
        self.move(room.width() - self.width() - margin, margin)

    def _arrived(self, image: QImage) -> None:
        self._image = image
        self.update()

    def paintEvent(self, event: QPaintEvent) -> None:
        look = theme()
        painter = QPainter(self)
        painter.setRenderHints(QPainter.RenderHint.Antialiasing | QPainter.RenderHint.SmoothPixmapTransform)
        box = QRectF(self.rect()).adjusted(1.5, 1.5, -1.5, -1.5)
        clip = QPainterPath()
        clip.addRoundedRect(box, 9, 9)
        painter.setClipPath(clip)
        painter.fillRect(box, look.colour("mat"))
        if not self._image.isNull():
            size = self._image.size().scaled(box.size().toSize(), Qt.AspectRatioMode.KeepAspectRatioByExpanding)
            left, top = box.center().x() - size.width() / 2, box.center().y() - size.height() / 2
            painter.drawImage(QRectF(left, top, size.width(), size.height()), self._image)
        painter.setFont(look.font("small", bold=True))
        line = painter.fontMetrics().height() + 8.0
        foot = QRectF(box.left(), box.bottom() - line, box.width(), line)
        painter.fillRect(foot, look.colour("veil", 0.82))
        painter.setPen(look.colour("ring_edge"))
        painter.drawText(foot.adjusted(10, 0, -8, 0), Qt.AlignmentFlag.AlignVCenter, words.LAST_VISIT)
        painter.setClipping(False)
        painter.setPen(QPen(look.colour("ring_edge"), 2))
        painter.drawRoundedRect(box, 9, 9)
