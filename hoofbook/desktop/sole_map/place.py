"""The whole sole of one foot: map, sections through a place, what is read off it, and the visit it is compared with."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Any

from PySide6.QtWidgets import QFileDialog, QGridLayout, QStackedWidget, QVBoxLayout, QWidget

from hoofbook.desktop.look import theme
from hoofbook.desktop.sole_map.canvas import MapCanvas
from hoofbook.desktop.state import AppState
from hoofbook.desktop.widgets.buttons import Button
from hoofbook.desktop.widgets.drawing_view import DrawingView
from hoofbook.desktop.widgets.empty_place import EmptyView
from hoofbook.desktop.widgets.flow import FlowLayout
from hoofbook.desktop.widgets.page import Page
from hoofbook.desktop.widgets.panel import Panel
from hoofbook.desktop.widgets.pick_row import PickRow
from hoofbook.desktop.widgets.section_view import SectionView
from hoofbook.desktop.widgets.set_places import SetPlaces
from hoofbook.desktop.widgets.text import Label
from hoofbook.terms.refusal import Refusal
from hoofbook.terms.shown import Pick, Section, Step
from hoofbook.wording import labels
from hoofbook.wording import sole_map as words

if TYPE_CHECKING:
    from hoofbook.casework.sole_map import MapJob, SoleMapSheet
    from hoofbook.casework.sole_shape import DenseResult
    from hoofbook.desktop.background import Job

_TWO_COLUMNS = 900


class SoleMapPlace(QWidget):
    """`show_horse(key, foot=)`. A map that is not made yet is made on asking, in a process of its own."""

    def __init__(self, state: AppState, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._state = state
        self._horse = self._foot = self._chosen = self._against = ""
        self._view = "depth"
        self.sheet: SoleMapSheet | None = None
        self._running: Job | None = None
        self._queue: list[MapJob] = []  # further visits, where all were asked for
        self._asked = 1
        outer = QVBoxLayout(self)
        outer.setContentsMargins(0, 0, 0, 0)
        self.stack = QStackedWidget()
        outer.addWidget(self.stack)
        self._nothing, self.page = QWidget(), Page()
        self.empty = EmptyView(state.go)
        for page in (self._nothing, self.page, self.empty):
            self.stack.addWidget(page)
        self._build()

    def _build(self) -> None:
        switches = QWidget()
        row = FlowLayout(switches, gap=16)
        self.feet = PickRow(style="track", name=labels.FOOT)
        self.visits = PickRow(style="track", name=labels.VISITS)
        self.others = PickRow(style="track", name=words.COMPARED_WITH)
        self.feet.picked.connect(lambda _f, value: self._read(foot=value, chosen="", against=""))
        self.visits.picked.connect(lambda _f, value: self._read(chosen=value, against=""))
        self.others.picked.connect(lambda _f, value: self._read(against=value))
        self.others_words = Label(words.COMPARED_WITH, "small", "soft")
        for part in (self.feet, self.visits, self.others_words, self.others):
            row.addWidget(part)
        self.page.column.addWidget(switches)
        self._grid_holder = QWidget()
        self._grid = QGridLayout(self._grid_holder)
        self._grid.setContentsMargins(0, 0, 0, 0)
        self._grid.setSpacing(16)
        self.page.column.addWidget(self._grid_holder)
        self.page.column.addStretch(1)
        self._columns = 0
        self._build_map()
        self._build_side()

    def _build_map(self) -> None:
        self.map_panel = Panel("")
        self.views = PickRow(style="track", name=words.TITLE)
        self.views.picked.connect(lambda _f, value: self.show_view(value))
        self.canvas = MapCanvas()
        self.canvas.setMinimumHeight(320)
        self.canvas.pointed.connect(self._look_at)
        self.canvas.placed.connect(lambda _toe, _right: self._draw_sections())
        self.said = Label("", "body", wrap=True)
        self.hint = Label(words.POINT_HINT, "small", "soft", wrap=True)
        self.not_made = Label(words.NOT_MADE, "body", "soft", wrap=True)
        self.make = Button(words.MAKE, "main", self.start)
        self.make_all = Button(words.make_all(2, 2), "plain", self.start_all)
        self.stop = Button(words.STOP, "plain", self.cancel)
        self.progress = Label("", "small", "soft", wrap=True)
        self.to_bench = Button(words.TO_BENCH, "main", self._to_bench)
        for part in (self.views, self.canvas, self.said, self.hint, self.not_made, self.progress):
            self.map_panel.body.addWidget(part)
        buttons = QWidget()
        row = FlowLayout(buttons, gap=12)
        self.save_picture = Button(words.SAVE_PICTURE, "outline", lambda: self._ask_and_save("png"))
        self.save_grid = Button(words.SAVE_GRID, "plain", lambda: self._ask_and_save("csv"))
        self.save_mesh = Button(words.SAVE_MESH, "plain", lambda: self._ask_and_save("ply"))
        for button in (
            self.make,
            self.to_bench,
            self.make_all,
            self.stop,
            self.save_picture,
            self.save_grid,
            self.save_mesh,
        ):
            row.addWidget(button)
        self.map_panel.body.addWidget(buttons)
        self.map_panel.body.addStretch(1)

    def _build_side(self) -> None:
        self._side = QWidget()
        side = QVBoxLayout(self._side)
        side.setContentsMargins(0, 0, 0, 0)
        side.setSpacing(14)
        self.values = SectionView()
        self.sections_panel = Panel("")
        self.along, self.across = DrawingView(least_height=120), DrawingView(least_height=120)
        for view in (self.along, self.across):
            view.setFixedHeight(150)
            self.sections_panel.body.addWidget(view)
        self.places_panel = Panel("")
        self.places = SetPlaces()
        self.places_panel.body.addWidget(self.places)
        self.guide = Button(labels.GUIDE, "link", lambda: self._state.go("photo_guide"), small=True)
        self.places_panel.body.addWidget(self.guide)
        self.caution = Label(words.CAUTION, "small", "soft", wrap=True)
        for part in (self.values, self.sections_panel, self.places_panel, self.caution):
            side.addWidget(part)
        side.addStretch(1)

    def show_horse(self, horse_key: str, **where: str) -> None:
        if horse_key != self._horse:
            self.stack.setCurrentWidget(self._nothing)
            self._foot = self._chosen = self._against = ""
        self._horse = horse_key
        self._read(foot=where.get("foot", self._foot))

    def leave(self) -> bool:
        self.cancel()
        return True

    def _read(self, **changed: str) -> None:
        self.cancel()
        foot = changed.get("foot", self._foot)
        chosen = changed.get("chosen", self._chosen if foot == self._foot else "")
        against = changed.get("against", self._against if foot == self._foot else "")
        book, horse, casework = self._state.open_book, self._horse, self._state.casework
        self._state.background.read(
            self,
            lambda: casework.sole_map.read_sole_map(book, horse, foot, chosen, against),
            self.show_sheet,
            replaces="sole map",
        )

    def show_sheet(self, sheet: SoleMapSheet) -> None:
        self.sheet = sheet
        if sheet.empty is not None:
            self.empty.show_empty(sheet.empty)
            self.stack.setCurrentWidget(self.empty)
            return
        self._foot, self._chosen, self._against = sheet.feet.chosen, sheet.visits.chosen, sheet.others.chosen
        for row, pick in ((self.feet, sheet.feet), (self.visits, sheet.visits), (self.others, sheet.others)):
            row.set_pick(pick)
        for part in (self.others, self.others_words):
            part.setVisible(bool(sheet.others.options))
        self.map_panel.set_title(sheet.title)
        made = sheet.now is not None
        parts: tuple[QWidget, ...] = (self.views, self.canvas, self.said, self.hint)
        for shown in (*parts, self.save_picture, self.save_grid, self.save_mesh):
            shown.setVisible(made)
        self.not_made.setText("\n".join((words.LACKS, *sheet.missing)) if sheet.missing else words.NOT_MADE)
        self.not_made.setVisible(not made)
        self.to_bench.setVisible(bool(sheet.missing))
        self.places.show_section(sheet.places)
        self.places_panel.setVisible(sheet.places is not None)
        self.make.setVisible(self._next_job() is not None)
        self.make_all.setVisible(len(sheet.waiting) > 1)
        self.make_all.set_words(words.make_all(len(sheet.waiting), len(sheet.visits.options)))
        self.make.set_words(words.MAKE if not made else words.MAKE_OTHER)
        self.stop.hide()
        self.progress.hide()
        self._show_values(sheet)
        self.sections_panel.setVisible(made)
        self.show_view(self._view)
        self.stack.setCurrentWidget(self.page)
        self._arrange()
        if made:
            self._draw_sections()

    def _show_values(self, sheet: SoleMapSheet) -> None:
        if sheet.now is None:
            self.values.show_section(None)
            return
        said = tuple(part for part in (sheet.completeness, sheet.change_words) if part)
        self.values.show_section(Section(words.READ_OFF, said, sheet.rows))

    def show_view(self, view: str) -> None:
        """One of the pictures of the same map."""
        sheet = self.sheet
        if sheet is None:
            return
        offered = [item for item in words.VIEWS if item[0] != "change" or sheet.change is not None]
        self._view = view if view in [name for name, _ in offered] else "depth"
        names, spoken = tuple(name for name, _ in offered), tuple(said for _, said in offered)
        self.views.set_pick(Pick("view", "", names, spoken, self._view))
        shown, casework = self._view, self._state.casework

        def make(zoom: int, lamp: float) -> Any:
            return casework.sole_map.map_picture(sheet, shown, zoom, lamp)

        self.canvas.show_map(sheet.now, make if sheet.now is not None else None, lamp_follows=shown == "lamp")
        hints = {"lamp": words.LAMP_HINT, "change": words.CHANGE_WORDS}
        self.hint.setText(hints.get(self._view, f"{words.depth_legend(*sheet.reach)} {words.POINT_HINT}"))
        if sheet.now is not None:
            self._look_at(*self.canvas.at)

    def _look_at(self, toe: float, right: float) -> None:
        if self.sheet is not None and self.sheet.now is not None:
            self.said.setText(self._state.casework.sole_map.point_said(self.sheet, toe, right))
            self.canvas.setAccessibleName(f"{self.sheet.title}: {self.said.text()}")

    def _draw_sections(self) -> None:
        sheet = self.sheet
        if sheet is None or sheet.now is None:
            return
        size = (float(max(240, self.along.width())), float(self.along.height()))
        along, across = self._state.casework.sole_map.sections_drawn(sheet, *self.canvas.at, size, float(theme().small))
        self.along.show_drawing(along)
        self.across.show_drawing(across)

    def _to_bench(self) -> None:
        if self.sheet is not None:
            self._state.go("bench", photo=self.sheet.first_photo)

    def _next_job(self) -> MapJob | None:
        """What a press on the button measures: the chosen visit, once that is made the one it is compared with."""
        sheet = self.sheet
        if sheet is None:
            return None
        return sheet.job or (sheet.other_job if sheet.now is not None and sheet.others.chosen else None)

    def start(self) -> None:
        """Measure what is missing: the chosen visit first, then the one it is compared with."""
        job = self._next_job()
        if job is not None and self._running is None:
            self._queue, self._asked = [], 1
            self._work_on(job)

    def start_all(self) -> None:
        """Measure every visit of this foot whose whole sole is not measured yet, oldest first."""
        if self.sheet is None or self._running is not None or not self.sheet.waiting:
            return
        first, *self._queue = self.sheet.waiting
        self._asked = len(self.sheet.waiting)
        self._work_on(first)

    def _work_on(self, job: MapJob) -> None:
        self.make.hide()
        self.make_all.hide()
        self.stop.show()
        self.progress.setText(words.WORKING)
        self.progress.show()
        casework = self._state.casework
        self._running = self._state.background.long(
            self,
            lambda: casework.sole_map.make_map(job),
            lambda made: self._made(job, made),
            stepped=self._stepped,
            failed=self._failed,
            stopped=self._stopped,
            on_pixels=True,
        )

    def cancel(self) -> None:
        self._queue = []
        if self._running is not None:
            self._running.cancel()
            self._running = None
            self._stopped()

    def _stopped(self) -> None:
        self._running = None
        self.stop.hide()
        self.progress.hide()
        self.make.setVisible(self._next_job() is not None)
        self.make_all.setVisible(self.sheet is not None and len(self.sheet.waiting) > 1)

    def _stepped(self, step: Step) -> None:
        self.progress.setText(words.working(step, self._asked - len(self._queue) - 1, self._asked))

    def _failed(self, refusal: Refusal) -> None:
        """One visit that cannot be measured does not keep the others waiting."""
        self._state.notice(refusal)
        self._next(read=self._asked > 1)

    def _made(self, job: MapJob, made: DenseResult | Refusal) -> None:
        self._running = None
        if isinstance(made, Refusal):
            self._failed(made)
            return
        book, casework = self._state.open_book, self._state.casework
        self._state.background.read(self, lambda: casework.sole_map.keep_map(book, job, made), self._kept, self._failed)

    def _kept(self, _done: None) -> None:
        self._next()

    def _next(self, *, read: bool = True) -> None:
        self._running = None
        if self._queue:
            self._work_on(self._queue.pop(0))
            return
        self._stopped()
        if read:
            self._read()

    def _ask_and_save(self, ending: str) -> None:
        sheet, view, lamp, casework = self.sheet, self._view, self.canvas.lamp, self._state.casework
        if sheet is None:
            return
        name, _kind = QFileDialog.getSaveFileName(self, words.SAVE_PICTURE, f"{sheet.title}.{ending}", f"*.{ending}")
        if name:
            self._state.background.read(
                self,
                lambda: casework.sole_map.save_map(sheet, Path(name), view, lamp),
                lambda _done: self._state.notice(words.saved(Path(name).name)),
            )

    def _arrange(self) -> None:
        scale = theme().size / 17
        columns = 2 if self.width() >= _TWO_COLUMNS * scale else 1
        self.canvas.setFixedHeight(max(300, min(560, round(self.height() * 0.58))))
        if columns == self._columns:
            return
        self._columns = columns
        while self._grid.count():
            self._grid.takeAt(0)
        self._grid.addWidget(self.map_panel, 0, 0)
        if columns == 2:
            self._grid.addWidget(self._side, 0, 1)
        else:
            self._grid.addWidget(self._side, 1, 0)
        self._grid.setColumnStretch(0, 3)
        self._grid.setColumnStretch(1, 2 if columns == 2 else 0)
        self._side.show()
        self.map_panel.show()

    def resizeEvent(self, event: Any) -> None:
        super().resizeEvent(event)
        self._arrange()
        self._draw_sections()
