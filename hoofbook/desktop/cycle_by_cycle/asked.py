"""The two numbers a person may name here: a limit of their own for this foot, and the size of a change to be shown."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING

from PySide6.QtWidgets import QWidget

from hoofbook.desktop.state import AppState
from hoofbook.desktop.widgets.ask_line import AskLine
from hoofbook.desktop.widgets.panel import Panel
from hoofbook.desktop.widgets.text import Label
from hoofbook.terms.refusal import Refusal
from hoofbook.wording import labels
from hoofbook.wording.refusals import sentence

if TYPE_CHECKING:
    from hoofbook.casework.cycle_by_cycle import CycleSheet


class LimitPanel(Panel):
    """Sets, changes and takes away the person's own limit; says on which day this foot would come to it."""

    def __init__(self, state: AppState, read_again: Callable[[], None], parent: QWidget | None = None) -> None:
        super().__init__(labels.OWN_LIMIT, parent)
        self._state, self._read_again = state, read_again
        self._horse = ""
        self._sheet: CycleSheet | None = None
        self.hint = Label(labels.OWN_LIMIT_HINT, "small", "soft", wrap=True)
        self.line = AskLine(labels.OWN_LIMIT, labels.KEEP_LIMIT)
        self.line.words.hide()
        self.line.taken.connect(self._write)
        self.away = self.line.add_button(labels.TAKE_LIMIT_AWAY, lambda: self._write(""))
        self.body.addWidget(self.hint)
        self.body.addWidget(self.line)

    def show_sheet(self, horse: str, sheet: CycleSheet) -> None:
        self._horse, self._sheet = horse, sheet
        limit = sheet.limit
        book = self._state.open_book
        may_write = book is not None and not book.read_only
        self.setVisible(limit is not None and (may_write or bool(limit.value)))
        if limit is None:
            return
        self.line.show_unit(limit.unit)
        self.line.field.setText(limit.value)
        self.line.field.setEnabled(may_write)
        self.line.button.setVisible(may_write)
        self.away.setVisible(may_write and bool(limit.value))
        self.hint.setVisible(not limit.value)
        self.line.say(limit.sentence)

    def _write(self, value: str) -> None:
        book, horse, sheet, casework = self._state.open_book, self._horse, self._sheet, self._state.casework
        if sheet is None or (not value.strip() and not (sheet.limit and sheet.limit.value)):
            return
        self._state.background.read(
            self,
            lambda: casework.within_cycle.set_limit(
                book, horse, sheet.foot, measure=sheet.measure, definition=sheet.definition, value=value
            ),
            lambda _nothing: self._written(),
            lambda refusal: self.line.say(sentence(refusal)),
        )

    def _written(self) -> None:
        self._state.changed()
        self._read_again()


class WhatItTakes(Panel):
    """How surely a change of a size the person names would be shown, and what more visits or photos would do."""

    def __init__(self, state: AppState, parent: QWidget | None = None) -> None:
        super().__init__(labels.WHAT_IT_TAKES, parent)
        self._state = state
        self._horse = ""
        self._sheet: CycleSheet | None = None
        self.line = AskLine(labels.A_CHANGE_OF, labels.ASK)
        self.line.taken.connect(self._ask)
        self.body.addWidget(self.line)

    def show_sheet(self, horse: str, sheet: CycleSheet) -> None:
        """The size stays when only the horse or foot changes; what was said of another series does not."""
        before = self._sheet
        self._horse, self._sheet = horse, sheet
        self.setVisible(sheet.asks_size is not None)
        if before is not None and (before.measure, before.definition) != (sheet.measure, sheet.definition):
            self.line.field.clear()
        self.line.show_unit(sheet.asks_size or "")
        self.line.say("")

    def _ask(self, size: str) -> None:
        book, horse, sheet, casework = self._state.open_book, self._horse, self._sheet, self._state.casework
        if sheet is None:
            return

        def said(words: tuple[str, ...] | Refusal) -> None:
            if self._sheet is sheet:
                self.line.say(sentence(words) if isinstance(words, Refusal) else " ".join(words))

        self._state.background.read(
            self,
            lambda: casework.what_it_takes.what_it_takes(
                book, horse, sheet.foot, measure=sheet.measure, definition=sheet.definition, size=size
            ),
            said,
            said,
            replaces="size",
        )
