"""The card with the ways of looking: what lies over the photos, each a button that stays pressed, with its key."""

from __future__ import annotations

from dataclasses import replace
from functools import partial

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QWidget

from hoofbook.desktop.then_and_now.laid_painter import Looking
from hoofbook.desktop.widgets.buttons import Button
from hoofbook.desktop.widgets.flow import FlowLayout
from hoofbook.desktop.widgets.panel import Panel
from hoofbook.wording import bench_labels as words

KEYS = {"lines": "L", "outlines": "O", "grid": "G", "same_light": "E"}


class LookingCard(Panel):
    """`changed(Looking)` comes with every press; `turn(name)` is what the key of a button does."""

    changed = Signal(object)

    def __init__(self) -> None:
        super().__init__(words.LOOKING)
        self.looking = Looking()
        holder = QWidget()
        flow = FlowLayout(holder, gap=8, grow=True)
        said = {
            "lines": (words.DRAWINGS, words.DRAWINGS_NAME),
            "outlines": (words.OUTLINES, words.OUTLINES_NAME),
            "grid": (words.GRID, words.GRID_NAME),
            "same_light": (words.SAME_LIGHT, words.SAME_LIGHT_NAME),
        }
        self.buttons: dict[str, Button] = {}
        for name, (short, long) in said.items():
            shown = words.WITH_KEY.format(words=short, key=KEYS[name])
            button = Button(shown, "plain", partial(self.turn, name), name=long, small=True)
            button.setCheckable(True)
            button.setToolTip(long)
            self.buttons[name] = button
            flow.addWidget(button)
        self.body.addWidget(holder)

    def turn(self, name: str) -> None:
        """Put one of them on or off, where it can be."""
        if self.buttons[name].isEnabled():
            self.looking = replace(self.looking, **{name: not getattr(self.looking, name)})
            self._tell()
        else:
            self._dress()

    def allow(self, **possible: bool) -> None:
        """Which of them can be had with these photos; what cannot is put off."""
        for name, can in possible.items():
            self.buttons[name].setEnabled(can)
        off = {name: False for name, can in possible.items() if not can and getattr(self.looking, name)}
        if off:
            self.looking = replace(self.looking, **off)
            self._tell()
        self.buttons["same_light"].setToolTip(
            words.SAME_LIGHT_NAME if possible.get("same_light", True) else words.NO_LIGHT
        )

    def _tell(self) -> None:
        self._dress()
        self.changed.emit(self.looking)

    def _dress(self) -> None:
        for name, button in self.buttons.items():
            button.setChecked(getattr(self.looking, name))
