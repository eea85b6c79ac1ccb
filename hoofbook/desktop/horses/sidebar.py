"""The list of horses at the side: search, who is due when, and at its foot the places that belong to no horse."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import QEvent, QRect, QSize, Qt, Signal
from PySide6.QtGui import QFontMetrics, QKeyEvent, QPainter, QPaintEvent, QPen
from PySide6.QtWidgets import QGridLayout, QLineEdit, QSizePolicy, QVBoxLayout, QWidget

from hoofbook import PRODUCT_NAME
from hoofbook.desktop.header import OTHER_PLACES
from hoofbook.desktop.look import theme
from hoofbook.desktop.state import AppState
from hoofbook.desktop.widgets.buttons import Button
from hoofbook.desktop.widgets.page import Page
from hoofbook.desktop.widgets.painted_button import PaintedButton
from hoofbook.desktop.widgets.text import Label
from hoofbook.wording import labels

if TYPE_CHECKING:
    from hoofbook.casework.horses import HorseLine


def sidebar_width() -> int:
    """Wider for larger text."""
    return round(theme().size * 9.4 + 84)


class HorseRow(PaintedButton):
    """One horse: its name, its yard under it, and when it is due (late in bold ink)."""

    def __init__(self, line: HorseLine, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.line = line
        self.setCheckable(True)
        policy = QSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Preferred)
        policy.setHeightForWidth(True)
        self.setSizePolicy(policy)
        self.setAccessibleName(", ".join(part for part in (line.name, line.yard, line.owner, line.due) if part))
        self.setToolTip(self.accessibleName())

    def sizeHint(self) -> QSize:
        return QSize(180, self.heightForWidth(self.width() or sidebar_width() - 24))

    def minimumSizeHint(self) -> QSize:
        return QSize(120, 48)

    def hasHeightForWidth(self) -> bool:
        return True

    def heightForWidth(self, width: int) -> int:
        return max(48, max(box.bottom() for box, _ in self._parts(width).values()) + 9)

    def nextCheckState(self) -> None:
        pass

    def paintEvent(self, event: QPaintEvent) -> None:
        look = theme()
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        box = self.rect().adjusted(1, 1, -1, -1)
        if self.isChecked() or self.underMouse():
            painter.setBrush(look.colour("card" if self.isChecked() else "track"))
            painter.setPen(QPen(look.colour("line"), look.border))
            painter.drawRoundedRect(box, 10, 10)
        if self.isChecked():
            painter.setBrush(look.colour("leather"))
            painter.setPen(Qt.PenStyle.NoPen)
            painter.drawRoundedRect(QRect(box.left() + 3, box.top() + 10, 4, box.height() - 20), 2, 2)
        parts = self._parts(self.width())
        styles = {"name": ("body", True, "ink"), "yard": ("small", False, "soft_ink")}
        styles["due"] = ("small", self.line.late, "ink" if self.line.late else "soft_ink")
        for name, (place, words) in parts.items():
            kind, bold, token = styles[name]
            painter.setFont(look.font(kind, bold=bold))
            painter.setPen(look.colour(token))
            painter.drawText(place, int(Qt.TextFlag.TextWordWrap), words)

    def _parts(self, width: int) -> dict[str, tuple[QRect, str]]:
        """Where name, yard and due date stand; the date goes under the name where it does not fit beside."""
        look = theme()
        strong, small = (
            QFontMetrics(look.font("body", bold=True)),
            QFontMetrics(look.font("small", bold=self.line.late)),
        )
        side, room = 14, width - 26
        due_wide = small.horizontalAdvance(self.line.due) + 2
        beside = room - due_wide - 10 >= strong.horizontalAdvance(self.line.name)
        name_wide = room - due_wide - 10 if beside and self.line.due else room
        name = strong.boundingRect(QRect(0, 0, name_wide, 999), int(Qt.TextFlag.TextWordWrap), self.line.name)
        parts = {"name": (QRect(side, 8, name_wide, name.height()), self.line.name)}
        top = 8 + name.height() + 1
        plain = QFontMetrics(look.font("small"))
        if self.line.yard:
            yard = plain.boundingRect(QRect(0, 0, room, 999), int(Qt.TextFlag.TextWordWrap), self.line.yard)
            parts["yard"] = (QRect(side, top, room, yard.height()), self.line.yard)
            top += yard.height() + 1
        if self.line.due:
            at = QRect(side + room - due_wide, 9, due_wide, small.height()) if beside else None
            parts["due"] = (at or QRect(side, top, room, small.height()), self.line.due)
        return parts


class HorseSidebar(QWidget):
    """`horse_wanted(key)`, `place_wanted(name)` and `form_wanted()` say what was pressed."""

    horse_wanted = Signal(str)
    place_wanted = Signal(str)
    form_wanted = Signal()
    listed = Signal()

    def __init__(self, state: AppState, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._state = state
        self.setProperty("surface", "sidebar")
        self.setAttribute(Qt.WidgetAttribute.WA_StyledBackground)
        self.lines: tuple[HorseLine, ...] = ()
        self.rows: list[HorseRow] = []
        self._column = QVBoxLayout(self)
        self._column.setContentsMargins(12, 16, 12, 12)
        self._column.setSpacing(10)
        self.product = Label(PRODUCT_NAME, "heading")
        self.product.setContentsMargins(8, 0, 0, 0)
        self.search = QLineEdit()
        self.search.setPlaceholderText(labels.FIND_A_HORSE)
        self.search.setAccessibleName(labels.FIND_A_HORSE)
        self.search.setClearButtonEnabled(True)
        self.search.textChanged.connect(lambda _text: self.read())
        self.search.returnPressed.connect(self._take_first)
        self.page = Page(margin=0, token="sidebar")
        self.page.column.setContentsMargins(0, 2, 6, 8)
        self.page.column.setSpacing(2)
        self.add = Button(labels.ADD_HORSE, "row", self.form_wanted.emit)
        self._column.addWidget(self.product)
        self._column.addWidget(self.search)
        self._column.addWidget(self.page, 1)
        self._column.addWidget(self.add)
        self._column.addLayout(self._foot())
        self.book = Label("", "small", "soft", wrap=True)
        self.book.setContentsMargins(10, 0, 4, 0)
        self._column.addWidget(self.book)
        self._dress()

    def read(self) -> None:
        """Read the list again with what is searched for."""
        book = self._state.open_book
        if book is None:
            return
        words = self.search.text()
        self._state.background.read(
            self, lambda: self._state.casework.horses.list_horses(book, words), self.show_lines, replaces="list"
        )

    def show_lines(self, lines: tuple[HorseLine, ...]) -> None:
        book = self._state.open_book
        if book is not None:
            self.book.setText(f"{book.name}\n{labels.READ_ONLY}" if book.read_only else book.name)
            self.add.setVisible(not book.read_only)
        if lines != self.lines or not self.rows:
            self.lines = lines
            self._fill()
        self.mark(self._state.horse)
        self.listed.emit()

    def mark(self, key: str) -> None:
        """Show which horse is open."""
        for row in self.rows:
            row.setChecked(row.line.key == key)
            if row.line.key == key:
                self.page.ensureWidgetVisible(row, 0, 40)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        if event.key() in (Qt.Key.Key_Down, Qt.Key.Key_Up) and self.rows:
            focused = [row.hasFocus() for row in self.rows]
            at = focused.index(True) if True in focused else -1
            to = at + (1 if event.key() == Qt.Key.Key_Down else -1)
            target: QWidget = self.rows[min(to, len(self.rows) - 1)] if to >= 0 else self.search
            target.setFocus(Qt.FocusReason.TabFocusReason)
            self.page.ensureWidgetVisible(target, 0, 40)
        else:
            super().keyPressEvent(event)

    def changeEvent(self, event: QEvent) -> None:
        super().changeEvent(event)
        if event.type() is QEvent.Type.StyleChange:
            self._dress()

    def _take_first(self) -> None:
        if self.rows:
            self.horse_wanted.emit(self.rows[0].line.key)

    def _dress(self) -> None:
        self.setFixedWidth(sidebar_width())
        for button, name in (
            (self.add, "add"),
            *zip(self._others, ("photos_in", "card", "how", "set_up"), strict=True),
        ):
            button.set_icon(name, "soft_ink")
        self.search.setFont(theme().font())

    def _foot(self) -> QGridLayout:
        grid = QGridLayout()
        grid.setSpacing(0)
        self._others: list[Button] = []
        for place, (name, words) in enumerate(OTHER_PLACES):
            button = Button(words, "row", lambda name=name: self.place_wanted.emit(name))  # type: ignore[misc]
            self._others.append(button)
            grid.addWidget(button, place, 0)
        return grid

    def _fill(self) -> None:
        self.page.clear()
        self.rows = []
        group = ""
        for line in self.lines:
            if line.group != group:
                group = line.group
                head = Label(group, "small", "soft", bold=True, wrap=True)
                head.setContentsMargins(14, 12 if self.rows else 2, 4, 2)
                self.page.column.addWidget(head)
            row = HorseRow(line)
            row.clicked.connect(lambda _checked=False, key=line.key: self.horse_wanted.emit(key))
            self.rows.append(row)
            self.page.column.addWidget(row)
        if not self.lines and self.search.text():
            self.page.column.addWidget(Label(labels.NO_HORSE_FOUND, "small", "soft", wrap=True))
        self.page.column.addStretch(1)
