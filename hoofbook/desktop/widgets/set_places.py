"""From where the photos of a sole set were taken: a heading, what is said, and the drawing, without a frame."""

from __future__ import annotations

from PySide6.QtWidgets import QVBoxLayout, QWidget

from hoofbook.desktop.look import theme
from hoofbook.desktop.widgets.drawing_view import DrawingView
from hoofbook.desktop.widgets.text import Label
from hoofbook.terms.shown import Section

_LINES = 13  # height of the drawing in lines of its text


class SetPlaces(QWidget):
    """Shows one section of `casework.set_places`; hidden where there is none."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(6)
        self.title = Label("", "heading", wrap=True)
        self.words = Label("", "small", wrap=True)
        self.drawing = DrawingView(least_height=90)
        for part in (self.title, self.words, self.drawing):
            column.addWidget(part)
        self.hide()

    def show_section(self, section: Section | None) -> None:
        self.setVisible(section is not None)
        if section is None:
            return
        self.title.setText(section.title)
        self.words.setText("\n".join(section.paragraphs))
        make, size = section.make, float(theme().small)
        self.drawing.setVisible(make is not None)
        if make is not None:
            self.drawing.setFixedHeight(round(_LINES * size))
            self.drawing.show_made(lambda width, height: make(width, height, size))
