"""The form of one horse: only the name is needed, everything else can wait."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QGridLayout, QHBoxLayout, QLineEdit, QVBoxLayout, QWidget

from hoofbook.desktop.state import AppState
from hoofbook.desktop.widgets.buttons import Button
from hoofbook.desktop.widgets.page import Page
from hoofbook.desktop.widgets.panel import Panel
from hoofbook.desktop.widgets.text import Label
from hoofbook.wording import labels

if TYPE_CHECKING:
    from hoofbook.casework.horses import HorseForm

FIELDS = (
    ("name", labels.NAME),
    ("owner", labels.OWNER),
    ("yard", labels.YARD),
    ("interval_weeks", labels.INTERVAL),
    ("sex", labels.SEX),
    ("born", labels.BORN),
    ("breed", labels.BREED),
    ("colour", labels.COLOUR),
    ("height_cm", labels.HEIGHT),
    ("work", labels.WORK_OF_HORSE),
    ("handling", labels.HANDLING),
)


class HorseFormPlace(QWidget):
    """A new horse (no key) or the facts of one that is there."""

    def __init__(self, state: AppState, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._state = state
        self._horse = ""
        outer = QVBoxLayout(self)
        outer.setContentsMargins(0, 0, 0, 0)
        self.page = Page()
        outer.addWidget(self.page)
        self.panel = Panel(labels.NEW_HORSE)
        self.page.add_narrow(self.panel, 760)
        self.page.column.addStretch(1)
        self.panel.body.addWidget(Label(labels.ONLY_NAME_NEEDED, "body", "soft", wrap=True))
        form = QGridLayout()
        form.setVerticalSpacing(10)
        form.setHorizontalSpacing(18)
        form.setColumnStretch(1, 1)
        self.fields: dict[str, QLineEdit] = {}
        for row_at, (name, words) in enumerate(FIELDS):
            field = QLineEdit()
            field.setAccessibleName(words)
            field.returnPressed.connect(self.keep)
            self.fields[name] = field
            form.addWidget(Label(words), row_at, 0)
            form.addWidget(field, row_at, 1)
        self.panel.body.addLayout(form)
        row = QHBoxLayout()
        row.addStretch(1)
        self.leave_it = Button(labels.CANCEL, "plain", self._back)
        self.keep_it = Button(labels.SAVE, "main", self.keep)
        row.addWidget(self.leave_it)
        row.addWidget(self.keep_it)
        self.panel.body.addLayout(row)

    def show_horse(self, horse_key: str, **where: str) -> None:
        self._horse = "" if where.get("new") else horse_key
        self.panel.set_title(labels.HORSE_FACTS if self._horse else labels.NEW_HORSE)
        for field in self.fields.values():
            field.clear()
        self.fields["name"].setFocus(Qt.FocusReason.OtherFocusReason)
        book = self._state.open_book
        if self._horse and book is not None:
            horse = self._horse
            self._state.background.read(
                self, lambda: self._state.casework.horses.read_form(book, horse), self._fill, replaces="form"
            )
        else:
            self.fields["interval_weeks"].setText("6")

    def leave(self) -> bool:
        return True

    def keep(self) -> None:
        """Write the form; a refusal stays in the notice bar and nothing typed is lost."""
        if not self.fields["name"].text().strip():
            self._state.notice(labels.NAME_NEEDED)
            self.fields["name"].setFocus(Qt.FocusReason.OtherFocusReason)
            return
        book, horse = self._state.open_book, self._horse
        typed = {name: field.text() for name, field in self.fields.items()}

        def write() -> str:
            horses = self._state.casework.horses
            form = horses.HorseForm(**typed)
            if not horse:
                return str(horses.add_horse(book, form))
            horses.change_horse(book, horse, form)
            return horse

        self._state.background.read(self, write, self._kept)

    def _kept(self, horse: str) -> None:
        self._state.changed()
        self._state.go("horse_card", horse=horse)

    def _back(self) -> None:
        self._state.go("horse_card")

    def _fill(self, form: HorseForm) -> None:
        for name, field in self.fields.items():
            field.setText(getattr(form, name))
