"""The Vet case of one horse: write the question, look at every page, make the file."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING

from PySide6.QtCore import Qt, QTimer
from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import QBoxLayout, QFileDialog, QVBoxLayout, QWidget

from hoofbook.desktop.state import AppState
from hoofbook.desktop.vet_case.fields import VetFields
from hoofbook.desktop.vet_case.pages import WIDEST, Pages
from hoofbook.desktop.widgets.empty_place import EmptyView
from hoofbook.desktop.widgets.page import Page
from hoofbook.desktop.widgets.section_view import SectionView
from hoofbook.desktop.widgets.text import Label
from hoofbook.terms.refusal import Refusal
from hoofbook.terms.shown import EmptyPlace, Section
from hoofbook.wording import labels
from hoofbook.wording import vet_sheet as words

if TYPE_CHECKING:
    from hoofbook.casework.vet_case import VetCaseMade
    from hoofbook.casework.vet_form import VetForm

SIDE_BY_SIDE = 1040
_FORM_WIDEST = 560


class VetCasePlace(QWidget):
    """Form and pages, side by side where there is room, else the pages below."""

    def __init__(self, state: AppState, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._state = state
        self.horse = ""
        self.form: VetForm | None = None
        self.ask_file: Callable[[str], Path | None] = self._ask_file
        outer = QVBoxLayout(self)
        outer.setContentsMargins(0, 0, 0, 0)
        self.page = Page()
        outer.addWidget(self.page)
        self._sides = QBoxLayout(QBoxLayout.Direction.LeftToRight)
        self._sides.setSpacing(24)
        self.page.column.addLayout(self._sides)
        self.page.column.addStretch(1)
        self.fields = VetFields()
        self._sides.addWidget(self.fields, 2, Qt.AlignmentFlag.AlignTop)
        self._build_right()
        self.fields.feet_picked.connect(lambda feet: self._read(tuple(feet.split(","))))
        self.fields.phone_typed.connect(self._keep_phone)
        self.fields.allow_pressed.connect(self._allow)
        self.fields.show_pressed.connect(self.show_pages)
        self.fields.make_pressed.connect(self.make)

    def _build_right(self) -> None:
        right = QWidget()
        column = QVBoxLayout(right)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(12)
        self.setting = Label(words.SETTING, "body", "soft")
        self.setting.hide()
        self.notes_holder = QVBoxLayout()
        self.notes: SectionView | None = None
        self.pages = Pages()
        self.empty = EmptyView(lambda _action: self.show_pages())
        self.empty.show_empty(EmptyPlace(*words.NO_PAGES, action="show"))
        column.addWidget(self.setting)
        column.addLayout(self.notes_holder)
        column.addWidget(self.empty)
        column.addWidget(self.pages)
        column.addStretch(1)
        self._sides.addWidget(right, 3)

    # the place

    def show_horse(self, horse_key: str, **where: str) -> None:
        """Show the form of this horse (`feet` in `where` names others than those followed)."""
        if horse_key != self.horse:
            self.horse, self.form = horse_key, None
            self.pages.show_pages(())
            self._say(())
            self.empty.show()
        self._read(tuple(foot for foot in where.get("feet", "").split(",") if foot))
        self.fields.question.edit.setFocus(Qt.FocusReason.OtherFocusReason)

    def leave(self) -> bool:
        return True

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        wide = self.width() >= SIDE_BY_SIDE
        way = QBoxLayout.Direction.LeftToRight if wide else QBoxLayout.Direction.TopToBottom
        self._sides.setDirection(way)
        self.fields.setMaximumWidth(_FORM_WIDEST if wide else WIDEST)

    # work

    def show_pages(self) -> None:
        """Set the pages as they stand now, to be looked at."""
        book, horse, asked = self._state.open_book, self.horse, self.fields.wishes
        casework = self._state.casework
        if book is None or not horse:
            return
        self._busy(True)
        self._state.background.pixels(
            self,
            lambda: casework.vet_case.vet_case_pages(book, horse, casework.vet_case.VetWishes(**asked)),
            self._show_pages,
            self._refused,
            replaces="pages",
        )

    def make(self) -> None:
        """Ask where, and write the case there."""
        book, horse, asked = self._state.open_book, self.horse, self.fields.wishes
        if book is None or self.form is None:
            return
        file = self.ask_file(self.form.file_name)
        if file is None:
            return
        casework = self._state.casework
        self._busy(True)
        self._state.background.pixels(
            self,
            lambda: casework.vet_case.make_vet_case(book, horse, casework.vet_case.VetWishes(**asked), file),
            self._made,
            self._refused,
        )

    def _read(self, feet: tuple[str, ...]) -> None:
        book, horse = self._state.open_book, self.horse
        if book is None or not horse:
            return
        self._state.background.read(
            self,
            lambda: self._state.casework.vet_form.read_vet_form(book, horse, feet),
            self._fill,
            replaces="form",
        )

    def _fill(self, form: VetForm) -> None:
        anew = self.form is None or self.form.horse != form.horse
        self.form = form
        self.fields.show_form(form, anew=anew)

    def _keep_phone(self, phone: str) -> None:
        book = self._state.open_book
        self._state.background.read(
            self, lambda: self._state.casework.vet_case.keep_phone(book, phone), lambda _none: self._state.changed()
        )

    def _allow(self) -> None:
        book, horse = self._state.open_book, self.horse
        self._state.background.read(
            self, lambda: self._state.casework.vet_form.allow_today(book, horse), lambda _none: self._allowed()
        )

    def _allowed(self) -> None:
        self._state.changed()
        self._read(self.fields.wishes["feet"])

    def _show_pages(self, found: tuple[tuple[bytes, ...], tuple[str, ...]]) -> None:
        pages, again = found
        self._busy(False)
        self.empty.hide()
        self._say(again or (words.NOTHING_OPEN,))
        self.pages.show_pages(pages)
        if self._sides.direction() is QBoxLayout.Direction.TopToBottom:  # the pages lie below what can be seen
            QTimer.singleShot(50, self, lambda: self.page.verticalScrollBar().setValue(self.fields.geometry().bottom()))

    def _made(self, made: VetCaseMade) -> None:
        self._busy(False)
        self._say(made.look_again or (words.NOTHING_OPEN,))
        said = words.MADE if made.beside else words.MADE_ALONE
        self._state.notice(said.format(file=made.file))
        self._state.changed()

    def _say(self, lines: tuple[str, ...]) -> None:
        if self.notes is not None:
            self.notes.hide()
            self.notes_holder.removeWidget(self.notes)
            self.notes.deleteLater()
            self.notes = None
        if lines:
            self.notes = SectionView(Section(words.LOOK_AGAIN, lines), kind="body")
            self.notes_holder.addWidget(self.notes)

    def _busy(self, busy: bool) -> None:
        self.fields.set_busy(busy)
        self.setting.setVisible(busy)

    def _refused(self, refusal: Refusal) -> None:
        self._busy(False)
        self._state.notice(refusal)

    def _ask_file(self, name: str) -> Path | None:
        start = Path.home() / name
        found, _kind = QFileDialog.getSaveFileName(self, words.SAVE_AS, str(start), f"{labels.PDF_FILES} (*.pdf)")
        return Path(found) if found else None
