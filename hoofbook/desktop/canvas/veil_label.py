"""A line of words on a veil over a photo."""

from __future__ import annotations

from PySide6.QtCore import QEvent, QRectF, QSize, Qt
from PySide6.QtGui import QFontMetrics, QPainter, QPaintEvent
from PySide6.QtWidgets import QWidget

from hoofbook.desktop.look import theme


class VeilLabel(QWidget):
    """Lies in the middle of its canvas's upper edge; hidden while it has nothing to say."""

    def __init__(self, canvas: QWidget) -> None:
        super().__init__(canvas)
        self._canvas = canvas
        self._words = ""
        self.setAttribute(Qt.WidgetAttribute.WA_TransparentForMouseEvents)
        self.hide()

    @property
    def words(self) -> str:
        return self._words

    def say(self, words: str) -> None:
        self._words = words
        self.setAccessibleName(words)
        self.setVisible(bool(words))
        self.lie_in(self._canvas.size())
        self.update()

    def lie_in(self, room: QSize, margin: int = 18) -> None:
        metrics = QFontMetrics(theme().font("small", bold=True))
        wide = min(metrics.horizontalAdvance(self._words) + 32, room.width() - 2 * margin)
        text = metrics.boundingRect(0, 0, wide - 28, 1000, int(Qt.TextFlag.TextWordWrap), self._words)
        self.setGeometry((room.width() - wide) // 2, margin, wide, text.height() + 16)
        self.raise_()

    def changeEvent(self, event: QEvent) -> None:
        super().changeEvent(event)
        if event.type() is QEvent.Type.StyleChange and self._words:
            self.lie_in(self._canvas.size())

    def paintEvent(self, event: QPaintEvent) -> None:
        look = theme()
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        painter.setPen(Qt.PenStyle.NoPen)
        painter.setBrush(look.colour("veil", 0.86))
        painter.drawRoundedRect(QRectF(self.rect()), 9, 9)
        painter.setFont(look.font("small", bold=True))
        painter.setPen(look.colour("ring_edge"))
        flags = int(Qt.AlignmentFlag.AlignCenter | Qt.TextFlag.TextWordWrap)
        painter.drawText(QRectF(self.rect()).adjusted(14, 6, -14, -6), flags, self._words)
