"""What the card says of a photo: a sentence on a chip, its figures on hover, focus or click."""

from __future__ import annotations

from PySide6.QtCore import QEvent, QPoint, QRectF, QSize, Qt
from PySide6.QtGui import QFocusEvent, QFontMetrics, QPainter, QPaintEvent, QPen
from PySide6.QtWidgets import QAbstractButton, QSizePolicy, QWidget

from hoofbook.desktop.look import theme
from hoofbook.desktop.theme import TARGET
from hoofbook.desktop.widgets.text import Label
from hoofbook.wording import bench_labels as words


class Bubble(QWidget):
    """White words on a veil, under the chip that owns it."""

    def __init__(self, over: QWidget) -> None:
        super().__init__(over)
        self._over = over
        self.label = Label("", "small", wrap=True, parent=self)
        self.setAttribute(Qt.WidgetAttribute.WA_TransparentForMouseEvents)
        self.hide()

    def show_under(self, chip: QWidget, text: str) -> None:
        over = self._over
        room = min(460, over.width() - 40)
        metrics = QFontMetrics(theme().font("small"))
        need = metrics.boundingRect(0, 0, room, 1000, int(Qt.TextFlag.TextWordWrap), text)
        self.label.setText(text)
        self.label.setStyleSheet(f"color: {theme().hex('ring_edge')};")
        self.resize(need.width() + 34, need.height() + 22)
        self.label.setGeometry(16, 10, need.width() + 6, need.height() + 2)
        corner = chip.mapTo(over, QPoint(chip.width() - self.width(), chip.height() + 6))
        self.move(max(8, corner.x()), corner.y())
        self.show()
        self.raise_()

    def paintEvent(self, event: QPaintEvent) -> None:
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        painter.setPen(Qt.PenStyle.NoPen)
        painter.setBrush(theme().colour("veil", 0.95))
        painter.drawRoundedRect(QRectF(self.rect()), 9, 9)


class CardChip(QAbstractButton):
    """The sentence; where the card is not good the chip has a leather edge and no tick."""

    def __init__(self, over: QWidget, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._good = False
        self._details = ""
        self._held = False
        self._bubble = Bubble(over)
        self.setCursor(Qt.CursorShape.PointingHandCursor)
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setSizePolicy(QSizePolicy.Policy.Maximum, QSizePolicy.Policy.Fixed)
        self.clicked.connect(self._toggle)

    @property
    def details_shown(self) -> bool:
        return self._bubble.isVisible()

    def show_card(self, sentence: str, good: bool, details: str) -> None:
        self.setText(sentence)
        self._good, self._details, self._held = good, details, False
        self.setVisible(bool(sentence))
        self.setAccessibleName(sentence)
        self.setAccessibleDescription(f"{words.CARD_DETAILS}: {details}" if details else "")
        self._bubble.hide()
        self.updateGeometry()
        self.update()

    def sizeHint(self) -> QSize:
        metrics = QFontMetrics(theme().font("small", bold=True))
        return QSize(
            metrics.horizontalAdvance(self.text()) + (46 if self._good else 30), max(TARGET, metrics.height() + 14)
        )

    def minimumSizeHint(self) -> QSize:
        return QSize(120, self.sizeHint().height())

    def paintEvent(self, event: QPaintEvent) -> None:
        look = theme()
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        box = QRectF(self.rect()).adjusted(1, 1, -1, -1)
        painter.setPen(QPen(look.colour("line" if self._good else "leather"), look.border + (0 if self._good else 0.5)))
        painter.setBrush(look.colour("card"))
        painter.drawRoundedRect(box, box.height() / 2, box.height() / 2)
        left = box.left() + 14
        if self._good:
            painter.setPen(QPen(look.colour("ink"), 2, Qt.PenStyle.SolidLine, Qt.PenCapStyle.RoundCap))
            middle = box.center().y()
            painter.drawPolyline([QPoint(round(left) + x, round(middle) + y) for x, y in ((0, 0), (4, 4), (10, -5))])
            left += 18
        painter.setFont(look.font("small", bold=True))
        painter.setPen(look.colour("ink"))
        room = QRectF(left, box.top(), box.right() - left - 12, box.height())
        text = painter.fontMetrics().elidedText(self.text(), Qt.TextElideMode.ElideRight, round(room.width()) + 1)
        painter.drawText(room, Qt.AlignmentFlag.AlignVCenter, text)

    def enterEvent(self, event: QEvent) -> None:
        self._show()

    def leaveEvent(self, event: QEvent) -> None:
        if not self._held and not self.hasFocus():
            self._bubble.hide()

    def focusInEvent(self, event: QFocusEvent) -> None:
        super().focusInEvent(event)
        if event.reason() in (Qt.FocusReason.TabFocusReason, Qt.FocusReason.BacktabFocusReason):
            self._show()

    def focusOutEvent(self, event: QFocusEvent) -> None:
        super().focusOutEvent(event)
        self._held = False
        self._bubble.hide()

    def _toggle(self) -> None:
        self._held = not self._held
        if self._held:
            self._show()
        else:
            self._bubble.hide()

    def _show(self) -> None:
        if self._details:
            text = self._details if self._text_fits() else f"{self.text()}\n{self._details}"
            self._bubble.show_under(self, text)

    def _text_fits(self) -> bool:
        return self.width() >= self.sizeHint().width()
