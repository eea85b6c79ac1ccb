"""A verdict as a chip: sign, words and tone; a screen reader hears the whole sentence."""

from __future__ import annotations

from PySide6.QtCore import QEvent, QRect, QRectF, QSize, Qt
from PySide6.QtGui import QFont, QFontMetrics, QPainter, QPaintEvent, QPen
from PySide6.QtWidgets import QSizePolicy, QVBoxLayout, QWidget

from hoofbook.desktop.look import theme
from hoofbook.desktop.widgets.text import Label, kept_together
from hoofbook.terms.shown import Tone, VerdictChip

TONE_TOKENS = {Tone.WANTED: "wanted", Tone.AGAINST: "against", Tone.CALM: "calm"}


class Chip(QWidget):
    """The chip alone; its words wrap where the room is narrow."""

    def __init__(self, chip: VerdictChip | None = None, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        policy = QSizePolicy(QSizePolicy.Policy.Preferred, QSizePolicy.Policy.Preferred)
        policy.setHeightForWidth(True)
        self.setSizePolicy(policy)
        self._chip = chip
        self.show_chip(chip)

    @property
    def words(self) -> str:
        if self._chip is None:
            return ""
        return f"{self._chip.sign} {self._chip.words}" if self._chip.sign else self._chip.words

    def show_chip(self, chip: VerdictChip | None) -> None:
        self._chip = chip
        self.setVisible(chip is not None)
        if chip is not None:
            self.setAccessibleName(chip.sentence)
            self.setToolTip(chip.sentence)
        self.updateGeometry()
        self.update()

    def sizeHint(self) -> QSize:
        metrics = self._metrics()
        return QSize(metrics.horizontalAdvance(self.words) + 26, metrics.height() + 12)

    def minimumSizeHint(self) -> QSize:
        metrics = self._metrics()
        longest = max((metrics.horizontalAdvance(word) for word in self.words.split()), default=20)
        return QSize(longest + 26, metrics.height() + 12)

    def hasHeightForWidth(self) -> bool:
        return True

    def heightForWidth(self, width: int) -> int:
        return self._text_box(width).height() + 12

    def changeEvent(self, event: QEvent) -> None:
        super().changeEvent(event)
        if event.type() is QEvent.Type.StyleChange:
            self.updateGeometry()

    def paintEvent(self, event: QPaintEvent) -> None:
        if self._chip is None:
            return
        look = theme()
        token = TONE_TOKENS[self._chip.tone]
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        text = self._text_box(self.width())
        box = QRectF(0.5, 0.5, min(self.width() - 1, text.width() + 24), text.height() + 11)
        painter.setBrush(look.colour(f"{token}_tint"))
        outline = look.name == "daylight"
        painter.setPen(QPen(look.colour(token), 2) if outline else Qt.PenStyle.NoPen)
        painter.drawRoundedRect(box, min(16.0, box.height() / 2), min(16.0, box.height() / 2))
        painter.setFont(self._font())
        painter.setPen(look.colour(token))
        painter.drawText(
            box.adjusted(12, 0, -10, 0), int(Qt.AlignmentFlag.AlignVCenter | Qt.TextFlag.TextWordWrap), self.words
        )

    def _text_box(self, width: int) -> QRect:
        return self._metrics().boundingRect(0, 0, max(20, width - 24), 4000, Qt.TextFlag.TextWordWrap, self.words)

    def _font(self) -> QFont:
        look = theme()
        font = look.font("small", bold=self._chip is not None and self._chip.tone is not Tone.CALM)
        font.setPixelSize(look.chip)
        return font

    def _metrics(self) -> QFontMetrics:
        return QFontMetrics(self._font())


class ChipBlock(QWidget):
    """A chip with its lines under it ("smallest we could see", "next verdict at reading n")."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(6)
        self.chip = Chip()
        self.detail = Label("", "small", "soft", wrap=True)
        column.addWidget(self.chip)
        column.addWidget(self.detail)

    def show_chip(self, chip: VerdictChip | None) -> None:
        self.setVisible(chip is not None)
        self.chip.show_chip(chip)
        words = kept_together("\n".join(chip.detail)) if chip is not None else ""
        self.detail.setText(words)
        self.detail.setVisible(bool(words))
