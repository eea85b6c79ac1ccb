"""A photo marked again without its marks in sight: the same desk and canvas, kept as a pass that changes no measure."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import Qt
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import QHBoxLayout, QStackedWidget, QVBoxLayout, QWidget

from hoofbook.desktop.bench.desk import MarkingDesk
from hoofbook.desktop.canvas.loading import PictureLoader, Source
from hoofbook.desktop.canvas.mark_canvas import MarkCanvas
from hoofbook.desktop.canvas.pyramid import PicturePyramid
from hoofbook.desktop.state import AppState
from hoofbook.desktop.widgets.buttons import Button
from hoofbook.desktop.widgets.flow import FlowLayout
from hoofbook.desktop.widgets.page import Page
from hoofbook.desktop.widgets.section_view import SectionView
from hoofbook.desktop.widgets.text import Label
from hoofbook.terms.marks import Marking, MarkState
from hoofbook.terms.refusal import Refusal
from hoofbook.terms.shown import Section
from hoofbook.wording import without_looking as words

if TYPE_CHECKING:
    from hoofbook.casework.without_looking import AgainResult, AgainSheet

_ARROWS = {
    Qt.Key.Key_Left: (-1, 0),
    Qt.Key.Key_Right: (1, 0),
    Qt.Key.Key_Up: (0, -1),
    Qt.Key.Key_Down: (0, 1),
}


class AgainPlace(QWidget):
    """`show_horse(key, photo=)`: the named photo, else one drawn from the whole book."""

    def __init__(self, state: AppState, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._state = state
        self._busy = False
        self.desk = MarkingDesk(self)
        self.canvas = MarkCanvas()
        self.canvas.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.loader = PictureLoader(self, state, self._picture_here, name="again")
        outer = QVBoxLayout(self)
        outer.setContentsMargins(20, 14, 20, 14)
        outer.setSpacing(10)
        head = QHBoxLayout()
        self.title = Label(words.TITLE, "heading")
        self.subtitle = Label("", "body", "soft")
        head.addWidget(self.title)
        head.addWidget(self.subtitle)
        head.addStretch(1)
        outer.addLayout(head)
        outer.addWidget(Label(words.HINT, "small", "soft", wrap=True))
        self.stack = QStackedWidget()
        self.stack.addWidget(self.canvas)
        self.page = Page()
        self.result = SectionView()
        self.page.column.addWidget(self.result)
        self.page.column.addStretch(1)
        self.stack.addWidget(self.page)
        outer.addWidget(self.stack, 1)
        self.said = Label("", "body", wrap=True)
        outer.addWidget(self.said)
        buttons = QWidget()
        row = FlowLayout(buttons, gap=12)
        self.done = Button(words.DONE, "main", self.finish)
        self.another = Button(words.ANOTHER, "main", lambda: self._read(""))
        self.unseen = Button(words.UNSEEN, "plain", self.desk.unseen)
        self.undo_button = Button(words.UNDO, "plain", self.undo)
        self.away = Button(words.LEAVE, "plain", lambda: state.go("how_measured"))
        for button in (self.done, self.another, self.unseen, self.undo_button, self.away):
            row.addWidget(button)
        outer.addWidget(buttons)
        self.canvas.clicked.connect(lambda x, y: self.desk.place(x, y, self.canvas.frame.scale))
        self.canvas.picked.connect(self.desk.choose)
        self.canvas.mark_put.connect(lambda name, x, y: self.desk.put(name, x, y, self.canvas.frame.scale))
        self.desk.marking_changed.connect(lambda _photo: self._show_desk())
        self.desk.shown_changed.connect(lambda _photo: self._show_desk())

    def show_horse(self, _horse_key: str, **where: str) -> None:
        self._read(where.get("photo", ""))

    def leave(self) -> bool:
        """Nothing is kept before Done: half a pass tells nothing."""
        self.canvas.let_go()
        return True

    def undo(self) -> None:
        self.canvas.let_go()
        self.desk.undo_stack.undo()

    def redo(self) -> None:
        self.desk.undo_stack.redo()

    def _read(self, photo: str) -> None:
        book, casework = self._state.open_book, self._state.casework
        self._state.background.read(
            self, lambda: casework.without_looking.draw_photo(book, photo), self._show, self._failed, replaces="again"
        )

    def _failed(self, refusal: Refusal) -> None:
        self._state.notice(refusal)
        self._state.go("bench")

    def _show(self, sheet: AgainSheet) -> None:
        photo = sheet.photo
        self.desk.clear()
        self.loader.drop()
        self.canvas.show_picture(None)
        self.subtitle.setText(f"{photo.title} · {photo.subtitle}")
        self.desk.take(photo)
        self.loader.load(Source(photo.key, (photo.width, photo.height), photo.original, photo.preview))
        self.desk.show(photo.key)
        self.stack.setCurrentWidget(self.canvas)
        self.another.hide()
        for button in (self.done, self.unseen, self.undo_button):
            button.show()
        self._show_desk()
        self.canvas.setFocus(Qt.FocusReason.OtherFocusReason)

    def _picture_here(self, pyramid: PicturePyramid | None) -> None:
        self.canvas.show_picture(pyramid)

    def _show_desk(self) -> None:
        desk = self.desk
        if desk.shown is None:
            return
        labels = {name: desk.label(name) for name in desk.visible()}
        self.canvas.set_marks(desk.visible(), labels, desk.current, placing=desk.is_placing)
        line = desk.line_of(desk.current) if desk.current else None
        open_marks = bool(desk.first_open())
        said = words.PLACE.format(label=line.label, sentence=line.sentence) if line and open_marks else words.ALL_PLACED
        self.said.setText(said)
        self.canvas.setAccessibleName(said)
        self.done.setEnabled(not open_marks and not self._busy)
        self.unseen.setEnabled(open_marks)

    def finish(self) -> None:
        """Keep the pass; only now the first marks come into sight."""
        self.canvas.let_go()
        photo, marking = self.desk.photo, self.desk.markings.get(self.desk.photo, Marking())
        if self.desk.first_open() or not photo:
            return
        self._busy = True
        self.done.setEnabled(False)
        book, casework = self._state.open_book, self._state.casework
        self._state.background.read(
            self, lambda: casework.without_looking.keep_again(book, photo, marking), self._finished, self._not_kept
        )

    def _not_kept(self, refusal: Refusal) -> None:
        self._busy = False
        self._show_desk()
        self._state.notice(refusal)

    def _finished(self, result: AgainResult) -> None:
        self._busy = False
        self.result.show_section(Section(result.title, (), result.rows))
        self.stack.setCurrentWidget(self.page)
        self.said.setText(words.KEPT)
        self.desk.undo_stack.clear()
        for button in (self.done, self.unseen, self.undo_button):
            button.hide()
        self.another.show()
        self.another.setFocus()
        self._state.changed()

    def keyPressEvent(self, event: QKeyEvent) -> None:
        key = Qt.Key(event.key())
        if self.stack.currentWidget() is not self.canvas:
            super().keyPressEvent(event)
            return
        scale = self.canvas.frame.scale
        if key in _ARROWS:
            far = 10 if event.modifiers() & Qt.KeyboardModifier.ShiftModifier else 1
            right, down = _ARROWS[key]
            if not self.desk.nudge(right * far, down * far, scale) and self.desk.is_placing:
                x, y = self.canvas.start_crosshair()
                self.canvas.set_crosshair((x + right * far, y + down * far))
        elif key in (Qt.Key.Key_Return, Qt.Key.Key_Enter, Qt.Key.Key_Space):
            self._enter(scale)
        elif key == Qt.Key.Key_0:
            self.desk.unseen()
        else:
            super().keyPressEvent(event)

    def _enter(self, scale: float) -> None:
        """At the crosshair, then on to the next mark; Done when all are placed."""
        if not self.desk.first_open():
            self.finish()
        elif self.desk.state_of(self.desk.current) is MarkState.CONFIRMED:
            self.desk.go_on()
        elif self.canvas.crosshair is None:
            self.canvas.start_crosshair()
        else:
            self.desk.place(*self.canvas.crosshair, scale)
