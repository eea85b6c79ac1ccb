"""A photo marked again without its marks in sight: the same desk and canvas, kept as a pass that changes no measure."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import QEvent, QObject, Qt
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import QHBoxLayout, QVBoxLayout, QWidget

from hoofbook.desktop.bench.desk import MarkingDesk
from hoofbook.desktop.bench.hands import ARROWS, SHIFT_STEP
from hoofbook.desktop.canvas.loading import PictureLoader, Source
from hoofbook.desktop.canvas.mark_canvas import MarkCanvas
from hoofbook.desktop.canvas.pyramid import PicturePyramid
from hoofbook.desktop.canvas.view_bar import ViewBar
from hoofbook.desktop.state import AppState
from hoofbook.desktop.widgets.buttons import Button
from hoofbook.desktop.widgets.flow import FlowLayout
from hoofbook.desktop.widgets.page import Page
from hoofbook.desktop.widgets.section_view import SectionView
from hoofbook.desktop.widgets.text import Label
from hoofbook.terms.marks import Marking, MarkState
from hoofbook.terms.refusal import Refusal
from hoofbook.terms.shown import Section
from hoofbook.wording import bench_labels
from hoofbook.wording import without_looking as words
from hoofbook.wording.marks import mark_label

if TYPE_CHECKING:
    from hoofbook.casework.without_looking import AgainResult, AgainSheet

RESULT_SHARE = 0.42  # of the width, for the words of both passes
CLOSE_PX = 60.0  # photo px about two marks looked at closely


class AgainPlace(QWidget):
    """`show_horse(key, photo=, back=, back_photo=)`: the named photo, else one drawn from the whole book; `back` is
    the place to return to, with the photo that was on the Bench.

    Marks of a photo left half-way are kept; only the rest is asked for when it comes again.
    """

    def __init__(self, state: AppState, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._state = state
        self._back, self._back_photo = "how_measured", ""
        self._busy = False
        self._result: AgainResult | None = None
        self._near = ""
        self.desk = MarkingDesk(self)
        self.canvas = MarkCanvas()
        self.canvas.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.canvas.installEventFilter(self)
        self.loader = PictureLoader(self, state, self._picture_here, name="again")
        self._build_bar()
        self._build()
        self.canvas.clicked.connect(self._click)
        self.canvas.picked.connect(self.desk.choose)
        self.canvas.mark_put.connect(lambda name, x, y: self.desk.put(name, x, y, self.canvas.frame.scale))
        self.desk.marking_changed.connect(lambda _photo: self._show_desk())
        self.desk.shown_changed.connect(lambda _photo: self._show_desk())
        self.desk.undo_stack.canUndoChanged.connect(self.undo_button.setEnabled)
        self.undo_button.setEnabled(False)

    # building

    def _build_bar(self) -> None:
        canvas = self.canvas
        self.bar = ViewBar(canvas)
        self.bar.add("+", "+", bench_labels.ZOOM_IN, canvas.zoom_in)
        self.bar.add("−", "−", bench_labels.ZOOM_OUT, canvas.zoom_out)
        self.bar.add(bench_labels.FIT, "F", bench_labels.FIT_NAME, canvas.fit)
        self.bar.add(bench_labels.ACTUAL, "1", bench_labels.ACTUAL_NAME, canvas.actual_size)
        self.loupe = self.bar.add(bench_labels.LOUPE, "Z", bench_labels.LOUPE, self._turn_loupe)
        self.loupe.setCheckable(True)
        self.loupe.setChecked(True)

    def _build(self) -> None:
        outer = QVBoxLayout(self)
        outer.setContentsMargins(20, 12, 20, 12)
        outer.setSpacing(8)
        head = QWidget()
        row = FlowLayout(head, gap=12)
        self.title = Label(words.TITLE, "heading")
        self.subtitle = Label("", "body", "soft")
        row.addWidget(self.title)
        row.addWidget(self.subtitle)
        outer.addWidget(head)
        self.hint = Label(words.HINT, "small", "soft", wrap=True)
        outer.addWidget(self.hint)
        self.middle = QHBoxLayout()
        self.middle.setSpacing(12)
        self.middle.addWidget(self.canvas, 1)
        self.page = Page(margin=0)
        self.page.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.page.column.setContentsMargins(0, 0, 8, 0)
        self.result = SectionView()
        self.page.column.addWidget(self.result)
        self.page.column.addStretch(1)
        self.page.hide()
        self.middle.addWidget(self.page)
        outer.addLayout(self.middle, 1)
        self.said = Label("", "body", wrap=True)
        outer.addWidget(self.said)
        buttons = QWidget()
        line = FlowLayout(buttons, gap=12)
        self.done = Button(words.DONE, "main", self.finish)
        self.another = Button(words.ANOTHER, "main", lambda: self._read(""))
        self.look = Button("", "outline", self.look_closer)
        self.unseen = Button(f"{words.UNSEEN}  0", "plain", self._unseen, name=words.UNSEEN)
        self.undo_button = Button(words.UNDO, "plain", self.undo)
        self.away = Button(words.LEAVE, "plain", self._go_back)
        for button in (self.done, self.another, self.look, self.unseen, self.undo_button, self.away):
            line.addWidget(button)
        outer.addWidget(buttons)

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        if watched is self.canvas and event.type() is QEvent.Type.Resize:
            self.bar.lie_in(self.canvas.size())
            self.page.setFixedWidth(round(self.width() * RESULT_SHARE))
        return False

    # the place

    def show_horse(self, _horse_key: str, **where: str) -> None:
        self._back, self._back_photo = where.get("back", "how_measured"), where.get("back_photo", "")
        self._read(where.get("photo", ""))

    def leave(self) -> bool:
        """What is placed of a photo not yet finished is kept; the rest can be placed another time."""
        self.canvas.let_go()
        photo, marking = self.desk.photo, self.desk.markings.get(self.desk.photo, Marking())
        if photo and self._result is None and not self._busy and len(marking):
            book, casework = self._state.open_book, self._state.casework
            self._state.background.read(
                self, lambda: casework.without_looking.keep_again(book, photo, marking), self._half_kept
            )
        self.desk.clear()
        return True

    def undo(self) -> None:
        self.canvas.let_go()
        self.desk.undo_stack.undo()

    def redo(self) -> None:
        self.canvas.let_go()
        self.desk.undo_stack.redo()

    def _half_kept(self, _result: AgainResult) -> None:
        self._state.notice(words.HALF_KEPT)
        self._state.changed()

    def _read(self, photo: str) -> None:
        book, casework = self._state.open_book, self._state.casework
        self._state.background.read(
            self, lambda: casework.without_looking.draw_photo(book, photo), self._show, self._failed, replaces="again"
        )

    def _failed(self, refusal: Refusal) -> None:
        self._state.notice(refusal)
        self._go_back()

    def _go_back(self) -> None:
        self._state.go(self._back, **({"photo": self._back_photo} if self._back_photo else {}))

    def _show(self, sheet: AgainSheet) -> None:
        photo = sheet.photo
        self._result, self._near = None, ""
        self.desk.clear()
        self.loader.drop()
        self.canvas.set_drawing(None)
        self.canvas.show_picture(None)
        self.subtitle.setText(f"{photo.title} · {photo.subtitle}")
        self.hint.setText(f"{words.HINT} {sheet.said}")
        self.desk.take(photo)
        self.loader.load(Source(photo.key, (photo.width, photo.height), photo.original, photo.preview))
        self.desk.show(photo.key)
        self.page.hide()
        self._show_buttons(marking=True)
        self._show_desk()
        self.canvas.setFocus(Qt.FocusReason.OtherFocusReason)

    def _show_buttons(self, *, marking: bool) -> None:
        for button in (self.done, self.unseen, self.undo_button):
            button.setVisible(marking)
        for button in (self.another, self.look):
            button.setVisible(not marking)

    def _picture_here(self, pyramid: PicturePyramid | None) -> None:
        self.canvas.show_picture(pyramid)

    def _show_desk(self) -> None:
        desk = self.desk
        if desk.shown is None or self._result is not None:
            return
        labels = {name: desk.label(name) for name in desk.visible()}
        self.canvas.set_marks(desk.visible(), labels, desk.current, placing=desk.is_placing)
        line = desk.line_of(desk.current) if desk.current else None
        still_open = bool(desk.first_open())
        said = words.ALL_PLACED
        if line is not None and still_open:
            said = words.PLACE.format(label=f"{line.label[:1].upper()}{line.label[1:]}", sentence=line.sentence)
        self.said.setText(said)
        self.canvas.setAccessibleName(said)
        self.done.setEnabled(not still_open and not self._busy)
        self.unseen.setEnabled(still_open)

    # both passes

    def finish(self) -> None:
        """Keep the pass; only now the first marks come into sight."""
        self.canvas.let_go()
        photo, marking = self.desk.photo, self.desk.markings.get(self.desk.photo, Marking())
        if self.desk.first_open() or not photo or self._busy:
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
        self._state.changed()
        if not self.desk.photo:  # left while it was being kept
            return
        self._result = result
        self.result.show_section(Section(result.title, (), result.rows))
        self.page.show()
        self.page.verticalScrollBar().setValue(0)
        labels = {name: mark_label(name) for name in result.again}
        self.canvas.set_marks(result.again, labels, "", placing=False)
        self.canvas.set_drawing(result.drawing)
        self.canvas.setAccessibleName(result.drawing.alt)
        self.said.setText(words.KEPT)
        self.hint.setText(words.HINT)
        self.desk.undo_stack.clear()
        self._show_buttons(marking=False)
        self._name_look()
        self.another.setFocus()

    def look_closer(self) -> None:
        """The next mark with its first and its second place as large as they fit, then the whole photo again."""
        result = self._result
        if result is None:
            return
        self._near = self._after()
        if not self._near:
            self.canvas.fit()
        else:
            marks = [marking.marks[self._near] for marking in (result.first, result.again)]
            xs, ys = [mark.x for mark in marks], [mark.y for mark in marks]
            self.canvas.fit_on(min(xs) - CLOSE_PX, min(ys) - CLOSE_PX, max(xs) + CLOSE_PX, max(ys) + CLOSE_PX)
        self._name_look()

    def _after(self) -> str:
        names = list(self._result.again) if self._result is not None else []
        at = names.index(self._near) + 1 if self._near in names else 0
        return names[at] if at < len(names) else ""

    def _name_look(self) -> None:
        after = self._after()
        self.look.set_words(words.LOOK_AT.format(label=mark_label(after)) if after else words.WHOLE_PHOTO)

    # hands

    def _click(self, x: float, y: float) -> None:
        if self._result is None:
            self.desk.place(x, y, self.canvas.frame.scale)

    def _unseen(self) -> None:
        self.canvas.let_go()
        self.desk.unseen()
        self.canvas.setFocus(Qt.FocusReason.OtherFocusReason)

    def _turn_loupe(self) -> None:
        self.canvas.set_loupe(not self.canvas.loupe_on)
        self.loupe.setChecked(self.canvas.loupe_on)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        key = Qt.Key(event.key())
        views = {
            Qt.Key.Key_Plus: self.canvas.zoom_in,
            Qt.Key.Key_Equal: self.canvas.zoom_in,
            Qt.Key.Key_Minus: self.canvas.zoom_out,
            Qt.Key.Key_F: self.canvas.fit,
            Qt.Key.Key_1: self.canvas.actual_size,
            Qt.Key.Key_Z: self._turn_loupe,
        }
        if key in views and not event.modifiers() & Qt.KeyboardModifier.ControlModifier:
            views[key]()
        elif self._result is not None or not self._mark_key(key, event.modifiers()):
            super().keyPressEvent(event)

    def _mark_key(self, key: Qt.Key, modifiers: Qt.KeyboardModifier) -> bool:
        scale = self.canvas.frame.scale
        if key in ARROWS:
            far = SHIFT_STEP if modifiers & Qt.KeyboardModifier.ShiftModifier else 1
            right, down = (step * far for step in ARROWS[key])
            if not self.desk.nudge(right, down, scale) and self.desk.is_placing:
                x, y = self.canvas.start_crosshair()
                self.canvas.set_crosshair((x + right, y + down))
        elif key in (Qt.Key.Key_Return, Qt.Key.Key_Enter, Qt.Key.Key_Space):
            self._enter(scale)
        elif key == Qt.Key.Key_0:
            self._unseen()
        elif key == Qt.Key.Key_Backspace:
            self.desk.go_back()
        else:
            return False
        return True

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
