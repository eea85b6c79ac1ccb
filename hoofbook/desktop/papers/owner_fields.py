"""What can be chosen for an owner's picture or sheet."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING, Any

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QWidget

from hoofbook.desktop.papers.send import SendButtons
from hoofbook.desktop.visit.words import WordsField
from hoofbook.desktop.widgets.buttons import Button
from hoofbook.desktop.widgets.flow import FlowLayout
from hoofbook.desktop.widgets.labelled import Labelled
from hoofbook.desktop.widgets.panel import Panel
from hoofbook.desktop.widgets.pick_row import PickRow
from hoofbook.desktop.widgets.text import Label
from hoofbook.terms.shown import Pick
from hoofbook.wording import labels
from hoofbook.wording import papers_place as words

if TYPE_CHECKING:
    from hoofbook.casework.owner_form import OwnerForm

PICTURE = "picture"
_ROWS = (
    ("kind", words.KIND, "track"),
    ("form", words.FORM, "track"),
    ("feet", labels.FOOT, "track"),
    ("views", labels.VIEW, "track"),
    ("then", words.EARLIER, "track"),
    ("now", words.LATER, "track"),
    ("ticks", words.TICKS, "tap"),
    ("advice", words.CARE, "tap"),
)
_ON_SHEET_ONLY = ("advice",)
_ON_PICTURE_ONLY = ("form",)


class OwnerFields(Panel):
    """`changed` comes with every choice; `wishes` and `kind` are what is chosen now."""

    changed = Signal()
    hide_wanted = Signal(int)  # 0: something in the earlier photo, 1: in the later one

    def __init__(self) -> None:
        super().__init__(words.OWNER_TITLE)
        self.body.addWidget(Label(words.OWNER_WORDS, "body", "soft", wrap=True))
        self.send = SendButtons()
        self.body.addWidget(self.send)
        self.rows: dict[str, PickRow] = {}
        self._holders: dict[str, Labelled] = {}
        for name, title, style in _ROWS:
            row = PickRow(style=style, name=title)
            row.picked.connect(self._picked)
            self.rows[name] = row
            self._holders[name] = Labelled(title, row)
            self.body.addWidget(self._holders[name])
        self.note = WordsField(words.NOTE, words.NOTE_HINT)
        self.note.kept.connect(lambda _words: self.changed.emit())
        self.body.addWidget(self.note)
        self._build_hide()

    def _build_hide(self) -> None:
        holder = QWidget()
        row = FlowLayout(holder, gap=12)
        self.hide_buttons = (
            Button(words.HIDE_EARLIER, "outline", lambda: self.hide_wanted.emit(0), small=True),
            Button(words.HIDE_LATER, "outline", lambda: self.hide_wanted.emit(1), small=True),
        )
        for button in self.hide_buttons:
            row.addWidget(button)
        self.body.addWidget(Labelled(words.HIDE, holder))

    @property
    def kind(self) -> str:
        return self.rows["kind"].pick.chosen or PICTURE

    @property
    def wishes(self) -> dict[str, Any]:
        """As `OwnerWishes` takes it; before the first form came everything is as the book would choose."""
        chosen = {name: row.pick.chosen for name, row in self.rows.items()}
        pair = (chosen["then"], chosen["now"])
        ticks = self.rows["ticks"].chosen
        return {
            "foot": chosen["feet"],
            "view": chosen["views"],
            "photos": pair if all(pair) else None,
            "form": chosen["form"] or "portrait",
            "name_owner": "owner" in ticks,
            "with_blood": "blood" in ticks,
            "note": self.note.edit.toPlainText().strip(),
            "advice": tuple(key for key in self.rows["advice"].chosen if key),
        }

    def forget(self) -> None:
        """Another horse: nothing is chosen any more, and no words stay."""
        for row in self.rows.values():
            row.set_pick(Pick(row.pick.field, "", (), ()))
        self.note.show_words("")
        self.note.edit.setPlainText("")

    def start_with(self, where: dict[str, str]) -> None:
        """Open on a foot, a view or a pair that another place names (photo keys)."""
        if where.get("foot") or where.get("view"):
            self._drop("then", "now")
        for name, told in (("feet", "foot"), ("views", "view"), ("then", "then"), ("now", "now"), ("kind", "kind")):
            if where.get(told):
                row = self.rows[name]
                row.set_pick(Pick(name, "", (where[told],), (where[told],), where[told]))

    def show_form(self, form: OwnerForm) -> None:
        for name, row in self.rows.items():
            row.set_pick(getattr(form, name))
        picture = form.kind.chosen == PICTURE
        there = form.empty is None
        for name, holder in self._holders.items():
            fits = name not in (_ON_SHEET_ONLY if picture else _ON_PICTURE_ONLY)
            holder.setVisible(there and fits and bool(self.rows[name].pick.options))
        self.note.setVisible(there and not picture)
        for button, label, count in zip(
            self.hide_buttons, (words.HIDE_EARLIER, words.HIDE_LATER), form.hidden, strict=True
        ):
            button.set_words(words.hidden_words(label, count))
            button.setEnabled(there and not form.read_only)
        self.send.set_read_only(form.read_only)
        self.send.set_busy(not there)

    def _picked(self, field: str, value: str) -> None:
        row = self.rows[field]
        row.set_pick(replace(row.pick, chosen=value))
        if field == "feet":  # another foot has other views and photos
            self._drop("views", "then", "now")
        elif field == "views":
            self._drop("then", "now")
        self.changed.emit()

    def _drop(self, *names: str) -> None:
        for name in names:
            self.rows[name].set_pick(replace(self.rows[name].pick, chosen=""))
