"""The buttons under every paper's words: put it in To send, save it elsewhere, open To send."""

from __future__ import annotations

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QWidget

from hoofbook.desktop.widgets.buttons import Button
from hoofbook.desktop.widgets.flow import FlowLayout
from hoofbook.wording import papers_place as words


class SendButtons(QWidget):
    """A book for looking only has no To send folder; its papers are saved elsewhere. `before` stand first."""

    put_pressed = Signal()
    save_pressed = Signal()
    folder_pressed = Signal()

    def __init__(self, *before: Button) -> None:
        super().__init__()
        row = FlowLayout(self, gap=12)
        self.put_it = Button(words.PUT_IN_TO_SEND, "main", self.put_pressed.emit)
        self.save_it = Button(words.SAVE_ELSEWHERE, "plain", self.save_pressed.emit)
        self.folder = Button(words.OPEN_TO_SEND, "link", self.folder_pressed.emit)
        self._working = (*before, self.put_it, self.save_it)
        for button in (*self._working, self.folder):
            row.addWidget(button)

    def set_busy(self, busy: bool) -> None:
        for button in self._working:
            button.setEnabled(not busy)

    def set_read_only(self, read_only: bool) -> None:
        self.put_it.setVisible(not read_only)
        self.folder.setVisible(not read_only)
