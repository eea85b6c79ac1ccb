"""What every place of the window shares: the open book, the workers, the look, and a few signals.

A place is a QWidget with `show_horse` and `leave` (see `Place`). It gets the `AppState`, never the window. Reads and
writes of the book go through `state.background`, so that only frozen values cross threads:

    state.background.read(self, lambda: state.casework.horse_card.read_horse_card(book, key), self._show)
"""

from __future__ import annotations

from dataclasses import dataclass, field
from types import ModuleType
from typing import TYPE_CHECKING, Any, Protocol, runtime_checkable

from PySide6.QtCore import QObject, Signal

from hoofbook.desktop.background import Background
from hoofbook.desktop.theme import Theme

if TYPE_CHECKING:
    from hoofbook.casework.open_book import OpenBook
    from hoofbook.housekeeping.settings import Settings
    from hoofbook.terms.refusal import Refusal


class Signals(QObject):
    """Every message between places. Connect to them; they outlive every place."""

    theme_changed = Signal()
    book_changed = Signal()  # something in the book was written: lists and cards read again
    notice = Signal(object)  # Refusal or ready sentence, shown in the notice bar of the window
    go = Signal(str, dict)  # name of a place, and where in it


class Casework:
    """The casework modules by name, each imported when first asked for: the window shows before heavy imports."""

    def __getattr__(self, name: str) -> ModuleType:
        import importlib

        module = importlib.import_module(f"hoofbook.casework.{name}")
        setattr(self, name, module)
        return module


@runtime_checkable
class Place(Protocol):
    """A place of the window.

    Besides these two, a place may have `undo()` and `redo()`: the window's Ctrl+Z and Ctrl+Shift+Z call them, so a
    place sets no shortcut of its own for them.
    """

    def show_horse(self, horse_key: str, **where: str) -> None:
        """Show this horse; `where` narrows it (`visit`, `photo`, `foot`, `view`, `measure`, `then`, `now`)."""

    def leave(self) -> bool:
        """Called before another place shows. False keeps the person here (unsaved work they chose to keep)."""


@dataclass
class AppState:
    """Shared by all places; changed by the window alone (`theme`, `settings` and `open_book` are replaced)."""

    background: Background
    theme: Theme
    settings: Settings
    open_book: OpenBook | None = None
    horse: str = ""
    casework: Any = field(default_factory=Casework)
    signals: Signals = field(default_factory=Signals)

    def go(self, place: str, **where: str) -> None:
        """Ask the window for a place: "horse_card", "visit", "bench", "then_and_now", "cycle_by_cycle",
        "papers", "photo_tray", "photo_guide", "scale_card", "how_measured", "set_up"."""
        self.signals.go.emit(place, dict(where))

    def notice(self, what: Refusal | str) -> None:
        """Show a refusal or sentence in the notice bar."""
        self.signals.notice.emit(what)

    def changed(self) -> None:
        """Say that something in the book was written."""
        self.signals.book_changed.emit()
