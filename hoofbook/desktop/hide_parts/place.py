"""Hide parts of one photo; every box is kept at once, and every step can be taken back."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING

from PySide6.QtCore import Qt
from PySide6.QtGui import QKeySequence, QResizeEvent, QShortcut, QUndoCommand, QUndoStack
from PySide6.QtWidgets import QBoxLayout, QWidget

from hoofbook.desktop.canvas.loading import PictureLoader, Source
from hoofbook.desktop.hide_parts.canvas import FIRST_BOX, HideCanvas
from hoofbook.desktop.state import AppState
from hoofbook.desktop.widgets.buttons import Button
from hoofbook.desktop.widgets.flow import FlowLayout
from hoofbook.desktop.widgets.labelled import Labelled
from hoofbook.desktop.widgets.page import Page
from hoofbook.desktop.widgets.panel import Panel
from hoofbook.desktop.widgets.pick_row import PickRow
from hoofbook.desktop.widgets.text import Label
from hoofbook.terms.refusal import Refusal
from hoofbook.terms.shown import Pick
from hoofbook.terms.subjects import CoverBox
from hoofbook.wording import hidden_parts as words
from hoofbook.wording import labels

if TYPE_CHECKING:
    from hoofbook.casework.hidden_parts import HiddenSheet

State = tuple[tuple[CoverBox, ...], bool]
_PANEL_WIDE = 380
_UNBOUNDED = 16_777_215  # what Qt calls no limit
SIDE_BY_SIDE = 900


class _Step(QUndoCommand):
    """From one state of the photo to the next."""

    def __init__(self, apply: Callable[[State], None], before: State, after: State) -> None:
        super().__init__()
        self._apply, self._before, self._after = apply, before, after

    def redo(self) -> None:
        self._apply(self._after)

    def undo(self) -> None:
        self._apply(self._before)


class HidePartsPlace(QWidget):
    """The photo large, beside or below it what to do. `Done` goes back to where the person came from."""

    def __init__(self, state: AppState) -> None:
        super().__init__()
        self._state = state
        self.sheet: HiddenSheet | None = None
        self._now: State = ((), False)
        self._back = "papers"
        self.steps = QUndoStack(self)
        self.canvas = HideCanvas()
        self.loader = PictureLoader(self, state, self.canvas.show_picture)
        self._sides = QBoxLayout(QBoxLayout.Direction.LeftToRight, self)
        self._sides.setContentsMargins(20, 16, 20, 16)
        self._sides.setSpacing(18)
        self._sides.addWidget(self.canvas, 1)
        self.panel = Panel(words.TITLE)
        self._build_panel()
        self.side = Page(margin=0)
        self.side.column.addWidget(self.panel)
        self._sides.addWidget(self.side)
        self.canvas.drawn.connect(self._add)
        self.canvas.changed.connect(self._change)
        self.canvas.removed.connect(self._remove)
        self.canvas.chosen_changed.connect(self._mark)
        QShortcut(
            QKeySequence(words.ADD_KEY), self, context=Qt.ShortcutContext.WidgetWithChildrenShortcut
        ).activated.connect(self.add_box)

    def _build_panel(self) -> None:
        self.photo_words = Label("", "body", bold=True, wrap=True)
        self.count = Label("", "body", wrap=True)
        self.add = Button(words.ADD, "plain", self.add_box)
        self.add.setToolTip(words.ADD_KEY)
        self.take_away = Button(words.TAKE_AWAY, "plain", lambda: self._remove(self.canvas.chosen))
        self.undo_button = Button(labels.UNDO, "plain", self.undo)
        self.blood = PickRow(name=words.BLOOD_LABEL)
        self.blood.picked.connect(lambda _field, value: self._do((self._now[0], bool(value))))
        self.done = Button(words.DONE, "main", self._go_back)
        holder = QWidget()
        row = FlowLayout(holder, gap=10)
        for button in (self.add, self.take_away, self.undo_button):
            row.addWidget(button)
        for part in (
            self.photo_words,
            Label(words.WORDS, "body", "soft", wrap=True),
            Label(words.HOW, "body", wrap=True),
            self.count,
            holder,
            self.done,
            Labelled(words.BLOOD_LABEL, self.blood),
            Label(words.BLOOD_WORDS, "small", "soft", wrap=True),
            Label(words.KEYS, "small", "soft", wrap=True),
        ):
            self.panel.body.addWidget(part)
        self.panel.body.addStretch(1)

    # the place

    def show_horse(self, horse_key: str, **where: str) -> None:
        """Show the photo named in `where`; `back` names the place that `Done` goes to."""
        self._back = where.get("back", "papers")
        if where.get("photo"):
            self._read(where["photo"])

    def leave(self) -> bool:
        return True

    def undo(self) -> None:
        if self.steps.canUndo():
            self.steps.undo()
        else:
            self._state.notice(labels.NOTHING_TO_UNDO)

    def redo(self) -> None:
        self.steps.redo()

    def add_box(self) -> None:
        """A box in the middle, for whoever works by keys."""
        self._add(FIRST_BOX)
        self.canvas.setFocus(Qt.FocusReason.OtherFocusReason)

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        wide = self.width() >= SIDE_BY_SIDE
        self._sides.setDirection(QBoxLayout.Direction.LeftToRight if wide else QBoxLayout.Direction.TopToBottom)
        self.side.setMaximumWidth(_PANEL_WIDE if wide else _UNBOUNDED)
        self.side.setMinimumWidth(_PANEL_WIDE if wide else 0)
        for place, share in enumerate((1, 0) if wide else (3, 2)):  # below it the panel scrolls, the photo keeps room
            self._sides.setStretch(place, share)

    # work

    def _read(self, photo: str) -> None:
        """The photo as the book has it; no step of before can be taken back."""
        book = self._state.open_book
        if book is None:
            return
        self.steps.clear()
        self._state.background.read(
            self, lambda: self._state.casework.hidden_parts.read_hidden(book, photo), self._show, replaces="sheet"
        )

    def _show(self, sheet: HiddenSheet) -> None:
        self.sheet = sheet
        self.photo_words.setText(sheet.title)
        self.loader.load(Source(sheet.key, sheet.size, sheet.path, sheet.preview))
        self._now = (sheet.boxes, sheet.shows_blood)
        self.canvas.chosen = -1
        self._mark_all()
        self.canvas.setFocus(Qt.FocusReason.OtherFocusReason)

    def _do(self, after: State) -> None:
        """One step that can be taken back; a book for looking only stays as it is."""
        if self.sheet is None or self.sheet.read_only:
            self._state.notice(labels.READ_ONLY_SENTENCE)
            self._mark_all()
            return
        self.steps.push(_Step(self._apply, self._now, after))

    def _apply(self, state: State) -> None:
        book, sheet = self._state.open_book, self.sheet
        if book is None or sheet is None:
            return
        self._now = state
        self._mark_all()
        boxes, blood = state
        self._state.background.read(
            self,
            lambda: self._state.casework.hidden_parts.keep_hidden(book, sheet.key, boxes, shows_blood=blood),
            lambda _none: self._state.changed(),
            lambda refusal: self._not_kept(sheet.key, refusal),
        )

    def _not_kept(self, photo: str, refusal: Refusal) -> None:
        """What could not be kept is not shown as if it were."""
        self._state.notice(refusal)
        if self.sheet is not None and self.sheet.key == photo:
            self._read(photo)

    def _add(self, box: CoverBox) -> None:
        left, right = sorted((box[0], box[2]))
        top, low = sorted((box[1], box[3]))
        if right - left < self._least or low - top < self._least:
            self.canvas.update_all()
            return
        boxes = (*self._now[0], (left, top, right, low))
        self._do((boxes, self._now[1]))
        self.canvas.choose(len(self._now[0]) - 1)

    @property
    def _least(self) -> float:
        return float(self._state.casework.hidden_parts.LEAST)

    def _change(self, index: int, box: CoverBox) -> None:
        boxes = tuple(box if place == index else each for place, each in enumerate(self._now[0]))
        self._do((boxes, self._now[1]))

    def _remove(self, index: int) -> None:
        if 0 <= index < len(self._now[0]):
            self._do((tuple(box for place, box in enumerate(self._now[0]) if place != index), self._now[1]))

    def _mark_all(self) -> None:
        boxes, blood = self._now
        self.canvas.show_boxes(boxes)
        self.blood.set_pick(Pick("blood", words.BLOOD_LABEL, ("yes",), (words.BLOOD,), "yes" if blood else ""))
        self.count.setText(words.count_words(len(boxes)))
        self._mark()

    def _mark(self) -> None:
        self.take_away.setEnabled(self.canvas.chosen >= 0)
        self.undo_button.setEnabled(self.steps.canUndo())

    def _go_back(self) -> None:
        self._state.go(self._back)
