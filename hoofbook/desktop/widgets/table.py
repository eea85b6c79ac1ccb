"""A table whose rows can be pressed. Columns take the room they need, wrap where it is narrow, and stack where that
is not enough: nothing is cut."""

from __future__ import annotations

from collections.abc import Callable

from PySide6.QtCore import QEvent, QPoint, QRect, QSize, Qt
from PySide6.QtGui import QFontMetrics, QKeyEvent, QPainter, QPaintEvent, QPen, QResizeEvent
from PySide6.QtWidgets import QAbstractButton, QSizePolicy, QVBoxLayout, QWidget

from hoofbook.desktop.look import theme
from hoofbook.desktop.theme import TARGET
from hoofbook.terms.shown import Table

_GAP = 18
_WRAP = int(Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignTop | Qt.TextFlag.TextWordWrap)


def column_widths(natural: list[int], least: list[int], room: int) -> list[int] | None:
    """Widths of the columns in `room` px: natural where they fit (spare room goes to the widest), else the widest are
    narrowed (their words wrap) down to their longest word; None where even that does not fit."""
    if sum(least) > room:
        return None
    widths = list(natural)
    spare = room - sum(widths)
    if spare >= 0:
        widths[widths.index(max(widths))] += spare
        return widths
    while sum(widths) > room:
        loose = [i for i, wide in enumerate(widths) if wide > least[i]]
        widest = max(loose, key=lambda i: widths[i])
        below = max((widths[i] for i in loose if widths[i] < widths[widest]), default=0)
        cut = min(widths[widest] - max(least[widest], below), sum(widths) - room)
        widths[widest] -= max(1, cut)
    return widths


class RowButton(QAbstractButton):
    """One row. Without a key it is read, not pressed."""

    def __init__(self, cells: tuple[str, ...], heads: tuple[str, ...], table: TableView, emphasis: str) -> None:
        super().__init__(table)
        self.cells = cells
        self._table = table
        self._emphasis = emphasis
        self.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        pairs = [f"{head}: {cell}" if head else cell for head, cell in zip(heads, cells, strict=False) if cell]
        self.setAccessibleName(", ".join(pairs))
        policy = QSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Preferred)
        policy.setHeightForWidth(True)
        self.setSizePolicy(policy)

    def make_pressable(self, pressed: Callable[[], object]) -> None:
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setCursor(Qt.CursorShape.PointingHandCursor)
        self.clicked.connect(lambda _checked=False: pressed())

    def hasHeightForWidth(self) -> bool:
        return True

    def heightForWidth(self, width: int) -> int:
        return self._table.row_height(self.cells, width)

    def sizeHint(self) -> QSize:
        return QSize(200, self.heightForWidth(max(200, self.width())))

    def minimumSizeHint(self) -> QSize:
        return QSize(120, TARGET)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        if event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter):
            self.click()
        elif event.key() in (Qt.Key.Key_Down, Qt.Key.Key_Up):
            self._table.step(self, 1 if event.key() == Qt.Key.Key_Down else -1)
        else:
            super().keyPressEvent(event)

    def enterEvent(self, event: QEvent) -> None:
        self.update()

    def leaveEvent(self, event: QEvent) -> None:
        self.update()

    def paintEvent(self, event: QPaintEvent) -> None:
        look = theme()
        painter = QPainter(self)
        if self._emphasis == "event":
            painter.fillRect(self.rect(), look.colour("quiet"))
        if self.underMouse() and self.focusPolicy() != Qt.FocusPolicy.NoFocus:
            painter.fillRect(self.rect(), look.colour("leather_tint"))
        painter.setPen(QPen(look.colour("line"), look.border))
        painter.drawLine(self.rect().topLeft(), self.rect().topRight())
        for place, (box, words) in enumerate(self._table.boxes(self.cells, self.width())):
            strong = place == 0 or self._emphasis == "late"
            painter.setFont(look.font("small", bold=strong))
            painter.setPen(look.colour("ink"))
            painter.drawText(box, _WRAP, words)


