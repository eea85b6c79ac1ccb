"""How a place with a large photo shares its room: numbers only. In a small room the photo keeps more than half."""

from __future__ import annotations

from dataclasses import dataclass

PANEL = 348
NARROW_PANEL = 300


@dataclass(frozen=True, slots=True)
class Shares:
    """`panel` 0 = the panel lies in a drawer; `set_column` and `strip` False = photos are reached by their buttons."""

    panel: int
    set_column: bool
    strip: bool
    margin: int


def shares(width: int, height: int, text_size: int) -> Shares:
    """What lies beside the photo in a room of `width` x `height` px, at a size of text (17 = the middle one)."""
    grown = max(1.0, text_size / 17)
    if width < 1000 * grown or height < 470:
        return Shares(0, False, False, 10)
    wide = width >= 1120 * grown
    panel = round((PANEL if wide else NARROW_PANEL) * grown)
    return Shares(panel, wide and width >= 1150, height >= 660, 28 if wide else 14)
