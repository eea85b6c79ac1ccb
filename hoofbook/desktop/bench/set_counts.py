"""How many marks of each kind are placed in each photo of a set; the row of the current mark is tinted."""

from __future__ import annotations

from PySide6.QtCore import QRectF, QSize, Qt
from PySide6.QtGui import QFontMetrics, QPainter, QPaintEvent, QPen, QResizeEvent
from PySide6.QtWidgets import QWidget

from hoofbook.desktop.bench.desk import MarkingDesk
from hoofbook.desktop.look import theme
from hoofbook.desktop.theme import TARGET
from hoofbook.terms.marks import MarkState, mark_group
from hoofbook.wording import bench_labels as words


class SetCounts(QWidget):
    """Rows by kind of mark, columns by photo; kinds that are not needed stand here while they wait for an answer."""

    def __init__(self, desk: MarkingDesk) -> None:
        super().__init__()
        self._desk = desk
        self.cells: list[tuple[str, tuple[str, ...], bool]] = []
        self._heads: tuple[str, ...] = ()

    def refresh(self) -> None:
        """Count again what is placed."""
        desk = self._desk
        keys = desk.shown.set_keys if desk.shown is not None else ()
        self._heads = tuple(str(i) for i in range(1, len(keys) + 1))
        groups: dict[str, list[str]] = {}
        for line in desk.lines:
            groups.setdefault(line.group, []).append(line.name)
        needed = {line.group for line in desk.lines if line.required}
        current = mark_group(desk.current) if desk.current else ""
        self.cells = []
        for group, names in groups.items():
            counts = [self._count(group, key) for key in keys]
            proposed = any(desk.state_of(name) is MarkState.PROPOSED for name in names)
            if group in needed or proposed or group == current:
                row = tuple(self._words(count, len(names), key) for count, key in zip(counts, keys, strict=True))
                self.cells.append((desk.label(names[0]), row, group == current))
        self.setAccessibleName(
            f"{words.COUNTS}. "
            + "; ".join(
                f"{label}: " + ", ".join(f"{words.PHOTO} {h}: {c}" for h, c in zip(self._heads, row, strict=True))
                for label, row, _ in self.cells
            )
        )
        self.updateGeometry()
        self.update()

    def _count(self, group: str, key: str) -> int:
        marks = self._desk.visible(key).marks
        return sum(1 for name, m in marks.items() if mark_group(name) == group and m.state is not MarkState.PROPOSED)

    def _words(self, count: int, needed: int, key: str) -> str:
        if count >= needed or (count == 0 and key != self._desk.photo):
            return str(count) if count else "–"
        return words.OF_NEEDED.format(done=count, needed=needed)

    def _columns(self) -> tuple[float, float]:
        """Where the columns of figures begin, and how wide each is."""
        head = QFontMetrics(theme().font("small")).horizontalAdvance(self._heads[0]) if self._heads else 0
        column = max(head, QFontMetrics(theme().font("small", bold=True)).horizontalAdvance("6 of 6")) + 12.0
        return self.width() - column * len(self._heads) - 8, column

    def _row_height(self, label: str) -> int:
        metrics = QFontMetrics(theme().font("small", bold=True))
        room = max(60, round(self._columns()[0]) - 12)
        text = metrics.boundingRect(0, 0, room, 1000, int(Qt.TextFlag.TextWordWrap), label)
        return max(TARGET - 6, text.height() + 10)

    def sizeHint(self) -> QSize:
        return QSize(250, 24 + sum(self._row_height(label) for label, _, _ in self.cells))

    def minimumSizeHint(self) -> QSize:
        return self.sizeHint()

    def resizeEvent(self, event: QResizeEvent) -> None:
        self.updateGeometry()

    def paintEvent(self, event: QPaintEvent) -> None:
        look = theme()
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        right = int(Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter)
        left = int(Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignVCenter)
        start, column = self._columns()
        painter.setFont(look.font("small"))
        painter.setPen(look.colour("soft_ink"))
        painter.drawText(QRectF(8, 0, start, 22), left, words.PHOTO)
        for place, head in enumerate(self._heads):
            painter.drawText(QRectF(start + place * column, 0, column, 22), right, head)
        top = 24
        for label, row, current in self.cells:
            high = self._row_height(label)
            box = QRectF(0, top, self.width(), high)
            top += high
            if current:
                painter.setPen(Qt.PenStyle.NoPen)
                painter.setBrush(look.colour("leather_tint"))
                painter.drawRoundedRect(box, 8, 8)
            painter.setPen(QPen(look.colour("line"), look.border))
            painter.drawLine(box.topLeft(), box.topRight())
            painter.setFont(look.font("small", bold=current))
            painter.setPen(look.colour("ink"))
            room = QRectF(8, box.top(), start - 8, high)
            painter.drawText(room, left | int(Qt.TextFlag.TextWordWrap), label)
            painter.setPen(look.colour("leather" if current else "ink"))
            for place, words_of in enumerate(row):
                painter.drawText(QRectF(start + place * column, box.top(), column, high), right, words_of)
