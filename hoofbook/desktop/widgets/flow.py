"""Lays widgets out in a line that wraps."""

from __future__ import annotations

from PySide6.QtCore import QPoint, QRect, QSize, Qt
from PySide6.QtWidgets import QLayout, QLayoutItem, QWidget


class FlowLayout(QLayout):
    """Widgets one after another, on as many lines as the width asks for. `grow` widens them to fill each line."""

    def __init__(
        self, parent: QWidget | None = None, *, gap: int = 8, line_gap: int | None = None, grow: bool = False
    ) -> None:
        super().__init__(parent)
        self._items: list[QLayoutItem] = []
        self._gap = gap
        self._line_gap = gap if line_gap is None else line_gap
        self._grow = grow
        self.setContentsMargins(0, 0, 0, 0)

    def addItem(self, item: QLayoutItem) -> None:
        self._items.append(item)

    def count(self) -> int:
        return len(self._items)

    def itemAt(self, index: int) -> QLayoutItem | None:
        return self._items[index] if 0 <= index < len(self._items) else None

    def takeAt(self, index: int) -> QLayoutItem | None:
        return self._items.pop(index) if 0 <= index < len(self._items) else None

    def expandingDirections(self) -> Qt.Orientation:
        return Qt.Orientation(0)

    def hasHeightForWidth(self) -> bool:
        return True

    def heightForWidth(self, width: int) -> int:
        edge = self.contentsMargins()
        inside = width - edge.left() - edge.right()
        return self._arrange(QRect(0, 0, inside, 0), move=False) + edge.top() + edge.bottom()

    def setGeometry(self, rect: QRect) -> None:
        super().setGeometry(rect)
        self._arrange(rect.marginsRemoved(self.contentsMargins()), move=True)

    def sizeHint(self) -> QSize:
        shown = self._shown()
        wide = sum(item.sizeHint().width() for item in shown) + self._gap * max(0, len(shown) - 1)
        return self._with_edge(wide, max((item.sizeHint().height() for item in shown), default=0))

    def minimumSize(self) -> QSize:
        shown = self._shown()
        return self._with_edge(
            max((item.minimumSize().width() for item in shown), default=0),
            max((item.minimumSize().height() for item in shown), default=0),
        )

    def _with_edge(self, wide: int, tall: int) -> QSize:
        edge = self.contentsMargins()
        return QSize(wide + edge.left() + edge.right(), tall + edge.top() + edge.bottom())

    def _shown(self) -> list[QLayoutItem]:
        return [item for item in self._items if not item.isEmpty()]

    def _arrange(self, rect: QRect, *, move: bool) -> int:
        top = rect.top()
        for line in self._lines(rect.width()):
            widths = [min(item.sizeHint().width(), rect.width()) for item in line]
            spare = rect.width() - sum(widths) - self._gap * (len(line) - 1)
            if self._grow and spare > 0:
                widths = [wide + spare // len(line) for wide in widths]
            heights = [
                item.heightForWidth(wide) if item.hasHeightForWidth() else item.sizeHint().height()
                for item, wide in zip(line, widths, strict=True)
            ]
            tall = max(heights, default=0)
            left = rect.left()
            for item, wide, high in zip(line, widths, heights, strict=True):
                if move:
                    item.setGeometry(QRect(QPoint(left, top + (tall - high) // 2), QSize(wide, high)))
                left += wide + self._gap
            top += tall + self._line_gap
        return max(0, top - self._line_gap - rect.top())

    def _lines(self, width: int) -> list[list[QLayoutItem]]:
        lines: list[list[QLayoutItem]] = []
        used = 0
        for item in self._shown():
            wide = item.sizeHint().width()
            if lines and used + self._gap + wide <= width:
                lines[-1].append(item)
                used += self._gap + wide
            else:
                lines.append([item])
                used = wide
        return lines
