"""What every paper's page shares: its form, and beside or below it the paper as it will come out."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from pathlib import Path
from typing import Any

from PySide6.QtCore import Qt, QTimer, QUrl
from PySide6.QtGui import QDesktopServices, QImage, QResizeEvent
from PySide6.QtWidgets import QBoxLayout, QFileDialog, QVBoxLayout, QWidget

from hoofbook.desktop.papers.pages import WIDEST, Pages
from hoofbook.desktop.papers.send import SendButtons
from hoofbook.desktop.state import AppState
from hoofbook.desktop.widgets.empty_place import EmptyView
from hoofbook.desktop.widgets.page import Page
from hoofbook.desktop.widgets.section_view import SectionView
from hoofbook.desktop.widgets.text import Label
from hoofbook.terms.refusal import Refusal
from hoofbook.terms.shown import EmptyPlace, Section
from hoofbook.wording import papers_place, vet_sheet

SIDE_BY_SIDE = 1040
_FORM_WIDEST = 560


class PaperDesk(QWidget):
    """Form and paper side by side where there is room, else the paper below.

    `start(action)` runs when the button of the empty paper is pressed. A paper's own page has `kinds` (of files) and
    `make(file)`, which makes it there, or in To send where no file is named.
    """

    def __init__(
        self, state: AppState, left: QWidget, send: SendButtons, empty: EmptyPlace, start: Callable[[str], object]
    ) -> None:
        super().__init__()
        self._state = state
        self._form_side = left
        self._send = send
        self.horse = ""
        self.form: Any = None
        send.put_pressed.connect(lambda: self.make(None))
        send.save_pressed.connect(self.save)
        send.folder_pressed.connect(lambda: open_to_send(state))
        self.ask_file: Callable[[str, str], Path | None] = self._ask_file
        outer = QVBoxLayout(self)
        outer.setContentsMargins(0, 0, 0, 0)
        self.page = Page()
        outer.addWidget(self.page)
        self._sides = QBoxLayout(QBoxLayout.Direction.LeftToRight)
        self._sides.setSpacing(24)
        self.page.column.addLayout(self._sides)
        self.page.column.addStretch(1)
        self._sides.addWidget(left, 2, Qt.AlignmentFlag.AlignTop)
        self._right_side = self._right(empty, start)
        self._sides.addWidget(self._right_side, 3)

    def _right(self, empty: EmptyPlace, start: Callable[[str], object]) -> QWidget:
        right = QWidget()
        column = QVBoxLayout(right)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(12)
        self.setting = Label(vet_sheet.SETTING, "body", "soft")
        self.setting.hide()
        self.notes_holder = QVBoxLayout()
        self.notes: SectionView | None = None
        self.pages = Pages()
        self.empty = EmptyView(start)
        self.empty.show_empty(empty)
        column.addWidget(self.setting)
        column.addLayout(self.notes_holder)
        column.addWidget(self.empty)
        column.addWidget(self.pages)
        column.addStretch(1)
        return right

    @property
    def side_by_side(self) -> bool:
        return self._sides.direction() is QBoxLayout.Direction.LeftToRight

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        wide = self.width() >= SIDE_BY_SIDE
        way = QBoxLayout.Direction.LeftToRight if wide else QBoxLayout.Direction.TopToBottom
        self._sides.setDirection(way)
        self._form_side.setMaximumWidth(_FORM_WIDEST if wide else WIDEST)

    def say(self, lines: tuple[str, ...]) -> None:
        """What to look at again before it is sent, above the paper; nothing takes it away."""
        if self.notes is not None:
            self.notes.hide()
            self.notes_holder.removeWidget(self.notes)
            self.notes.deleteLater()
            self.notes = None
        if lines:
            self.notes = SectionView(Section(vet_sheet.LOOK_AGAIN, lines), kind="body")
            self.notes_holder.addWidget(self.notes)

    @property
    def kinds(self) -> str:
        """Kinds of files for the system's own question where to save."""
        raise NotImplementedError

    def make(self, file: Path | None) -> None:
        raise NotImplementedError

    def leave(self) -> bool:
        return True

    def save(self) -> None:
        """Ask where, and make the paper there."""
        if self.form is not None:
            file = self.ask_file(self.form.file_name, self.kinds)
            if file is not None:
                self.make(file)

    def show_other(self, horse: str) -> None:
        """Another horse: nothing of the one before stays on the page."""
        self.horse, self.form = horse, None
        self.show_pages(())
        self.say(())

    def set_busy(self, busy: bool) -> None:
        self.setting.setVisible(busy)
        self._send.set_busy(busy)

    def refused(self, refusal: Refusal) -> None:
        self.set_busy(False)
        self._state.notice(refusal)

    def show_pages(self, pages: Sequence[QImage], *, widest: int = WIDEST) -> None:
        self.empty.setVisible(not pages)
        self.pages.show_pages(pages, widest=widest)

    def scroll_to_pages(self) -> None:
        """Where the paper lies below the form it is brought into sight."""
        if not self.side_by_side:
            QTimer.singleShot(50, self, lambda: self.page.verticalScrollBar().setValue(self._right_top()))

    def _right_top(self) -> int:
        return self._right_side.geometry().top()

    def made_in(self, file: Path) -> None:
        """Say where a paper lies now, and that nothing was sent."""
        self.set_busy(False)
        self._state.notice(papers_place.MADE_IN.format(file=file, made=papers_place.MADE_TITLE))
        self._state.changed()

    def _ask_file(self, name: str, kinds: str) -> Path | None:
        found, _kind = QFileDialog.getSaveFileName(self, papers_place.SAVE_TITLE, str(Path.home() / name), kinds)
        return Path(found) if found else None


def open_to_send(state: AppState) -> None:
    """The To send folder of today, or the nearest one above it that is there, in the system's own window."""
    if state.open_book is None:
        return
    folder: Path = state.casework.to_send.to_send_folder(state.open_book)
    there = next((each for each in (folder, *folder.parents) if each.is_dir()), folder)
    QDesktopServices.openUrl(QUrl.fromLocalFile(str(there)))
