"""The Vet case of one horse: write the question, look at every page, make the file."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import Qt
from PySide6.QtGui import QImage
from PySide6.QtWidgets import QVBoxLayout, QWidget

from hoofbook.desktop.papers.desk import PaperDesk
from hoofbook.desktop.papers.pages import decoded
from hoofbook.desktop.papers.vet_answer import VetAnswerPanel
from hoofbook.desktop.papers.vet_fields import VetFields
from hoofbook.desktop.papers.vet_images import VetImagesPanel
from hoofbook.desktop.state import AppState
from hoofbook.terms.shown import EmptyPlace
from hoofbook.wording import labels
from hoofbook.wording import vet_sheet as words

if TYPE_CHECKING:
    from pathlib import Path

    from hoofbook.casework.vet_case import VetCaseMade
    from hoofbook.casework.vet_form import VetForm


class VetDesk(PaperDesk):
    """The form, and the pages when asked for: setting them takes a moment."""

    def __init__(self, state: AppState) -> None:
        self.fields = VetFields()
        self.answer, self.images = VetAnswerPanel(state), VetImagesPanel(state)
        left = QWidget()
        column = QVBoxLayout(left)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(16)
        for part in (self.fields, self.images, self.answer):
            column.addWidget(part)
        empty = EmptyPlace(*words.NO_PAGES, action="show")
        super().__init__(state, left, self.fields.send, empty, lambda _action: self.look_at_pages())
        self.images.listed.connect(lambda count: self.fields.also.setVisible(count > 0))
        self.form: VetForm | None = None
        self.fields.feet_picked.connect(lambda feet: self._read(tuple(feet.split(","))))
        self.fields.phone_typed.connect(self._keep_phone)
        self.fields.allow_pressed.connect(self._allow)
        self.fields.show_pressed.connect(self.look_at_pages)

    def show_horse(self, horse_key: str, **where: str) -> None:
        """Show the form of this horse (`feet` in `where` names others than those followed)."""
        if horse_key != self.horse:
            self.show_other(horse_key)
        self._read(tuple(foot for foot in where.get("feet", "").split(",") if foot))
        self.fields.question.edit.setFocus(Qt.FocusReason.OtherFocusReason)

    def look_at_pages(self) -> None:
        """Set the pages as they stand now, to be looked at."""
        book, horse, asked = self._state.open_book, self.horse, self.fields.wishes
        casework = self._state.casework
        if book is None or not horse:
            return
        self.set_busy(True)

        def work() -> tuple[tuple[QImage, ...], tuple[str, ...]]:
            pages, again = casework.vet_case.vet_case_pages(book, horse, casework.vet_case.VetWishes(**asked))
            return decoded(pages), again

        self._state.background.pixels(
            self,
            work,
            lambda found: self._pages_here(horse, *found),
            self.refused,
            replaces="pages",
        )

    @property
    def kinds(self) -> str:
        return f"{labels.PDF_FILES} (*.pdf)"

    def make(self, file: Path | None) -> None:
        book, horse, asked, form = self._state.open_book, self.horse, self.fields.wishes, self.form
        if book is None or form is None:
            return
        casework = self._state.casework
        self.set_busy(True)

        def work() -> VetCaseMade:
            out = file or casework.to_send.place_to_send(book, form.file_name)
            made: VetCaseMade = casework.vet_case.make_vet_case(book, horse, casework.vet_case.VetWishes(**asked), out)
            return made

        self._state.background.pixels(self, work, lambda made: self._made(horse, made), self.refused)

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
        self.answer.show_horse(form.horse, read_only=form.read_only)
        self.images.show_horse(form.horse, form.feet, read_only=form.read_only)

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

    def _pages_here(self, horse: str, pages: tuple[QImage, ...], again: tuple[str, ...]) -> None:
        self.set_busy(False)
        if horse != self.horse:  # another horse shows meanwhile: its page must not hold this one's case
            return
        self.say(again or (words.NOTHING_OPEN,))
        self.show_pages(pages)
        self.scroll_to_pages()

    def _made(self, horse: str, made: VetCaseMade) -> None:
        if horse == self.horse:
            self.say(made.look_again or (words.NOTHING_OPEN,))
        self.made_in(made.file)
