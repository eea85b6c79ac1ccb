"""The small sign before a mark or a check: done, proposed, not to be seen."""

from __future__ import annotations

from PySide6.QtCore import QPointF, Qt
from PySide6.QtGui import QPainter, QPen

from hoofbook.desktop.look import theme
from hoofbook.terms.marks import MarkState


def paint_tick(painter: QPainter, x: float, y: float, state: MarkState | None) -> None:
    """A tick for a placed mark, a small broken ring for a proposed one, nothing for an open one."""
    look = theme()
    if state is MarkState.CONFIRMED:
        painter.setPen(QPen(look.colour("ink"), 2, Qt.PenStyle.SolidLine, Qt.PenCapStyle.RoundCap))
        painter.drawPolyline([QPointF(x - 5, y), QPointF(x - 1, y + 4), QPointF(x + 6, y - 5)])
    elif state is MarkState.PROPOSED:
        pen = QPen(look.colour("ink"), 1.8)
        pen.setDashPattern([1.6, 1.4])
        painter.setPen(pen)
        painter.setBrush(Qt.BrushStyle.NoBrush)
        painter.drawEllipse(QPointF(x, y), 5.5, 5.5)
    elif state is MarkState.UNSEEN:
        painter.setPen(QPen(look.colour("soft_ink"), 2))
        painter.drawLine(QPointF(x - 5, y), QPointF(x + 5, y))
