"""Beside the photo: its marks with one sentence, the set, live measures, remarks, and the one next step."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace
from typing import TYPE_CHECKING

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QFrame, QHBoxLayout, QVBoxLayout, QWidget

from hoofbook.desktop.bench.desk import MarkingDesk
from hoofbook.desktop.bench.far_rows import FarRows
from hoofbook.desktop.bench.mark_rows import MarkRows
from hoofbook.desktop.bench.measure_list import MeasureList
from hoofbook.desktop.bench.same_spot import SameSpot
from hoofbook.desktop.bench.set_counts import SetCounts
from hoofbook.desktop.widgets.buttons import Button
from hoofbook.desktop.widgets.drawing_view import DrawingView
from hoofbook.desktop.widgets.flow import FlowLayout
from hoofbook.desktop.widgets.page import Page
from hoofbook.desktop.widgets.set_places import SetPlaces
from hoofbook.desktop.widgets.text import KeyCap, Label
from hoofbook.terms.marks import MarkState
from hoofbook.wording import bench_labels as words
from hoofbook.wording.without_looking import START as MARK_AGAIN

if TYPE_CHECKING:
    from hoofbook.casework.bench_live import Live

CONCAVITY = "sole_concavity_at_frog_apex"


class BenchPanel(QFrame):
    """Shows the desk; what is pressed goes back through the callables it is given."""

    def __init__(
        self,
        desk: MarkingDesk,
        *,
        chosen: Callable[[str], object],
        how: Callable[[str], object],
        go_on: Callable[[], object],
        unseen: Callable[[], object],
        again: Callable[[], object],
        look_again: Callable[[str, str], object],
    ) -> None:
        super().__init__()
        self.can_mark_again = False  # a book that can be written to
        self._desk = desk
        self._how = how
        self._in_set = False
        self.setProperty("surface", "card")
        outer = QVBoxLayout(self)
        outer.setContentsMargins(4, 4, 4, 12)
        outer.setSpacing(8)
        self.page = Page(margin=14)
        self.page.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.page.column.setContentsMargins(14, 10, 14, 14)
        self.page.column.setSpacing(8)
        outer.addWidget(self.page, 1)
        self._build_marks(chosen, look_again)
        self._build_measures()
        self.again = Button(MARK_AGAIN, "link", again, small=True)
        self.page.column.addWidget(self.again)
        self.page.column.addStretch(1)
        outer.addLayout(self._make_foot(unseen, go_on))

    def _make_foot(self, unseen: Callable[[], object], go_on: Callable[[], object]) -> QHBoxLayout:
        foot = QWidget()
        buttons = FlowLayout(foot, gap=8, grow=True)
        buttons.setContentsMargins(0, 0, 0, 0)
        self.unseen = Button(f"{words.UNSEEN_BUTTON}  0", "plain", unseen, name=words.UNSEEN)
        self.main = Button("", "main", go_on)
        buttons.addWidget(self.unseen)
        buttons.addWidget(self.main)
        foot_row = QHBoxLayout()
        foot_row.setContentsMargins(14, 0, 14, 0)
        foot_row.addWidget(foot)
        return foot_row

    def _build_marks(self, chosen: Callable[[str], object], look_again: Callable[[str, str], object]) -> None:
        column = self.page.column
        self.title = Label(words.MARKS, "heading")
        self.same_spot = SameSpot()
        self._keys = self._key_line()
        self.rows = MarkRows(self._desk, chosen)
        self.counts = SetCounts(self._desk)
        self.far = FarRows(look_again)
        self.another = Button("", "link", lambda: chosen(self._another()), small=True)
        self.mark_name = Label("", bold=True, wrap=True)
        self.sentence = Label("", "small", wrap=True)
        self.hint = Label("", "small", "soft", wrap=True)
        for widget in (
            self.title,
            self.same_spot,
            self._keys,
            self.rows,
            self.far,
            self.counts,
            self.another,
            self.mark_name,
            self.sentence,
            self.hint,
        ):
            column.addWidget(widget)

    def _build_measures(self) -> None:
        column = self.page.column
        self.measures_title = Label(words.MEASURES, "heading")
        self.measures = MeasureList(self._how)
        self.section = DrawingView(least_height=90)
        self.section.setMinimumHeight(90)
        self.section.setMaximumHeight(150)
        self.next_brings = Label("", "small", "soft", wrap=True)
        self.places = SetPlaces()
        self.remarks_title = Label(words.REMARKS, "heading")
        self.remarks = Label("", "small", wrap=True)
        self.caution = Label("", "small", "soft", wrap=True)
        for widget in (
            self.measures_title,
            self.measures,
            self.section,
            self.next_brings,
            self.places,
            self.remarks_title,
            self.remarks,
            self.caution,
        ):
            column.addWidget(widget)
        self.section.hide()

    def _key_line(self) -> QFrame:
        line = QFrame()
        flow = FlowLayout(line, gap=6)
        for key, said in (("↵", words.YES_NEXT_SHORT), ("← ↑ ↓ →", words.MOVE)):
            flow.addWidget(KeyCap(key))
            flow.addWidget(Label(said, "small", "soft"))
        return line

    # what is shown

    def refresh(self) -> None:
        """Marks, order and the next step as they now lie on the desk."""
        desk = self._desk
        self._in_set = desk.shown is not None and len(desk.shown.set_keys) > 1
        state = desk.state_of(desk.current) if desk.current else None
        self._refresh_words(state)
        self.rows.setVisible(not self._in_set)
        if not self._in_set:
            self.places.show_section(None)
        self.counts.setVisible(self._in_set)
        another = self._another() if self._in_set and state is MarkState.CONFIRMED else ""
        self.another.setVisible(bool(another))
        if self._in_set:
            self.counts.refresh()
            if another:
                self.another.set_words(words.ANOTHER_OF.format(label=desk.label(another)))
        else:
            self.rows.refresh()
        open_mark = bool(desk.current) and state is not MarkState.CONFIRMED
        self.unseen.setVisible(open_mark)
        settled = desk.markings.get(desk.photo)
        self.again.setVisible(self.can_mark_again and settled is not None and bool(settled.confirmed))

    def _refresh_words(self, state: MarkState | None) -> None:
        desk = self._desk
        line = desk.line_of(desk.current)
        self.mark_name.setText(line.label if line is not None else "")
        self.sentence.setText(line.sentence if line is not None else words.ALL_PLACED)
        if state is MarkState.PROPOSED:
            source = words.FROM_THE_SET if self._in_set else words.FROM_LAST_VISIT
            hint = words.CONFIRM_HINT.format(source=source)
        elif state is MarkState.CONFIRMED:
            hint = words.MOVE_HINT
        else:
            hint = words.PLACE_HINT if line is not None else ""
        self.hint.setText(hint)
        self._spread()

    def _spread(self) -> None:
        """Words that the pair of glasses and its keys say already stand back for it."""
        paired = bool(self.same_spot.marks)
        self.hint.setVisible(bool(self.hint.text()) and not paired)
        self.sentence.setVisible(not paired)
        self.mark_name.setVisible(self._in_set and bool(self._desk.current) and not paired)

    def show_step(self, said: str, *, by_enter: bool) -> None:
        """What the main button does now."""
        self.main.set_words(f"{said}  ↵" if by_enter else said)
        self.main.setAccessibleName(said)

    def show_same_spot(self, shown: bool) -> None:
        """After `same_spot` was filled: its heading and keys come and go with it."""
        self.title.setText(words.SAME_SPOT if shown else words.MARKS)
        self._keys.setVisible(shown)
        self._spread()

    def show_live(self, live: Live | None, *, set_words: str = "") -> None:
        if live is not None and self._in_set and live.headline is not None:
            headline = live.headline
            concavity = headline.name == CONCAVITY
            heading = words.CONCAVITY_SO_FAR if set_words else words.CONCAVITY
            self.measures_title.setText(heading if concavity else words.MEASURES)
            same = [replace(e, label=e.definition, definition="") for e in live.lines if e.name == headline.name]
            again = (*same, *(line for line in live.lines if line.name != headline.name))
            if concavity:  # its name is the heading already
                headline = replace(headline, label=headline.definition, definition="")
            live = replace(live, headline=headline, lines=again)
        else:
            self.measures_title.setText(words.MEASURES)
        self.measures.show_live(live)
        self.far.show_far(live.far if live is not None else ())
        section = live.section if live is not None else None
        self.section.setVisible(section is not None)
        if section is not None:
            self.section.show_drawing(section)
        self.next_brings.setText(set_words)
        self.next_brings.setVisible(bool(set_words))

    def show_remarks(self, remarks: Sequence[str], caution: str) -> None:
        said = "\n\n".join(dict.fromkeys(remarks))
        self.remarks.setText(said)
        self.remarks.setVisible(bool(said))
        self.remarks_title.setVisible(bool(said))
        self.caution.setText(caution)
        self.caution.setVisible(bool(caution))

    def _another(self) -> str:
        """Name of one mark more of the current kind, where any number may be placed."""
        group, _, number = self._desk.current.rpartition("_")
        if not number.isdigit() or group not in ("rim", "sole_edge", "sole", "profile"):
            return ""
        taken = {name for key in self._set_keys() for name in self._desk.visible(key)}
        taken |= {line.name for line in self._desk.lines}
        return next(name for name in (f"{group}_{i:02d}" for i in range(1, 100)) if name not in taken)

    def _set_keys(self) -> Sequence[str]:
        return self._desk.shown.set_keys if self._desk.shown is not None else ()
