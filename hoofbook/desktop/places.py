"""Makes each place when it is first asked for, so that the window shows before heavy imports."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtWidgets import QWidget

from hoofbook.desktop.state import AppState
from hoofbook.desktop.widgets.pictures import Pictures

if TYPE_CHECKING:
    from hoofbook.desktop.first_start.place import FirstStart
    from hoofbook.desktop.window import Window


class PlaceMaker:
    """The places by name, made once each."""

    def __init__(self, state: AppState, window: Window) -> None:
        self._state = state
        self._window = window
        self.pictures = Pictures(state)
        self.made: dict[str, QWidget] = {}
        self._first: FirstStart | None = None

    def place(self, name: str) -> QWidget:
        """The place called `name` ("bench", "horse_form", ...)."""
        if name not in self.made:
            self.made[name] = self._make(name)
        return self.made[name]

    def first_start(self, window: Window) -> FirstStart:
        if self._first is None:
            from hoofbook.desktop.first_start.place import FirstStart

            self._first = FirstStart(self._state, window)
        return self._first

    def visit_shown(self) -> dict[str, str]:
        """The visit whose sheet shows, so that photos brought in now are filed under it."""
        place = self.made.get("visit")
        visit = getattr(place, "visit", "")
        return {"visit": visit} if visit else {}

    def _make(self, name: str) -> QWidget:
        state, pictures = self._state, self.pictures
        if name == "bench":
            from hoofbook.desktop.bench.place import BenchPlace

            return BenchPlace(state)
        if name == "then_and_now":
            from hoofbook.desktop.then_and_now.place import ThenAndNowPlace

            return ThenAndNowPlace(state)
        if name == "horse_card":
            from hoofbook.desktop.horse_card.place import HorseCardPlace

            return HorseCardPlace(state, pictures)
        if name == "visit":
            from hoofbook.desktop.visit.place import VisitPlace

            return VisitPlace(state, pictures)
        if name == "photo_tray":
            from hoofbook.desktop.photo_tray.place import PhotoTrayPlace

            return PhotoTrayPlace(state, pictures)
        return self._make_other(name)

    def _make_other(self, name: str) -> QWidget:
        state = self._state
        if name == "cycle_by_cycle":
            from hoofbook.desktop.cycle_by_cycle.place import CyclePlace

            return CyclePlace(state)
        if name == "horse_form":
            from hoofbook.desktop.horses.form import HorseFormPlace

            return HorseFormPlace(state)
        if name == "scale_card":
            from hoofbook.desktop.scale_card.place import ScaleCardPlace

            return ScaleCardPlace(state)
        if name == "how_measured":
            from hoofbook.desktop.how_measured.place import HowMeasuredPlace

            return HowMeasuredPlace(state)
        if name == "set_up":
            from hoofbook.desktop.set_up.place import SetUpPlace

            return SetUpPlace(state, self._window)
        return self._make_near_the_bench(name)

    def _make_near_the_bench(self, name: str) -> QWidget:
        state = self._state
        if name == "mark_again":
            from hoofbook.desktop.bench.without_looking import AgainPlace

            return AgainPlace(state)
        if name == "sole_map":
            from hoofbook.desktop.sole_map.place import SoleMapPlace

            return SoleMapPlace(state)
        raise KeyError(name)
