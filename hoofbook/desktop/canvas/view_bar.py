"""The small bar over a photo: zoom, loupe, light. Each button has a key, shown on it or beside it."""

from __future__ import annotations

from collections.abc import Callable

from PySide6.QtCore import QEvent, QRectF, QSize, Qt, Signal
from PySide6.QtGui import QFontMetrics, QPainter, QPaintEvent, QPen
from PySide6.QtWidgets import QAbstractButton, QGridLayout, QHBoxLayout, QSlider, QWidget

from hoofbook.desktop.canvas.adjust import Adjustment
from hoofbook.desktop.look import theme
from hoofbook.desktop.theme import TARGET
from hoofbook.desktop.widgets.buttons import Button
from hoofbook.desktop.widgets.panel import Panel
from hoofbook.desktop.widgets.text import Label
from hoofbook.wording import bench_labels as words


class BarButton(QAbstractButton):
    """White words on a veil, its key in a small frame."""

    def __init__(self, text: str, key: str, name: str, pressed: Callable[[], object], parent: QWidget) -> None:
        super().__init__(parent)
        self._key = key
        self.setText(text)
        self.setAccessibleName(name)
        self.setToolTip(f"{name} ({key})" if key else name)
        self.setCursor(Qt.CursorShape.PointingHandCursor)
        self.setFocusPolicy(Qt.FocusPolicy.TabFocus)
        self.clicked.connect(lambda _checked=False: pressed())

    def sizeHint(self) -> QSize:
        metrics = QFontMetrics(theme().font("small", bold=True))
        key = metrics.horizontalAdvance(self._key) + 14 if self._key and self._key != self.text() else 0
        return QSize(max(TARGET, metrics.horizontalAdvance(self.text()) + 20 + key), TARGET)

    def paintEvent(self, event: QPaintEvent) -> None:
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        painter.setFont(theme().font("small", bold=True))
        metrics = painter.fontMetrics()
        box = QRectF(self.rect())
        if self.underMouse() or self.isChecked():
            painter.setPen(Qt.PenStyle.NoPen)
            painter.setBrush(theme().colour("ring_edge", 0.22))
            painter.drawRoundedRect(box.adjusted(2, 4, -2, -4), 7, 7)
        painter.setPen(theme().colour("ring_edge"))
        if not self._key:
            painter.drawText(box, Qt.AlignmentFlag.AlignCenter, self.text())
            return
        wide, high = metrics.horizontalAdvance(self._key) + 10.0, metrics.height() + 2.0
        alone = self._key == self.text()
        left = (box.width() - wide) / 2 if alone else box.width() - wide - 7
        painter.setPen(QPen(theme().colour("ring_edge", 0.75), 1))
        painter.setBrush(Qt.BrushStyle.NoBrush)
        cap = QRectF(left, (box.height() - high) / 2, wide, high)
        painter.drawRoundedRect(cap, 5, 5)
        painter.setPen(theme().colour("ring_edge"))
        painter.drawText(cap, Qt.AlignmentFlag.AlignCenter, self._key)
        if not alone:
            painter.drawText(box.adjusted(8, 0, -wide - 9, 0), Qt.AlignmentFlag.AlignCenter, self.text())


class ViewBar(QWidget):
    """Lies in the lower left corner of a canvas."""

    def __init__(self, parent: QWidget) -> None:
        super().__init__(parent)
        self._row = QHBoxLayout(self)
        self._row.setContentsMargins(4, 1, 4, 1)
        self._row.setSpacing(0)

    def add(self, text: str, key: str, name: str, pressed: Callable[[], object]) -> BarButton:
        button = BarButton(text, key, name, pressed, self)
        self._row.addWidget(button)
        return button

    def add_widget(self, widget: QWidget) -> QWidget:
        """Something else than a button, in a holder with a little room on both sides."""
        holder = QWidget(self)
        row = QHBoxLayout(holder)
        row.setContentsMargins(10, 0, 10, 0)
        row.addWidget(widget)
        self._row.addWidget(holder)
        return holder

    def lie_in(self, room: QSize, margin: int = 20) -> None:
        self.adjustSize()
        self.move(margin, room.height() - self.height() - margin)

    def changeEvent(self, event: QEvent) -> None:
        super().changeEvent(event)
        if event.type() is QEvent.Type.StyleChange:
            self.adjustSize()

    def paintEvent(self, event: QPaintEvent) -> None:
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        painter.setPen(Qt.PenStyle.NoPen)
        painter.setBrush(theme().colour("veil", 0.82))
        painter.drawRoundedRect(QRectF(self.rect()), 9, 9)


class LightPanel(Panel):
    """Contrast and brightness of what is seen; the photo itself stays as it is."""

    changed = Signal(Adjustment)

    def __init__(self, parent: QWidget) -> None:
        super().__init__("", parent, inside=14)
        grid = QGridLayout()
        grid.setHorizontalSpacing(12)
        self.contrast, self.brightness = self._slider(words.CONTRAST), self._slider(words.BRIGHTNESS)
        for row, (label, slider) in enumerate(((words.CONTRAST, self.contrast), (words.BRIGHTNESS, self.brightness))):
            grid.addWidget(Label(label, "small"), row, 0)
            grid.addWidget(slider, row, 1)
        self.body.addLayout(grid)
        self.body.addWidget(Label(words.VIEW_ONLY, "small", "soft"))
        self.body.addWidget(Button(words.AS_IT_IS, "plain", self.reset))
        self.hide()

    def reset(self) -> None:
        self.contrast.setValue(0)
        self.brightness.setValue(0)

    def _slider(self, name: str) -> QSlider:
        slider = QSlider(Qt.Orientation.Horizontal)
        slider.setRange(-100, 100)
        slider.setSingleStep(5)
        slider.setMinimumSize(180, TARGET)
        slider.setAccessibleName(name)
        slider.valueChanged.connect(self._tell)
        return slider

    def _tell(self) -> None:
        self.changed.emit(Adjustment(self.contrast.value(), self.brightness.value()))
