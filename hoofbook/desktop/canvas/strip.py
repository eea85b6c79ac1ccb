"""The photos of the visit in a row; the shown one has a leather frame."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QFrame, QHBoxLayout, QScrollArea, QSizePolicy, QVBoxLayout, QWidget

from hoofbook.desktop.widgets.photo_tile import PhotoView
from hoofbook.desktop.widgets.pictures import Pictures
from hoofbook.terms.shown import PhotoTile

WIDE, HIGH = 138, 134


class PhotoStrip(QScrollArea):
    """Small pictures beside each other, or under each other with `upright`; what does not fit scrolls."""

    def __init__(
        self,
        pictures: Pictures,
        pressed: Callable[[str], object],
        *,
        upright: bool = False,
        size: tuple[int, int] = (WIDE, HIGH),
    ) -> None:
        super().__init__()
        self._pictures = pictures
        self._pressed = pressed
        self._upright = upright
        self._size = size
        self.views: dict[str, PhotoView] = {}
        self.setFrameShape(QFrame.Shape.NoFrame)
        self.setWidgetResizable(True)
        self.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        self.viewport().setAutoFillBackground(False)
        self._inside = QWidget()
        self._inside.setProperty("surface", "page")
        self._inside.setAutoFillBackground(False)
        self._row = QVBoxLayout(self._inside) if upright else QHBoxLayout(self._inside)
        self._row.setContentsMargins(0, 0, 0, 0)
        self._row.setSpacing(8)
        self._row.addStretch(1)
        self.setWidget(self._inside)
        off, on = Qt.ScrollBarPolicy.ScrollBarAlwaysOff, Qt.ScrollBarPolicy.ScrollBarAsNeeded
        self.setHorizontalScrollBarPolicy(off if upright else on)
        self.setVerticalScrollBarPolicy(on if upright else off)
        if upright:
            self.setFixedWidth(size[0] + 16)
        else:
            self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
            self.setFixedHeight(size[1] + 14)

    @property
    def keys(self) -> list[str]:
        return list(self.views)

    def show_tiles(self, tiles: Sequence[PhotoTile], current: Sequence[str]) -> None:
        """Show these photos; views of photos that stay are kept, with their pictures and the focus."""
        if [tile.key for tile in tiles] != self.keys:
            for view in self.views.values():
                view.hide()
                view.deleteLater()
            self.views = {tile.key: self._view() for tile in tiles}
            for place, view in enumerate(self.views.values()):
                self._row.insertWidget(place, view)
        for tile in tiles:
            self.views[tile.key].show_tile(tile)
        self.mark(current)

    def note(self, key: str, note: str) -> None:
        view = self.views.get(key)
        if view is not None and view.tile is not None and view.tile.note != note:
            view.show_tile(replace(view.tile, note=note))

    def mark(self, current: Sequence[str]) -> None:
        for key, view in self.views.items():
            view.set_current(key in current)
            if key in current:
                self.ensureWidgetVisible(view, 20, 20)

    def _view(self) -> PhotoView:
        view = PhotoView(self._pictures, over=False, pressed=self._pressed, parent=self._inside)
        view.setFixedSize(*self._size)
        return view
