"""The place Photo tray: drop, bring in, sort."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QFrame, QHBoxLayout, QVBoxLayout, QWidget

from hoofbook.desktop.ask_files import ask_photos
from hoofbook.desktop.background import Job
from hoofbook.desktop.photo_tray.line import TrayLineView, chosen_pick
from hoofbook.desktop.state import AppState
from hoofbook.desktop.widgets.buttons import Button
from hoofbook.desktop.widgets.page import Page, empty_layout
from hoofbook.desktop.widgets.panel import Panel
from hoofbook.desktop.widgets.pictures import Pictures
from hoofbook.desktop.widgets.progress_line import ProgressLine
from hoofbook.desktop.widgets.set_places import SetPlaces
from hoofbook.desktop.widgets.text import Label
from hoofbook.terms.refusal import Refusal
from hoofbook.terms.shown import EmptyPlace, Pick, Section
from hoofbook.wording import labels

if TYPE_CHECKING:
    from hoofbook.casework.photo_tray import TrayLine
    from hoofbook.casework.repeatability import TakeAsked


class PhotoTrayPlace(QWidget):
    """`bring_in(files)` takes photos in; each line is sorted by one tap per choice, and Ctrl+Z takes a tap back."""

    def __init__(self, state: AppState, pictures: Pictures, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._state = state
        self._pictures = pictures
        self._horse = self._visit = ""
        self._picks: tuple[Pick, ...] = ()
        self._job: Job | None = None
        self._waiting: list[Path] = []
        self.lines: dict[str, TrayLineView] = {}
        self._undo: list[tuple[str, str, str]] = []
        outer = QVBoxLayout(self)
        outer.setContentsMargins(0, 0, 0, 0)
        self.page = Page()
        outer.addWidget(self.page)
        self._build_top()
        self._build_asked()
        self.progress = ProgressLine()
        self.page.column.addWidget(self.progress)
        self._sets = QVBoxLayout()
        self._sets.setSpacing(12)
        self.page.column.addLayout(self._sets)
        self.sets: list[SetPlaces] = []
        self._refused = QVBoxLayout()
        self._refused.setSpacing(12)
        self.page.column.addLayout(self._refused)
        self._list = QVBoxLayout()
        self._list.setSpacing(12)
        self.page.column.addLayout(self._list)
        self.page.column.addStretch(1)

    def _build_asked(self) -> None:
        """One calm line, now and then, that asks for a photo more."""
        self.asked = QFrame()
        self.asked.setProperty("surface", "card")
        row = QHBoxLayout(self.asked)
        row.setContentsMargins(16, 8, 8, 8)
        row.setSpacing(16)
        self.asked_words = Label("", "small", wrap=True)
        row.addWidget(self.asked_words, 1)
        self.not_now = Button(labels.PUT_AWAY, "plain", self.asked.hide)
        row.addWidget(self.not_now, 0, Qt.AlignmentFlag.AlignTop)
        self.asked.hide()
        self.page.column.addWidget(self.asked)

    def _build_top(self) -> None:
        self.drop = QFrame()
        self.drop.setProperty("surface", "drop")
        row = QHBoxLayout(self.drop)
        row.setContentsMargins(20, 16, 20, 16)
        row.setSpacing(20)
        words = QVBoxLayout()
        words.addWidget(Label(labels.DROP_HERE, "heading", wrap=True))
        words.addWidget(Label(labels.TRAY_WORDS, "small", "soft", wrap=True))
        self.guide = Button(labels.GUIDE, "link", lambda: self._state.go("photo_guide"), small=True)
        words.addWidget(self.guide, 0, Qt.AlignmentFlag.AlignLeft)
        words.addStretch(1)
        row.addLayout(words, 1)
        self.choose = Button(labels.PHOTOS_IN, "main", self._ask)
        row.addWidget(self.choose, 0, Qt.AlignmentFlag.AlignVCenter)
        self.page.column.addWidget(self.drop)

    def show_horse(self, horse_key: str, **where: str) -> None:
        if horse_key != self._horse:
            self._undo.clear()
            self.asked.hide()
            empty_layout(self._refused)
            self._show_sets(())
        self._horse, self._visit = horse_key, where.get("visit", "")
        book = self._state.open_book
        self.drop.setVisible(book is not None and not book.read_only)
        self._read()

    def leave(self) -> bool:
        self.asked.hide()
        self._show_sets(())
        return True

    def bring_in(self, files: Sequence[Path]) -> None:
        """Take these files (or folders) in; more that come meanwhile wait their turn."""
        if self._job is not None:
            self._waiting.extend(files)
            return
        book, casework = self._state.open_book, self._state.casework
        horse, visit = self._horse, self._visit
        paths = tuple(files)
        self.choose.setEnabled(False)
        self.progress.begin(labels.BRINGING_IN, self._stop)
        self._job = self._state.background.long(
            self,
            lambda: casework.photo_tray.take_in(book, paths, horse=horse, visit=visit),
            self._taken,
            stepped=self.progress.show_step,
            failed=self._failed,
            stopped=self._stopped,
        )

    def undo(self) -> None:
        """Take the last choice back."""
        if not self._undo:
            self._state.notice(labels.NOTHING_TO_UNDO)
            return
        key, field, value = self._undo.pop()
        self._file(key, field, value)

    def _read(self) -> None:
        book, horse, casework = self._state.open_book, self._horse, self._state.casework
        self._state.background.read(
            self,
            lambda: (casework.photo_tray.read_tray(book, horse), casework.photo_tray.choices(book, horse)),
            self._show,
            replaces="tray",
        )
        self._state.background.read(
            self, lambda: casework.repeatability.ask_for_take(book, horse), self._ask_for_take, replaces="take"
        )

    def _ask_for_take(self, asked: TakeAsked | None) -> None:
        """Said once a visit: it stands until it is put away, done, or the tray is left."""
        if asked is None:
            return
        self.asked_words.setText(asked.words)
        self.asked.show()
        casework = self._state.casework
        self._state.background.read(self, lambda: casework.repeatability.asked(asked.visit), lambda _none: None)

    def _show(self, found: tuple[tuple[TrayLine, ...] | EmptyPlace, tuple[Pick, ...]]) -> None:
        lines, self._picks = found
        empty_layout(self._list)
        self.lines = {}
        if isinstance(lines, EmptyPlace):
            self._list.addWidget(Label(lines.words, "body", "soft", wrap=True))
            return
        for line in lines:
            view = self._line_view(line)
            self.lines[line.key] = view
            self._list.addWidget(view)
        self._open_next(focus=False)

    def _line_view(self, line: TrayLine) -> TrayLineView:
        book = self._state.open_book
        view = TrayLineView(self._pictures, line, self._picks, writable=book is not None and not book.read_only)
        view.filed.connect(self._picked)
        view.opened.connect(self._only)
        view.marked.connect(lambda key: self._state.go("bench", photo=key))
        view.hidden.connect(lambda key: self._state.go("hide_parts", photo=key, back="photo_tray"))
        return view

    def _only(self, opened: TrayLineView) -> None:
        for view in self.lines.values():
            if view is not opened:
                view.fold()

    def _open_next(self, *, focus: bool) -> None:
        """Unfold the next photo that is still to sort."""
        view = next((v for v in self.lines.values() if v.line.state == "to sort"), None)
        if view is None:
            return
        if not view.is_unfolded:
            view.unfold()
        if focus:
            view.focus_first()
            self.page.ensureWidgetVisible(view, 0, 40)

    def _picked(self, key: str, field: str, value: str) -> None:
        pick = next(pick for pick in self._picks if pick.field == field)
        self._undo.append((key, field, chosen_pick(pick, self.lines[key].line).chosen))
        self._file(key, field, value)

    def _file(self, key: str, field: str, value: str) -> None:
        book, casework = self._state.open_book, self._state.casework
        self._state.background.read(
            self, lambda: casework.photo_tray.file_photo(book, key, **{field: value}), self._filed, self._not_filed
        )

    def _filed(self, line: TrayLine) -> None:
        view = self.lines.get(line.key)
        if view is None:
            return
        was, was_second = view.line.state, view.line.second
        view.show_line(line)
        if line.second != was_second:
            self.asked.hide()
        for key in line.together:  # a whole sole set is one take
            if key in self.lines:
                other = self.lines[key]
                other.show_line(replace(other.line, second=line.second, take=line.take))
        for key in line.same_set:
            if key in self.lines:
                other = self.lines[key]
                other.show_line(replace(other.line, in_set=line.in_set))
        if line.in_set:
            self._tell_of_sets([line.key])
        if was == "to sort" and line.state == "filed":
            view.fold()
            self._open_next(focus=True)
        self._state.changed()

    def _not_filed(self, refusal: Refusal) -> None:
        self._state.notice(refusal)
        for view in self.lines.values():
            view.show_line(view.line)

    def _taken(self, lines: tuple[TrayLine, ...]) -> None:
        self._end()
        empty_layout(self._refused)
        for line in lines:
            if line.state in ("refused", "already here"):
                self._refused.addWidget(self._line_view(line))
        self._state.changed()
        self._read()
        self._tell_of_sets([line.key for line in lines if line.key])

    def _tell_of_sets(self, photos: Sequence[str]) -> None:
        """Whether the sole sets among these photos are good enough, and what to take again, while the horse stands."""
        book, horse, casework = self._state.open_book, self._horse, self._state.casework
        wanted = tuple(photos)
        self._state.background.read(
            self,
            lambda: casework.set_places.places_of_new(book, horse, wanted),
            self._show_sets,
            replaces="sets",
        )

    def _show_sets(self, sections: Sequence[Section]) -> None:
        empty_layout(self._sets)
        self.sets = []
        for section in sections:
            panel, view = Panel(""), SetPlaces()
            panel.body.addWidget(view)
            view.show_section(section)
            self.sets.append(view)
            self.page.add_narrow(panel, 560, self._sets)

    def _stop(self) -> None:
        if self._job is not None:
            self.progress.words.setText(labels.STOPPING)
            self._waiting.clear()
            self._job.cancel()

    def _stopped(self) -> None:
        self._end()
        self._state.notice(labels.BRINGING_STOPPED)
        self._state.changed()
        self._read()

    def _failed(self, refusal: Refusal) -> None:
        self._end()
        self._state.notice(refusal)
        self._read()

    def _end(self) -> None:
        self._job = None
        self.progress.end()
        self.choose.setEnabled(True)
        if self._waiting:
            more, self._waiting = self._waiting, []
            self.bring_in(more)

    def _ask(self) -> None:
        files = ask_photos(self)
        if files:
            self.bring_in(files)
