"""Makes each place when it is first asked for, so that the window shows before heavy imports."""

from __future__ import annotations

import importlib
from collections.abc import Mapping
from types import MappingProxyType
from typing import TYPE_CHECKING

from PySide6.QtWidgets import QWidget

from hoofbook.desktop.state import AppState
from hoofbook.desktop.widgets.pictures import Pictures

if TYPE_CHECKING:
    from hoofbook.desktop.first_start.place import FirstStart
    from hoofbook.desktop.window import Window


PLACES: Mapping[str, tuple[str, str]] = MappingProxyType(
    {
        "horse_card": ("horse_card.place.HorseCardPlace", "pictures"),
        "visit": ("visit.place.VisitPlace", "pictures"),
        "bench": ("bench.place.BenchPlace", ""),
        "mark_again": ("bench.without_looking.AgainPlace", ""),
        "then_and_now": ("then_and_now.place.ThenAndNowPlace", ""),
        "cycle_by_cycle": ("cycle_by_cycle.place.CyclePlace", ""),
        "sole_map": ("sole_map.place.SoleMapPlace", ""),
        "papers": ("papers.place.PapersPlace", ""),
        "hide_parts": ("hide_parts.place.HidePartsPlace", ""),
        "photo_tray": ("photo_tray.place.PhotoTrayPlace", "pictures"),
        "horse_form": ("horses.form.HorseFormPlace", ""),
        "photo_guide": ("photo_guide.place.PhotoGuidePlace", ""),
        "scale_card": ("scale_card.place.ScaleCardPlace", ""),
        "how_measured": ("how_measured.place.HowMeasuredPlace", ""),
        "set_up": ("set_up.place.SetUpPlace", "window"),
    }
)
"""Per place its class, and what it needs besides the state."""


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
        kind, needs = PLACES[name]
        module, _, class_name = kind.rpartition(".")
        make = getattr(importlib.import_module(f"hoofbook.desktop.{module}"), class_name)
        more = {"": (), "pictures": (self.pictures,), "window": (self._window,)}[needs]
        made: QWidget = make(self._state, *more)
        return made
