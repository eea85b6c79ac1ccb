"""A `Section` as a panel: heading, paragraphs, pairs of words, and a drawing where there is one."""

from __future__ import annotations

from collections.abc import Callable

from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import QGridLayout, QWidget

from hoofbook.desktop.look import theme
from hoofbook.desktop.widgets.drawing_view import DrawingView
from hoofbook.desktop.widgets.page import drop_item
from hoofbook.desktop.widgets.panel import Panel
from hoofbook.desktop.widgets.text import Label, rule
from hoofbook.terms.drawing import Drawing
from hoofbook.terms.shown import Section

_LEAST_HEAD = 90
_HEAD_SHARE = 0.4
_MADE_LINES = 22  # height of a drawing made for the room there is, in lines of its text


def _made(make: Callable[[float, float, float], Drawing]) -> DrawingView:
    size = float(theme().small)
    view = DrawingView(least_height=round(_MADE_LINES * size))
    view.setMinimumHeight(round(_MADE_LINES * size))
    view.show_made(lambda width, height: make(width, height, size))
    return view


class SectionView(Panel):
    """Shows one section; hidden where there is none."""

    def __init__(self, section: Section | None = None, parent: QWidget | None = None, *, kind: str = "small") -> None:
        super().__init__("", parent)
        self._kind = kind
        self._heads: list[Label] = []
        self.show_section(section)

    def show_section(self, section: Section | None) -> None:
        self._heads = []
        while self.body.count() > 1:
            drop_item(self.body.takeAt(1))
        self.setVisible(section is not None)
        if section is None:
            return
        self.set_title(section.title)
        if section.rows:
            self.body.addLayout(self._rows(section.rows))
        for paragraph in section.paragraphs:
            self.body.addWidget(Label(paragraph, self._kind, wrap=True))
        if section.drawing is not None:
            view = DrawingView()
            view.setMinimumHeight(120)
            view.show_drawing(section.drawing)
            self.body.addWidget(view)
        if section.make is not None:
            self.body.addWidget(_made(section.make))

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        self._share_out()

    def _share_out(self) -> None:
        """The words on the left take their own width, but never most of the room."""
        room = max(_LEAST_HEAD, round(self.contentsRect().width() * _HEAD_SHARE))
        for head in self._heads:
            head.setMaximumWidth(room)

    def _rows(self, rows: tuple[tuple[str, str], ...]) -> QGridLayout:
        grid = QGridLayout()
        grid.setHorizontalSpacing(14)
        grid.setVerticalSpacing(6)
        grid.setColumnStretch(1, 1)
        for place, (left, right) in enumerate(rows):
            if place:
                grid.addWidget(rule(), place * 2 - 1, 0, 1, 2)
            head = Label(left, self._kind, bold=True, wrap=True)
            self._heads.append(head)
            grid.addWidget(head, place * 2, 0)
            grid.addWidget(Label(right, self._kind, wrap=True), place * 2, 1)
        grid.setColumnMinimumWidth(0, _LEAST_HEAD if self._kind == "small" else 200)
        self._share_out()
        return grid
