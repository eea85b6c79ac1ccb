"""Brings the two photos of a pair to their canvas; one that the other side holds already is taken over."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial
from typing import TYPE_CHECKING

from PySide6.QtCore import QObject

from hoofbook.desktop.canvas.loading import PictureLoader, Source
from hoofbook.desktop.canvas.pyramid import PicturePyramid
from hoofbook.desktop.state import AppState

if TYPE_CHECKING:
    from hoofbook.casework.then_and_now import PairSheet


class PairLoading:
    """`shown(side, pyramid)` with each sharper picture: 0 = then, 1 = now."""

    def __init__(self, owner: QObject, state: AppState, shown: Callable[[int, PicturePyramid | None], None]) -> None:
        self.loaders = (
            PictureLoader(owner, state, partial(shown, 0), name="then"),
            PictureLoader(owner, state, partial(shown, 1), name="now"),
        )

    def load(self, sheet: PairSheet) -> None:
        """The photos of this pair."""
        small = {tile.key: tile.thumbnail for tile in sheet.strip}
        held = {loader.source.key: loader.pyramid for loader in self.loaders if loader.source is not None}
        for loader, side in zip(self.loaders, (sheet.then, sheet.now), strict=True):
            assert side is not None
            size = (side.width, side.height)
            source = Source(side.key, size, side.path, side.preview, small.get(side.key))
            here = loader.source is not None and loader.source.key == side.key
            pyramid = held.get(side.key)
            if not here and (pyramid is None or not loader.take_over(source, pyramid)):
                loader.load(source)
