"""Hand a horse over, and take one in that somebody handed over."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING

from PySide6.QtWidgets import QFileDialog, QLineEdit, QVBoxLayout, QWidget

from hoofbook.desktop.background import Job
from hoofbook.desktop.papers.desk import open_to_send
from hoofbook.desktop.papers.send import SendButtons
from hoofbook.desktop.state import AppState
from hoofbook.desktop.widgets.buttons import Button
from hoofbook.desktop.widgets.flow import FlowLayout
from hoofbook.desktop.widgets.labelled import Labelled
from hoofbook.desktop.widgets.page import Page, empty_layout
from hoofbook.desktop.widgets.panel import Panel
from hoofbook.desktop.widgets.pick_row import PickRow
from hoofbook.desktop.widgets.progress_line import ProgressLine
from hoofbook.desktop.widgets.section_view import SectionView
from hoofbook.desktop.widgets.text import Label
from hoofbook.terms.refusal import Refusal
from hoofbook.terms.shown import Pick, Section
from hoofbook.wording import handover as words
from hoofbook.wording import papers_place, vet_sheet

if TYPE_CHECKING:
    from hoofbook.casework.handover import HandoverMade
    from hoofbook.casework.handover_form import HandoverForm, HandoverSeen
    from hoofbook.casework.taking_handover import HandoverTaken

_WIDEST = 760


class GivePanel(Panel):
    """What goes out, and where to."""

    def __init__(self, state: AppState) -> None:
        super().__init__(words.TITLE)
        self._state = state
        self._job: Job | None = None
        self.form: HandoverForm | None = None
        self.ask_file: Callable[[str], Path | None] = self._ask_file
        self.body.addWidget(Label(words.WORDS, "body", "soft", wrap=True))
        self.permission = Label("", "body", wrap=True)
        self.body.addWidget(self.permission)
        self.made_for = QLineEdit()
        self.made_for.setAccessibleName(words.MADE_FOR)
        self.made_for.setPlaceholderText(words.MADE_FOR_HINT)
        self.body.addWidget(Labelled(words.MADE_FOR, self.made_for))
        self.also = PickRow(name=words.TICK)
        self.also.picked.connect(lambda _field, value: self._tick(value))
        self.body.addWidget(self.also)
        self.send = SendButtons()
        self.send.put_pressed.connect(lambda: self._make(None))
        self.send.save_pressed.connect(self.save)
        self.send.folder_pressed.connect(lambda: open_to_send(state))
        self.body.addWidget(self.send)
        self.progress = ProgressLine()
        self.body.addWidget(self.progress)
        self._notes = QVBoxLayout()
        self.body.addLayout(self._notes)

    def show_form(self, form: HandoverForm) -> None:
        if self.form is None or self.form.horse != form.horse:
            self.made_for.clear()
            empty_layout(self._notes)
            self._tick("")
        self.form = form
        self.permission.setText(form.permission)
        self.also.setVisible(form.vets_images > 0)
        self.send.set_read_only(form.read_only)

    def save(self) -> None:
        """Ask where, and write it there."""
        if self.form is not None:
            file = self.ask_file(self.form.file_name)
            if file is not None:
                self._make(file)

    def _make(self, out: Path | None) -> None:
        book, form, casework = self._state.open_book, self.form, self._state.casework
        if book is None or form is None:
            return
        asked = {"vets_images": bool(self.also.pick.chosen), "made_for": self.made_for.text().strip()}
        self._busy(True)
        self._job = self._state.background.long(
            self,
            lambda: casework.handover_form.hand_over(book, form.horse, casework.handover.HandoverWishes(**asked), out),
            lambda made: self._made(form.horse, made),
            stepped=self.progress.show_step,
            failed=self._failed,
            stopped=self._stopped,
            on_pixels=True,
        )
        self.progress.begin(words.MAKING, self._job.cancel)

    def _made(self, horse: str, made: HandoverMade) -> None:
        self._busy(False)
        if self.form is not None and horse == self.form.horse:  # else another horse shows meanwhile
            empty_layout(self._notes)
            lines = made.look_again or (made.permission,)
            self._notes.addWidget(SectionView(Section(vet_sheet.LOOK_AGAIN, lines), kind="body"))
        self._state.notice(papers_place.MADE_IN.format(file=made.file, made=papers_place.MADE_TITLE))
        self._state.changed()

    def _failed(self, refusal: Refusal) -> None:
        self._busy(False)
        self._state.notice(refusal)

    def _stopped(self) -> None:
        self._busy(False)
        self._state.notice(words.STOPPED)

    def _busy(self, busy: bool) -> None:
        self.send.set_busy(busy)
        if not busy:
            self.progress.end()

    def _tick(self, value: str) -> None:
        self.also.set_pick(Pick("also", words.TICK, ("yes",), (words.VETS_TOO,), value))

    def _ask_file(self, name: str) -> Path | None:
        kinds = f"{words.ZIP_FILES} (*.zip)"
        found, _kind = QFileDialog.getSaveFileName(self, papers_place.SAVE_TITLE, str(Path.home() / name), kinds)
        return Path(found) if found else None


class TakePanel(Panel):
    """Look one through that came in, say who is who, take it in."""

    def __init__(self, state: AppState) -> None:
        super().__init__(words.TAKE_TITLE)
        self._state = state
        self._job: Job | None = None
        self.seen: HandoverSeen | None = None
        self.body.addWidget(Label(words.TAKE_WORDS, "body", "soft", wrap=True))
        holder = QWidget()
        row = FlowLayout(holder, gap=12)
        self.zip = Button(words.CHOOSE_ZIP, "plain", self._choose_zip)
        self.choose_folder = Button(words.CHOOSE_FOLDER, "plain", self._choose_folder)
        row.addWidget(self.zip)
        row.addWidget(self.choose_folder)
        self.body.addWidget(holder)
        self.looking = Label(words.LOOKING, "body", "soft")
        self.looking.hide()
        self.body.addWidget(self.looking)
        self._found = QWidget()
        self._found.hide()
        column = QVBoxLayout(self._found)
        column.setContentsMargins(0, 0, 0, 0)
        self.said = Label("", "body", wrap=True)
        column.addWidget(self.said)
        self._rows = QVBoxLayout()
        column.addLayout(self._rows)
        buttons = QWidget()
        line = FlowLayout(buttons, gap=12)
        self.take_it = Button(words.TAKE_IT_IN, "main", self._take)
        self.leave_it = Button(words.LEAVE_IT, "plain", self._drop)
        line.addWidget(self.take_it)
        line.addWidget(self.leave_it)
        column.addWidget(buttons)
        self.body.addWidget(self._found)
        self.progress = ProgressLine()
        self.body.addWidget(self.progress)
        self.came = Label("", "body", wrap=True)
        self.came.hide()
        self.body.addWidget(self.came)
        self.rows: dict[str, PickRow] = {}

    def look_at(self, path: Path) -> None:
        """Look a Handover through; what is wrong with it is told, and nothing is kept."""
        book = self._state.open_book
        if book is None:
            return
        self._drop()
        self.came.hide()
        self.looking.show()
        self._state.background.pixels(
            self, lambda: self._state.casework.handover_form.see_handover(book, path), self._show, self._failed
        )

    def _show(self, seen: HandoverSeen) -> None:
        self.looking.hide()
        self.seen = seen
        self.said.setText("\n".join(seen.lines))
        empty_layout(self._rows)
        self.rows = {}
        for pick in seen.picks:
            row = PickRow(pick, style="track", name=pick.label)
            row.picked.connect(self._pick)
            self.rows[pick.field] = row
            self._rows.addWidget(Labelled(pick.label, row))
        self._found.show()

    def _pick(self, field: str, value: str) -> None:
        self.rows[field].set_pick(replace(self.rows[field].pick, chosen=value))

    def _take(self) -> None:
        book, seen = self._state.open_book, self.seen
        if book is None or seen is None:
            return
        matches = {key: row.pick.chosen for key, row in self.rows.items()}
        self.take_it.setEnabled(False)
        self._job = self._state.background.long(
            self,
            lambda: self._state.casework.taking_handover.take_handover(book, seen.path, matches),
            self._taken,
            stepped=self.progress.show_step,
            failed=self._failed,
            stopped=self._stopped,
        )
        self.progress.begin(words.TAKING, self._job.cancel)

    def _taken(self, taken: HandoverTaken) -> None:
        self._ended()
        self._drop()
        self.came.setText("\n".join(taken.lines))
        self.came.show()
        self._state.changed()

    def _failed(self, refusal: Refusal) -> None:
        self._ended()
        self._state.notice(refusal)

    def _stopped(self) -> None:
        self._ended()
        self._state.notice(words.TAKING_STOPPED)

    def _ended(self) -> None:
        self.looking.hide()
        self.progress.end()
        self.take_it.setEnabled(True)

    def _drop(self) -> None:
        self.seen = None
        self._found.hide()

    def _choose_zip(self) -> None:
        name, _kind = QFileDialog.getOpenFileName(
            self, words.CHOOSE_ZIP, str(Path.home()), f"{words.ZIP_FILES} (*.zip *.ZIP)"
        )
        if name:
            self.look_at(Path(name))

    def _choose_folder(self) -> None:
        name = QFileDialog.getExistingDirectory(self, words.CHOOSE_FOLDER, str(Path.home()))
        if name:
            self.look_at(Path(name))


class HandoverDesk(QWidget):
    """Both ways, one under the other."""

    def __init__(self, state: AppState) -> None:
        super().__init__()
        self._state = state
        self.horse = ""
        outer = QVBoxLayout(self)
        outer.setContentsMargins(0, 0, 0, 0)
        self.page = Page()
        outer.addWidget(self.page)
        self.give, self.take = GivePanel(state), TakePanel(state)
        for panel in (self.give, self.take):
            self.page.add_narrow(panel, _WIDEST)
        self.page.column.addStretch(1)

    def show_horse(self, horse_key: str, **_where: str) -> None:
        self.horse = horse_key
        book = self._state.open_book
        if book is None or not horse_key:
            return
        self.take.setVisible(not book.read_only)
        self._state.background.read(
            self,
            lambda: self._state.casework.handover_form.read_handover_form(book, horse_key),
            self.give.show_form,
            replaces="form",
        )

    def leave(self) -> bool:
        return True
