"""A page that scrolls and says so."""

from __future__ import annotations

from PySide6.QtCore import QEvent, QPointF, QRect, Qt
from PySide6.QtGui import QLinearGradient, QPainter, QPaintEvent, QResizeEvent
from PySide6.QtWidgets import QFrame, QHBoxLayout, QLayout, QLayoutItem, QScrollArea, QVBoxLayout, QWidget

from hoofbook.desktop.look import theme
from hoofbook.wording import labels

_MARGIN = 28


class Page(QScrollArea):
    """A column (`column`) of widgets as wide as the window gives; taller content scrolls, and the lower edge says
    "more below" until its end is reached. The focused widget is always brought into sight."""

    def __init__(self, parent: QWidget | None = None, *, margin: int = _MARGIN, token: str = "paper") -> None:
        super().__init__(parent)
        self.setWidgetResizable(True)
        self.setFrameShape(QFrame.Shape.NoFrame)
        self.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        self.content = QWidget()
        self.content.setProperty("surface", "page")
        self.column = QVBoxLayout(self.content)
        self.column.setContentsMargins(margin, 18, margin, 24)
        self.column.setSpacing(16)
        self.setWidget(self.content)
        self.viewport().setAutoFillBackground(False)
        self.content.setAutoFillBackground(False)
        self._more = _MoreBelow(self, token)
        bar = self.verticalScrollBar()
        bar.valueChanged.connect(self._tell)
        bar.rangeChanged.connect(self._tell)

    def add_narrow(self, widget: QWidget, widest: int, column: QVBoxLayout | None = None) -> None:
        """Add a widget that stands at the left and grows to `widest` px at most (to `column`, else the page's own).

        A column alone would ask it how tall it is at the full width, and cut it.
        """
        widget.setMaximumWidth(widest)
        row = QHBoxLayout()
        row.addWidget(widget, 100)
        row.addStretch(1)
        (column or self.column).addLayout(row)

    def clear(self) -> None:
        """Take every widget out of the column."""
        empty_layout(self.column)

    def focusNextPrevChild(self, forward: bool) -> bool:
        moved = super().focusNextPrevChild(forward)
        focused = self.focusWidget()
        if focused is not None and self.content.isAncestorOf(focused):  # type: ignore[redundant-expr]  # None where nothing has it
            self.ensureWidgetVisible(focused, 20, 40)
        return moved

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        self._tell()

    def page_down(self) -> None:
        bar = self.verticalScrollBar()
        bar.setValue(bar.value() + round(bar.pageStep() * 0.85))

    def _tell(self, *_range: int) -> None:
        bar = self.verticalScrollBar()
        below = bar.maximum() - bar.value()
        self._more.setVisible(below > 16)
        view = self.viewport().geometry()
        tall = theme().small + 16
        self._more.setGeometry(QRect(view.left(), view.bottom() - tall + 1, view.width(), tall))
        self._more.raise_()


class _MoreBelow(QWidget):
    """The fading lower edge with its words; a click goes on by a page."""

    def __init__(self, page: Page, token: str) -> None:
        super().__init__(page)
        self._page = page
        self._token = token
        self.setCursor(Qt.CursorShape.PointingHandCursor)
        self.setAccessibleName(labels.MORE_BELOW)
        self.hide()

    def mousePressEvent(self, event: QEvent) -> None:
        self._page.page_down()

    def paintEvent(self, event: QPaintEvent) -> None:
        look = theme()
        painter = QPainter(self)
        shade = QLinearGradient(QPointF(0, 0), QPointF(0, self.height()))
        shade.setColorAt(0, look.colour(self._token, 0.0))
        shade.setColorAt(0.45, look.colour(self._token, 0.94))
        shade.setColorAt(1, look.colour(self._token))
        painter.fillRect(self.rect(), shade)
        painter.setFont(look.font("small"))
        painter.setPen(look.colour("leather"))
        painter.drawText(
            self.rect(), Qt.AlignmentFlag.AlignHCenter | Qt.AlignmentFlag.AlignBottom, f"▾ {labels.MORE_BELOW}"
        )


def empty_layout(layout: QLayout) -> None:
    """Take out and drop everything in a layout, layouts inside it too."""
    while layout.count():
        drop_item(layout.takeAt(0))


def drop_item(item: QLayoutItem | None) -> None:
    """Let go of what was taken out of a layout."""
    widget = item.widget() if item is not None else None
    inner = item.layout() if item is not None else None
    if widget is not None:
        widget.hide()
        widget.deleteLater()
    elif inner is not None:
        empty_layout(inner)
