"""Owner picture and Owner sheet: choose, see it at once, put it in To send."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from PySide6.QtCore import Qt, QTimer
from PySide6.QtGui import QImage

from hoofbook.desktop.papers.desk import PaperDesk
from hoofbook.desktop.papers.owner_fields import PICTURE, OwnerFields
from hoofbook.desktop.papers.pages import WIDEST, decoded
from hoofbook.desktop.state import AppState
from hoofbook.terms.refusal import Refusal
from hoofbook.terms.shown import EmptyPlace
from hoofbook.wording import labels
from hoofbook.wording import papers_place as words

if TYPE_CHECKING:
    from pathlib import Path

    from hoofbook.casework.owner_form import OwnerForm

_PATIENCE_MS = 250  # several choices in a row make one paper
_PICTURE_WIDEST = 420  # px: an upright picture is seen whole, about as large as on a phone


class OwnerDesk(PaperDesk):
    """The paper is made anew, away from the window, with every choice."""

    def __init__(self, state: AppState) -> None:
        self.fields = OwnerFields()
        super().__init__(
            state,
            self.fields,
            self.fields.send,
            EmptyPlace(*words.NO_PREVIEW),
            lambda _action: state.go("photo_tray"),
        )
        self.form: OwnerForm | None = None
        self._soon = QTimer(self, singleShot=True, interval=_PATIENCE_MS)
        self._soon.timeout.connect(self.read)
        self.fields.changed.connect(self._soon.start)
        self.fields.hide_wanted.connect(self._hide_part)

    def show_horse(self, horse_key: str, **where: str) -> None:
        """Show this horse; `foot`, `view`, `then`, `now` (photo keys) and `kind` open it on what is meant."""
        if horse_key != self.horse:
            self.show_other(horse_key)
            self.fields.forget()
        self.fields.start_with(where)
        self.read()

    def read(self) -> None:
        """Make the paper as it is wished now."""
        book, horse, casework = self._state.open_book, self.horse, self._state.casework
        if book is None or not horse:
            return
        self._soon.stop()
        asked, kind = self._wishes(), self.fields.kind
        self.setting.show()

        def work() -> tuple[OwnerForm, tuple[QImage, ...]]:
            wishes = casework.owner_facts.OwnerWishes(**asked)
            form: OwnerForm = casework.owner_form.read_owner_form(book, horse, wishes, kind)
            return form, decoded(form.pages)

        self._state.background.pixels(
            self,
            work,
            lambda found: self._here(*found),
            self._cannot,
            replaces="form",
        )

    @property
    def kinds(self) -> str:
        picture = self.fields.kind == PICTURE
        return f"{labels.PICTURE_FILES} (*.jpg *.png)" if picture else f"{labels.PDF_FILES} (*.pdf)"

    def make(self, file: Path | None) -> None:
        book, horse, casework = self._state.open_book, self.horse, self._state.casework
        if book is None or self.form is None:
            return
        asked, kind = self._wishes(), self.fields.kind
        self.set_busy(True)
        self._state.background.pixels(
            self,
            lambda: casework.owner_form.make_from_form(
                book, horse, casework.owner_facts.OwnerWishes(**asked), kind, file
            ),
            self.made_in,
            self.refused,
        )

    def _wishes(self) -> dict[str, Any]:
        return {**self.fields.wishes, "practice": self._state.settings.practice or self._state.settings.person}

    def _here(self, form: OwnerForm, pages: tuple[QImage, ...]) -> None:
        self.form = form
        self.set_busy(False)
        had_focus = self.focusWidget()
        self.fields.show_form(form)
        self.empty.show_empty(form.empty or EmptyPlace(*words.NO_PREVIEW))
        self.show_pages(pages, widest=_PICTURE_WIDEST if self.fields.kind == PICTURE else WIDEST)
        self.say(form.look_again)
        if had_focus is None:
            self.fields.rows["kind"].setFocus(Qt.FocusReason.OtherFocusReason)

    def _cannot(self, refusal: Refusal) -> None:
        """What was chosen cannot be made: the form stays, and says what to do."""
        self.refused(refusal)
        self.show_pages(())

    def _hide_part(self, which: int) -> None:
        if self.form is not None and self.form.photos[which]:
            self._state.go("hide_parts", photo=self.form.photos[which])
