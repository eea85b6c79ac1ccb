"""The fields of a Vet case: question, urgency, feet, visits, and what else stands on page 1."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING, Any

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QLineEdit, QVBoxLayout, QWidget

from hoofbook.desktop.papers.send import SendButtons
from hoofbook.desktop.visit.words import WordsField
from hoofbook.desktop.widgets.buttons import Button
from hoofbook.desktop.widgets.flow import FlowLayout
from hoofbook.desktop.widgets.labelled import Labelled
from hoofbook.desktop.widgets.panel import Panel
from hoofbook.desktop.widgets.pick_row import PickRow
from hoofbook.desktop.widgets.text import Label
from hoofbook.terms.shown import Pick
from hoofbook.wording import vet_sheet as words

if TYPE_CHECKING:
    from hoofbook.casework.vet_form import VetForm

PICKS = ("urgency", "feet", "size", "since")
LINES = (
    ("since_when", words.SINCE_WHEN),
    ("gait", words.GAIT),
    ("taken_by", words.TAKEN_BY),
    ("phone", words.PHONE),
)


class VetFields(Panel):
    """`feet_picked(text)` asks for the form of other feet; what is typed and picked is in `wishes`."""

    feet_picked = Signal(str)
    phone_typed = Signal(str)
    allow_pressed = Signal()
    show_pressed = Signal()

    def __init__(self) -> None:
        super().__init__(words.TITLE)
        self.body.addWidget(Label(words.WORDS, "body", "soft", wrap=True))
        self.question = WordsField(words.QUESTION, words.QUESTION_HINT)
        self.body.addWidget(self.question)
        self.show_it = Button(words.SHOW_PAGES, "plain", self.show_pressed.emit)
        self.send = SendButtons(self.show_it)
        self.body.addWidget(self.send)
        self.picks: dict[str, PickRow] = {}
        for name in PICKS:
            row = PickRow(style="tap" if name == "feet" else "track")
            row.picked.connect(self._pick)
            self.picks[name] = row
            title = {"urgency": words.URGENCY, "feet": words.FEET, "size": words.SIZE, "since": words.SINCE}[name]
            self.body.addWidget(Labelled(title, row))
        self.also = PickRow(name=words.ALSO)
        self.also.picked.connect(lambda _field, value: self._tick_images(value))
        self._tick_images("yes")
        self.body.addWidget(self.also)
        self.lines: dict[str, QLineEdit] = {}
        for name, title in LINES:
            line = QLineEdit()
            line.setAccessibleName(title)
            self.lines[name] = line
            self.body.addWidget(Labelled(title, line))
        self.lines["phone"].editingFinished.connect(self._phone)
        self._phone_shown = ""
        self._build_permission()

    def _build_permission(self) -> None:
        holder = QWidget()
        column = QVBoxLayout(holder)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(4)
        self.permission = Label("", "body", wrap=True)
        self.allow = Button(words.ALLOWED, "plain", self.allow_pressed.emit, small=True)
        column.addWidget(Label(words.PERMISSION, "small", "soft"))
        column.addWidget(self.permission)
        self._allow_row = QWidget()
        FlowLayout(self._allow_row).addWidget(self.allow)
        column.addWidget(self._allow_row)
        self.body.addWidget(holder)

    @property
    def wishes(self) -> dict[str, Any]:
        """As `VetWishes` takes it."""
        return {
            "question": self.question.edit.toPlainText().strip(),
            "urgency": self.picks["urgency"].pick.chosen,
            "size": self.picks["size"].pick.chosen,
            "feet": tuple(foot for foot in self.picks["feet"].chosen if foot),
            "since": self.picks["since"].pick.chosen,
            "since_when": self.lines["since_when"].text().strip(),
            "gait": self.lines["gait"].text().strip(),
            "taken_by": self.lines["taken_by"].text().strip(),
            "vets_images": bool(self.also.pick.chosen),
        }

    def show_form(self, form: VetForm, *, anew: bool) -> None:
        """Fill in what the book says; with `anew` (another horse) what was typed and picked goes too."""
        for name in PICKS:
            pick = getattr(form, name)
            kept = self.picks[name].pick.chosen
            if not anew and name != "feet" and kept in pick.options:
                pick = replace(pick, chosen=kept)
            self.picks[name].set_pick(pick)
        if anew:
            self.question.edit.setPlainText("")
            for name in ("since_when", "gait"):
                self.lines[name].clear()
            self.lines["taken_by"].setText(form.taken_by)
        self.lines["since_when"].setPlaceholderText(form.since_when)
        self.lines["gait"].setPlaceholderText(form.gait)
        self.lines["gait"].setToolTip(words.GAIT_HINT)
        self._phone_shown = form.phone
        self.lines["phone"].setText(form.phone)
        self.lines["phone"].setEnabled(not form.read_only)
        self.permission.setText(form.permission)
        self._allow_row.setVisible(not form.allowed and not form.read_only)
        self.send.set_read_only(form.read_only)

    def _tick_images(self, value: str) -> None:
        self.also.set_pick(Pick("also", words.ALSO, ("yes",), (words.IMAGES_TOO,), value))

    def _pick(self, field: str, value: str) -> None:
        if field == "feet":
            if value:
                self.feet_picked.emit(value)
            return
        row = self.picks[field]
        row.set_pick(replace(row.pick, chosen=value))

    def _phone(self) -> None:
        phone = self.lines["phone"].text().strip()
        if phone != self._phone_shown:
            self._phone_shown = phone
            self.phone_typed.emit(phone)
