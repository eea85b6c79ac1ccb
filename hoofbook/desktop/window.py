"""The main window: list of horses at the side, header above, one place at a time. It knows no figures and no book."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import Any

from PySide6.QtCore import QPoint, QRect, QSize, Qt
from PySide6.QtGui import (
    QCloseEvent,
    QDragEnterEvent,
    QDragLeaveEvent,
    QDropEvent,
    QKeySequence,
    QResizeEvent,
    QShortcut,
)
from PySide6.QtWidgets import QHBoxLayout, QMainWindow, QStackedWidget, QVBoxLayout, QWidget

from hoofbook import PRODUCT_NAME
from hoofbook.desktop.ask_files import ask_photos
from hoofbook.desktop.drawer import Drawer, DropHint
from hoofbook.desktop.header import HORSE_PLACES, OTHER_PLACES, Header
from hoofbook.desktop.horses.sidebar import HorseSidebar
from hoofbook.desktop.places import PlaceMaker
from hoofbook.desktop.state import AppState
from hoofbook.desktop.theme import THEMES
from hoofbook.desktop.widgets.empty_place import EmptyView
from hoofbook.desktop.widgets.focus_ring import FocusRing
from hoofbook.desktop.widgets.notice_bar import NoticeBar
from hoofbook.desktop.widgets.text import Label
from hoofbook.terms.refusal import Refusal
from hoofbook.terms.shown import EmptyPlace
from hoofbook.wording import labels

FOLD_BELOW = 1100
FIRST_SIZE = QSize(1440, 900)
LEAST_SIZE = QSize(820, 440)
_NAMES = {
    **dict(HORSE_PLACES),
    **dict(OTHER_PLACES),
    "horse_form": labels.HORSE_FACTS,
    "sole_map": labels.HORSE_CARD,
    "photo_guide": labels.GUIDE,
    "mark_again": labels.BENCH,
    "hide_parts": labels.PAPERS,
}
_OF_A_HORSE = {name for name, _ in HORSE_PLACES} | {"photo_tray", "sole_map", "hide_parts"}


def _nothing(*_given: Any, **_named: Any) -> None:
    """Stands where the shell puts its functions."""


class Window(QMainWindow):
    """Shows first start, waiting, or the book. `open_folder`, `make_folder`, `change_settings` come from the shell."""

    def __init__(self, state: AppState) -> None:
        super().__init__()
        self.state = state
        self.open_folder: Callable[..., None] = _nothing
        self.make_folder: Callable[..., None] = _nothing
        self.change_settings: Callable[..., None] = _nothing
        self.setWindowTitle(PRODUCT_NAME)
        self.setMinimumSize(LEAST_SIZE)
        self.setAcceptDrops(True)
        self.makers = PlaceMaker(state, self)
        self.place = ""
        self._wanted_horse = ""
        self._where: dict[str, str] = {}
        self._build()
        self._connect()
        self._keys()

    def _build(self) -> None:
        root = QWidget()
        root.setProperty("surface", "paper")
        self.setCentralWidget(root)
        column = QVBoxLayout(root)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(0)
        self.notice = NoticeBar()
        self.root = QStackedWidget()
        column.addWidget(self.notice)
        column.addWidget(self.root, 1)
        self.waiting = Label("", "heading", "soft")
        self.waiting.setAlignment(Qt.AlignmentFlag.AlignCenter)
        self.root.addWidget(self.waiting)
        self.frame = QWidget()
        self._row = QHBoxLayout(self.frame)
        self._row.setContentsMargins(0, 0, 0, 0)
        self._row.setSpacing(0)
        self.sidebar = HorseSidebar(self.state)
        self.header = Header()
        self.stack = QStackedWidget()
        self._row.addWidget(self.sidebar)
        right = QVBoxLayout()
        right.setSpacing(0)
        right.addWidget(self.header)
        right.addWidget(self.stack, 1)
        self._row.addLayout(right, 1)
        self.root.addWidget(self.frame)
        self.no_horse = EmptyView(lambda _action: self.go("horse_form", {"new": "yes"}))
        self.stack.addWidget(self.no_horse)
        self.drawer = Drawer(self.frame)
        self.drop_hint = DropHint(self)
        self.ring = FocusRing(root)

    def _connect(self) -> None:
        signals = self.state.signals
        signals.go.connect(self.go)
        signals.notice.connect(self.notice.show_notice)
        signals.book_changed.connect(self.sidebar.read)
        signals.theme_changed.connect(self._fold)
        self.sidebar.horse_wanted.connect(lambda key: self.go(self._place_for_horse(), {"horse": key}))
        self.sidebar.place_wanted.connect(lambda name: self.go(name, {}))
        self.sidebar.form_wanted.connect(lambda: self.go("horse_form", {"new": "yes"}))
        self.sidebar.listed.connect(self._listed)
        self.header.place_wanted.connect(lambda name: self.go(name, {}))
        self.header.list_wanted.connect(self.open_drawer)
        self.header.photos_wanted.connect(self.photos_in)
        self.header.visit_wanted.connect(self.add_visit)

    def _keys(self) -> None:
        keys: list[tuple[str, Callable[[], object]]] = [
            ("Ctrl+F", self.find_horse),
            ("Ctrl+O", self.photos_in),
            ("Ctrl+N", self.add_visit),
            ("F8", self.next_theme),
            ("Esc", self.put_away),
        ]
        for number, (place, _words) in enumerate(HORSE_PLACES, start=1):
            keys.append((f"Ctrl+{number}", lambda place=place: self.go(place, {})))  # type: ignore[misc]
        for key, action in keys:
            QShortcut(QKeySequence(key), self).activated.connect(action)
        QShortcut(QKeySequence.StandardKey.Undo, self).activated.connect(lambda: self._ask_place("undo"))
        QShortcut(QKeySequence("Ctrl+Shift+Z"), self).activated.connect(lambda: self._ask_place("redo"))

    def show_first_size(self) -> None:
        """Open as large as the study, or as the screen allows."""
        room = self.screen().availableGeometry().size()
        self.resize(FIRST_SIZE.boundedTo(QSize(round(room.width() * 0.96), round(room.height() * 0.92))))
        self.show()

    def show_first_start(self) -> None:
        """No book yet: two ways in."""
        first = self.makers.first_start(self)
        if self.root.indexOf(first) < 0:
            self.root.addWidget(first)
        self.root.setCurrentWidget(first)
        first.start()

    def show_waiting(self, words: str) -> None:
        if self.state.open_book is None and self.root.currentWidget() is self.waiting:
            self.waiting.setText(words)

    def not_opened(self, refusal: Refusal) -> None:
        """A book that did not open: say why; without another one, go to the first start."""
        self.notice.show_notice(refusal)
        if self.state.open_book is None:
            self.show_first_start()

    def show_book(self, horse_name: str) -> None:
        """A book was opened: list its horses, then show the one asked for or the first."""
        self._wanted_horse = horse_name
        self.place = ""
        self.sidebar.search.clear()
        self.root.setCurrentWidget(self.frame)
        self._fold()
        self.sidebar.read()
        if self.state.open_book is not None and self.state.open_book.read_only:
            self.notice.show_notice(labels.READ_ONLY_SENTENCE)

    def go(self, place: str, where: dict[str, str]) -> None:
        """Show a place. `where` may name a `horse` and what the place understands."""
        where = dict(where)
        current = self.makers.made.get(self.place)
        if current is not None and not current.leave():  # type: ignore[attr-defined]
            return
        horse = where.pop("horse", "") or self.state.horse
        if place in _OF_A_HORSE and not horse:
            self._show_no_horse()
            return
        self.state.horse = horse
        self.place = place
        self.close_drawer()
        widget = self.makers.place(place)
        if self.stack.indexOf(widget) < 0:
            self.stack.addWidget(widget)
        self.stack.setCurrentWidget(widget)
        self._name_header()
        self.sidebar.mark(horse if place in _OF_A_HORSE else "")
        widget.show_horse(horse, **where)  # type: ignore[attr-defined]

    def photos_in(self) -> None:
        """Ask for files and bring them in on the Photo tray."""
        if not self._has_horse():
            return
        files = ask_photos(self)
        if files:
            self.bring_in(files)

    def bring_in(self, files: list[Path]) -> None:
        """Bring photo files (or folders of them) in for the horse that is open, and for the visit where one shows."""
        where = self.makers.visit_shown() if self.place == "visit" else {}
        self.go("photo_tray", where)
        tray = self.makers.made.get("photo_tray")
        if tray is not None and self.place == "photo_tray":
            tray.bring_in(files)  # type: ignore[attr-defined]

    def add_visit(self) -> None:
        if self._has_horse():
            self.go("visit", {"new": "yes"})

    def find_horse(self) -> None:
        """Put the keyboard into the search."""
        if self.state.open_book is None:
            return
        if self.drawer.folded:
            self.open_drawer()
        self.sidebar.search.setFocus(Qt.FocusReason.ShortcutFocusReason)
        self.sidebar.search.selectAll()

    def next_theme(self) -> None:
        """Light, dark, daylight in turn."""
        at = THEMES.index(self.state.theme.name)
        self.change_settings(theme=THEMES[(at + 1) % len(THEMES)])

    def put_away(self) -> None:
        """Close what lies on top: the list of horses, else the notice."""
        if self.drawer.is_open:
            self.close_drawer()
        else:
            self.notice.hide()

    def open_drawer(self) -> None:
        self.drawer.open()
        first = next((row for row in self.sidebar.rows if row.isChecked()), self.sidebar.search)
        first.setFocus(Qt.FocusReason.OtherFocusReason)

    def close_drawer(self) -> None:
        self.drawer.close_it()

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        self._fold()

    def closeEvent(self, event: QCloseEvent) -> None:
        current = self.makers.made.get(self.place)
        if current is not None and not current.leave():  # type: ignore[attr-defined]
            event.ignore()
        else:
            event.accept()

    def dragEnterEvent(self, event: QDragEnterEvent) -> None:
        if self.state.open_book is not None and any(url.isLocalFile() for url in event.mimeData().urls()):
            event.acceptProposedAction()
            self.drop_hint.show_over(QRect(QPoint(0, 0), self.size()))

    def dragLeaveEvent(self, event: QDragLeaveEvent) -> None:
        self.drop_hint.hide()

    def dropEvent(self, event: QDropEvent) -> None:
        self.drop_hint.hide()
        files = [Path(url.toLocalFile()) for url in event.mimeData().urls() if url.isLocalFile()]
        if files and self._has_horse():
            event.acceptProposedAction()
            self.bring_in(files)

    def _listed(self) -> None:
        """The list arrived: show the wanted horse when nothing shows yet; keep the name in the header true."""
        lines = self.sidebar.lines
        if not self.place:
            wanted = self._wanted_horse.casefold()
            first = next((line for line in lines if wanted and line.name.casefold() == wanted), None)
            if first is None and lines:
                first = lines[0]
            if first is not None:
                self.go("horse_card", {"horse": first.key})
                self.header.places["horse_card"].setFocus()
            elif not self.sidebar.search.text():
                self._show_no_horse()
        self._name_header()

    def _show_no_horse(self) -> None:
        empty = EmptyPlace(labels.NO_HORSE_TITLE, labels.NO_HORSE_WORDS, labels.ADD_HORSE, "add_horse")
        self.no_horse.show_empty(empty)
        self.place = ""
        self.stack.setCurrentWidget(self.no_horse)
        self._name_header()

    def _name_header(self) -> None:
        name = next((line.name for line in self.sidebar.lines if line.key == self.state.horse), None)
        if self.place in _OF_A_HORSE:
            self.header.show_name(name if name is not None else self.header.name.text(), is_horse=True)
        else:
            self.header.show_name(_NAMES.get(self.place, ""), is_horse=False)
        self.header.mark(self.place)
        if self.state.open_book is not None and self.state.open_book.read_only:
            self.header.photos_in.hide()
            self.header.add_visit.hide()

    def _has_horse(self) -> bool:
        if self.state.open_book is None or self.root.currentWidget() is not self.frame:
            return False
        if not self.state.horse:
            self.state.notice(labels.NO_HORSE_FOR_PHOTOS)
        return bool(self.state.horse)

    def _place_for_horse(self) -> str:
        return self.place if self.place in _OF_A_HORSE else "horse_card"

    def _ask_place(self, what: str) -> None:
        action = getattr(self.makers.made.get(self.place), what, None)
        if action is not None:
            action()

    def _fold(self) -> None:
        """Fold the list into a drawer where the window is narrow for this size of text."""
        folded = self.width() < FOLD_BELOW * self.state.theme.size / 17
        if folded != self.drawer.folded:
            if folded:
                self.drawer.take(self.sidebar)
            else:
                self.drawer.give_back()
                self._row.insertWidget(0, self.sidebar)
                self.sidebar.show()
            self.header.fold(folded)
        self.drawer.fit()
