"""Contrast and brightness for looking only: a table of 256 bytes, applied to what the window shows."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Adjustment:
    """`contrast` and `brightness` from -100 to 100; 0 and 0 show the photo as it is. The file is never touched."""

    contrast: int = 0
    brightness: int = 0

    @property
    def plain(self) -> bool:
        return self.contrast == 0 and self.brightness == 0


def table(adjustment: Adjustment) -> bytes:
    """Shown value of each stored value: contrast turns about mid grey (up to 4 times), brightness lifts or lowers."""
    gain = 4.0 ** (adjustment.contrast / 100)
    lift = 1.28 * adjustment.brightness
    return bytes(min(255, max(0, round((value - 127.5) * gain + 127.5 + lift))) for value in range(256))
