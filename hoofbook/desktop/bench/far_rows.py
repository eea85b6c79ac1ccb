"""Marks that do not fit the others of their set, one row each; pressing a row leads to the mark in its photo."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import TYPE_CHECKING

from PySide6.QtCore import QRectF, QSize, Qt
from PySide6.QtGui import QFontMetrics, QPainter, QPaintEvent, QPen, QResizeEvent
from PySide6.QtWidgets import QVBoxLayout, QWidget

from hoofbook.desktop.look import theme
from hoofbook.desktop.theme import TARGET
from hoofbook.desktop.widgets.painted_button import PaintedButton

if TYPE_CHECKING:
    from hoofbook.casework.bench_live import FarMark

_WRAP = int(Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignVCenter | Qt.TextFlag.TextWordWrap)
_SIDE = 10


class FarRow(PaintedButton):
    """One sentence about one mark, with a bar at its left as remarks have it."""

    def __init__(self, far: FarMark, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.far = far
        self.setText(far.words)
        self.setAccessibleName(far.words)
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)

    def _high(self) -> int:
        metrics = QFontMetrics(theme().font("small", bold=True))
        room = max(80, (self.width() or 220) - 2 * _SIDE)
        return max(TARGET, metrics.boundingRect(0, 0, room, 2000, _WRAP, self.text()).height() + 12)

    def sizeHint(self) -> QSize:
        return QSize(220, self._high())

    def minimumSizeHint(self) -> QSize:
        return QSize(120, self._high())

    def resizeEvent(self, event: QResizeEvent) -> None:
        self.updateGeometry()

    def paintEvent(self, event: QPaintEvent) -> None:
        look = theme()
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        box = QRectF(self.rect())
        painter.setPen(Qt.PenStyle.NoPen)
        painter.setBrush(look.colour("leather_tint" if self.underMouse() else "quiet"))
        painter.drawRoundedRect(box, 8, 8)
        if look.name == "daylight":
            painter.setBrush(Qt.BrushStyle.NoBrush)
            painter.setPen(QPen(look.colour("ink"), look.border))
            painter.drawRoundedRect(box.adjusted(1, 1, -1, -1), 8, 8)
        painter.setFont(look.font("small", bold=True))
        painter.setPen(look.colour("ink"))
        painter.drawText(box.adjusted(_SIDE, 0, -_SIDE, 0), _WRAP, self.text())


class FarRows(QWidget):
    """The rows; hidden while every mark fits. `chosen(photo, mark)` is called by pressing one."""

    def __init__(self, chosen: Callable[[str, str], object]) -> None:
        super().__init__()
        self._chosen = chosen
        self._column = QVBoxLayout(self)
        self._column.setContentsMargins(0, 0, 0, 0)
        self._column.setSpacing(4)
        self.rows: list[FarRow] = []
        self.hide()

    def show_far(self, far: Sequence[FarMark]) -> None:
        if [row.far for row in self.rows] == list(far):
            return
        for row in self.rows:
            row.hide()
            row.deleteLater()
        self.rows = []
        for each in far:
            row = FarRow(each, self)
            row.clicked.connect(lambda _=False, each=each: self._chosen(each.photo, each.mark))
            self.rows.append(row)
            self._column.addWidget(row)
        self.setVisible(bool(self.rows))
