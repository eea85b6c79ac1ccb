"""The marks of a photo as rows: a tick, the name, and what is to be done; the current one is tinted."""

from __future__ import annotations

from collections.abc import Callable

from PySide6.QtCore import QRectF, QSize, Qt
from PySide6.QtGui import QFontMetrics, QKeyEvent, QPainter, QPaintEvent, QPen
from PySide6.QtWidgets import QAbstractButton, QVBoxLayout, QWidget

from hoofbook.desktop.bench.desk import MarkingDesk
from hoofbook.desktop.canvas.tick import paint_tick
from hoofbook.desktop.look import theme
from hoofbook.desktop.theme import TARGET
from hoofbook.desktop.widgets.buttons import Button
from hoofbook.terms.marks import MarkState
from hoofbook.wording import bench_labels as words

NOTES = {MarkState.PROPOSED: words.PROPOSED, MarkState.UNSEEN: words.UNSEEN}


class MarkRow(QAbstractButton):
    """One landmark; pressing it makes it the current one."""

    def __init__(self, name: str, label: str, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.name = name
        self.label = label
        self._state: MarkState | None = None
        self._note = ""
        self.current = False
        self.setText(label)
        self.setCursor(Qt.CursorShape.PointingHandCursor)
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)

    def show_state(self, state: MarkState | None, note: str, *, current: bool) -> None:
        if (state, note, current) != (self._state, self._note, self.current):
            self._state, self._note, self.current = state, note, current
            self.update()
        said = words.PLACED if state is MarkState.CONFIRMED else NOTES[state] if state else words.NOT_PLACED
        self.setAccessibleName(", ".join(dict.fromkeys(part for part in (self.label, note, said) if part)))

    def sizeHint(self) -> QSize:
        return QSize(220, max(TARGET, QFontMetrics(theme().font()).height() + 12))

    def keyPressEvent(self, event: QKeyEvent) -> None:
        if event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter):
            self.click()
        else:
            super().keyPressEvent(event)

    def paintEvent(self, event: QPaintEvent) -> None:
        look = theme()
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        box = QRectF(self.rect())
        if self.current or self.underMouse():
            painter.setPen(Qt.PenStyle.NoPen)
            painter.setBrush(look.colour("leather_tint" if self.current else "quiet"))
            painter.drawRoundedRect(box, 8, 8)
            if self.current and look.name == "daylight":
                painter.setPen(QPen(look.colour("leather"), 2))
                painter.drawRoundedRect(box.adjusted(1, 1, -1, -1), 8, 8)
        paint_tick(painter, 16, box.center().y(), self._state)
        painter.setFont(look.font("small"))
        wide = painter.fontMetrics().horizontalAdvance(self._note)
        painter.setPen(look.colour("leather" if self.current else "soft_ink"))
        painter.drawText(
            box.adjusted(0, 0, -10, 0), Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter, self._note
        )
        painter.setFont(look.font(bold=self.current))
        open_and_free = self._state is None and not self.current
        painter.setPen(look.colour("soft_ink" if open_and_free else "ink"))
        room = box.adjusted(32, 0, -wide - 18, 0)
        painter.drawText(room, Qt.AlignmentFlag.AlignVCenter | Qt.AlignmentFlag.AlignLeft, self.label)


class MarkRows(QWidget):
    """All marks of a photo that is not part of a set; those not needed fold away unless they wait for an answer."""

    def __init__(self, desk: MarkingDesk, chosen: Callable[[str], object]) -> None:
        super().__init__()
        self._desk = desk
        self._chosen = chosen
        self._all = False
        self._names: tuple[str, ...] = ()
        self.rows: dict[str, MarkRow] = {}
        self._column = QVBoxLayout(self)
        self._column.setContentsMargins(0, 0, 0, 0)
        self._column.setSpacing(1)
        self.more = Button("", "link", self._turn)
        self._column.addWidget(self.more)

    def refresh(self) -> None:
        lines = self._desk.lines
        names = tuple(line.name for line in lines)
        if names != self._names:
            self._names, self._all = names, False
            for row in self.rows.values():
                row.hide()
                row.deleteLater()
            self.rows = {}
            for place, line in enumerate(lines):
                row = MarkRow(line.name, line.label, self)
                row.clicked.connect(lambda _=False, name=line.name: self._chosen(name))
                self.rows[line.name] = row
                self._column.insertWidget(place, row)
        folded = 0
        for line in lines:
            state, current = self._desk.state_of(line.name), line.name == self._desk.current
            note = words.NOW if current and state is None else NOTES.get(state, "") if state else ""
            if state is None and not current and not line.required:
                note = words.IF_YOU_LIKE
            self.rows[line.name].show_state(state, note, current=current)
            shown = line.required or state is MarkState.PROPOSED or current or self._all
            self.rows[line.name].setVisible(shown)
            folded += not shown
        self.more.setVisible(bool(folded) or self._all)
        self.more.set_words(words.FEWER_MARKS if self._all else words.MORE_MARKS.format(count=folded))

    def _turn(self) -> None:
        self._all = not self._all
        self.refresh()