class TableView(QWidget):
    """Shows a `Table`; `pressed(key)` opens a row. Up and Down walk the rows."""

    def __init__(self, pressed: Callable[[str], object] | None = None, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._pressed = pressed
        self._table = Table((), ())
        self.rows: list[RowButton] = []
        self._column = QVBoxLayout(self)
        self._column.setContentsMargins(0, 0, 0, 0)
        self._column.setSpacing(0)
        self._heads = _Heads(self)
        self._column.addWidget(self._heads)

    @property
    def heads(self) -> tuple[str, ...]:
        return self._table.heads

    def show_table(self, table: Table) -> None:
        for row in self.rows:
            self._column.removeWidget(row)
            row.hide()
            row.deleteLater()
        self._table = table
        self.rows = []
        for place, cells in enumerate(table.rows):
            row = RowButton(cells, table.heads, self, table.emphasis.get(place, ""))
            key = table.keys[place] if place < len(table.keys) else ""
            if key and self._pressed is not None:
                row.make_pressable(lambda key=key: self._pressed(key))  # type: ignore[misc]
            self.rows.append(row)
            self._column.addWidget(row)
        self._heads.setVisible(bool(table.heads))
        self.updateGeometry()

    def step(self, row: RowButton, by: int) -> None:
        walk = [r for r in self.rows if r.focusPolicy() != Qt.FocusPolicy.NoFocus]
        place = walk.index(row) + by
        if 0 <= place < len(walk):
            walk[place].setFocus(Qt.FocusReason.TabFocusReason)

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        for row in self.rows:
            row.updateGeometry()
        self._heads.updateGeometry()
        self._heads.setVisible(bool(self.heads) and self.widths(self.width()) is not None)

    def widths(self, width: int) -> list[int] | None:
        """Column widths in this room, or None where rows are stacked."""
        plain, bold = QFontMetrics(theme().font("small")), QFontMetrics(theme().font("small", bold=True))
        natural: list[int] = []
        least: list[int] = []
        for column, head in enumerate(self._table.heads):
            metrics = bold if column == 0 else plain
            cells = [row[column] for row in self._table.rows if len(row) > column and not self._spans(row, column)]
            words = [word for cell in (*cells, head) for word in cell.split()]
            natural.append(max((metrics.horizontalAdvance(c) for c in (*cells, head)), default=0) + _GAP)
            floor = max((metrics.horizontalAdvance(w) for w in words), default=0)
            short = column == 0 and natural[-1] < 150
            least.append(natural[-1] if short else floor + _GAP)
        return column_widths(natural, least, width) if natural else None

    def boxes(self, cells: tuple[str, ...], width: int) -> list[tuple[QRect, str]]:
        """Where each cell of a row is written in `width` px."""
        widths = self.widths(width)
        pad = self._pad()
        if widths is None:
            return self._stacked(cells, width)
        found: list[tuple[QRect, str]] = []
        left = 0
        for column, words in enumerate(cells):
            wide = sum(widths[column:]) if self._spans(cells, column) else widths[column]
            metrics = QFontMetrics(theme().font("small", bold=column == 0))
            need = metrics.boundingRect(QRect(0, 0, wide - _GAP + 2, 4000), _WRAP, words)
            found.append(
                (QRect(QPoint(left, pad), QSize(wide - _GAP + 2, max(need.height(), metrics.height()))), words)
            )
            left += wide
        return found

    def row_height(self, cells: tuple[str, ...], width: int) -> int:
        boxes = self.boxes(cells, width)
        return max(TARGET, max((box.bottom() + 1 for box, _ in boxes), default=0) + self._pad())

    def _stacked(self, cells: tuple[str, ...], width: int) -> list[tuple[QRect, str]]:
        top = self._pad()
        found: list[tuple[QRect, str]] = []
        for column, cell in enumerate(cells):
            if not cell:
                continue
            head = self._table.heads[column] if column < len(self._table.heads) else ""
            words = f"{head}: {cell}" if column and head else cell
            metrics = QFontMetrics(theme().font("small", bold=not found))
            need = metrics.boundingRect(QRect(0, 0, width, 4000), _WRAP, words)
            found.append((QRect(0, top, width, need.height()), words))
            top += need.height() + 2
        return found

    def _spans(self, cells: tuple[str, ...], column: int) -> bool:
        """A row with nothing after a cell lets it run to the end."""
        return column < len(self._table.heads) - 1 and bool(cells[column]) and not any(cells[column + 1 :])

    def _pad(self) -> int:
        return 8


class _Heads(QWidget):
    """The heading line of a table."""

    def __init__(self, table: TableView) -> None:
        super().__init__(table)
        self._table = table
        policy = QSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Preferred)
        policy.setHeightForWidth(True)
        self.setSizePolicy(policy)

    def hasHeightForWidth(self) -> bool:
        return True

    def heightForWidth(self, width: int) -> int:
        return max((box.bottom() + 9 for box, _ in self._table.boxes(self._table.heads, width)), default=0)

    def sizeHint(self) -> QSize:
        return QSize(200, self.heightForWidth(max(200, self.width())))

    def paintEvent(self, event: QPaintEvent) -> None:
        painter = QPainter(self)
        painter.setFont(theme().font("small"))
        painter.setPen(theme().colour("soft_ink"))
        for box, words in self._table.boxes(self._table.heads, self.width()):
            painter.drawText(box, _WRAP, words)
