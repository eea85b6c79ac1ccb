"""The line at the top: whose feet these are, the places of this horse, and the two things done most."""

from __future__ import annotations

from PySide6.QtCore import QEvent, Qt, Signal
from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import QButtonGroup, QFrame, QHBoxLayout, QSizePolicy, QVBoxLayout, QWidget

from hoofbook.desktop.widgets.buttons import Button
from hoofbook.desktop.widgets.text import Label
from hoofbook.wording import labels

HORSE_PLACES = (
    ("horse_card", labels.HORSE_CARD),
    ("visit", labels.VISITS),
    ("bench", labels.BENCH),
    ("then_and_now", labels.THEN_AND_NOW),
    ("cycle_by_cycle", labels.CYCLE_BY_CYCLE),
    ("papers", labels.PAPERS),
)
OTHER_PLACES = (
    ("photo_tray", labels.PHOTO_TRAY),
    ("scale_card", labels.SCALE_CARD),
    ("how_measured", labels.HOW_MEASURED),
    ("set_up", labels.SET_UP),
)

_EASY_GAP = 26  # px between the places


class Header(QFrame):
    """Name, places, Photos in and Add visit; two lines where one is too narrow."""

    place_wanted = Signal(str)
    list_wanted = Signal()
    photos_wanted = Signal()
    visit_wanted = Signal()

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setProperty("surface", "header")
        self.setSizePolicy(QSizePolicy.Policy.Preferred, QSizePolicy.Policy.Fixed)  # a tall place must not squeeze it
        self.name = Label("", "title")
        self.list_button = Button(labels.OPEN_HORSES, "plain", self.list_wanted.emit)
        self.photos_in = Button(labels.PHOTOS_IN, "plain", self.photos_wanted.emit)
        self.add_visit = Button(labels.ADD_VISIT, "main", self.visit_wanted.emit)
        self.photos_in.setToolTip("Ctrl+O")
        self.add_visit.setToolTip("Ctrl+N")
        self.places: dict[str, Button] = {}
        self._group = QButtonGroup(self)
        self._tabs = QWidget()
        self._tab_row = QHBoxLayout(self._tabs)
        self._tab_row.setContentsMargins(0, 0, 0, 0)
        self._tab_row.setSpacing(_EASY_GAP)
        for place, words in HORSE_PLACES:
            self._add_place(place, words)
        self._tab_row.addStretch(1)
        self._outer = QVBoxLayout(self)
        self._outer.setContentsMargins(28, 0, 28, 0)
        self._outer.setSpacing(0)
        self._first, self._second = QHBoxLayout(), QHBoxLayout()
        self._first.setSpacing(14)
        self._outer.addLayout(self._first)
        self._outer.addLayout(self._second)
        self.list_button.hide()
        self._two_lines: bool | None = None
        self._folded = False
        self._dress()
        self._arrange()

    def show_name(self, name: str, *, is_horse: bool) -> None:
        """The horse's name with its places, or the name of a place that belongs to no horse."""
        self.name.setText(name)
        self._tabs.setVisible(is_horse)
        self.add_visit.setVisible(is_horse)
        self.photos_in.setVisible(is_horse)
        self._arrange()

    def mark(self, place: str) -> None:
        """Underline the place that shows; none where it has no button here."""
        self._group.setExclusive(False)
        for name, button in self.places.items():
            button.setChecked(name == place)
        self._group.setExclusive(place in self.places)

    def fold(self, folded: bool) -> None:
        """With the list of horses folded away, its button stands here."""
        self._folded = folded
        self.list_button.setVisible(folded)
        self._arrange()

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        self._arrange()

    def changeEvent(self, event: QEvent) -> None:
        super().changeEvent(event)
        if event.type() is QEvent.Type.StyleChange:
            self._dress()

    def _dress(self) -> None:
        self.list_button.set_icon("list")
        self.photos_in.set_icon("photos_in")
        self.add_visit.set_icon("add", "on_leather")

    def _add_place(self, place: str, words: str) -> None:
        button = Button(words, "place", lambda: self.place_wanted.emit(place))
        button.setCheckable(True)
        button.setMinimumHeight(50)
        self._group.addButton(button)
        self._tab_row.addWidget(button)
        self.places[place] = button

    def _tab_spacing(self, room: int) -> int:
        """As wide as looks easy, less where the places would not fit the line otherwise."""
        tabs = [button.sizeHint().width() for button in self.places.values()]
        return max(0, min(_EASY_GAP, (room - sum(tabs)) // len(tabs)))

    def _needs_two_lines(self) -> bool:
        fixed = [self.name, self.photos_in, self.add_visit, *([self.list_button] if self._folded else [])]
        tabs = sum(button.sizeHint().width() + _EASY_GAP for button in self.places.values())
        return sum(widget.sizeHint().width() + 16 for widget in fixed) + tabs + 90 > self.width()

    def _arrange(self) -> None:
        edge = 16 if self.width() < 1000 else 28
        self._outer.setContentsMargins(edge, 0, edge, 0)
        self._tab_row.setSpacing(self._tab_spacing(self.width() - 2 * edge))
        two = self._needs_two_lines()
        if two == self._two_lines:
            return
        self._two_lines = two
        for row in (self._first, self._second):
            while row.count():
                row.takeAt(0)
        self._first.addWidget(self.list_button)
        self._first.addWidget(self.name)
        self._first.setContentsMargins(0, 8 if two else 6, 0, 2 if two else 6)
        if two:
            self._first.addStretch(1)
            self._second.addWidget(self._tabs, 1)
        else:
            self._first.addSpacing(18)
            self._first.addWidget(self._tabs, 1)
        self._first.addWidget(self.photos_in)
        self._first.addWidget(self.add_visit)
        self._first.setAlignment(Qt.AlignmentFlag.AlignVCenter)
