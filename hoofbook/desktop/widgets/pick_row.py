"""A row of choices, one tap each: filled = chosen, broken outline = copied from last time and not yet confirmed."""

from __future__ import annotations

from PySide6.QtCore import QEvent, QPoint, QRect, QRectF, QSize, Qt, Signal
from PySide6.QtGui import QFont, QFontMetrics, QKeyEvent, QPainter, QPainterPath, QPaintEvent, QPen, QResizeEvent
from PySide6.QtWidgets import QAbstractButton, QSizePolicy, QWidget

from hoofbook.desktop.look import theme
from hoofbook.desktop.theme import TAP, TARGET
from hoofbook.terms.shown import Pick
from hoofbook.wording import labels

_SIDE = 9
_RADIUS = 10
MANY = ","


class Cell(QAbstractButton):
    """One choice. It is painted by its row; it carries focus, clicks and the name a screen reader says."""

    def __init__(self, value: str, words: str, row: PickRow) -> None:
        super().__init__(row)
        self._row = row
        self.value = value
        self.setText(words)
        self.setCheckable(True)
        self.setCursor(Qt.CursorShape.PointingHandCursor)
        self.clicked.connect(lambda: row.press(self))

    def paintEvent(self, event: QPaintEvent) -> None:
        pass

    def enterEvent(self, event: QEvent) -> None:
        self._row.update()

    def leaveEvent(self, event: QEvent) -> None:
        self._row.update()

    def nextCheckState(self) -> None:
        pass  # the row decides what is chosen

    def keyPressEvent(self, event: QKeyEvent) -> None:
        way = {Qt.Key.Key_Left: -1, Qt.Key.Key_Right: 1}.get(Qt.Key(event.key()), 0)
        if way and self._row.step(self, way):
            return
        if event.key() == Qt.Key.Key_Space:
            self.click()
            return
        event.ignore()  # up, down and Enter belong to the sheet around


