"""One visit on one sheet. Every tap is kept at once and can be taken back with Ctrl+Z."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from typing import TYPE_CHECKING, Any

from PySide6.QtCore import Qt
from PySide6.QtGui import QKeyEvent, QResizeEvent
from PySide6.QtWidgets import QHBoxLayout, QWidget

from hoofbook.desktop.state import AppState
from hoofbook.desktop.visit.feet import FeetGrid
from hoofbook.desktop.visit.taps import Tap, Taps
from hoofbook.desktop.visit.words import WordsField
from hoofbook.desktop.widgets.buttons import Button
from hoofbook.desktop.widgets.flow import FlowLayout
from hoofbook.desktop.widgets.labelled import Labelled
from hoofbook.desktop.widgets.page import Page
from hoofbook.desktop.widgets.panel import Note
from hoofbook.desktop.widgets.pick_row import Cell, PickRow
from hoofbook.desktop.widgets.pictures import Pictures
from hoofbook.desktop.widgets.text import Label, rule
from hoofbook.wording import labels

if TYPE_CHECKING:
    from hoofbook.casework.visit import VisitSheet

_FOUR_ACROSS = 1000
LEAVING = ("walked_off", "interval_weeks")


class VisitSheetView(Page):
    """Shows a `VisitSheet`. `left()` is called by the button back to all visits."""

    def __init__(self, state: AppState, pictures: Pictures, left: Callable[[], object]) -> None:
        super().__init__()
        self._state = state
        self.sheet: VisitSheet | None = None
        self._taps = Taps()
        self._on_its_way = 0
        self.whole: dict[str, PickRow] = {}
        self.column.setSpacing(12)
        self._build_head(left)
        self.confirm = Button("", "outline", self.confirm_hollow)
        self.feet = FeetGrid(state, pictures, self.confirm)
        self.feet.picked.connect(self.tap)
        self.column.addWidget(self.feet)
        self.column.addWidget(rule())
        self._build_foot()
        self.column.addStretch(1)
        self.content.hide()

    def _build_head(self, left: Callable[[], object]) -> None:
        head = QWidget()
        row = FlowLayout(head, gap=14)
        self.title = Label("", "title")
        self.subtitle = Label("", "body", "soft")
        self.finished = Label(labels.FINISHED, "small", "leather", bold=True)
        self.all_visits = Button(labels.ALL_VISITS, "link", left)
        for part in (self.title, self.subtitle, self.finished, self.all_visits):
            row.addWidget(part)
        self.column.addWidget(head)
        self.watch = Note()
        self.column.addWidget(self.watch)
        self._arrival = QWidget()
        self._arrival_row = FlowLayout(self._arrival, gap=24)
        self.column.addWidget(self._arrival)

    def _build_foot(self) -> None:
        self._leaving = QWidget()
        self._leaving_row = FlowLayout(self._leaving, gap=24)
        self.column.addWidget(self._leaving)
        self.note = WordsField(labels.NOTES, labels.NOTES_HINT)
        self.watch_next = WordsField(labels.WATCH_NEXT, labels.WATCH_NEXT_HINT)
        self.note.kept.connect(lambda words: self._write_words("note", words))
        self.watch_next.kept.connect(lambda words: self._write_words("watch_next", words))
        words = QWidget()
        row = FlowLayout(words, gap=20, grow=True)
        row.addWidget(self.note)
        row.addWidget(self.watch_next)
        self.column.addWidget(words)
        self.missing = Label("", "small", wrap=True)
        self.caution = Label("", "small", "soft", wrap=True)
        self.column.addWidget(self.missing)
        self.column.addWidget(self.caution)
        bottom = QHBoxLayout()
        self.keys = Label(labels.KEYS_OF_VISIT, "small", "soft", wrap=True)
        self.undo_button = Button(labels.UNDO, "plain", self.undo)
        self.undo_button.setToolTip(labels.UNDO_KEY)
        self.finish = Button(labels.FINISH_VISIT, "main", self.finish_visit)
        bottom.addWidget(self.keys, 1)
        bottom.addWidget(self.undo_button)
        bottom.addWidget(self.finish)
        self.column.addLayout(bottom)

    def show_sheet(self, sheet: VisitSheet) -> None:
        if self.sheet is None or sheet.key != self.sheet.key:
            self._taps.clear()
            self.verticalScrollBar().setValue(0)
        self.sheet = sheet
        self.title.setText(sheet.title)
        self.subtitle.setText(sheet.subtitle)
        self.finished.setVisible(sheet.finished)
        self.watch.show_words(sheet.watch_last_title, sheet.watch_last)
        self._show_whole(sheet)
        self.feet.show_feet(sheet.feet, self._across())
        self.note.show_words(sheet.note)
        self.watch_next.show_words(sheet.watch_next)
        self.missing.setText(f"{labels.STILL_MISSING}: " + "; ".join(sheet.missing_photos))
        self.missing.setVisible(bool(sheet.missing_photos))
        self.caution.setText(sheet.sole_caution)
        self.caution.setVisible(bool(sheet.sole_caution))
        one = sheet.hollow_count == 1
        words = labels.CONFIRM_HOLLOW_ONE if one else labels.CONFIRM_HOLLOW.format(count=sheet.hollow_count)
        self.confirm.set_words(f"{words} ↵")
        self.confirm.setVisible(sheet.hollow_count > 0)
        self.finish.setVisible(not sheet.finished)
        self._allow(self._state.open_book is not None and not self._state.open_book.read_only)
        self.content.show()

    def tap(self, foot: str, field: str, value: str) -> None:
        """One tap: shown at once, kept behind, undoable."""
        row = self.whole[field] if not foot else self.feet.rows[(foot, field)]
        old = "" if row.pick.hollow else row.pick.chosen
        self._taps.add((Tap(foot, field, old, value),))
        row.set_pick(replace(row.pick, chosen=value, hollow=False))
        self._choose(foot, field, value)

    def confirm_hollow(self) -> None:
        """Keep all that is offered as last time, as one step that can be taken back."""
        if self.sheet is None or not self.sheet.hollow_count:
            return
        rows = [(foot, row) for (foot, _field), row in self.feet.rows.items()]
        rows += [("", row) for row in self.whole.values()]
        self._taps.add(tuple(Tap(foot, row.pick.field, "", row.pick.chosen) for foot, row in rows if row.pick.hollow))
        self._ask(lambda visit, book, visit_key: visit.confirm_hollow(book, visit_key))

    def finish_visit(self) -> None:
        self.keep_words()
        self._ask(lambda visit, book, visit_key: visit.finish_visit(book, visit_key))

    def undo(self) -> None:
        self._replay(self._taps.undo())

    def redo(self) -> None:
        self._replay(self._taps.redo())

    def keep_words(self) -> None:
        """Keep words still being typed."""
        self.note.keep()
        self.watch_next.keep()

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        self.feet.set_across(self._across())

    def keyPressEvent(self, event: QKeyEvent) -> None:
        focused = self.focusWidget()
        steps = {
            Qt.Key.Key_Up: (-1, 0),
            Qt.Key.Key_Down: (1, 0),
            Qt.Key.Key_Left: (0, -1),
            Qt.Key.Key_Right: (0, 1),
        }
        if isinstance(focused, Cell) and event.key() in steps:
            self._walk(focused, *steps[Qt.Key(event.key())])
        elif event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter):
            self.confirm_hollow()
        else:
            super().keyPressEvent(event)

    def _walk(self, cell: Cell, down: int, right: int) -> None:
        """To the row above or below, or on to the next foot."""
        lines = [[row] for row in self._whole_rows(leaving=False)]
        lines += [*self.feet.lines(), *([row] for row in self._whole_rows(leaving=True))]
        row = cell.parentWidget()
        for line_at, line in enumerate(lines):
            if row not in line:
                continue
            assert isinstance(row, PickRow)
            column = line.index(row) + right
            target_at = line_at + down
            if not 0 <= target_at < len(lines) or not column >= 0:
                return
            target_line = lines[target_at]
            if right and column >= len(target_line):
                return
            target = target_line[min(column, len(target_line) - 1)]
            place = row.cells.index(cell) if down else (0 if right > 0 else len(target.cells) - 1)
            target.focus_cell(place)
            self.ensureWidgetVisible(target, 20, 60)
            return

    def _whole_rows(self, *, leaving: bool) -> list[PickRow]:
        return [row for field, row in self.whole.items() if (field in LEAVING) is leaving]

    def _across(self) -> int:
        return 4 if self.viewport().width() >= _FOUR_ACROSS * self._state.theme.size / 17 else 2

    def _show_whole(self, sheet: VisitSheet) -> None:
        for pick in sheet.visit_picks:
            row = self.whole.get(pick.field)
            if row is None:
                row = PickRow()
                row.picked.connect(lambda field, value: self.tap("", field, value))
                self.whole[pick.field] = row
                home = self._leaving_row if pick.field in LEAVING else self._arrival_row
                home.addWidget(Labelled(pick.label, row))
            row.set_pick(pick)
        if not hasattr(self, "due"):
            self.due = Label("", bold=True)
            self._leaving_row.addWidget(self.due)
        self.due.setText(f"{labels.NEXT_DUE} {sheet.due_words}" if sheet.due_words else "")
        self.due.setVisible(bool(sheet.due_words))

    def _choose(self, foot: str, field: str, value: str) -> None:
        self._ask(lambda visit, book, key: visit.choose(book, key, foot, field, value))

    def _write_words(self, field: str, words: str) -> None:
        self._ask(lambda visit, book, key: visit.write_words(book, key, field, words))

    def _ask(self, write: Callable[[Any, Any, str], VisitSheet]) -> None:
        """Write behind the window; the sheet that comes back is shown when nothing newer is on its way."""
        if self.sheet is None:
            return
        key, book, casework = self.sheet.key, self._state.open_book, self._state.casework
        self._on_its_way += 1
        self._state.background.read(self, lambda: write(casework.visit, book, key), self._written, self._not_written)

    def _written(self, sheet: VisitSheet) -> None:
        self._on_its_way -= 1
        if self._on_its_way == 0 and self.sheet is not None and self.sheet.key == sheet.key:
            self.show_sheet(sheet)
            self._state.changed()

    def _not_written(self, refusal: Any) -> None:
        """Show why, and what is really kept."""
        self._on_its_way -= 1
        self._state.notice(refusal)
        if self.sheet is not None:
            key, book, casework = self.sheet.key, self._state.open_book, self._state.casework
            self._state.background.read(self, lambda: casework.visit.read_visit(book, key), self.show_sheet)

    def _replay(self, taps: tuple[tuple[str, str, str], ...]) -> None:
        if not taps:
            self._state.notice(labels.NOTHING_TO_UNDO)
        for foot, field, value in taps:
            self._choose(foot, field, value)

    def _allow(self, writable: bool) -> None:
        for row in (*self.whole.values(), *self.feet.rows.values()):
            for cell in row.cells:
                cell.setEnabled(writable)
        for part in (self.finish, self.undo_button, self.confirm, self.note, self.watch_next):
            part.setEnabled(writable)