class PickRow(QWidget):
    """Shows a `Pick`. `picked(field, value)` says what the person chose ("" = chosen again, so taken back).

    Cells stand in one line where they fit and in as many lines as they need where not; nothing is cut.
    With `style="track"` it is a quiet switch (feet, measures, theme) in which one is always chosen.
    """

    picked = Signal(str, str)

    def __init__(
        self, pick: Pick | None = None, *, style: str = "tap", name: str = "", parent: QWidget | None = None
    ) -> None:
        super().__init__(parent)
        self._style = style
        self._name = name
        self._cells: list[Cell] = []
        self.pick = Pick("", "", (), ())
        policy = QSizePolicy(QSizePolicy.Policy.Preferred, QSizePolicy.Policy.Preferred)
        policy.setHeightForWidth(True)
        self.setSizePolicy(policy)
        if pick is not None:
            self.set_pick(pick)

    @property
    def cells(self) -> list[Cell]:
        return self._cells

    @property
    def chosen(self) -> tuple[str, ...]:
        return tuple(part for part in self.pick.chosen.split(MANY) if part) if self.pick.many else (self.pick.chosen,)

    def cell(self, value: str) -> Cell:
        return next(cell for cell in self._cells if cell.value == value)

    def set_pick(self, pick: Pick) -> None:
        """Show these choices; cells (and the focus in them) stay when the options are the same."""
        same = pick.options == self.pick.options and pick.labels == self.pick.labels and bool(self._cells)
        self.pick = pick
        had_focus = any(cell.hasFocus() for cell in self._cells)
        if not same:
            for cell in self._cells:
                cell.hide()
                cell.deleteLater()
            self._cells = [Cell(v, w, self) for v, w in zip(pick.options, pick.labels, strict=True)]
            for cell in self._cells:
                cell.show()
            self.updateGeometry()
            self._place()
        for cell in self._cells:
            self._name_cell(cell)
        stop = self._stop_cell()
        self._set_tab_stop(stop)
        if had_focus and not same and stop is not None:
            stop.setFocus(Qt.FocusReason.OtherFocusReason)
        self.update()

    def press(self, cell: Cell) -> None:
        self._set_tab_stop(cell)
        already = cell.value in self.chosen
        if self.pick.many:
            kept = [v for v in self.chosen if v != cell.value] if already else [*self.chosen, cell.value]
            self.picked.emit(self.pick.field, MANY.join(v for v in self.pick.options if v in kept))
        elif self._style == "track":
            if not already:
                self.picked.emit(self.pick.field, cell.value)
        elif already and self.pick.hollow:
            self.picked.emit(self.pick.field, cell.value)  # pressing a hollow one confirms it
        else:
            self.picked.emit(self.pick.field, "" if already else cell.value)

    def step(self, cell: Cell, by: int) -> bool:
        """Focus the cell beside; False at the end, so that the sheet can go on to the next foot."""
        place = self._cells.index(cell) + by
        if not 0 <= place < len(self._cells):
            return False
        self.focus_cell(place)
        return True

    def focus_cell(self, place: int) -> None:
        cell = self._cells[max(0, min(place, len(self._cells) - 1))]
        self._set_tab_stop(cell)
        cell.setFocus(Qt.FocusReason.TabFocusReason)

    def sizeHint(self) -> QSize:
        widths = self._widths()
        return QSize(sum(widths) + self._frame() * 2, self._line_height() + self._frame() * 2)

    def minimumSizeHint(self) -> QSize:
        widths = self._widths()
        return QSize(max(widths, default=TARGET) + self._frame() * 2, self._line_height())

    def hasHeightForWidth(self) -> bool:
        return True

    def heightForWidth(self, width: int) -> int:
        return len(self._lines(width)) * self._line_height() + self._frame() * 2

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        self._place()

    def changeEvent(self, event: QEvent) -> None:
        super().changeEvent(event)
        if event.type() is QEvent.Type.StyleChange:
            self.updateGeometry()
            self._place()

    def paintEvent(self, event: QPaintEvent) -> None:
        look = theme()
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        painter.setFont(self._font())
        outline = QRectF(self.rect()).adjusted(0.5, 0.5, -0.5, -0.5)
        path = QPainterPath()
        path.addRoundedRect(outline, _RADIUS, _RADIUS)
        painter.fillPath(path, look.colour("track" if self._style == "track" else "card"))
        for cell in self._cells:
            self._paint_cell(painter, cell, path)
        painter.setClipping(False)
        painter.setPen(QPen(look.colour("line"), look.border))
        painter.setBrush(Qt.BrushStyle.NoBrush)
        painter.drawPath(path)
        for cell in self._cells:
            if self.pick.hollow and cell.value in self.chosen:
                self._paint_hollow(painter, cell)

    def _paint_cell(self, painter: QPainter, cell: Cell, outline: QPainterPath) -> None:
        look = theme()
        box = QRectF(cell.geometry())
        chosen = cell.value in self.chosen
        hollow = chosen and self.pick.hollow
        ink = "ink"
        painter.setClipPath(outline)
        if chosen and not hollow and self._style == "track":
            shape = QPainterPath()
            shape.addRoundedRect(box.adjusted(3, 3, -3, -3), _RADIUS - 2, _RADIUS - 2)
            painter.fillPath(shape, look.colour("card"))
            if look.name != "light":
                painter.setPen(QPen(look.colour("leather"), 2))
                painter.drawPath(shape)
        elif chosen and not hollow:
            painter.fillRect(box, look.colour("leather"))
            ink = "on_leather"
        elif cell.underMouse() and cell.isEnabled():
            painter.fillRect(box, look.colour("leather_tint"))
        if self._style != "track" and box.left() > 2 and not chosen:
            painter.setPen(QPen(look.colour("line"), look.border))
            painter.drawLine(box.topLeft(), box.bottomLeft())
        if box.top() > 2:
            painter.setPen(QPen(look.colour("line"), look.border))
            painter.drawLine(box.topLeft(), box.topRight())
        font = self._font()
        font.setWeight(font.Weight.DemiBold if chosen else font.Weight.Normal)
        painter.setFont(font)
        if hollow:
            ink = "leather"
        elif not cell.isEnabled() or (self._style == "track" and not chosen):
            ink = "soft_ink"
        painter.setPen(look.colour(ink))
        painter.drawText(box, Qt.AlignmentFlag.AlignCenter, cell.text())

    def _paint_hollow(self, painter: QPainter, cell: Cell) -> None:
        pen = QPen(theme().colour("leather"), 2, Qt.PenStyle.CustomDashLine)
        pen.setDashPattern([3, 2])
        painter.setPen(pen)
        painter.drawRoundedRect(QRectF(cell.geometry()).adjusted(2, 2, -2, -2), _RADIUS - 2, _RADIUS - 2)

    def _font(self) -> QFont:
        return theme().font("body" if self._style == "track" else "small")

    def _frame(self) -> int:
        return 0

    def _line_height(self) -> int:
        least = TARGET + 4 if self._style == "track" else TAP
        return max(least, QFontMetrics(self._font()).height() + 16)

    def _widths(self) -> list[int]:
        font = self._font()
        font.setWeight(font.Weight.DemiBold)
        metrics = QFontMetrics(font)
        side = _SIDE + (4 if self._style == "track" else 0)
        return [max(TARGET, metrics.horizontalAdvance(cell.text()) + 2 * side) for cell in self._cells]

    def _lines(self, width: int) -> list[list[int]]:
        """Which cells stand in which line, as evenly as they fit."""
        widths = self._widths()
        if not widths:
            return [[]]
        for lines in range(1, len(widths) + 1):
            each = -(-len(widths) // lines)
            groups = [list(range(i, min(i + each, len(widths)))) for i in range(0, len(widths), each)]
            if all(sum(widths[i] for i in group) <= width for group in groups):
                return groups
        return [[i] for i in range(len(widths))]

    def _place(self) -> None:
        widths = self._widths()
        height = self._line_height()
        for line, group in enumerate(self._lines(self.width())):
            spare = max(0, self.width() - sum(widths[i] for i in group))
            left = 0.0
            for i in group:
                wide = widths[i] + spare / len(group)
                right = left + wide
                self._cells[i].setGeometry(
                    QRect(QPoint(round(left), line * height), QSize(round(right) - round(left), height))
                )
                left = right

    def _stop_cell(self) -> Cell | None:
        focused = next((cell for cell in self._cells if cell.hasFocus()), None)
        chosen = next((cell for cell in self._cells if cell.value in self.chosen), None)
        return focused or chosen or (self._cells[0] if self._cells else None)

    def _set_tab_stop(self, stop: Cell | None) -> None:
        for cell in self._cells:
            cell.setFocusPolicy(Qt.FocusPolicy.StrongFocus if cell is stop else Qt.FocusPolicy.ClickFocus)

    def _name_cell(self, cell: Cell) -> None:
        chosen = cell.value in self.chosen
        cell.setChecked(chosen and not self.pick.hollow)
        state = labels.CHOSEN if chosen else ""
        if chosen and self.pick.hollow:
            state = labels.COPIED_NOT_CONFIRMED
        head = ", ".join(part for part in (self._name, self.pick.label) if part)
        cell.setAccessibleName(
            ", ".join(part for part in (f"{head}: {cell.text()}" if head else cell.text(), state) if part)
        )
        if self.pick.hint:
            cell.setAccessibleDescription(self.pick.hint)
